"""Rules of sizes: R11, R12, R17, R18, R22; what must pass, and how the string changes its size."""

from collections.abc import Sequence

from rack.calc import stiffness
from rack.calc.bodies import COLLARS, HEAVY, NM_PER_IN, PIPE
from rack.calc.chain import Placed
from rack.calc.checks import Severity
from rack.calc.figures import figure
from rack.calc.lengths import Length
from rack.calc.rules.judging import Judging, names_of
from rack.calc.rules.plan import Passing
from rack.calc.specs import inches, trimmed
from rack.calc.units import NM

#: How far under the hole a full-gauge stabilizer may be.
FULL_GAUGE_NM = NM_PER_IN // 32
_PENDULUM = (Length(30 * NM["ft"]), Length(90 * NM["ft"]))
#: The largest ratio of section moduli in soft and in hard rock.
SOFT, HARD = 5.5, 3.5
#: Too short to carry a change of stiffness, and what stands over the hole in gauge.
_SHORT = ("bit", "core_bit", "bit_sub", "crossover", "sub", "float_sub", "circulating_sub", "lift_sub",
          "saver_sub", "safety_valve", "kelly", "stabilizer", "reamer", "hole_opener", "under_reamer",
          "scraper", "mill", "fishing_tool", "other")  # fmt: skip
_GAUGED = ("stabilizer", "reamer", "hole_opener", "scraper", "mill")
_BITS = ("bit", "core_bit")
#: Nothing dropped goes through these.
NO_BORE = ("bit", "core_bit", "motor", "rotary_steerable", "mwd")


def gauge_nm(judging: Judging, at: Placed) -> int | None:
    """Return the gauge of a piece in nm, as measured before as made; None when it is not known.

    `at` is a bit, stabilizer, reamer or the like of `judging`. Raises nothing. Source: its facts.
    """
    facts = judging.body(at).facts
    said = facts.get("gauge_measured_nm") or facts.get("gauge_nm")
    if said:
        return int(said)
    return (at.link.spec.od_nm or None) if at.link.spec.kind in _BITS else None


def _near_bit(judging: Judging) -> list[Placed]:
    """Stabilizers that are near the bit: called so, or with nothing but the bit and short subs below."""
    found = []
    for at in judging.of("stabilizer"):
        called = judging.body(at).facts.get("place") == "near-bit"
        below = [one.link.spec.kind for one in judging.placed[: at.n - 1]]
        if called or all(kind in (*_BITS, "bit_sub", "sub", "crossover", "float_sub") for kind in below):
            found.append(at)
    return found


def stabilizers(judging: Judging) -> None:
    """R11: a packed assembly has a full-gauge near-bit stabilizer; a pendulum has its first 30 to 90 ft up.

    `judging` is the string (sizes in nm). Raises nothing. Source: directional guide (packed), common
    practice (pendulum, 1/32 in).
    """
    if judging.plan.assembly == "packed":
        _packed(judging)
    elif judging.plan.assembly == "pendulum":
        _pendulum(judging)


def _packed(judging: Judging) -> None:
    near, hole = _near_bit(judging), judging.plan.hole_nm
    if not near:
        judging.say("R11", "A packed assembly is planned, and it has no near-bit stabilizer.",
                    measured="none", limit="near-bit stabilizer")  # fmt: skip
        return
    if hole is None:
        judging.not_given("R11", "hole size")
        return
    gauge = gauge_nm(judging, near[0])
    if gauge is None:
        judging.missing("R11", "gauge", near[:1])
    elif gauge < hole - FULL_GAUGE_NM:
        text = (f"{near[0].link.ident} is {inches(gauge)} in; full gauge for a packed assembly in "
                f"{inches(hole)} in hole is at least {inches(hole - FULL_GAUGE_NM)} in.")
        judging.say("R11", text, near[:1], measured=inches(gauge), limit=inches(hole - FULL_GAUGE_NM),
                    unit="in")


def _pendulum(judging: Judging) -> None:
    near, all_of_them = _near_bit(judging), judging.of("stabilizer")
    if near:
        text = f"A pendulum assembly is planned, and {near[0].link.ident} is a near-bit stabilizer."
        judging.say("R11", text, near[:1], measured="near-bit stabilizer", limit="none",
                    source="common practice")
        return
    if not all_of_them:
        return
    first = all_of_them[0]
    if first.bottom is None:
        below = [at for at in judging.placed[: first.n - 1] if at.link.length is None]
        judging.missing("R11", "length", below)
    elif not _PENDULUM[0] <= first.bottom <= _PENDULUM[1]:
        up = trimmed(first.bottom.nanometres)
        text = (f"The first stabilizer of the pendulum, {first.link.ident}, is {up} ft above the bit; 30 to "
                "90 ft is usual.")
        judging.say("R11", text, (first,), measured=up, limit="30 to 90", unit="ft",
                    source="common practice")


def stiffness_steps(judging: Judging) -> None:
    """R12: the ratio of section moduli, lower over upper, stays under 5.5 in soft and 3.5 in hard rock.

    `judging` is the string (ratios without unit). Bit, stabilizers and short subs are passed over; so are
    tools whose bore is not known. Raises nothing. Source: handbook extract on drill string design.
    """
    carriers = []
    for at in judging.placed:
        body, kind = judging.body(at), at.link.spec.kind
        if kind in _SHORT or judging.coupled:
            continue
        if body.od_in is not None and body.bore_in is not None:
            carriers.append(at)
        elif kind in (PIPE, HEAVY, COLLARS):
            judging.lacks_size("R12", at)
            carriers.append(at)
    for lower, upper in zip(carriers, carriers[1:], strict=False):
        _step(judging, lower, upper)


def _stiff(od_in: float, bore_in: float) -> float:
    return (od_in**4 - bore_in**4) / od_in


def _step(judging: Judging, lower: Placed, upper: Placed) -> None:
    one, other = judging.body(lower), judging.body(upper)
    if None in (one.od_in, one.bore_in, other.od_in, other.bore_in):
        return
    sizes = [float(size or 0) for size in (one.od_in, one.bore_in, other.od_in, other.bore_in)]
    if sizes[:2] == sizes[2:] or _stiff(*sizes[:2]) <= _stiff(*sizes[2:]):
        return  # the stiffer piece above is a matter of order, R13
    ratio = stiffness.modulus_ratio(*sizes)
    rock = judging.plan.rock
    limit = HARD if rock == "hard" else SOFT
    if ratio < limit and (rock or ratio < HARD):
        return
    measured = f"{ratio:.1f}" if f"{ratio:.1f}" not in ("3.5", "5.5") else f"{ratio:.3f}"
    shown = (f"from {figure(sizes[0])} x {figure(sizes[1])} in ({lower.link.ident}) to {figure(sizes[2])} x "
             f"{figure(sizes[3])} in ({upper.link.ident}) the section modulus falls {measured} times")
    place = f"between {lower.n} and {upper.n}"
    if ratio < limit:
        text = f"{shown[:1].upper()}{shown[1:]}: under 5.5 for soft rock, but not under 3.5 for hard rock."
        judging.say("R12", text, (lower, upper), where=place, severity=Severity.NOTE,
                    measured=measured, limit="3.5")
        return
    words = f"{rock} rock" if rock else "soft rock"
    text = f"{shown[:1].upper()}{shown[1:]}; it should be less than {limit:g} in {words}."
    judging.say("R12", text, (lower, upper), where=place, measured=measured, limit=f"{limit:g}")


def clearance(judging: Judging) -> None:
    """R17: bodies leave room for washing over, and no gauge is over the hole or the drift above it.

    `judging` is the string (sizes in nm); expanding tools go by their closed diameter. Raises nothing.
    Source: operator guide (fishing tools), common practice.
    """
    if not judging.placed:
        return
    for at in judging.placed:
        gauge = gauge_nm(judging, at) if at.link.spec.kind in (*_GAUGED, *_BITS) else None
        widest = judging.body(at).widest_nm
        if at.link.spec.kind in _GAUGED and gauge is None:
            judging.missing("R17", "gauge", (at,))
        if not widest and gauge is None:
            judging.missing("R17", "OD", (at,))
            continue
        _in_hole(judging, at, gauge, widest)
        _in_casing(judging, at, max(gauge or 0, widest))
    _catches(judging)


def _in_hole(judging: Judging, at: Placed, gauge: int | None, widest: int) -> None:
    hole, room = judging.plan.hole_nm, judging.plan.washover_nm
    if hole is None:
        judging.not_given("R17", "hole size")
        return
    if gauge is not None and gauge > hole:
        text = f"{at.link.ident} is {inches(gauge)} in in gauge and the hole is {inches(hole)} in."
        judging.say("R17", text, (at,), measured=inches(gauge), limit=inches(hole), unit="in")
    if at.link.spec.kind in _BITS or not widest:
        return
    if room is None and not judging.coupled:
        judging.not_given("R17", "room for washing over")
    most = hole - (room or 0)
    if widest > most or (room is None and widest == hole):
        why = f" less {inches(room)} in for washing over" if room else ""
        text = (f"{at.link.ident} is {inches(widest)} in wide and the {inches(hole)} in hole{why} leaves "
                f"{inches(most)} in.")
        judging.say("R17", text, (at,), measured=inches(widest), limit=inches(most), unit="in")


def _in_casing(judging: Judging, at: Placed, widest: int) -> None:
    if judging.plan.above is None:
        judging.not_given("R17", "casing above the hole")
        return
    for casing in judging.plan.above:
        limit = casing.drift_nm or casing.bore_nm
        if not casing.drift_nm:
            judging.not_given("R17", f"drift of the {casing.name}")
        if limit and widest > limit:
            what = "drift" if casing.drift_nm else "bore"
            text = (f"{at.link.ident} is {inches(widest)} in and the {what} of the {casing.name} is "
                    f"{inches(limit)} in.")
            judging.say("R17", text, (at,), measured=inches(widest), limit=inches(limit), unit="in")


def _catches(judging: Judging) -> None:
    """Diameters for which no fishing tool is on site, when the plan lists the tools."""
    listed = judging.plan.catches_nm
    if listed is None or judging.coupled:
        return
    by_od: dict[int, list[Placed]] = {}
    for at in judging.placed:
        for od in {at.link.spec.od_nm, at.link.spec.tj_od_nm} - {0}:
            if od not in listed and at.link.spec.kind not in _BITS:
                by_od.setdefault(od, []).append(at)
    for od, about in sorted(by_od.items()):
        text = (f"No fishing tool for {inches(od)} in is on site, the diameter of "
                f"{names_of([at.link for at in about])}.")
        judging.say("R17", text, about, measured=inches(od), limit="a catch on site", unit="in")


def way_through(pieces: Sequence[Placed], passing: Passing) -> Sequence[Placed]:
    """Return the pieces that `passing` goes through, from the top down to where it lands.

    `pieces` are all of the string from the bit upward (no unit). Raises nothing. Source: common practice.
    """
    way = []
    for at in reversed(pieces):
        named = passing.down_to and passing.down_to in (at.link.ident, at.link.tag, at.link.spec.kind)
        if named or (not passing.down_to and at.link.spec.kind in NO_BORE):
            break
        way.append(at)
    return way


def bores(judging: Judging) -> None:
    """R18: what is dropped or pumped through the string passes every piece down to where it lands.

    `judging` is the string (sizes in nm). Raises nothing. Source: common practice.
    """
    for passing in judging.plan.passes:
        for at in way_through(judging.placed, passing):
            least = judging.body(at).least_nm
            if least is None:
                plain = at.link.spec.kind in (PIPE, HEAVY)
                judging.missing("R18", "bore of the tool joint" if plain else "bore", (at,))
            elif least <= passing.size_nm:
                text = (f"{passing.name}, {inches(passing.size_nm)} in, does not pass {at.link.ident}: its "
                        f"least bore is {inches(least)} in.")
                judging.say("R18", text, (at,), measured=inches(least), limit=inches(passing.size_nm),
                            unit="in")


def bit_size(judging: Judging) -> None:
    """R22: the bit has the size of the hole and passes the drift of every casing above it.

    `judging` is the string (sizes in nm); any size is taken. Raises nothing. Source: common practice.
    """
    openers = judging.of("hole_opener", "under_reamer", "reamer")
    for at in judging.of(*_BITS):
        size, hole = gauge_nm(judging, at), judging.plan.hole_nm
        if size is None:
            judging.missing("R22", "OD", (at,))
            continue
        if hole is None:
            judging.not_given("R22", "hole size")
        elif at.link.spec.od_nm != hole and not (openers and at.link.spec.od_nm < hole):
            made = inches(at.link.spec.od_nm)
            text = f"{at.link.ident} is a {made} in bit; the hole is {inches(hole)} in."
            judging.say("R22", text, (at,), measured=made, limit=inches(hole), unit="in")
        if judging.plan.above is None:
            judging.not_given("R22", "casing above the hole")
        for casing in judging.plan.above or ():
            if casing.drift_nm is None:
                judging.not_given("R22", f"drift of the {casing.name}")
            elif size > casing.drift_nm:
                text = (f"{at.link.ident} is {inches(size)} in and does not pass the {casing.name}, whose "
                        f"drift is {inches(casing.drift_nm)} in.")
                judging.say("R22", text, (at,), measured=inches(size), limit=inches(casing.drift_nm),
                            unit="in")
