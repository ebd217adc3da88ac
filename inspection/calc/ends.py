"""Box and pin: class of the tool joint by OD and shoulder, and what each end needs: reface, recut, shop."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from inspection.calc.criteria import Limit, Scheme, fixed_limit
from inspection.calc.nominal import joint_sizes, thread
from inspection.calc.readings import Reading
from inspection.calc.tube import crack_check
from inspection.calc.verdict import Check, Outcome, at_least, inches, told
from rack.calc.checks import Severity
from rack.calc.specs import SpecFacts
from rack.calc.units import NM

_INCH = NM["in"]
#: What an end needs, from nothing to the worst.
STATES = ("ok", "straighten", "reface", "recut", "shop", "reject")
_TABLE_10 = "API RP 7G table 10, from memory, reproduced by its rule"
_CP = "common practice"
#: What is written of a seal face or of threads -> what the end needs, in words of the trade.
_WORDS = {
    "ok": "ok", "good": "ok", "clean": "ok", "done": "ok", "nothing to reject": "ok", "none": "ok",
    "pitted": "reface", "scratched": "reface", "dented": "reface", "damaged": "reface", "worn": "reface",
    "galled": "recut", "torn": "recut", "stretched": "recut", "washed": "shop", "washed out": "shop",
    "wash": "shop", "broken": "shop", "cracked": "reject",
}  # fmt: skip
_STATE_WORDS = {
    "ok": "ok", "done": "ok", "rf": "reface", "reface": "reface", "fr": "reface", "rc": "recut",
    "recut": "recut", "shop": "shop", "sr": "shop", "dbr": "reject", "reject": "reject", "scrap": "reject",
    "rf done": "ok", "rc done": "ok", "reface done": "ok", "recut done": "ok", "refaced": "ok",
}  # fmt: skip


def worse_state(states: Sequence[str]) -> str:
    """Return the worst of `states` of an end, "" where none is known. Raises ValueError for an unknown one.

    Source: order of repairs, common practice.
    """
    known = [STATES.index(state) for state in states if state]
    return STATES[max(known)] if known else ""


def end_checks(
    readings: Sequence[Reading], spec: SpecFacts, scheme: Scheme, *, acceptance: str = "",
    unused: bool = False,
) -> list[Check]:
    """Return every check of the `readings` of box and pin, in the order they were read.

    `spec` gives pipe, grade, connection and bore, `scheme` the classes, `acceptance` the class wanted;
    `unused`: never run. Raises nothing: what cannot be judged is a check that says so.
    Source: each limit's own.
    """  # fmt: skip
    found = []
    for reading in readings:
        if reading.part not in ("box", "pin"):
            continue
        if reading.what in ("crack", "washout", "hole"):
            found.append(_crack(scheme, reading))
        elif reading.what in ("od", "shoulder") and "Premium" in scheme.names:
            found.append(_size(reading, readings, spec, scheme, acceptance, unused=unused))
        elif reading.what in ("reface_once", "reface_total", "bench"):
            found.extend(_with_class(check, scheme) for check in _reface(reading, readings))
        elif reading.what in _JUDGES:
            found.append(_with_class(_JUDGES[reading.what](reading, spec), scheme))
        else:
            found.append(_noted(reading))
    return found


def _crack(scheme: Scheme, reading: Reading) -> Check:
    """A cracked end of a collar or a sub may be cut off; of drill pipe it is the last class."""
    if "Repair" in scheme.names and reading.count:
        return told(reading, f"{reading.count} found: cut off and recut, or out of use.", Outcome.REJECTS,
                    Severity.STOPS, allows=scheme.last, measured=str(reading.count), limit="0", unit="count",
                    repair="recut", source="crack = recut or reject; DS-1 programme, from memory", conf="B")
    return crack_check(scheme, reading)


def _with_class(check: Check, scheme: Scheme) -> Check:
    """What an end needs is a class of its own where there is no ladder; beyond repair it is so everywhere."""
    if check.outcome is Outcome.REJECTS:
        return replace(check, allows=scheme.last)
    if check.outcome is Outcome.REPAIR and "Repair" in scheme.names:
        return replace(check, allows="Repair")
    return check


def _noted(reading: Reading) -> Check:
    value = f"{inches(reading.nm)} in" if reading.nm is not None else reading.word or str(reading.count or 0)
    return told(reading, f"{value}, recorded.", Outcome.NOTED, Severity.NOTE, source="as read")


def _size(
    reading: Reading, readings: Sequence[Reading], spec: SpecFacts, scheme: Scheme, acceptance: str,
    *, unused: bool,
) -> Check:  # fmt: skip
    bores = [one.nm for one in readings if one.what == "bore" and one.part == "pin" and one.nm]
    diameters, shoulders, why = joint_sizes(spec, max(bores, default=0))
    known = diameters if reading.what == "od" else shoulders
    if not scheme.computed:
        return _noted(reading)
    if not known:
        return told(reading, f"{inches(reading.nm or 0)} in; no limit: {why}.", Outcome.UNKNOWN,
                    Severity.ASKS, measured=inches(reading.nm or 0), unit="in", source=_TABLE_10, conf="C")
    return at_least(reading, known, scheme, "Class 3", _TABLE_10, "C", acceptance=acceptance, unused=unused)


def _over(reading: Reading, limit: Limit, state: str, words: str, severity: Severity) -> Check:
    """A size that must not be over `limit` (in); what is over it needs `state`."""
    value, edge = reading.nm or 0, limit.value * _INCH
    measured, most = inches(value), inches(edge)
    more = {"measured": measured, "limit": most, "unit": "in", "source": limit.source, "conf": limit.conf,
            "close": "at the limit" if value == edge else
            f"{inches(abs(value - edge))} in {'to spare' if value < edge else 'over'}"}
    if value <= edge:
        return told(reading, f"{measured} in, at most {most} in.", Outcome.PASSES, Severity.NOTE, **more)
    return told(reading, f"{measured} in is over {most} in: {words}.", Outcome.REPAIR, severity,
                repair=state, **more)


def _lead(reading: Reading, spec: SpecFacts) -> Check:
    return _over(reading, fixed_limit("lead"), "recut", "recut the pin, and look at it for cracks",
                 Severity.ASKS)


def _seal_depth(reading: Reading, spec: SpecFacts) -> Check:
    return _over(reading, fixed_limit("seal_depth"), "reface", "reface", Severity.ASKS)


def _seal_width(reading: Reading, spec: SpecFacts) -> Check:
    limit, share = fixed_limit("seal_width"), reading.ppm or 0
    more = {"measured": f"{share / 10_000:g}", "limit": f"{float(limit.value):g}", "unit": "% of the width",
            "source": limit.source, "conf": limit.conf}
    if share <= limit.value * 10_000:
        return told(reading, f"{more['measured']} %, at most {more['limit']} %.", Outcome.PASSES,
                    Severity.NOTE, **more)
    return told(reading, f"{more['measured']} % of the width is over {more['limit']} %: reface.",
                Outcome.REPAIR, Severity.ASKS, repair="reface", **more)


def _counterbore(reading: Reading, spec: SpecFacts) -> Check:
    """A swollen box is only ever noted: a new box may already be at the one figure that is known."""
    made, limit = thread(spec.up_conn or spec.down_conn), fixed_limit("counterbore")
    if made is None:
        return _noted(reading)
    nominal = Fraction(repr(made.counterbore)) * _INCH
    over = (reading.nm or 0) - nominal
    more = {"measured": inches(reading.nm or 0), "limit": inches(nominal + limit.value * _INCH), "unit": "in",
            "source": f"{limit.source}; doubtful, equals the tolerance of a new box", "conf": limit.conf}
    if over <= limit.value * _INCH:
        return told(reading, f"{more['measured']} in, nominal {inches(nominal)} in.", Outcome.PASSES,
                    Severity.NOTE, **more)
    return told(reading, f"{more['measured']} in, {inches(over)} in over nominal: swollen box, perhaps; "
                "hold it against the thread's own table.", Outcome.NOTED, Severity.NOTE, **more)


def _tong(reading: Reading, spec: SpecFacts) -> Check:
    """Tong space less hardband: pin 0.75 x OD and not under 4 in, box depth of the box and 1 in."""
    made, od = thread(spec.up_conn or spec.down_conn), spec.tj_od_nm
    if reading.part == "pin":
        least = max(Fraction(3 * od, 4), Fraction(4 * _INCH))
    elif made is not None:
        least = (Fraction(repr(made.pin_length)) + Fraction(5, 8) + 1) * _INCH
    else:
        return _noted(reading)
    more = {"measured": inches(reading.nm or 0), "limit": inches(least), "unit": "in", "conf": "D",
            "source": "RP 7G-2 / DS-1, from memory; optional in RP 7G"}
    if (reading.nm or 0) >= least:
        return told(reading, f"{more['measured']} in, at least {more['limit']} in.", Outcome.PASSES,
                    Severity.NOTE, **more)
    return told(reading, f"{more['measured']} in is under {more['limit']} in: no room for tongs and recuts.",
                Outcome.NOTED, Severity.NOTE, **more)


def _worded(reading: Reading, spec: SpecFacts) -> Check:
    spelled = " ".join(reading.word.lower().split())
    table = _STATE_WORDS if reading.what == "state" else _WORDS
    state = table.get(spelled, "")
    if reading.what == "threads" and state == "reface":
        state = "recut"
    if not state:
        return told(reading, f"“{reading.word[:40]}” is no word that is known; what does the end need?",
                    Outcome.UNKNOWN, Severity.ASKS, measured=reading.word[:40], source=_CP, conf="CP")
    if state == "ok":
        return told(reading, f"{reading.word}.", Outcome.PASSES, Severity.NOTE, measured=reading.word,
                    repair="ok", source=_CP, conf="CP")
    outcome = Outcome.REJECTS if state == "reject" else Outcome.REPAIR
    return told(reading, f"{reading.word}: {state}.", outcome,
                Severity.STOPS if state == "reject" else Severity.ASKS, measured=reading.word, repair=state,
                source=_CP, conf="CP")  # fmt: skip


def _reface(reading: Reading, readings: Sequence[Reading]) -> list[Check]:
    """1/32 in at once, 1/16 in from the bench mark in all, and none at all without a bench mark."""
    found = []
    if reading.what == "bench":
        found.append(_bench(reading))
    else:
        found.append(_over(reading, fixed_limit(reading.what), "recut", "recut the shoulder in a shop",
                           Severity.ASKS))
    there = _bench_mark(reading.part, readings)
    limit = "NS-2 Repair Procedures rev.1 (2015), connection field repair, items 1-5"
    if reading.what != "bench" and reading.nm and there == "no":
        found.append(told(reading, "there is no bench mark on this end: a reface is not allowed.",
                          Outcome.REPAIR, Severity.ASKS, repair="shop", source=limit, conf="B"))
    elif reading.what != "bench" and reading.nm and not there:
        found.append(told(reading, "is there a bench mark on this end? Without one a reface is not allowed.",
                          Outcome.UNKNOWN, Severity.ASKS, source=limit, conf="B"))
    return found


def _bench_mark(part: str, readings: Sequence[Reading]) -> str:
    """ "yes", "no", or "" where nobody said; a "no" outweighs every "yes"."""
    words = [one.word.lower() for one in readings if one.what == "bench_mark" and one.part == part]
    if any(word in ("no", "n", "none", "gone", "absent") for word in words):
        return "no"
    measured = any(one.what == "bench" and one.part == part and one.nm for one in readings)
    return "yes" if measured or any(word in ("yes", "y", "ok", "present", "there", "visible")
                                    for word in words) else ""


def _bench(reading: Reading) -> Check:
    limit = fixed_limit("bench_pin" if reading.part == "pin" else "bench_box")
    value, edge = reading.nm or 0, limit.value * _INCH
    grown = value >= edge if reading.part == "pin" else value <= edge
    more = {"measured": inches(value), "limit": inches(edge), "unit": "in", "source": limit.source,
            "conf": limit.conf}
    if not grown:
        return told(reading, f"{more['measured']} in; recut at {more['limit']} in.", Outcome.PASSES,
                    Severity.NOTE, **more)
    return told(reading, f"{more['measured']} in has come to {more['limit']} in: refaced to the end, recut.",
                Outcome.REPAIR, Severity.ASKS, repair="recut", **more)


_JUDGES = {"lead": _lead, "seal_depth": _seal_depth, "seal_width": _seal_width, "counterbore": _counterbore,
           "tong": _tong, "seal": _worded, "threads": _worded, "state": _worded}
