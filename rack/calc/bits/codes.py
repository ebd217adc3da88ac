"""The classification code of a bit: kept as typed, checked, and read where it can mean only one thing."""

import re
from dataclasses import dataclass

from rack.calc.checks import Problem, asks, note
from rack.calc.given import one_of
from rack.calc.lookup import Catalogue, Row, caution
from rack.calc.losses import SHIPPED

#: How a code may be read. "" reads roller-cone codes and leaves fixed-cutter codes raw: two readings of
#: their digits are in use and contradict each other.
SCHEMES = ("", "roller", "fixed 1992", "fixed count")


Table = tuple[Row, ...]


@dataclass(frozen=True)
class CodePart:
    """One character of a code: what it stands for, its meaning, source and what must stand beside it."""

    place: str
    character: str
    meaning: str
    source: str
    mark: str


@dataclass(frozen=True)
class BitCode:
    """A classification code: `raw` as typed, `code` tidied ("517G", "M323"), `family` "roller cone",
    "fixed cutter" or "" (no code), the parts that were read, and the questions it raises."""

    raw: str
    code: str
    family: str
    parts: tuple[CodePart, ...]
    problems: tuple[Problem, ...]


def _part(table: Table, place: str, kind: str, character: str, sub: str = "") -> CodePart | Problem:
    for row in table:
        if row["kind"] == kind and row["key"] == character and (not sub or row["sub"].startswith(sub)):
            return CodePart(place, character, row["value"], row["source"], caution(row))
    return asks(f"{character!r} is no {place} of a bit code that the table knows.", code="bit code")


def _sorted(found: list[CodePart | Problem]) -> tuple[tuple[CodePart, ...], tuple[Problem, ...]]:
    return (tuple(part for part in found if isinstance(part, CodePart)),
            tuple(part for part in found if isinstance(part, Problem)))


def _roller(table: Table, code: str) -> list[CodePart | Problem]:
    found = [_part(table, "series", "iadc_roller_1_series", code[0]),
             _part(table, "type", "iadc_roller_2_type", code[1]),
             _part(table, "bearing and gauge", "iadc_roller_3_bearing_gauge", code[2])]
    if len(code) > 4:
        found.append(asks(f"{code} has {len(code) - 3} letters, a code has one at most.", code="bit code"))
    return found + [_part(table, "feature", "iadc_roller_4_feature", letter) for letter in code[3:]]


def _fixed_1992(table: Table, code: str) -> list[CodePart | Problem]:
    cutter = "PDC" if code[1] in "1234" else "diamond"
    return [_part(table, "body", "iadc_fixed_1_body", code[0]),
            _part(table, "formation", "iadc_fixed_2_formation", code[1]),
            _part(table, "cutter", "iadc_fixed_3_cutter", code[2], cutter),
            _part(table, "profile", "iadc_fixed_4_profile", code[3])]


def _from_list(table: Table, place: str, key: str, character: str) -> CodePart | Problem:
    """One digit of the count reading, whose row lists its meanings: "1 = 30 or fewer, 2 = 30-40"."""
    row = next(row for row in table if row["kind"] == "iadc_fixed_variant" and row["key"] == key)
    listed = dict(re.findall(r"(\d) = ([^,]+)", row["value"]))
    if character not in listed:
        return asks(f"{character!r} is no {place} of a bit code that the table knows.", code="bit code")
    return CodePart(place, character, listed[character], row["source"], caution(row))


def _fixed_count(table: Table, code: str) -> list[CodePart | Problem]:
    return [_part(table, "body", "iadc_fixed_1_body", code[0]),
            _from_list(table, "number of cutters", "second digit", code[1]),
            _from_list(table, "size of cutters", "third digit", code[2]),
            _part(table, "profile", "iadc_fixed_4_profile", code[3])]


def read_code(text: str, scheme: str = "", *, catalogue: Catalogue = SHIPPED) -> BitCode:
    """Return a bit's classification code, read and checked; what was typed is always kept.

    `text` as written: "517", "5-1-7 G", "IADC 517G", "M323". `scheme` is one of `SCHEMES`; without one a
    fixed-cutter code stays raw, with a note, because two readings of its digits contradict each other. What
    is no code comes back with a question, never an error; only an unknown scheme raises ValueError.
    `catalogue` holds the office's own rows.
    Source: table "bits" (IADC), each part with its own.
    """
    one_of("scheme", scheme, SCHEMES)
    table = catalogue.rows("bits")
    code = re.sub(r"[\s.\-/]", "", text.upper()).removeprefix("IADC").lstrip(":#")
    if re.fullmatch(r"\d{3}[A-Z]{0,3}", code) and scheme in ("", "roller"):
        parts, problems = _sorted(_roller(table, code))
        return BitCode(text, code, "roller cone", parts, problems)
    if re.fullmatch(r"[A-Z]\d{3}", code) and scheme != "roller":
        if not scheme:
            bare = note("The digits of a fixed-cutter code are read in two ways that contradict each other; "
                        "the code is kept as it stands.", code="bit code")
            found = _part(table, "body", "iadc_fixed_1_body", code[0])
            parts, problems = _sorted([found])
            return BitCode(text, code, "fixed cutter", parts, (bare, *problems))
        reading = _fixed_1992 if scheme == "fixed 1992" else _fixed_count
        parts, problems = _sorted(reading(table, code))
        return BitCode(text, code, "fixed cutter", parts, problems)
    wrong = asks(f"{text!r} is no classification code of a bit; such a code has three digits and perhaps a "
                 "letter (517G), or a letter and three digits (M323).", code="bit code")
    return BitCode(text, code, "", (), (wrong,))
