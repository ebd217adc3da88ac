"""A piece's hours from one line, opened: the formula, the cuts and the rounding, step by step."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from rack.calc.hours.cutting import share_of
from rack.calc.hours.legs import CLOCK_NAMES, Leg, Membership
from rack.calc.hours.rules import POLICY_WORDS, rule_for, turning
from rack.calc.hours.sharing import Share, earned, share
from rack.calc.hours.totals import Amount, amount_shown
from rack.calc.lengths import Length
from rack.calc.worked import Worked


def _written(clock: str, amount: int | None, unit: str) -> str:
    if amount is None:
        return "not known"
    if clock == "footage_nm":
        return f"{amount_shown(clock, Amount(amount), unit=unit)} {unit} ({amount:,} nm)"
    return f"{amount_shown(clock, Amount(amount))} h ({amount:,} s)"


def _percent(fraction: Fraction) -> str:
    return f"{fraction} of the line" if fraction.denominator > 1 else ("0", "the whole line")[int(fraction)]


def share_worked(
    leg: Leg,
    memberships: Sequence[Membership],
    policy: Mapping[str, str] | None = None,
    *,
    piece: int | str,
    clock: str = "rotating_s",
    unit: str = "ft",
) -> Worked:
    """Return what `piece` earns from `leg` on `clock`, with its working; `value` is that of `share`.

    `memberships` and `policy` as for `share`; `clock` is one that the kind of the piece keeps; depths are
    written in `unit`. The value is whole seconds (footage: nanometres), None when it is not known. Raises
    ValueError for a piece that is not among the memberships, or a clock that its kind does not keep.
    Source: the counting rule of the kind in table hours_basis.
    """
    found = next((one for one in share(leg, memberships, policy) if one.piece == piece), None)
    if found is None:
        raise ValueError(f"piece: {piece!r} is not among the pieces of this run")
    if clock not in found.amounts:
        kept = ", ".join(found.amounts) or "none that a line moves"
        raise ValueError(f"clock: {found.kind} keeps no {clock!r} by the line; it keeps {kept}")
    below = any(stay.below_motor for stay in memberships if stay.piece == piece)
    whole = earned(leg, below_motor=below)[clock]
    rule = rule_for(found.kind)
    inputs = _inputs(leg, found, clock, whole, unit, below_motor=below)
    return Worked(
        found.amounts[clock],
        "nm" if clock == "footage_nm" else "s",
        "share = line x part of the line in which the piece was in, cut points rounded cumulatively",
        inputs,
        _steps(found, clock, whole, unit),
        f"{rule.component}: {rule.source}".removesuffix(": common practice") + ", common practice",
    )


def _inputs(
    leg: Leg, found: Share, clock: str, whole: int | None, unit: str, *, below_motor: bool
) -> dict[str, str]:
    inputs = {f"line {leg.n}, {CLOCK_NAMES[clock]}": _written(clock, whole, unit)}
    if clock == "rotating_s" and below_motor:
        names = " + ".join(CLOCK_NAMES[one] for one in turning(below_motor=True))
        inputs["below the motor"] = f"{names}: the piece turns while the motor slides"
    if leg.from_nm is not None and leg.to_nm is not None:
        inputs["depth"] = f"{Length(leg.from_nm).shown(unit, 2)} to {Length(leg.to_nm).shown(unit, 2)} {unit}"
    if leg.from_at is not None and leg.to_at is not None:
        inputs["time"] = f"{leg.from_at:%Y-%m-%d %H:%M} to {leg.to_at:%Y-%m-%d %H:%M}"
    inputs["policy"] = f"{found.policy}: {POLICY_WORDS[found.policy]}"
    return inputs


def _steps(found: Share, clock: str, whole: int | None, unit: str) -> tuple[str, ...]:
    if found.spans is None or whole is None:
        return (found.why, "unknown is not zero: the hours stand as “at least” from here on")
    steps = [found.why]
    for begins, ends in found.spans:
        first, last = share_of(whole, begins), share_of(whole, ends)
        measure = "nm" if clock == "footage_nm" else "s"
        steps.append(
            f"in from {_percent(begins)} to {_percent(ends)}: "
            f"{last:,} {measure} - {first:,} {measure} = {last - first:,} {measure}"
        )
    steps.append(f"share = {_written(clock, found.amounts[clock], unit)}")
    return tuple(steps)
