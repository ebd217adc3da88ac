"""Pieces without a tube of their own: collars, heavy-weight, subs, kelly, stabilizers; casing and tubing."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from inspection.calc.criteria import Scheme, limits
from inspection.calc.nominal import nominal_wall
from inspection.calc.readings import Reading
from inspection.calc.tube import crack_check
from inspection.calc.verdict import Check, Outcome, by_share, inches, told
from rack.calc.checks import Severity
from rack.calc.connections import bending_strength_ratio, recommended_ratio
from rack.calc.specs import SpecFacts
from rack.calc.units import NM

_INCH = NM["in"]
_CP = "common practice"
_GOOD = frozenset({"ok", "good", "none", "nothing to reject", "straight", "square", "done"})
_OUT = frozenset({"scrap", "reject", "dbr", "cracked", "beyond repair"})
#: A ratio is worked out for collars and for what is bored like them.
RATIO_KINDS = frozenset({"collar", "stabilizer", "reamer", "crossover", "bit_sub", "float_sub", "sub", "mwd"})


def body_checks(
    readings: Sequence[Reading], spec: SpecFacts, scheme: Scheme, *, acceptance: str = "",
    unused: bool = False, ratio_standard: str = "API RP 7G-2",
) -> list[Check]:
    """Return every check of the `readings` of a body, in the order they were read.

    `spec` gives kind, OD, bore, wall and connection, `scheme` the classes, `acceptance` the class wanted;
    `unused`: never run; `ratio_standard` is one of `rack.calc.connections.ratio_standards()`. Raises
    nothing: what cannot be judged is a check that says so. Source: each limit's own.
    """  # fmt: skip
    found = []
    for reading in readings:
        if reading.part != "body":
            continue
        if reading.what in ("crack", "washout", "hole"):
            found.append(crack_check(scheme, reading))
        elif reading.what == "wall":
            found.append(_wall(reading, spec, scheme, acceptance, unused=unused))
        elif reading.what == "od":
            found.append(_ratio(reading, readings, spec, ratio_standard))
        elif reading.what == "gauge":
            found.append(_gauge(reading, spec))
        elif reading.what == "bent":
            found.append(_bent(reading, scheme))
        elif reading.what in ("recess", "drive", "twist"):
            found.append(_worded(reading, scheme))
        else:
            value = f"{inches(reading.nm)} in" if reading.nm is not None else reading.word
            found.append(told(reading, f"{value}, recorded.", Outcome.NOTED, Severity.NOTE, source="as read"))
    return found


def _wall(reading: Reading, spec: SpecFacts, scheme: Scheme, acceptance: str, *, unused: bool) -> Check:
    found = limits(scheme.code, "body_wall") or limits(scheme.code, "od_wear")
    base = nominal_wall(spec)
    if not found or not base:
        why = "no limit of its scheme was seen" if not found else "the nominal wall is not known"
        outcome, severity = (Outcome.UNKNOWN, Severity.ASKS) if found else (Outcome.NOTED, Severity.NOTE)
        return told(reading, f"{inches(reading.nm or 0)} in; {why}.", outcome, severity,
                    measured=inches(reading.nm or 0), unit="in", source=scheme.source, conf=scheme.conf)
    check = by_share(scheme, found, reading, base, acceptance=acceptance, unused=unused)
    return replace(check, outcome=Outcome.LOWERS, severity=Severity.ASKS) if (
        check.allows and not scheme.step(check.allows).use) else check


def _ratio(reading: Reading, readings: Sequence[Reading], spec: SpecFacts, standard: str) -> Check:
    """The bending strength ratio of a worn body against the range recommended: a note, never a limit."""
    od = reading.nm or 0
    bore = max((one.nm for one in readings if one.what == "bore" and one.part == "body" and one.nm),
               default=spec.bore_nm)
    name = spec.down_conn or spec.up_conn
    measured = inches(od)
    if spec.kind not in RATIO_KINDS or not (od and bore and name):
        return told(reading, f"{measured} in, recorded.", Outcome.NOTED, Severity.NOTE, measured=measured,
                    unit="in", source="as read")
    try:
        ratio = bending_strength_ratio(name, od / _INCH, bore / _INCH)
        wanted = recommended_ratio(standard, od / _INCH)
    except ValueError as wrong:
        return told(reading, f"{measured} in; no bending strength ratio: {wrong}.", Outcome.NOTED,
                    Severity.NOTE, measured=measured, unit="in", source=standard)
    within = wanted.low <= ratio <= wanted.high
    span = f"{wanted.low:g} to {wanted.high:g}"
    words = (f"{measured} in on {name}: bending strength ratio {ratio:.2f}, {standard} recommends {span}"
             + ("." if within else "; box and pin are out of balance."))
    return told(reading, words, Outcome.PASSES if within else Outcome.NOTED, Severity.NOTE,
                measured=f"{ratio:.2f}", limit=span, unit="ratio", source=wanted.source, conf=wanted.conf,
                close=f"{min(ratio - wanted.low, wanted.high - ratio):+.2f}")  # fmt: skip


def _gauge(reading: Reading, spec: SpecFacts) -> Check:
    """Under gauge in sixteenths; no limit was seen, so that it is only told."""
    under = spec.od_nm - (reading.nm or 0)
    source = "amount under gauge in 1/16 in; dull-grading charts, no limit seen"
    if not spec.od_nm or under <= 0:
        return told(reading, f"{inches(reading.nm or 0)} in, in gauge.", Outcome.PASSES, Severity.NOTE,
                    measured=inches(reading.nm or 0), unit="in", source=source, conf="B")
    sixteenths = float(Fraction(under * 16, _INCH))
    return told(reading, f"{inches(reading.nm or 0)} in, {sixteenths:.1f}/16 in under gauge.", Outcome.NOTED,
                Severity.NOTE, measured=inches(reading.nm or 0), limit=inches(spec.od_nm), unit="in",
                source=source, conf="B")


def _repair(scheme: Scheme) -> str:
    return "Repair" if "Repair" in scheme.names else ""


def _bent(reading: Reading, scheme: Scheme) -> Check:
    if not reading.count:
        return told(reading, "straight.", Outcome.PASSES, Severity.NOTE, source=_CP, conf="CP")
    return told(reading, "straightened first, judged afterwards.", Outcome.REPAIR, Severity.ASKS,
                allows=_repair(scheme), repair="straighten", source=_CP, conf="CP")


def _worded(reading: Reading, scheme: Scheme) -> Check:
    spelled = " ".join(reading.word.lower().split())
    if spelled in _GOOD:
        return told(reading, f"{reading.word}.", Outcome.PASSES, Severity.NOTE, measured=reading.word,
                    source=_CP, conf="CP")
    if spelled in _OUT:
        return told(reading, f"{reading.word}: {scheme.last}.", Outcome.REJECTS, Severity.STOPS,
                    allows=scheme.last, measured=reading.word, source=_CP, conf="CP")
    return told(reading, f"{reading.word}: repair (a kelly may be turned end for end).", Outcome.REPAIR,
                Severity.ASKS, allows=_repair(scheme), measured=reading.word, repair="shop", source=_CP,
                conf="CP")  # fmt: skip
