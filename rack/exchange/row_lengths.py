"""The length in a cell: exactly as `Length.parse` reads it, or a sentence that says why it is none."""

import re
from decimal import ROUND_HALF_UP, Decimal

from rack.calc.checks import Problem, asks, note, stops
from rack.calc.lengths import Length
from rack.calc.outliers import shown_digits
from rack.calc.units import NM


def parsed(text: str, unit: str, decimal: str) -> tuple[Length | None, tuple[Problem, ...]]:
    if re.fullmatch(r"\d+\s*['’′]\s*\d+(?:[ -]\d+/\d+|[.,]\d+)?", text):
        text += " in"  # what follows the feet and bears no mark of its own is inches
    dashed = re.fullmatch(r"(\d{1,2})\s*['’′]?\s*-\s*(\d{1,2}(?: \d+/\d+|[.,]\d+)?)\s*(?:\"|in|'')?", text)
    if unit == "ft" and dashed and float(re.match(r"\d+", dashed[2])[0]) < 12:  # type: ignore[index]
        said = f"{dashed[1]} ft {dashed[2]} in"
        words = "feet and inches with a dash between them are read so; is that what they are?"
        return Length.parse(said, "ft"), (asks(f"“{text}” is read as {said}: {words}", code="feet-inches"),)
    try:
        return Length.parse(text, unit, decimal=decimal), ()
    except ValueError as error:
        sentence = str(error)
    if decimal:
        try:  # a list may mix its marks; what is doubtful by itself stays refused
            other = "," if decimal == "." else "."
            if re.fullmatch(rf"\d+{re.escape(other)}(?:\d\d?|\d{{4,}})\D*", text):
                return Length.parse(text, unit), (
                    note(f"{text} has another decimal mark than the list.", code="mark"),
                )
        except ValueError:
            pass
    exact = re.fullmatch(r"\d+[.,]\d{6,}", text)
    if exact:  # a figure that was worked out, not read: finer than any tape
        rounded = Decimal(text.replace(",", ".")).quantize(Decimal("0.00001"), ROUND_HALF_UP)
        return Length.parse(str(rounded), unit, decimal="."), (
            note(
                f"{text} {unit} was worked out, not read off a tape; {rounded} {unit} is taken.",
                code="rounded",
            ),
        )
    return None, (stops(f"{sentence} Correct it, or leave the row out.", code="length"),)


def unit_of(text: str) -> str:
    found = re.search(
        r"\d\s*(ft|feet|'|mm|cm|mtrs?|metres?|meters?|m|in|\")(?![\w/])",
        text.lower().replace("’", "'").replace("′", "'"),
    )
    return (
        {
            "feet": "ft",
            "'": "ft",
            '"': "in",
            "mtr": "m",
            "mtrs": "m",
            "metre": "m",
            "metres": "m",
            "meter": "m",
            "meters": "m",
        }.get(found[1], found[1])
        if found
        else ""
    )


def missing_mark(length: Length, unit: str) -> str:
    for times in (10, 100, 1000):
        nanometres, rest = divmod(length.nanometres, times)
        if not rest and 18 * NM["ft"] <= nanometres <= 48 * NM["ft"]:
            guess = Length(nanometres).shown(unit, shown_digits(unit))
            return f"; the decimal mark is missing, perhaps: {guess}?"
    return ""
