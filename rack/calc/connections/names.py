"""Any spelling of a thread to its one canonical name, and what makes up with what."""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from rack.calc.lookup import Catalogue, Row, rows

#: Threads that lists name but no open table of dimensions holds; from memory (API RP 7G, Spec 7-2).
WITHOUT_DIMENSIONS = (
    "NC10", "NC12", "NC13", "NC16",
    "2-3/8 PAC", "2-7/8 PAC", "2-3/8 OHLW", "2-3/8 OHSW", "2-7/8 OHLW", "2-7/8 OHSW",
    "2-3/8 WO", "2-7/8 WO", "2-3/8 SLH90", "2-7/8 SLH90", "3-1/2 SLH90",
)

#: Threads of casing and tubing; their size is the pipe's size and stands in the specification.
COUPLED = ("STC", "LTC", "BTC", "EUE", "NUE")

#: No name of a thread is longer, both ends and the old name included.
MOST_SIGNS = 120

_FAMILIES = {
    "IF": "IF", "INTERNALFLUSH": "IF", "INTFLUSH": "IF",
    "FH": "FH", "FULLHOLE": "FH",
    "REG": "REG", "REGULAR": "REG",
    "XH": "XH", "EXTRAHOLE": "XH", "XHOLE": "XH",
    "SH": "SH", "SLIMHOLE": "SH",
    "DSL": "DSL", "DOUBLESTREAMLINE": "DSL",
    "WO": "WO", "WIDEOPEN": "WO",
    "EF": "EF", "EXTERNALFLUSH": "EF",
    "MODIFIEDOPEN": "modified open", "MODOPEN": "modified open",
    "SLH90": "SLH90", "PAC": "PAC", "OHLW": "OHLW", "OHSW": "OHSW",
    "H90": "H-90", "HUGHESH90": "H-90", "HUGHES90": "H-90",
}
_COUPLED_WORDS = {
    "BTC": "BTC", "BUTTRESS": "BTC", "BUTT": "BTC", "BC": "BTC", "BCSG": "BTC",
    "LTC": "LTC", "LC": "LTC", "LONG8R": "LTC", "8RLONG": "LTC", "LONGROUND": "LTC",
    "STC": "STC", "SC": "STC", "SHORT8R": "STC", "8RSHORT": "STC", "SHORTROUND": "STC",
    "EUE": "EUE", "EU": "EUE", "EXTERNALUPSET": "EUE", "EXTERNALUPSETEND": "EUE",
    "NUE": "NUE", "NU": "NUE", "NONUPSET": "NUE", "NONUPSETEND": "NUE",
}
_PIN = frozenset({"PIN", "P", "PINS"})
_BOX = frozenset({"BOX", "B", "BOXES"})
_IDLE = frozenset({"API", "IN", "INCH", "INCHES", "THREAD", "THREADS", "THD", "THDS", "CONN", "CONNECTION",
                   "CONNECTIONS", "X", "UP", "DOWN", "TJ", "TOOL", "JOINT", "RH", "BXP", "PXB", "BXB", "PXP",
                   "NO", "TYPE", "AND", "COUPLED", "COUPLING"})
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_DASHES = dict.fromkeys(map(ord, "‐‑‒–—―−"), "-")
_EIGHTHS = {0: "", 1: "-1/8", 2: "-1/4", 3: "-3/8", 4: "-1/2", 5: "-5/8", 6: "-3/4", 7: "-7/8"}
_TOKEN = re.compile(
    r"NC\s*(?:-|#|/|NO\.?)?\s*(?P<nc>\d\d)(?!\d)"
    r"|(?P<mixed>\d+)(?:\s*[-.]\s*|\s+)(?P<top>\d)/(?P<bottom>\d)(?!\d)"
    r"|(?P<joined>\d)(?P<jtop>[1357])/(?P<jbottom>[248])(?!\d)"
    r"|(?P<decimal>\d+[.,]\d+)"
    r"|(?P<whole>\d+)"
    r"|(?P<word>[A-Z]+)"
)
_BETWEEN = re.compile(r"[\s()\[\]/=,;:.&+#\"'-]*")


def _unknown(name: object, why: str = "") -> ValueError:
    # A whole paragraph in the cell of a thread would bury the sentence that says so.
    shown = f"{name[:MOST_SIGNS]}…" if isinstance(name, str) and len(name) > MOST_SIGNS else name
    return ValueError(f"no thread is known by the name {shown!r}" + (f": {why}" if why else ""))


def _plain(name: str) -> str:
    """Upper case, one kind of dash and quote, fractions written out, thread counts as one word."""
    text = "".join(f" {_VULGAR[letter]} " if letter in _VULGAR else letter for letter in name)
    text = unicodedata.normalize("NFKC", text).translate(_DASHES).upper().replace("⁄", "/")
    text = re.sub(r"[″”“’‘`´]", '"', text)
    text = re.sub(r"(?<=\d)\s*/\s*(?=\d)", "/", text)
    text = re.sub(r"\b([A-Z])\.(?:\s?([A-Z])\.?)(?:\s?([A-Z])\b\.?)?", r" \1\2\3 ", text)
    text = re.sub(r"\b([SL])\s?&\s?([TC])\b", r"\1\2", text)
    text = re.sub(r"\b([SL])T\s?(?:&|AND)\s?C\b", r"\1TC", text)
    text = re.sub(r"\bSL\s?-?\s?H\s?-?\s?90\b", " SLHNINETY ", text)
    text = re.sub(r"\bH\s?-?\s?90\b|(?<=\d)H\s?-?\s?90\b|\bHUGHES\s?-?\s?90\b", " HNINETY ", text)
    text = re.sub(r"\b8\s?-?\s?(?:RD|R|ROUND|RND)\b\.?", " EIGHTR ", text)
    text = re.sub(r"\b10\s?-?\s?(?:RD|R|ROUND|RND)\b\.?", " TENR ", text)
    text = re.sub(r"\b([LS])(?:ONG|HORT) THREADS? (?:AND|&) COUPLED\b", r" \1TC ", text)
    text = re.sub(r"\bX\s?-?\s?HOLE\b", " XH ", text)
    return re.sub(r"\bOH\s?-?\s?([LS])W\b", r" OH\1W ", text)


def _size(whole: str, eighths: int) -> str:
    return f"{int(whole)}{_EIGHTHS[eighths]}"


def _token(found: re.Match[str], name: str) -> tuple[str, str]:
    """One piece of the name: ("size", "4-1/2"), ("nc", "NC50") or ("word", "IF")."""
    if found["nc"]:
        return "nc", f"NC{found['nc']}"
    if found["word"]:
        return "word", found["word"]
    if found["whole"]:
        return "size", str(int(found["whole"]))
    if found["decimal"]:
        whole, part = re.split("[.,]", found["decimal"])
        eighths, rest = divmod(int(part.ljust(3, "0")[:3]), 125)
        if rest or len(part.rstrip("0")) > 3:
            raise _unknown(name, f"{found['decimal']} is no size of thread")
        return "size", _size(whole, eighths)
    whole = found["mixed"] or found["joined"]
    top, bottom = int(found["top"] or found["jtop"]), int(found["bottom"] or found["jbottom"])
    if bottom not in (2, 4, 8) or not 0 < top < bottom:
        raise _unknown(name, f"{found[0]} is no size of thread")
    return "size", _size(whole, top * 8 // bottom)


def _tokens(name: str) -> list[tuple[str, str]]:
    tokens: list[tuple[str, str]] = []
    text, at = _plain(name), 0
    while True:
        gap = _BETWEEN.match(text, at)
        at = gap.end() if gap else at
        if at == len(text):
            return tokens
        found = _TOKEN.match(text, at)
        if not found:
            raise _unknown(name)
        tokens.append(_token(found, name))
        at = found.end()


def _joined(tokens: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Idle words and genders left out, neighbouring words read together: FULL, HOLE -> FH."""
    kept = [token for token in tokens if token[0] != "word" or token[1] not in _IDLE | _PIN | _BOX]
    out: list[tuple[str, str]] = []
    for is_word, group in groupby(kept, key=lambda token: token[0] == "word"):
        if not is_word:
            out.extend(group)
            continue
        words = [word for _, word in group]
        while words:
            for count in range(min(4, len(words)), 0, -1):
                joined = "".join(words[:count])
                joined = joined.replace("NINETY", "90").replace("EIGHTR", "8R").replace("TENR", "10R")
                if joined in _FAMILIES:
                    out.append(("family", _FAMILIES[joined]))
                elif joined in _COUPLED_WORDS:
                    out.append(("coupled", _COUPLED_WORDS[joined]))
                else:
                    continue
                del words[:count]
                break
            else:
                out.append(("unknown", words.pop(0)))
    return out


@lru_cache(maxsize=64)
def _same_as(catalogue: Catalogue | None = None) -> dict[str, str]:
    """Every name in the tables -> the canonical name of its thread; a row of the office comes last."""
    names = {row["name"]: row["name"] for row in (catalogue.rows if catalogue else rows)("connections")}
    names |= {name: name for name in WITHOUT_DIMENSIONS}
    for row in _interchange(catalogue):
        names[row["canonical_thread"]] = row["canonical_thread"]
        names[row["same_thread_name"]] = row["canonical_thread"]
    return names


def _interchange(catalogue: Catalogue | None) -> tuple[Row, ...]:
    shipped = rows("interchange")
    if catalogue is None:
        return shipped
    own = [row for row in catalogue.rows("interchange") if all(row is not one for one in shipped)]
    return (*(row for row in shipped if row in catalogue.rows("interchange")), *own)


def _as_written(name: str, catalogue: Catalogue | None) -> str:
    """The thread that an office row names in these very words, "" for none: no spelling of it is known."""
    if catalogue is None:
        return ""
    typed = " ".join(name.casefold().split())
    own = {known: thread for known, thread in _same_as(catalogue).items() if _same_as().get(known) != thread}
    return next((thread for known, thread in own.items() if known.casefold() == typed), "")


def _threads(name: str, same: Mapping[str, str]) -> Iterable[str]:
    """Every thread that the name speaks of, canonical; raises for a part that is not understood."""
    tokens, at = _joined(_tokens(name)), 0
    while at < len(tokens):
        sort, text = tokens[at]
        after, following = tokens[at + 1] if at + 1 < len(tokens) else ("", "")
        at += 1
        if sort == "coupled":
            yield text
            continue
        if sort == "nc":
            found = text
        elif {sort, after} == {"size", "family"}:
            found, at = f"{text} {following}" if sort == "size" else f"{following} {text}", at + 1
        elif _is_pipe_or_turns(sort, text, tokens) or _is_half_a_name(text, tokens, same):
            continue
        else:
            raise _unknown(name, _why(text))
        if found not in same:
            raise _unknown(name, f"there is no {found}")
        yield same[found]


def _is_pipe_or_turns(sort: str, text: str, tokens: list[tuple[str, str]]) -> bool:
    """Whether a size or a count of turns stands beside a coupled thread: 9-5/8 BTC, LTC 8rd."""
    return (sort == "size" or text in ("EIGHTR", "TENR")) and any(other == "coupled" for other, _ in tokens)


def _is_half_a_name(text: str, tokens: list[tuple[str, str]], same: Mapping[str, str]) -> bool:
    """Whether a lone size or family beside an NC name repeats half of another name of it: NC50 (4-1/2)."""
    beside = {thread for sort, thread in tokens if sort == "nc"}
    return any(thread in beside and text in name.split(" ", 1) for name, thread in same.items())


def _why(text: str) -> str:
    if text in ("EIGHTR", "TENR"):
        return "a round thread is LTC, STC, EUE or NUE: say which"
    return f"{text!r} is not understood"


@lru_cache(maxsize=16_384)
def canonical(name: str, catalogue: Catalogue | None = None) -> str:
    """Return the one name of the thread that `name` spells.

    `name` is text as lists write it: "NC50 (4 1/2 IF)", "4½ IF", "4.1/2 I.F.", "6-5/8 API Reg",
    "nc-50 box", "9-5/8 Buttress". Returns "NC50", "6-5/8 REG", "5-1/2 FH", "3-1/2 H-90", "BTC";
    the size of casing and tubing is not part of the name. Raises ValueError naming `name` when it
    is no known thread, or when it names two threads that are not the same.
    `catalogue` holds the office's own rows; a name of theirs is taken as they wrote it.
    Source: tables "connections" and "interchange"; spellings are common practice.
    """
    if not isinstance(name, str):
        raise _unknown(name, "a name is text")
    if len(name) > MOST_SIGNS:
        raise _unknown(name, f"it is longer than {MOST_SIGNS} signs")
    if own := _as_written(name, catalogue):
        return own
    if re.search(r"\bL\.?H\b|\bLEFT", name.upper()):
        raise _unknown(name, "left-hand threads are not in the tables")
    found = list(dict.fromkeys(_threads(name, _same_as(catalogue))))
    if not found:
        raise _unknown(name)
    if len(found) > 1:
        raise ValueError(f"{name!r} names threads that are not the same: {' and '.join(found)}")
    return found[0]


def is_coupled(name: str) -> bool:
    """Return whether the thread is one of casing or tubing. Raises ValueError for an unknown name.

    `name` is any spelling. Source: common practice.
    """
    return canonical(name) in COUPLED


def names_of(name: str, catalogue: Catalogue | None = None) -> tuple[str, ...]:
    """Return every name in the tables for the same thread, the canonical one first.

    `name` is any spelling, `catalogue` holds the office's own rows; raises ValueError when it is
    unknown. Source: table "interchange".
    """
    thread, table = canonical(name, catalogue), _same_as(catalogue)
    others = sorted(other for other, same in table.items() if same == thread and other != thread)
    return (thread, *others)


def known(catalogue: Catalogue | None = None) -> tuple[str, ...]:
    """Return every canonical thread, rotary shouldered in table order, then those of casing and tubing.

    `catalogue` holds the office's own rows. Raises nothing. Source: tables "connections" and "interchange",
    `WITHOUT_DIMENSIONS` from memory.
    """
    return (*dict.fromkeys(_same_as(catalogue).values()), *COUPLED)


@dataclass(frozen=True)
class End:
    """One end of a piece: its thread in any spelling, "pin", "box" or "" (not known), and for casing
    and tubing the pipe's size in whole nanometres (0 = not known)."""

    thread: str
    gender: str = ""
    size_nm: int = 0


def why_not(first: End | str, second: End | str, catalogue: Catalogue | None = None) -> str:
    """Return "" when the ends `first` and `second` make up, else the sentence that says why they do not.

    Ends are `End` or a thread's name in any spelling (gender and size are then not asked); `catalogue` holds
    the office's own rows. Raises ValueError for an unknown name and a gender other than "pin", "box" or "".
    Two pins or two boxes do not make up; casing and tubing make up only in one size.
    Source: tables "connections", "interchange".
    """
    ends = [End(end) if isinstance(end, str) else end for end in (first, second)]
    for end in ends:
        if end.gender not in ("pin", "box", ""):
            raise ValueError(f'gender is {end.gender!r}; it is "pin", "box" or "" for not known')
    one, other = (canonical(end.thread, catalogue) for end in ends)
    if one != other:
        return f"{one} does not make up with {other}."
    if ends[0].gender and ends[0].gender == ends[1].gender:
        return f"{one} {ends[0].gender} does not make up with another {ends[1].gender}."
    if one in COUPLED and ends[0].size_nm and ends[1].size_nm and ends[0].size_nm != ends[1].size_nm:
        return f"{one} makes up only in one size; the two ends are of different sizes."
    return ""


def mates(first: End | str, second: End | str, catalogue: Catalogue | None = None) -> bool:
    """Return whether `first` and `second` make up: same thread, one pin and one box, one size if coupled.

    Ends, `catalogue` and ValueError as in `why_not`. Source: tables "connections" and "interchange".
    """
    return not why_not(first, second, catalogue)
