"""Cells of an inspection report: sizes, percentages, days; what cannot be read is named, never guessed."""

import re
from calendar import monthrange
from datetime import date
from fractions import Fraction

from rack.calc.checks import Problem, asks
from rack.calc.lengths import Length
from rack.calc.units import NM

_MONTHS = {
    name: at
    for at, names in enumerate(
        (
            "jan january",
            "feb february",
            "mar march",
            "apr april",
            "may",
            "jun june",
            "jul july",
            "aug august",
            "sep sept september",
            "oct october",
            "nov november",
            "dec december",
        ),
        1,
    )
    for name in names.split()
}
_BLANK = frozenset({"", "-", "--", "---", "–", "—", ".", "n/a", "na", "n.a.", "?", "nm", "not measured", "x"})
_FIGURES = re.compile(r"[0-9]")
#: Roles written in 64ths or thousandths as whole numbers.
_PARTS = {"shoulder": Fraction(1, 64), "lead": Fraction(1, 1000)}


def is_blank(text: str) -> bool:
    """Whether the cell says nothing at all."""
    return " ".join(text.lower().split()) in _BLANK


def size(text: str, role: str, unit: str, where: str, said: str, problems: list[Problem]) -> Length | None:
    """Return a size: "6 5/16", "31/64", "0.339", "9" of a stretch = 0.009 in. None for a blank cell or one
    that cannot be read, which is named in `problems`."""
    if is_blank(text):
        return None
    plain = text.strip().replace("½", " 1/2").rstrip('"″').strip()
    part = _PARTS.get(role.partition("_")[2] if "_" in role else role)
    try:
        if part is not None and re.fullmatch(r"\d{1,3}", plain) and (role.endswith("lead") or int(plain) > 3):
            return Length(int(part * int(plain) * NM["in"]))
        if part is not None and role.endswith("lead") and re.fullmatch(r"\.\d{3}", plain):
            plain = f"0{plain}"
        return Length.parse(plain, unit)
    except ValueError as wrong:
        problems.append(
            asks(
                f"{said[:1].upper()}{said[1:]}, {role.replace('_', ' ')}: {wrong}", code="unread", where=where
            )
        )
        return None


def percent(text: str, where: str, said: str, problems: list[Problem]) -> Fraction | None:
    """Return a percentage as printed: "94", "93.6 %". 0.94 is 94."""
    plain = text.strip().rstrip("%").strip().replace(",", ".")
    if is_blank(plain):
        return None
    if not re.fullmatch(r"\d{1,3}(\.\d{1,4})?", plain, re.ASCII):
        problems.append(
            asks(
                f"{said[:1].upper()}{said[1:]}: “{text.strip()[:20]}” is no percentage.",
                code="unread",
                where=where,
            )
        )
        return None
    value = Fraction(plain)
    return value * 100 if 0 < value < Fraction(3, 2) and "." in plain else value


def day(text: str) -> tuple[date | None, bool]:
    """Return the day written in `text`, and whether it is doubtful: 03/04/25 may be two days.

    "12-Mar-26", "2026-03-12", "12.03.2026", "11-2027" (the last of the month). None where there is none.
    """
    words = text.strip().rstrip(".").strip()[:40]
    found = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[ T].*)?", words, re.ASCII)
    if found:
        return _made(int(found[1]), int(found[2]), int(found[3])), False
    found = re.fullmatch(r"(\d{1,2})[-. /]*([A-Za-z]{3,9})\.?[-. ,/]*(\d{4}|\d{2})", words, re.ASCII)
    if found and found[2].lower() in _MONTHS:
        return _made(_year(found[3]), _MONTHS[found[2].lower()], int(found[1])), False
    found = re.fullmatch(r"([A-Za-z]{3,9})\.?[-. /]*(\d{4}|\d{2})", words, re.ASCII)
    if found and found[1].lower() in _MONTHS:
        return _end(_year(found[2]), _MONTHS[found[1].lower()]), False
    found = re.fullmatch(r"(\d{1,2})[-./](\d{4})", words, re.ASCII)
    if found:
        return _end(int(found[2]), int(found[1])), False
    found = re.fullmatch(r"(\d{1,2})([./-])(\d{1,2})[./-](\d{4}|\d{2})", words, re.ASCII)
    if found:
        one, other, year = int(found[1]), int(found[3]), _year(found[4])
        if found[2] == "." or one > 12 or one == other:
            return _made(year, other, one), False
        return (_made(year, one, other), False) if other > 12 else (None, True)
    return None, False


def _year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text)


def _made(year: int, month: int, number: int) -> date | None:
    try:
        return date(year, month, number)
    except ValueError:
        return None


def _end(year: int, month: int) -> date | None:
    if not (1 <= month <= 12 and 1 <= year <= 9999):
        return None
    return date(year, month, monthrange(year, month)[1])
