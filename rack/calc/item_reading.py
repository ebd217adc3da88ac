"""The words of an item taken off one fact at a time; what is left over is named."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from rack.calc import item_parts as parts
from rack.calc.checks import Problem, asks, note
from rack.calc.item_facts import NAMED_LATER, facts_in
from rack.calc.item_words import GRADES
from rack.calc.kinds import KINDS
from rack.calc.units import NM

_SIZE = r"\d+\s*[- ]\s*\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+[.,]\d+|\d+"
_INCH = r"(?:\"|in(?:ch(?:es)?)?\b\.?|zoll\b|mm\b)"
_GENDER = r"(?:\s*-?\s*(?:(?:box|pin)\b(?:\s*[x/]\s*(?:box|pin)\b)?|[bp]\s*x\s*[bp]\b))?"
_FAMILY = (
    r"(?:i\.?f\b\.?|f\.?h\b\.?|x\.?h\b\.?|reg(?:ular)?\b\.?|s\.?h\b\.?|sl-?h-?90|h-?90|wo\b|ef\b|dsl\b|pac\b|ohlw\b|ohsw\b"
    r"|internal flush|full hole|extra hole|slim hole|wide open|double streamline|modified open|mod open)"
)
_ROTARY = rf"(?<![\d./])(?:{_SIZE})\s*{_INCH}?\s*(?:api\s*)?{_FAMILY}"
_THREADS = re.compile(
    rf"(?:\bnc\s*[-#]?\s*\d\d\b(?:\s*\([^)]*\))?|{_ROTARY}(?:\s*\([^)]*\))?"
    r"|\b(?:btc|ltc|stc|lt&c|st&c|buttress|eue|nue)\b(?:\s*8\s*rd\b)?"
    r"|\b(?:xt|ht|gpds|tt|delta|uxt)[\s-]?\d{2,3}\b|\bvam\s+[\w-]+|\b(?:tsh|wedge)\s+[\w-]+)" + _GENDER,
    re.IGNORECASE,
)
_WEIGHTS = re.compile(
    r"(?<![\d./-])(\d+(?:[.,]\d+)?)\s*(lbs?\s*/\s*ft|lbs?\b|ppf\b|#(?:\s*/\s*ft)?|kg\s*/\s*m\b)\.?",
    re.IGNORECASE,
)
_GRADE = re.compile(
    r"(?<![\w-])(?:gr(?:ade)?\.?\s*)?([A-Z])[\s\-.=/_]{0,3}(\d{2,3})(?:\s*-?\s*(Q|1|9\s?CR|13\s?CR))?(?![\w/.,-]*\d|\w)",
    re.IGNORECASE,
)
_RANGE = re.compile(r"(?<![\w-])(?:range|rng|rg|r)[\s.-]{0,2}(iii|ii|i|[123])(?!\w)", re.IGNORECASE)
_SIZES = re.compile(rf"(?<![\w./])({_SIZE})\s*({_INCH})", re.IGNORECASE)
_BORE = re.compile(rf"(?:\bx|\bid|\bbore)\s*({_SIZE})\s*({_INCH})?(?!\s*{_FAMILY})(?![\w/])", re.IGNORECASE)
_BARE = re.compile(rf"(?<![\w./-])({_SIZE})(?![\w/])")
_LIKE_A_GRADE = re.compile(r"[A-Z]{1,4}[-/=.]?\d{2,3}(?:[- ]?[A-Z]{1,4})?", re.IGNORECASE)
_IDLE = frozenset(
    [
        "od",
        "id",
        "x",
        "in",
        "with",
        "and",
        "mit",
        "of",
        "the",
        "a",
        "wt",
        "weight",
        "api",
        "joint",
        "joints",
        "jt",
        "jts",
        "piece",
        "pieces",
        "pcs",
        "pup",
        "new",
        "used",
    ]
)


#: Kinds whose second size is never a bore: their lists say the wall or the weight.
_WITHOUT_BORE = ("drill_pipe", "casing", "tubing")
#: What stands beside a shoe, a collar or a hanger without saying more.
_OF_COUPLED = frozenset({"casing", "tubing", "csg", "tbg", "liner", "joint", "futterrohr", "steigrohr"})


@dataclass(frozen=True)
class Facts:
    """The facts of one piece as far as they are said, lengths in nanometres, 0 and "" = not said.

    `kind_word` is the word that named a kind, also one that is not kept (then `kind` is ""). `extra`
    are the facts of its own that only this kind has, by name, as `rack.calc.facts` keeps them.
    """

    kind: str = ""
    kind_word: str = ""
    od_nm: int = 0
    bore_nm: int = 0
    wall_nm: int = 0
    weight_mlb_ft: int = 0
    grade: str = ""
    range: str = ""
    up_conn: str = ""
    up_gender: str = ""
    down_conn: str = ""
    down_gender: str = ""
    tj_od_nm: int = 0
    tj_bore_nm: int = 0
    extra: tuple[tuple[str, str], ...] = ()
    problems: tuple[Problem, ...] = ()


class _Words:
    """The text of an item and what has been taken from it."""

    def __init__(self, text: str) -> None:
        self.left = " ".join(re.sub(r"[;|]|,(?=\s|$)|(?<=\s),", " ", parts.plain(text)).split())
        self.said: dict[str, str | int] = {}
        self.problems: list[Problem] = []

    def take(
        self, pattern: re.Pattern[str], want: Callable[[re.Match[str]], bool] = bool
    ) -> list[re.Match[str]]:
        """Take every match that is wanted out of the text; what stood around it stays apart."""
        found = [each for each in pattern.finditer(self.left) if want(each)]
        for each in reversed(found):
            self.left = self.left[: each.start()] + " ~ " + self.left[each.end() :]
        return found

    def set(self, what: str, value: str | int, problems: tuple[Problem, ...] = ()) -> None:
        """Keep a fact; the first of its sort stands, another one is a question."""
        self.problems += problems
        if not value:
            return
        if self.said.setdefault(what, value) != value:
            self.problems.append(
                asks(f"Two different facts are said for {_NAMES.get(what, what)}.", code="item")
            )


_NAMES = {"od_nm": "the diameter", "weight_mlb_ft": "the weight", "bore_nm": "the bore"}


@lru_cache(maxsize=4096)
def facts_of(text: str) -> Facts:
    """Return what the words of an item say, each fact by itself; nothing is inferred yet.

    `text` is what a list says of a piece, up to some hundred signs. Raises nothing: what is not
    understood is a problem of the facts. Source: the tables for what is known, spellings are common practice.
    """
    words = _Words(text[:400])
    _take_kind(words)
    extra = _take_own(words)
    _take_threads(words)
    _take_grade(words)
    for found in words.take(_RANGE):
        words.set("range", *parts.read_range(found[1]))
    weights = words.take(_WEIGHTS)
    _take_sizes(words)
    od_nm = int(words.said.get("od_nm", 0))
    for found in weights:
        unit = "kg/m" if "kg" in found[2].lower() else "lb/ft"
        words.set("weight_mlb_ft", *parts.read_weight(found[1], unit, str(words.said.get("kind", "")), od_nm))
    extra |= _name_what_is_left(words)
    own = tuple(sorted(extra.items()))
    return Facts(**words.said, extra=own, problems=tuple(words.problems))  # type: ignore[arg-type]


def _take_kind(words: _Words) -> None:
    # A thread may be spelled with a word of a kind only in brackets, so the kind is looked for first.
    code, word, (start, end) = parts.kind_word(words.left)
    words.said["kind"], words.said["kind_word"] = code, word
    words.left = words.left[:start] + " " + words.left[end:] if word else words.left
    again = parts.kind_word(words.left)
    if code and again[0] == code:  # "XO sub", "drill pipe (DP)": the same said twice
        words.left = words.left[: again[2][0]] + " " + words.left[again[2][1] :]


def _take_own(words: _Words) -> dict[str, str]:
    """Take what only this kind has, also out of the word that named it: "hydraulic jar", "PDC bit"."""
    kind = KINDS.get(str(words.said["kind"]))
    if kind is None:
        return {}
    found, words.left, problems = facts_in(kind, str(words.said["kind_word"]), words.left)
    words.problems += problems
    return found


def _take_threads(words: _Words) -> None:
    ends: list[tuple[str, str]] = []
    for found in words.take(_THREADS)[:2]:
        thread, genders, problems = parts.read_thread(found[0])
        words.problems += problems
        ends += [(thread, gender) for gender in genders] or [(thread, "")]
    if ends:
        ends = _box_up(ends[:2])
        (
            (words.said["up_conn"], words.said["up_gender"]),
            (words.said["down_conn"], words.said["down_gender"]),
        ) = (ends[0], ends[-1] if len(ends) > 1 else (ends[0][0], ""))
        if len(ends) == 1 and ends[0][1]:
            # One thread with one gender is one end; which one, the gender says.
            words.said.update(down_conn="", down_gender="") if ends[0][1] == "box" else words.said.update(
                up_conn="", up_gender="", down_conn=ends[0][0], down_gender="pin"
            )


def _box_up(ends: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Of a pin and a box the box is the upper end; two alike stay in the order in which they were typed."""
    return ends[::-1] if [gender for _, gender in ends] == ["pin", "box"] else ends


def _take_grade(words: _Words) -> None:
    def known(found: re.Match[str]) -> bool:
        return (found[1] + found[2]).upper() in GRADES

    for found in words.take(_GRADE, known):
        words.set("grade", re.sub(r"\W", "", (found[1] + found[2] + (found[3] or ""))).upper())


def _take_sizes(words: _Words) -> None:
    bores = words.take(_BORE, lambda found: bool(words.said.get("kind") not in _WITHOUT_BORE))
    for found in words.take(_SIZES):
        value, problems = parts.read_size(found[1], "mm" if "mm" in found[2].lower() else "in")
        if "od_nm" not in words.said:
            words.set("od_nm", value, problems)
        elif value and value < 12 * NM["in"] // 10:
            words.set("wall_nm", value, problems)
        else:
            words.set("bore_nm", value, problems)
    for found in bores[:1]:
        words.set("bore_nm", *parts.read_size(found[1], "mm" if "mm" in (found[2] or "").lower() else "in"))
    bare = list(_BARE.finditer(words.left))
    if "od_nm" not in words.said and bare:
        value, problems = parts.read_size(bare[0][1])
        words.set("od_nm", value, problems)
        _drop_first(words, bare[0])
    _take_bare_weight(words)


def _take_bare_weight(words: _Words) -> None:
    """Take a number without a unit for the weight when it is a label weight of this size."""
    od_nm, kind = int(words.said.get("od_nm", 0)), str(words.said.get("kind", ""))
    for found in _BARE.finditer(words.left):
        value = parts.number(found[1])
        if value in (parts.label_weights(kind, od_nm) or parts.label_weights("", od_nm)):
            words.set("weight_mlb_ft", int(value * 1000) if value else 0)
            _drop_first(words, found)
            return


def _drop_first(words: _Words, found: re.Match[str]) -> None:
    words.left = words.left[: found.start()] + " ~ " + words.left[found.end() :]


def _name_what_is_left(words: _Words) -> dict[str, str]:
    """Name the words that nobody read; of a tool that is known by its name alone they are the name."""
    left = [word for word in re.split(r"[\s~]+", words.left) if word.strip("-.,;:()[]/+*#'\"")]
    kind = KINDS.get(str(words.said["kind"]))
    idle = _IDLE | _OF_COUPLED if kind and kind.family == "coupled" else _IDLE
    left = [word for word in left if word.lower().strip(".,:()-") not in idle]
    if kind and kind.code == NAMED_LATER and left:
        return {"name": " ".join(left)[:60].strip(" ,:-")}
    if "grade" not in words.said and words.said["kind"] in ("", "drill_pipe", "casing"):
        for word in [each for each in left if _LIKE_A_GRADE.fullmatch(each)][:1]:
            words.set("grade", *parts.read_grade(word))
            left.remove(word)
    if not left:
        return {}
    text = f"In the item, “{' '.join(left)[:60]}” is kept as typed and not read."
    words.problems.append(
        asks(text, code="item") if any(re.search(r"\d", word) for word in left) else note(text, code="item")
    )
    return {}
