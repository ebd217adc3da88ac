"""What a heading means: its words in the languages of the trade, its unit, and how lengths were taken.

To teach the reader a heading, add its words to `heading_words`; units are found by themselves.
"""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from rack.calc.receiving import ROLE_UNITS, Column
from rack.exchange.heading_words import LENGTH_KINDS, UNITS, WORDS

_UNIT = re.compile(
    r"(?<![\w/])(?:"
    + "|".join(re.escape(word) for word in sorted(UNITS, key=len, reverse=True))
    + r")(?![\w/])"
)
#: A length column by one of these words gives way to a plain one.
_SECOND_LENGTH = re.compile(r"\b(?:mill|overall|oal|eff|effective|gesamtlange|make ?up|strap 2|2)\b")

#: A heading is short; longer texts are sentences of a preamble.
_LONGEST = 45


@dataclass(frozen=True)
class Heading:
    """What one heading was understood as: `known` says whether any of its words is in the tables."""

    role: str = ""
    unit: str = ""
    length_kind: str = ""
    known: bool = False
    only_unit: bool = False


@lru_cache(maxsize=16384)
def folded(text: str) -> str:
    """Return `text` without accents, case and punctuation but / ' " #; "Länge [m]" is "lange m"."""
    form = unicodedata.normalize(
        "NFKD",
        text.replace("º", "o").replace("°", "o").replace("№", "no").replace("ø", "o").replace("Ø", "o"),
    ).casefold()
    form = "".join(sign for sign in form if not unicodedata.combining(sign))
    form = re.sub(r"[’‘´`]", "'", form).replace("ø", "o")
    return re.sub(r"\s+", " ", re.sub(r"[^\w/'\"#]+|_", " ", form)).strip()


_ROLE_OF = {
    word: role for role, words in WORDS.items() for word in (each.strip() for each in words.split("|"))
}
#: Words too common to be looked for inside a longer heading.
_ALONE = frozenset(
    [
        "pipe",
        "mill",
        "type",
        "row",
        "line",
        "position",
        "yard",
        "product",
        "status",
        "ok",
        "count",
        "date",
        "tag",
        "spec",
        "joint",
        "joints",
        "rack",
        "class",
        "drift",
        "order",
        "art",
        "long",
        "total",
        "heat",
        "bands",
        "band",
        "colour",
        "size",
        "mass",
        "unit",
        "wall",
        "hours",
        "open",
        "closed",
        "note",
        "notes",
        "jets",
        "float",
        "core od",
        "bend",
        "stages",
    ]
) - {"class", "rack", "size", "wall", "date", "total", "mass"}
_LONGEST_FIRST = [
    word
    for word in sorted(_ROLE_OF, key=lambda word: (-len(word), word))
    if len(word) > 2 and word not in _ALONE
]


_INSIDE = re.compile(r"(?<!\w)(?:" + "|".join(re.escape(word) for word in _LONGEST_FIRST) + r")(?!\w)")


@lru_cache(maxsize=4096)
def read_heading(text: str) -> Heading:
    """Return what the heading `text` means: "Länge m" is a length in metres, "AD mm" a diameter."""
    if not text.strip() or len(text) > _LONGEST or sum(map(str.isdigit, text)) > 1:
        return Heading()  # figures stand in rows, not in headings
    form = folded(re.sub(r"(\w)/(\w)", r"\1/\2", text))
    kind = length_kind_in(form)
    form = _without_kind(form) if kind else form
    if form in _ROLE_OF and _ROLE_OF[form] != "weight":
        return Heading(_ROLE_OF[form], length_kind=kind, known=True)
    found = list(_UNIT.finditer(form))
    unit = UNITS[found[-1][0]] if found else ""
    rest = form[: found[-1].start()] + form[found[-1].end() :] if found else form
    rest = re.sub(r"\s+", " ", re.sub(r"(?<!\w)[/'\"](?!\w)", " ", rest)).strip()
    if not rest:
        return Heading(
            unit=unit,
            only_unit=bool(unit),
            known=bool(unit),
            role="weight" if unit in ("kg/m", "lb/ft") else "",
        )
    role = _role(rest)
    if role is None:
        role = _role(form)
        return Heading(known=False) if role is None else _with_unit(role, unit, kind)
    return _with_unit(role, unit, kind)


def _with_unit(role: str, unit: str, kind: str) -> Heading:
    if role == "weight" and unit in ("kg", "lb", "t"):
        return Heading(known=True)  # the mass of the whole piece is not kept
    if role == "weight" and unit in ("in", "mm"):
        role = "wall"  # WT is the weight or the wall; the unit tells
    kept = unit if unit in ROLE_UNITS.get(role, ()) else ""
    return Heading(role, kept, kind if role.startswith("length") else "", known=True)


def _role(form: str) -> str | None:
    if form in _ROLE_OF:
        return _ROLE_OF[form]
    spread = re.sub(r"[/'\"]", " ", form)
    if spread in _ROLE_OF:
        return _ROLE_OF[spread]
    if len(form.split()) > 5:
        return None
    found = max((each[0] for each in _INSIDE.finditer(spread)), key=len, default="")
    return _ROLE_OF[found] if found else None


def _without_kind(form: str) -> str:
    """Return a heading of lengths without the words that say how they were taken."""
    for words, _ in LENGTH_KINDS:
        form = re.sub(rf"\b(?:{words})\b", " ", form)
    form = re.sub(r"\s+", " ", form).strip()
    return (
        form
        if re.search(r"\b(?:length|lange|laenge|longueur|longitud|lengde|lgth)\b", form)
        else f"length {form}".strip()
    )


def length_kind_in(text: str) -> str:
    """Return how lengths were taken as `text` says it ("shoulder to shoulder"), "" when it does not say."""
    form = folded(text)
    return next((kind for words, kind in LENGTH_KINDS if re.search(rf"\b(?:{words})\b", form)), "")


_SAID_UNIT = re.compile(
    r"\b(?:lengths?|lange|langen|laenge|laengen|longueurs?|longitud(?:es)?|lengder?|units?|einheit(?:en)?|unites?|"
    r"unidad(?:es)?|enhet(?:er)?|masse|measures)(?: (?!from|to)[a-z]+){0,4}? "
    r"(feet|ft|foot|fuss|pieds|pies|fot|metres?|meters?|metros?|m|mtr|inches)\b"
)


def length_unit_in(text: str) -> str:
    """Return the unit of lengths as a line above says it ("Lengths in feet"), "" when it does not."""
    found = _SAID_UNIT.search(folded(text))
    return UNITS.get(found[1], "m" if found and found[1].startswith(("met",)) else "") if found else ""


def columns_of(cells: Sequence[str]) -> tuple[Column, ...]:
    """Return the columns under one heading row, each role once: the second length is there to compare."""
    read = [read_heading(cell) for cell in cells]
    columns = [
        Column(index, cell, each.role, each.unit)
        for index, (cell, each) in enumerate(zip(cells, read, strict=True))
    ]
    columns = _feet_and_inches(columns, read)
    return tuple(_each_once(columns))


def _feet_and_inches(columns: list[Column], read: list[Heading]) -> list[Column]:
    """Find whole feet in one column and the inches over in the next: "Ft", "In"."""
    made = list(columns)
    for at, (left, right) in enumerate(zip(columns, columns[1:], strict=False)):
        units = (read[at].unit, read[at + 1].unit)
        both_bare = read[at].only_unit and read[at + 1].only_unit
        inches_bare = left.role == "length" and (read[at + 1].only_unit or right.role == "length")
        if units == ("ft", "in") and (both_bare or inches_bare):
            made[at] = Column(at, left.heading, "length_ft")
            made[at + 1] = Column(at + 1, right.heading, "length_in")
            return made
    if not any(column.role == "length" for column in columns):
        for at, heading in enumerate(read):
            if heading.only_unit and heading.unit in ("ft", "m"):
                made[at] = Column(at, columns[at].heading, "length", heading.unit)
                break
    return made


def _each_once(columns: list[Column]) -> list[Column]:
    lengths = [column for column in columns if column.role == "length"]
    plain = [column for column in lengths if not _SECOND_LENGTH.search(folded(column.heading))]
    first_length = next(iter(plain or lengths), None)
    taken: set[str] = set()
    made = []
    for column in columns:
        role = column.role
        if role == "length" and column is not first_length:
            role = "length_again" if "length_again" not in taken else ""
        elif role in taken:
            role = ""
        taken.add(role)
        unit = column.unit if role in ROLE_UNITS else ""
        made.append(Column(column.index, column.heading, role, unit))
    return made


def names_a_piece(roles: set[str]) -> bool:
    """Say whether columns of these roles can be a list of pieces: a name or a number, and a fact."""
    named = roles & {"serial", "owner_no", "painted", "number"}
    facts = roles & {
        "length",
        "length_ft",
        "item",
        "od",
        "grade",
        "weight",
        "connection",
        "kind",
        "up_conn",
        "down_conn",
    }
    return bool(named and facts) or bool({"item", "length"} <= roles) or bool({"od", "length"} <= roles)


@lru_cache(maxsize=4096)
def score(cells: tuple[str, ...]) -> int:
    """Return how much a row looks like the heading row of such a list: its roles, 0 when it is none."""
    filled = [cell for cell in cells if cell.strip()]
    known = [cell for cell in filled if read_heading(cell).known]
    if len(known) < 2 or 2 * len(known) < len(filled):
        return 0
    roles = {column.role for column in columns_of(cells)} - {""}
    return len(roles) if names_a_piece(roles) else 0


def repeats(cells: Sequence[str]) -> int:
    """Return how often the same headings stand side by side: 5 for a tally in five blocks, else 1."""
    forms = [folded(cell) for cell in cells if cell.strip()]
    times = {form: forms.count(form) for form in forms}
    lengths = max((count for form, count in times.items() if read_heading(form).role == "length"), default=1)
    names = max((count for form, count in times.items() if read_heading(form).role in _NAMES), default=1)
    return lengths if lengths > 2 or min(lengths, names) > 1 else 1


_NAMES = frozenset({"number", "serial", "painted", "owner_no"})
