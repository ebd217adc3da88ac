"""Serials that a spreadsheet or an eye damaged, told by their neighbours: asked with a guess beside.

Nothing is repaired: what is stamped on the steel only the steel says. A serial is odd when it has not
the shape that most others of the list have, so that a list of mixed serials raises nothing.
"""

import re
from collections import Counter, defaultdict
from collections.abc import Sequence
from datetime import date, timedelta

from rack.calc.checks import Problem, asks
from rack.calc.receiving import ReadRow

_MONTHS = ("JAN", "FEB", "MAR", "APR", "MAY", "JUN", "JUL", "AUG", "SEP", "OCT", "NOV", "DEC")
_EXPONENT = re.compile(r"(\d)(?:[.,](\d+))?E\+?(\d{1,2})", re.IGNORECASE)
_DATE = re.compile(r"(\d{4})-(\d\d)-(\d\d)(?: 00:00:00)?")
_SHORT_DATE = re.compile(r"(\d\d?)[-. ]([A-Za-z]{3})(?:[-. ](\d\d|\d{4}))?|([A-Za-z]{3})-(\d\d)")
#: Days as a spreadsheet counts them, 2009 to 2050; anything else is a number of its own.
_DAYS = range(39_814, 55_153)
#: A shape is that of the list when so many rows of a hundred have it, and the list has so many rows.
_MOST, _ENOUGH = 60, 5
#: What is read for another sign: letter for figure, and the other way round.
_FIGURES = {"O": "0", "Q": "0", "I": "1", "L": "1", "S": "5", "B": "8", "Z": "2"}
_LETTERS = {"0": "O", "1": "I", "5": "S", "8": "B", "2": "Z"}
_SOURCE = "common practice"


def serial_questions(rows: Sequence[ReadRow]) -> dict[int, list[Problem]]:
    """Return, by place in `rows`, the question about a damaged serial, with what it was, perhaps.

    Raises nothing. Source: common practice; the day numbers are those of spreadsheets (1900 system).
    """
    serials = [row.serial for row in rows]
    usual = _usual_shape(serials)
    heads = {re.sub(r"\d", "9", each) for each in serials}
    zeros = _lost_zeros(serials)
    days_are_rare = 10 * sum(len(each) == 5 and each.isdecimal() for each in serials) <= len(serials)
    found: dict[int, list[Problem]] = {}
    for at, serial in enumerate(serials):
        text = spreadsheet_slip(serial, serials[max(0, at - 1) : at + 2])
        if not text and usual and serial and _shape(serial) != usual:
            text = (days_are_rare and _day_number(serial)) or _misread(serial, usual, heads)
        text = text or zeros.get(at, "")
        if text:
            said = f"The serial {serial} {text}; what is stamped on it?"
            found[at] = [asks(said, code="serial", where=rows[at].where, source=_SOURCE)]
    return found


def spreadsheet_slip(name: str, neighbours: Sequence[str] = ()) -> str:
    """Return what a spreadsheet made of a name, as the rest of a sentence, "" when nothing shows.

    `neighbours` are the names around it, in order with itself; they give the guess. Raises nothing.
    `name` is the name as it stands in the list. Source: how spreadsheets store figures and days; common
    practice.
    """
    whole = _EXPONENT.fullmatch(name)
    if whole and (whole[2] or "+" in name):  # a serial may well be 42E6
        return _exponent(whole, neighbours)
    if _DATE.fullmatch(name) or _is_short_date(name):
        return f"became a date in a spreadsheet{_day_guess(name)}"
    return ""


def _exponent(found: re.Match[str], neighbours: Sequence[str]) -> str:
    first, after, exponent = found[1], found[2] or "", int(found[3])
    figures = first + after
    made = figures.ljust(exponent + 1, "0") if exponent + 1 >= len(figures) else figures
    numbers = [int(each) for each in neighbours if each.isdecimal() and len(each) < 20]
    between = ""
    if len(numbers) == 2 and numbers[1] - numbers[0] == 2:
        between = str(numbers[0] + 1)
    short = figures.rstrip("0")
    typed = f"{short}E{exponent - len(short) + 1}" if exponent >= len(short) else ""
    guess = between or (f"{made} or {typed}" if typed else made)
    return f"lost its last digits in a spreadsheet (perhaps: {guess}?)"


def _is_short_date(name: str) -> bool:
    found = _SHORT_DATE.fullmatch(name)
    return found is not None and (found[2] or found[4]).upper() in _MONTHS


def _day_guess(name: str) -> str:
    found = _DATE.fullmatch(name)
    if not found:
        return ""
    month, day = int(found[2]), int(found[3])
    if not 1 <= month <= 12:
        return ""
    word = _MONTHS[month - 1]
    return f" (perhaps: {month}-{day}, {day}-{month}, {word}{day} or {word}-{found[1][2:]}?)"


def _day_number(serial: str) -> str:
    if not (serial.isdecimal() and len(serial) == 5 and int(serial) in _DAYS):
        return ""
    day = date(1899, 12, 30) + timedelta(days=int(serial))
    return f"is the day {day.isoformat()} as a spreadsheet counts days{_day_guess(day.isoformat())}"


def _shape(serial: str) -> str:
    return re.sub(r"[^\W\d_]", "A", re.sub(r"\d", "9", serial))


def _usual_shape(serials: Sequence[str]) -> str:
    shapes = Counter(_shape(each) for each in serials if each)
    if not shapes or shapes.total() < _ENOUGH:
        return ""
    shape, count = shapes.most_common(1)[0]
    return shape if 100 * count >= _MOST * shapes.total() else ""


def _misread(serial: str, usual: str, heads: set[str]) -> str:
    """Say which letter stands where the others have a figure, or the other way round."""
    if len(serial) != len(usual):
        return ""
    guess = "".join(
        _FIGURES.get(sign.upper(), sign)
        if wanted == "9" and sign.isalpha()
        else _LETTERS.get(sign, sign)
        if wanted == "A" and sign.isdecimal()
        else sign
        for sign, wanted in zip(serial, usual, strict=True)
    )
    if _shape(guess) != usual or re.sub(r"\d", "9", guess) not in heads:
        return ""
    pairs = [f"{was} for {now}" for was, now in zip(serial, guess, strict=True) if was != now]
    return f"has {' and '.join(dict.fromkeys(pairs))} against the others of the list (perhaps: {guess}?)"


def _lost_zeros(serials: Sequence[str]) -> dict[int, str]:
    """Return what to say of numbers that are shorter than their neighbours: a spreadsheet drops zeros.

    It is asked where other serials of the same beginning show such zeros, or where one alone is short
    among many of one width and no row of numbers passes from one width to the next there.
    """
    groups: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for at, serial in enumerate(serials):
        found = re.fullmatch(r"(.*?)(\d+)", serial)
        if found:
            groups[found[1].upper()].append((at, found[2]))
    said: dict[int, str] = {}
    for head, group in groups.items():
        width, count = Counter(len(figures) for _, figures in group).most_common(1)[0]
        with_zeros = [figures for _, figures in group if figures.startswith("0") and len(figures) > 1]
        width = max([len(figures) for figures in with_zeros], default=width)
        short = [(at, figures) for at, figures in group if len(figures) < width]
        alone = len(short) == 1 and count >= 10 and not _passes(short[0][1], group, width)
        for at, figures in short if with_zeros or alone else ():
            guess = serials[at][: len(head)] + figures.rjust(width, "0")
            said[at] = f"is shorter than its neighbours; did a zero get lost (perhaps: {guess}?)"
    return said


def _passes(short: str, group: Sequence[tuple[int, str]], width: int) -> bool:
    """Say whether the numbers run from the shorter width into the longer one: 999, 1000."""
    least = min(int(figures) for _, figures in group if len(figures) == width)
    return least - int(short) <= 10 * len(group)
