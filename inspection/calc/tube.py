"""The tube of used pipe: wall left, dents, crushing, stretch, string shot, cuts, pits, cracks."""

from collections.abc import Iterator, Sequence

from inspection.calc.criteria import Limit, Scheme, limits
from inspection.calc.nominal import nominal_wall
from inspection.calc.readings import WHATS, Reading
from inspection.calc.verdict import Check, Outcome, by_share, told
from rack.calc.checks import Severity
from rack.calc.specs import SpecFacts

_ON_WALL = ("wall", "external_corrosion", "cut_along", "cut_across", "cut", "internal_pitting",
            "internal_erosion", "slip_cut_along", "slip_cut_across", "slip_cut")  # fmt: skip
_ON_OD = ("dent", "necking", "stretch", "string_shot")
_SLIP = ("slip_cut_along", "slip_cut_across", "slip_cut")


def crack_check(scheme: Scheme, reading: Reading) -> Check:
    """Return the check of a crack, washout or hole: any one makes it the last class of `scheme`.

    `reading` counts them, 0 = looked and none found. Raises nothing. Source: unfit whatever the wall, seen
    in two places (yellow-band article, pipe ranges and classes); RP 7G-2 from memory.
    """
    source = "crack or washout: unfit whatever the wall; seen in two trade articles, RP 7G-2 from memory"
    if not reading.count:
        return told(reading, "none found.", Outcome.PASSES, Severity.NOTE, measured="0", limit="0",
                    unit="count", source=source, conf="A")
    return told(reading, f"{reading.count} found: {scheme.last}, whatever the wall.", Outcome.REJECTS,
                Severity.STOPS, allows=scheme.last, measured=str(reading.count), limit="0", unit="count",
                source=source, conf="A")  # fmt: skip


def tube_checks(
    readings: Sequence[Reading], spec: SpecFacts, scheme: Scheme, *, acceptance: str = "",
    unused: bool = False,
) -> list[Check]:
    """Return every check of the `readings` of the tube against `scheme`, in the order they were read.

    `spec` gives nominal wall and OD, `acceptance` the class wanted, `unused`: never run. Raises nothing:
    what cannot be judged is a check that says so. Source: each limit's own.
    """  # fmt: skip
    wall, found = nominal_wall(spec), []
    for reading in readings:
        if reading.part != "tube":
            continue
        if reading.what in ("crack", "washout", "hole"):
            found.append(crack_check(scheme, reading))
        elif reading.what == "bent":
            found.append(_bent(reading))
        elif reading.what in _ON_WALL:
            found.append(_judged(scheme, reading, wall, "nominal wall", acceptance, unused=unused))
        elif reading.what in _ON_OD:
            found.append(_judged(scheme, reading, spec.od_nm, "nominal OD", acceptance, unused=unused))
        elif reading.what == "od":
            found.append(_least_od(scheme, reading, spec.od_nm, acceptance, unused=unused))
        elif reading.what == "slip_cut_depth":
            found.append(_slip_depth(scheme, reading, readings, acceptance, unused=unused))
        else:
            found.append(told(reading, _read(reading), Outcome.NOTED, Severity.NOTE, source="as read"))
    return found


def _read(reading: Reading) -> str:
    if reading.nm is not None:
        return f"{reading.nm / 25_400_000:.4f} in, recorded."
    return f"{reading.word or reading.count or 0}, recorded."


def _bent(reading: Reading) -> Check:
    source = "straighten before inspecting; inspection chart, common practice"
    if not reading.count:
        return told(reading, "straight.", Outcome.PASSES, Severity.NOTE, source=source, conf="CP")
    return told(reading, "straightened first, classed afterwards.", Outcome.REPAIR, Severity.ASKS,
                repair="straighten", source=source, conf="CP")


def _limits_of(scheme: Scheme, what: str) -> tuple[Limit, ...]:
    code = WHATS[what].code
    found = limits(scheme.code, code)
    if what in _SLIP:
        both = (*limits(scheme.code, "slip_cut_wall"), *found)
        return tuple(sorted(both, key=lambda limit: scheme.step(limit.step).rank))
    return found


def _judged(
    scheme: Scheme, reading: Reading, base: int, what: str, acceptance: str, *, unused: bool
) -> Check:
    found = _limits_of(scheme, reading.what)
    if not found:
        return told(reading, f"{_read(reading)[:-1]}; no limit of {scheme.said} was seen for it.",
                    Outcome.UNKNOWN if scheme.computed else Outcome.NOTED, Severity.NOTE,
                    source=scheme.source, conf=scheme.conf)
    if not base:
        return told(reading, f"{_read(reading)[:-1]}; the {what} is not known.", Outcome.UNKNOWN,
                    Severity.ASKS, source=found[0].source, conf=found[0].conf)
    return by_share(scheme, found, reading, base, acceptance=acceptance, unused=unused)


def _least_od(scheme: Scheme, reading: Reading, base: int, acceptance: str, *, unused: bool) -> Check:
    """The least OD alone does not say whether the tube is worn, necked or dented: the hardest one holds."""
    found = limits(scheme.code, "necking")
    if not found or not base:
        return _judged(scheme, Reading("necking", nm=reading.nm, where=reading.where), base, "nominal OD",
                       acceptance, unused=unused)
    check = by_share(scheme, found, reading, base, acceptance=acceptance, unused=unused)
    if check.outcome is Outcome.PASSES:
        return check
    said = f"{check.words} Worn, necked or dented? Judged as necked until it is said."
    return Check(**{**vars(check), "words": said, "severity": Severity.ASKS})


def _slip_depth(
    scheme: Scheme, reading: Reading, readings: Sequence[Reading], acceptance: str, *, unused: bool
) -> Check:
    """Depth against the mean of the wall each side of the cut; of more than two the least two count."""
    beside = sorted(_beside(reading, readings))
    found = limits(scheme.code, "slip_cut_depth")
    if not found or len(beside) < 2:
        why = ("no limit was seen for it" if not found else
               "the wall each side of the cut is not told, so that its depth cannot be judged")
        return told(reading, f"{_read(reading)[:-1]}; {why}.", Outcome.UNKNOWN, Severity.ASKS,
                    source=found[0].source if found else scheme.source, conf="B")  # fmt: skip
    return by_share(scheme, found, reading, sum(beside[:2]), parts=2, acceptance=acceptance, unused=unused)


def _beside(reading: Reading, readings: Sequence[Reading]) -> Iterator[int]:
    for one in readings:
        if one.what == "slip_cut_adjacent" and one.where == reading.where and one.nm is not None:
            yield one.nm
