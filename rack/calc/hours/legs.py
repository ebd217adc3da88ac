"""What sharing works with: a time line of a run, a piece's stay in the string, the run and its tours."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo

#: What a time line holds, in the order in which a tour sheet has it.
LINE_CLOCKS: tuple[str, ...] = ("rotating_s", "sliding_s", "circulating_s", "bottom_s", "below_rotary_s")
#: What a piece's hours are kept by (the ledger's clocks).
PIECE_CLOCKS: tuple[str, ...] = (
    "rotating_s", "circulating_s", "bottom_s", "below_rotary_s", "runs_n", "connections_n", "hits_n",
    "footage_nm",
)  # fmt: skip
#: What a clock is called on a page.
CLOCK_NAMES: dict[str, str] = {
    "rotating_s": "rotating",
    "sliding_s": "sliding",
    "circulating_s": "circulating",
    "bottom_s": "on bottom",
    "below_rotary_s": "below rotary",
    "runs_n": "runs",
    "connections_n": "connections",
    "hits_n": "hits",
    "footage_nm": "footage",
}
#: The tours that rigs work, in hours.
TOUR_HOURS: tuple[int, ...] = (8, 12)


def _instant(name: str, at: datetime | None) -> None:
    if at is not None and at.utcoffset() is None:
        raise ValueError(f"{name}: {at.isoformat()} names no zone; a time of a run always has one")


def _whole(name: str, value: object, *, low: int | None = 0) -> None:
    if value is None:
        return
    if type(value) is not int:
        raise TypeError(f"{name}: {value!r} is no whole number")
    if low is not None and value < low:
        raise ValueError(f"{name}: {value} is below {low}")


@dataclass(frozen=True)
class Leg:
    """One time line of a run; whatever is None is not known, and unknown is not zero (law 8).

    `from_at` and `to_at` are instants with a zone, `from_nm` and `to_nm` the depth of the bit in whole
    nanometres, `rotating_s` to `below_rotary_s` whole seconds, `rpm` turns a minute of the string, `n` the
    line's number in sentences. Raises ValueError for a time without zone or an amount below zero, TypeError
    for what is no whole number.
    """

    from_at: datetime | None = None
    to_at: datetime | None = None
    from_nm: int | None = None
    to_nm: int | None = None
    rotating_s: int | None = None
    sliding_s: int | None = None
    circulating_s: int | None = None
    bottom_s: int | None = None
    below_rotary_s: int | None = None
    rpm: int | None = None
    n: int = 1

    def __post_init__(self) -> None:
        _instant("from_at", self.from_at)
        _instant("to_at", self.to_at)
        for name in (*LINE_CLOCKS, "rpm", "from_nm", "to_nm"):
            _whole(name, getattr(self, name))

    @property
    def duration_s(self) -> int | None:
        """Whole seconds from `from_at` to `to_at`, None where an end is not known; below zero if turned."""
        if self.from_at is None or self.to_at is None:
            return None
        return seconds_between(self.from_at, self.to_at)

    @property
    def gained_nm(self) -> int | None:
        """Depth gained in nanometres, below zero when the bit came up, None where a depth is not known."""
        return None if self.from_nm is None or self.to_nm is None else self.to_nm - self.from_nm


@dataclass(frozen=True)
class Membership:
    """One stay of a piece in the string during a run.

    `piece` is any key (a number or a text), `kind` a code of `rack.calc.kinds`. Where `joined_at` and
    `joined_nm` are both None the piece was in before the run's first line; where `left_at` and `left_nm`
    are both None it is in to the end. Depths are the bit's, whole nanometres. `rank` is the place from the
    bit, 1 at the bit; `below_motor` says that a motor of this string is above it; `around` that it
    is no part of the string but casing in which the string turns. Raises ValueError and TypeError as `Leg`
    does.
    """

    piece: int | str
    kind: str
    joined_at: datetime | None = None
    left_at: datetime | None = None
    joined_nm: int | None = None
    left_nm: int | None = None
    rank: int = 0
    below_motor: bool = False
    around: bool = False

    def __post_init__(self) -> None:
        for name in ("joined_at", "left_at"):
            _instant(name, getattr(self, name))
        for name in ("joined_nm", "left_nm"):
            _whole(name, getattr(self, name))

    @property
    def throughout(self) -> bool:
        """Whether nothing says that the piece came late or left early."""
        marks = (self.joined_at, self.joined_nm, self.left_at, self.left_nm)
        return all(mark is None for mark in marks)


@dataclass(frozen=True)
class RunFacts:
    """The run that lines belong to: `name` ("bit run 5RR1"), in and out of the hole, None unknown."""

    name: str = "the run"
    in_at: datetime | None = None
    out_at: datetime | None = None

    def __post_init__(self) -> None:
        _instant("in_at", self.in_at)
        _instant("out_at", self.out_at)


@dataclass(frozen=True)
class Tour:
    """One tour: what a sentence calls it, and its two ends with a zone."""

    name: str
    from_at: datetime
    to_at: datetime

    @property
    def length_s(self) -> int:
        """Whole seconds of the tour: an hour less or more on the night when the clocks change."""
        return seconds_between(self.from_at, self.to_at)


def seconds_between(earlier: datetime, later: datetime) -> int:
    """Return the whole seconds that passed from `earlier` to `later`, both with a zone.

    Counted in UTC, because two times of one zone are subtracted by the wall clock, which loses the hour of
    a clock change. Below zero when turned. Raises ValueError for a time without zone. Source: instants are
    kept in UTC, a rule of this house.
    """
    _instant("earlier", earlier)
    _instant("later", later)
    return int((later.astimezone(UTC) - earlier.astimezone(UTC)).total_seconds())


def tours_between(
    from_at: datetime, to_at: datetime, hours: int, zone: tzinfo, *, starts_s: int = 0
) -> tuple[Tour, ...]:
    """Return every tour that touches the time from `from_at` to `to_at`, in order.

    `hours` is 8 or 12, `zone` the site's, `starts_s` the seconds after midnight by the wall clock at which
    the first tour of the report day begins (21600 = 06:00). A tour changes by the wall clock, so that the
    one with a clock change is an hour shorter or longer. Raises ValueError for other hours, a start outside
    the day, or a time without zone. Source: common practice, tours of 8 or 12 h.
    """
    if hours not in TOUR_HOURS:
        raise ValueError(f"hours: a tour has 8 or 12 hours, not {hours}")
    if type(starts_s) is not int or not 0 <= starts_s < 86_400:
        raise ValueError(f"starts_s: {starts_s} is no second of a day")
    length = seconds_between(from_at, to_at)
    if length <= 0:
        return ()
    local = from_at.astimezone(zone).replace(tzinfo=None)
    begins = local.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(seconds=starts_s, days=-1)
    found: list[Tour] = []
    while True:
        ends = begins + timedelta(hours=hours)
        tour = Tour(
            f"{begins:%Y-%m-%d %H:%M} to {_closing(ends)}",
            begins.replace(tzinfo=zone),
            ends.replace(tzinfo=zone),
        )
        if seconds_between(tour.from_at, to_at) <= 0:
            return tuple(found)
        if seconds_between(from_at, tour.to_at) > 0:
            found.append(tour)
        begins = ends


def _closing(at: datetime) -> str:
    return "24:00" if (at.hour, at.minute) == (0, 0) else f"{at:%H:%M}"


def in_order(legs: Sequence[Leg]) -> tuple[Leg, ...]:
    """Return `legs` by the time they begin; lines without a beginning keep their place after the one before.

    `legs` in the order of the sheet (no unit). Raises nothing. Source: common practice.
    """
    keyed: list[tuple[datetime, int, Leg]] = []
    last = datetime.min.replace(tzinfo=UTC)
    for place, leg in enumerate(legs):
        last = leg.from_at.astimezone(UTC) if leg.from_at is not None else last
        keyed.append((last, place, leg))
    return tuple(leg for _, _, leg in sorted(keyed, key=lambda row: row[:2]))
