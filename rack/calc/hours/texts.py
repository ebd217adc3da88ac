"""Hours and clock times as they are typed: "2.25", "2:15", "2 1/4"; "24:00" is the next day's 00:00."""

import re
from datetime import UTC, date, datetime, timedelta, tzinfo
from fractions import Fraction

from rack.calc.typed import fold

QUARTER_S = 900
#: No line is longer: a time line is cut at the end of the day.
LONGEST_S = 24 * 3600

_UNIT = r"(?:h|hr|hrs|hour|hours|std)\.?"
_COLON = re.compile(rf"(\d{{1,3}}):([0-5]\d)(?: ?{_UNIT})?")
_HOURS_MINUTES = re.compile(rf"(\d{{1,3}}) ?{_UNIT} ?(\d{{1,2}}) ?(?:m|min|mins|minutes)?\.?")
_MINUTES = re.compile(r"(\d{1,4}) ?(?:m|min|mins|minutes)\.?")
_DECIMAL = re.compile(rf"(\d{{0,3}}[.,]\d{{1,6}}|\d{{1,3}}[.,]?)(?: ?{_UNIT})?")
_MIXED = re.compile(rf"(?:(\d{{1,3}})[ -])?(\d{{1,2}})/(\d{{1,2}})(?: ?{_UNIT})?")
_CLOCK = re.compile(r"(\d{1,2})(?:[:.h]| ?: ?)?([0-5]\d)(?::[0-5]\d)?")


def _shown(text: object) -> str:
    short = str(text)[:40]
    return "".join(letter if letter.isprintable() else " " for letter in short).strip()


def read_hours_text(text: str) -> int | None:
    """Return the hours written in `text` as whole seconds; None for a blank, which is unknown, not zero.

    Reads "2.25", "2,25", "2:15", "2 1/4", "2¼", "1/4", "2 h 15 min", "45 min", "0". Raises ValueError with
    a sentence for what is no time, is no whole second ("0.333"), or is more than 24 h. Source: an hour is
    3600 s; common practice.
    """
    plain = _folded(text).strip() if not isinstance(text, str) or text.strip() else ""
    if not plain:
        return None
    seconds = _seconds(plain)
    if seconds is None:
        raise ValueError(f"“{_shown(text)}” is no time in hours: write 2.25, 2:15 or 2 1/4.")
    if seconds.denominator != 1:
        raise ValueError(f"“{_shown(text)}” is no whole second: write it as hours and minutes, like 0:20.")
    if seconds > LONGEST_S:
        raise ValueError(f"“{_shown(text)}” is more than 24 hours; one line has at most a day.")
    return int(seconds)


def _folded(text: str) -> str:
    if not isinstance(text, str):
        raise ValueError(f"hours are read from text, not from {type(text).__name__}")
    try:
        return fold(text)
    except ValueError:
        raise ValueError(f"“{_shown(text)}” is no time in hours: write 2.25, 2:15 or 2 1/4.") from None


def _seconds(plain: str) -> Fraction | None:
    if found := _COLON.fullmatch(plain):
        return Fraction(3600 * int(found[1]) + 60 * int(found[2]))
    if found := _MIXED.fullmatch(plain):
        whole, above, below = int(found[1] or 0), int(found[2]), int(found[3])
        return None if below == 0 or above >= below else 3600 * (whole + Fraction(above, below))
    if found := _DECIMAL.fullmatch(plain):
        return 3600 * Fraction(found[1].replace(",", ".").rstrip(".") or "0")
    if found := _HOURS_MINUTES.fullmatch(plain):
        return None if int(found[2]) > 59 else Fraction(3600 * int(found[1]) + 60 * int(found[2]))
    if found := _MINUTES.fullmatch(plain):
        return Fraction(60 * int(found[1]))
    return None


def read_clock(text: str, day: date, zone: tzinfo) -> datetime | None:
    """Return the instant of the clock time in `text` on `day` in `zone`; None for a blank, which is unknown.

    Reads "06:00", "6.15", "0615", "24:00"; 24:00 is the next day's 00:00. `zone` is the site's. Raises
    ValueError with a sentence for what is no time of a day, and where the day is past the calendar.
    Source: 24:00 = the next day's 00:00, a rule of this house.
    """
    plain = str(text).strip()
    if not plain:
        return None
    found = _CLOCK.fullmatch(plain)
    if found is None or not found[0].isascii():
        raise ValueError(f"“{_shown(text)}” is no time of day: write it like 06:15 or 24:00.")
    hour, minute = int(found[1]), int(found[2])
    if hour > 24 or (hour == 24 and minute):
        raise ValueError(f"“{_shown(text)}” is no time of day: a day ends at 24:00.")
    try:
        # By the wall clock, then given its zone: a day with a clock change is not 24 hours long.
        wall = datetime(day.year, day.month, day.day, tzinfo=None) + timedelta(hours=hour, minutes=minute)  # noqa: DTZ001
        at = wall.replace(tzinfo=zone)
        at.astimezone(UTC)
    except OverflowError:
        raise ValueError(f"{day.isoformat()} {_shown(text)} is past the end of the calendar.") from None
    return at


def hours_shown(seconds: int, *, known: bool = True, digits: int = 2) -> str:
    """Return `seconds` as hours: "12.50", and "at least 12.50" where earlier hours are not `known`.

    `digits` figures after the point, 0 to 6, rounded once, half up; thousands by commas. Raises ValueError
    for other digits. Source: an hour is 3600 s; law 8 of the house, unknown is not zero.
    """
    if not 0 <= digits <= 6:
        raise ValueError(f"digits: hours are shown with 0 to 6 figures after the point, not {digits}")
    steps = (2 * abs(seconds) * 10**digits + 3600) // 7200
    whole, after = divmod(steps, 10**digits)
    text = f"{whole:,}.{after:0{digits}d}" if digits else f"{whole:,}"
    text = f"-{text}" if seconds < 0 and steps else text
    return text if known else f"at least {text}"
