"""When a piece is due: limits per clock and basis, dates, and the words that say why.

The register runs its clocks against these limits and knows nothing of rules. Due is the first to run out;
unknown history is due, never fine.
"""

from calendar import monthrange
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from inspection.calc.rules import ONE_TENTH, Rule, backstops, default_rules, governing, over_of, soon_of
from rack.calc.checks import Severity
from rack.calc.standing import EVER, NEVER, STANDINGS, Clock, Days, dates, state_on

#: Room for the reason in the register.
LONGEST_WHY = 80
#: How the reason of a limit begins whose zero is not known.
NO_REPORT = "no report known"
_UNITS = {"rotating_s": ("rotating", 3600, "h"), "circulating_s": ("circulating", 3600, "h"),
          "bottom_s": ("on bottom", 3600, "h"), "below_rotary_s": ("below rotary", 3600, "h"),
          "runs_n": ("", 1, "runs"), "connections_n": ("", 1, "connections"), "hits_n": ("", 1, "hits"),
          "footage_nm": ("", 304_800_000, "ft"), "days": ("", 1, "days"), "months": ("", 1, "months")}
_SINCE = {"new": "since new", "rental": "on hire", "service": "since service",
          "visual": "since a visual look", "connections": "since a look at connections",
          "tube": "since a look at the tube",
          "full": "since a full inspection"}


@dataclass(frozen=True)
class ClockLimit:
    """Limits of one clock as amounts since its zero, in the clock's own unit. `known` is False where the
    zero is not known: then the piece is due whatever the clock says. `hard` is the amount past which law,
    maker, contract or company stop it, None for no such limit, and `hard_by` which of them."""

    clock: str
    basis: str
    soon: int
    due: int
    over: int
    known: bool
    authority: str
    severity: Severity
    source: str
    conf: str
    why: str
    hard: int | None = None
    hard_by: str = ""


@dataclass(frozen=True)
class DayLimit:
    """Limits by the calendar: a look of this `basis` was made `from_on` (EVER where it is not known)."""

    basis: str
    from_on: date
    soon_on: date
    due_on: date
    over_on: date
    authority: str
    severity: Severity
    source: str
    conf: str
    why: str


@dataclass(frozen=True)
class Due:
    """All limits of a piece, and the three dates by the calendar: the first of each to run out."""

    clocks: tuple[ClockLimit, ...]
    days: tuple[DayLimit, ...]
    soon_on: date
    due_on: date
    over_on: date
    why: str


def short(text: str, most: int = LONGEST_WHY) -> str:
    """Return `text` in at most `most` signs, cut between words. Raises nothing. Source: room in the row."""
    plain = " ".join(text.split())
    if len(plain) <= most:
        return plain
    return plain[: most - 1].rsplit(" ", 1)[0].rstrip(",;:") + "…"


def amount(clock: str, value: int) -> str:
    """Return `value` of `clock`, in the clock's own whole unit, as it is read: "250 h rotating".

    Raises ValueError for an unknown clock. Source: none needed.
    """
    if clock not in _UNITS:
        raise ValueError(f"clock: {clock!r} is none of {', '.join(_UNITS)}")
    name, per, unit = _UNITS[clock]
    hundredths = (2 * value * 100 + per) // (2 * per)
    figure = f"{hundredths / 100:,.2f}".rstrip("0").rstrip(".")
    if figure == "1" and unit not in ("h", "ft"):
        unit = unit[:-1]
    return f"{figure} {unit} {name}".strip()


def _why(rule: Rule) -> str:
    basis = "since the pressure test" if rule.only == "drilled inside" else _SINCE[rule.basis]
    whose = "common practice" if rule.authority == "default" else rule.authority
    head = f"{amount(rule.clock, rule.due)} {basis}, {whose}"
    return short(f"{head}: {rule.source}" if rule.source and rule.authority != "default" else head)


def add_months(day: date, months: int) -> date:
    """Return `day` of the month `months` later, the month's last where there is none; NEVER past the end.

    Raises nothing. Source: six months as a regulation counts them, common practice.
    """
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if year > NEVER.year:
        return NEVER
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _later(day: date, days: int) -> date:
    return NEVER if days > (NEVER - day).days else day + timedelta(days=days)


def day_limit(rule: Rule, zero: date | None, margin: Fraction = ONE_TENTH) -> DayLimit:
    """Return the dates of a `rule` in days or months from the mark of `zero`, None where it is not known.

    `margin` is the site's share for "soon". A piece whose zero is not known is due already and not yet
    over. Raises ValueError where the rule runs by another clock, or as `soon_of`. Source: the rule's own.
    """
    if rule.clock not in ("days", "months"):
        raise ValueError(f"rule: it runs by {rule.clock}, not by days")
    if zero is None:
        why = short(f"{NO_REPORT}: {_why(rule)}")
        # What nobody proved is due; past a limit that stops it is out, because unknown never passes.
        over = NEVER if rule.severity is Severity.NOTE else EVER
        return DayLimit(rule.basis, EVER, EVER, EVER, over, rule.authority, rule.severity, rule.source,
                        rule.conf, why)
    if rule.clock == "days":
        soon, due = _later(zero, soon_of(rule, margin)), _later(zero, rule.due)
        over = _later(zero, over_of(rule))
    else:
        due, over = add_months(zero, rule.due), add_months(zero, over_of(rule))
        days = (due - zero).days
        early = days * margin.numerator // margin.denominator
        soon = add_months(zero, rule.soon) if rule.soon is not None else due - timedelta(days=early)
    return DayLimit(rule.basis, zero, soon, due, over, rule.authority, rule.severity, rule.source, rule.conf,
                    _why(rule))


def clock_limit(rule: Rule, *, known: bool, margin: Fraction = ONE_TENTH) -> ClockLimit:
    """Return the limits of a `rule` by a clock; `known` says whether the clock's zero is, `margin` as above.

    Raises ValueError where the rule runs by days. Source: the rule's own.
    """
    if rule.clock in ("days", "months"):
        raise ValueError(f"rule: it runs by {rule.clock}, not by a clock of the string")
    why = _why(rule) if known else short(f"{NO_REPORT}: {_why(rule)}")
    return ClockLimit(rule.clock, rule.basis, soon_of(rule, margin), rule.due, over_of(rule), known,
                      rule.authority, rule.severity, rule.source, rule.conf, why,
                      *((over_of(rule), rule.authority) if rule.severity is Severity.STOPS else ()))


def limits_for(
    kind: str, zeros: Mapping[str, date | None], *, on: date, rules: Sequence[Rule] | None = None,
    service: str = "typical", circumstances: Iterable[str] = (), margin: Fraction = ONE_TENTH,
    by_events: Iterable[DayLimit] = (),
) -> Due:
    """Return every limit of a `kind` of piece that holds `on` a day.

    `zeros` gives the day of each basis' mark of zero, None or missing where it is not known; `rules` are
    the site's (the shipped ones when None); `service` is "severe", "typical" or "light"; `circumstances`
    words of `rules.ONLY` (a lift sub is always "lifting"); `margin` the site's share for "soon";
    `by_events` what events made due and no look has answered since. Raises ValueError as `governing`.
    Source: each rule's own.
    """  # fmt: skip
    here = {*circumstances, "lifting"} if kind == "lift_sub" else set(circumstances)
    known = default_rules() if rules is None else rules
    stopping = backstops(known, kind, service, on, circumstances=here)
    behind = {rule.family: rule for rule in stopping}
    clocks, days = [], []
    for rule in governing(known, kind, service, on, circumstances=here):
        zero, hard = zeros.get(rule.basis), behind.get(rule.family)
        if rule.clock in ("days", "months"):
            days += [day_limit(one, zero, margin) for one in (rule, hard) if one]
        else:
            limit = clock_limit(rule, known=zero is not None, margin=margin)
            clocks.append(replace(limit, hard=over_of(hard), hard_by=hard.authority) if hard else limit)
    days += by_events
    days.sort(key=lambda one: (one.due_on, one.over_on))
    unknown = [limit.why for limit in clocks if not limit.known]
    out = [one.why for one in days if one.over_on == EVER]  # what stops is told first
    rest = [*(one.why for one in days), *(limit.why for limit in clocks), "no rule for this kind"]
    why = [*out, *unknown, *rest][0]
    soon_on = EVER if unknown else min((one.soon_on for one in days), default=NEVER)
    due_on = EVER if unknown else min((one.due_on for one in days), default=NEVER)
    over_on = min((one.over_on for one in days), default=NEVER)
    return Due(tuple(clocks), tuple(days), soon_on, due_on, over_on, why)


def standing(
    due: Due, amounts: Mapping[tuple[str, str], int | None], today: date
) -> tuple[str, str]:
    """Return "overdue", "due", "soon" or "fine", and why, of a piece with the limits `due`.

    `amounts` since zero by (clock, basis) in the clock's own unit, None or missing = not known, which is
    due; `today` at the piece's site. Raises nothing. Source: due is the first to run out (law 7, law 8).
    """  # fmt: skip
    found = [(_by_clock(limit, amounts.get((limit.clock, limit.basis))), limit.why) for limit in due.clocks]
    found += [(state_on(limit.soon_on, limit.due_on, limit.over_on, today), limit.why) for limit in due.days]
    return min(found, key=lambda one: STANDINGS.index(one[0]), default=("fine", "no rule for this kind"))


def _by_clock(limit: ClockLimit, since: int | None) -> str:
    """The register's own rule: what it will say of this clock."""
    clock = Clock(limit.clock, limit.basis, since or 0, known=limit.known and since is not None,
                  soon=limit.soon, due=limit.due, over=limit.over)
    return state_on(*dates([clock], Days()), EVER)
