"""Hours and days on a BHA sheet: the clock of each piece, its sums, and the day of the last inspection."""

import re
from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from rack.calc.bha_typed import TypedBha, TypedPiece, hours_text, named
from rack.calc.bha_typed_rows import start
from rack.calc.checks import Problem, asks, note
from rack.calc.kinds import kind_of

BOTH = "rotating and sliding"
BELOW = "below rotary"
_TURNS = ("rotating", BOTH, BELOW)
_PUMPED = ("circulating", BELOW)
#: Kind -> the clocks that count for it, the usual one first; every other kind turns with the string. Rental
#: terms often count hours below rotary (trade guide 4 and 12, table of hours; common practice).
CLOCKS_OF = {
    "bit": ("on bottom", BOTH, BELOW), "core_bit": ("on bottom", BOTH, BELOW),
    "core_barrel": ("on bottom", *_TURNS), "motor": _PUMPED, "rotary_steerable": _PUMPED, "mwd": _PUMPED,
    "float_sub": (*_TURNS, "circulating"), "circulating_sub": (*_TURNS, "circulating"),
    "safety_valve": ("circulating", *_TURNS), "jar": ("rotating", "on bottom", BOTH, BELOW),
    "under_reamer": ("rotating", "on bottom", "circulating", BOTH, BELOW),
    "accelerator": ("rotating", "on bottom", BOTH, BELOW), "other": (*_TURNS, "circulating", "on bottom"),
}  # fmt: skip
_WORDS = (
    (BOTH, r"rot\w*\.?\s*(\+|&|/|and)\s*sl\w*"), (BELOW, r"below\s*(the\s*)?r\w*|b\.?r\.?t\.?|brh|in\s*hole"),
    ("on bottom", r"(on[\s.-]*)?(btm|bottom|bot)\w*|drilling|drlg?|drill"),
    ("circulating", r"circ\w*|pump\w*"),
    ("sliding", r"slid\w*|slide"), ("rotating", r"rot\w*"),
)  # fmt: skip
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_OTHER_MONTHS = {"mai": 5, "okt": 10, "dez": 12, "mrz": 3, "mär": 3, "des": 12}
_BY_NAME = re.compile(r"\b(\d{1,2})[\s./-]*([a-zä]{3})[a-z]*[\s.,/-]*(\d{4}|\d{2})\b", re.I)
_MONTH_FIRST = re.compile(r"\b([a-z]{3})[a-z]*\.?\s+(\d{1,2}),?\s+(\d{4})\b", re.I)
_ISO = re.compile(r"\b(\d{4})-(\d{1,2})-(\d{1,2})\b")
_FIGURES = re.compile(r"(?<!\d)(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d{2})(?!\d)")
#: What stands for a first look instead of a day.
_FRESH = re.compile(r"^\s*(new|neu|neuf|nuevo|ny|first run|unused)\b", re.I)


def clock_of(text: str) -> str:
    """Return the clock that `text` names, "" for none: "circ" is "circulating", "rot+slide" both together.

    Raises nothing. Source: common practice.
    """
    plain = " ".join(text.lower().split())
    hours = r"(\s*(hrs?|hours?))?\.?"
    return next((clock for clock, pattern in _WORDS if re.fullmatch(rf"({pattern}){hours}", plain)),
                "")  # fmt: skip


def own_clock(piece: TypedPiece) -> str:
    """Return the clock of a `piece`: as its row names it, else the usual one of its kind. Raises nothing.

    Source: trade guide 4 and 12.
    """
    return clock_of(piece.typed_clock) or CLOCKS_OF.get(piece.kind, _TURNS)[0]


def of_clock(sheet: TypedBha, clock: str) -> Fraction | None:
    """Return the run's hours of `clock` by the head of the `sheet`, None where it does not say them.

    Raises nothing. Source: the head; rotating and sliding add up.
    """
    hours = sheet.head.hours
    if clock == BOTH:
        known = [hours[name] for name in ("rotating", "sliding") if name in hours]
        return sum(known, Fraction(0)) if len(known) == 2 else None
    return hours.get(clock)


def clocks(sheet: TypedBha) -> Iterator[Problem]:
    """Yield the clocks of the `sheet` that do not suit the kind, or are not named and fall to the kind.

    Raises nothing. Source: trade guide 4 and 12, common practice.
    """
    timed = [piece for piece in sheet.in_hole if piece.run is not None or piece.total is not None]
    bare = [piece for piece in timed if not piece.typed_clock]
    if bare:
        yield note(
            f"No clock is named at {named(bare)}; the kind decides: "
            + ", ".join(dict.fromkeys(f"{_kind(piece)} {own_clock(piece)}" for piece in bare))
            + ".",
            code="clock",
            where=bare[0].where,
            source="common practice",
        )
    for piece in timed:
        if piece.typed_clock and not clock_of(piece.typed_clock):
            yield asks(
                f"{start(piece)}: “{piece.typed_clock[:20]}” is no clock.",
                code="clock",
                where=piece.where,
                measured=piece.typed_clock[:20],
            )
        elif piece.typed_clock and piece.kind:
            allowed, clock = CLOCKS_OF.get(piece.kind, _TURNS), clock_of(piece.typed_clock)
            if clock not in allowed:
                yield asks(
                    f"{start(piece)} counts {clock} hours; of a {kind_of(piece.kind).name} the "
                    f"{allowed[0]} hours count.",
                    code="clock",
                    where=piece.where,
                    measured=clock,
                    limit=allowed[0],
                    source="trade guide 4, common practice",
                )


def _kind(piece: TypedPiece) -> str:
    return kind_of(piece.kind).name if piece.kind else "tool"


def sums(sheet: TypedBha) -> Iterator[Problem]:
    """Yield the hours of the `sheet` that do not add up, in the rows and against the run in the head.

    Raises nothing. Source: addition; no part turns longer than the run.
    """
    for piece in sheet.in_hole:
        since, run, total = piece.since, piece.run, piece.total
        if (
            since is not None
            and run is not None
            and total is not None
            and abs(since + run - total) > Fraction(1, 100)
        ):
            yield asks(
                f"{start(piece)}: {hours_text(since)} since inspection and {hours_text(run)} this run are "
                f"{hours_text(since + run)} h; {hours_text(total)} is written.",
                code="hours",
                where=piece.where,
                measured=hours_text(total),
                limit=hours_text(since + run),
                unit="h",
            )
        if run is not None:
            yield from _against_head(sheet, piece, run)
    yield from _head(sheet)


def _against_head(sheet: TypedBha, piece: TypedPiece, run: Fraction) -> Iterator[Problem]:
    clock = own_clock(piece)
    head = of_clock(sheet, clock)
    if head is None or run == head:
        return
    usual = of_clock(sheet, CLOCKS_OF.get(piece.kind, _TURNS)[0])
    others = [
        name
        for name in ("rotating", "sliding", "on bottom", "circulating", BELOW, BOTH)
        if name != clock and run and of_clock(sheet, name) == run
    ]
    words = (
        f"{start(piece)}: {hours_text(run)} h this run by its {clock} hours; the head says {hours_text(head)}"
    )
    more = {"where": piece.where, "measured": hours_text(run), "limit": hours_text(head), "unit": "h"}
    named_so = "" if piece.typed_clock else " (no clock is named)"
    if others and (piece.typed_clock or run != usual):
        yield asks(f"{words}{named_so}. {hours_text(run)} are the {others[0]} hours.", code="clock", **more)
    elif run > head:
        yield asks(f"{words}: more than the whole run{named_so}.", code="hours", **more)
    elif piece.kind in ("bit", "core_bit"):
        yield asks(f"{words}: a bit turns the whole run.", code="bit hours", **more)


def _head(sheet: TypedBha) -> Iterator[Problem]:
    """The clocks of the head against one another."""
    bottom, circ, below = (of_clock(sheet, clock) for clock in ("on bottom", "circulating", BELOW))
    drilled, turning = of_clock(sheet, BOTH), of_clock(sheet, "rotating")
    pairs = (
        ("on bottom", bottom, BOTH, drilled),
        ("on bottom", bottom, "circulating", circ),
        ("circulating", circ, BELOW, below),
        ("rotating", turning, BELOW, below),
    )
    for low_name, low, high_name, high in pairs:
        if low is not None and high is not None and low > high:
            yield asks(
                f"The head says {hours_text(low)} h {low_name} and {hours_text(high)} h {high_name}; the "
                "first cannot be more.",
                code="head hours",
                where="head",
                measured=hours_text(low),
                limit=hours_text(high),
                unit="h",
                source="trade guide 4",
            )
    slid = of_clock(sheet, "sliding")
    steered = any(piece.kind in ("motor", "rotary_steerable") for piece in sheet.in_hole)
    if slid and not steered and not sheet.missing:
        yield asks(
            f"The head says {hours_text(slid)} h sliding, and no motor stands on the sheet.",
            code="head hours",
            where="head",
            measured=hours_text(slid),
            unit="h",
        )


def read_day(text: str) -> tuple[date | None, str]:
    """Return the day written in `text` and what is doubtful about it: "", "ambiguous" or "no day".

    "28-Jan-26", "2026-01-28", "28/01/26" and "28.01.2026" are days; of "03/04/25" nobody knows which is the
    month. Raises nothing. Source: common practice; a day with points has the day first.
    """
    for pattern, order in ((_ISO, (1, 2, 3)), (_BY_NAME, (3, 2, 1)), (_MONTH_FIRST, (3, 1, 2))):
        found = pattern.search(text)
        if found:
            day = _day(found[order[0]], found[order[1]], found[order[2]])
            return day, "" if day else "no day"
    found = _FIGURES.search(text)
    if found is None:
        return None, "no day"
    first, second = int(found[1]), int(found[3])
    if found[2] != "." and first != second and first <= 12 and second <= 12:
        return None, "ambiguous"
    month, day_of = (first, second) if second > 12 and found[2] != "." else (second, first)
    day = _day(found[4], str(month), str(day_of))
    return day, "" if day else "no day"


def _day(year: str, month: str, day: str) -> date | None:
    name = month.lower()[:3]
    figure = _MONTHS.index(name) + 1 if name in _MONTHS else _OTHER_MONTHS.get(name, 0)
    if month.isdigit():
        figure = int(month)
    try:
        return date(int(year) + (2000 if len(year) == 2 else 0), figure, int(day))
    except ValueError:
        return None


def days(sheet: TypedBha, today: date | None) -> Iterator[Problem]:
    """Yield days of inspection on the `sheet` that are ambiguous, after `today`, no day or blank.

    `today` None asks for none in the future. Raises nothing. Source: common practice; law 8 for a blank.
    """
    if "inspected" not in sheet.columns:
        yield note("The sheet has no column for the last inspection.", code="day")
        return
    bare = [piece for piece in sheet.in_hole if not piece.inspected]
    for piece in sheet.in_hole:
        text = piece.inspected
        if not text or _FRESH.match(text) or re.fullmatch(r"\d{1,2}[-/.]\d{2,4}", text.strip()):
            continue
        day, doubt = read_day(text)
        if doubt == "ambiguous":
            yield asks(
                f"{start(piece)}: last inspected “{text[:30]}”: which is the month? Write it as 2025-04-03.",
                code="day",
                where=piece.where,
                measured=text[:30],
            )
        elif doubt:
            yield asks(
                f"{start(piece)}: last inspected “{text[:30]}” is no day.",
                code="day",
                where=piece.where,
                measured=text[:30],
            )
        elif today is not None and day is not None and day > today:
            yield asks(
                f"{start(piece)}: last inspected {day.isoformat()}, which is still to come.",
                code="day",
                where=piece.where,
                measured=day.isoformat(),
                limit=today.isoformat(),
            )
    if bare:
        yield asks(
            f"No day of inspection at {named(bare)}: due until a report says otherwise.",
            code="day",
            where=bare[0].where,
            source="law 8",
        )
