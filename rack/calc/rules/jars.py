"""Rules of the jars and of what telescopes: R07, R08, R09, R30; and of the fishing data: R29, R31."""

from rack.calc import strings
from rack.calc.bodies import COLLARS, HEAVY, PIPE, UNWEIGHED
from rack.calc.chain import Placed
from rack.calc.kinds import kind_of
from rack.calc.lengths import Length
from rack.calc.rules.judging import Judging, names_of
from rack.calc.specs import inches, trimmed
from rack.calc.strings import Section
from rack.calc.telescopes import NEAR
from rack.calc.units import NM
from rack.calc.weights import buoyancy_factor

#: How many collars or heavy-weight a jar wants on each side.
EACH_SIDE = 2
_PASSED_OVER = ("crossover", "sub", "float_sub", "circulating_sub", "accelerator", "shock_sub", "bumper_sub",
                "jar")  # fmt: skip


def _mass(judging: Judging, at: Placed, step: int) -> int:
    """Collars and heavy-weight next to the jar on one side; short subs between them do not count."""
    found, index = 0, at.n - 1 + step
    while 0 <= index < len(judging.placed):
        link = judging.placed[index].link
        if link.spec.kind in (COLLARS, HEAVY):
            found += link.count
        elif link.spec.kind not in _PASSED_OVER:
            break
        index += step
    return found


def mass_both_sides(judging: Judging) -> None:
    """R07: a jar has two collars or heavy-weight or more directly below and above it.

    `judging` is the string (count of pieces). Raises nothing. Source: common practice.
    """
    for at in judging.of("jar"):
        for step, side in ((-1, "below"), (1, "above")):
            mass = _mass(judging, at, step)
            if mass < EACH_SIDE:
                text = (f"The jar {at.link.ident} has {mass or 'no'} collar{'s' if mass != 1 else ''} or "
                        f"heavy-weight directly {side} it; at least {EACH_SIDE} are wanted.")
                judging.say("R07", text, (at,), measured=str(mass), limit=str(EACH_SIDE), unit="pieces")


def sections_of(judging: Judging, code: str) -> list[Section] | None:
    """Return the string piece by piece as sections (ft, lb/ft) for a rule `code`; None, told, when unknown.

    `judging` is the string. Bits are not weighed: the smallest weight stands for them. Raises nothing.
    Source: `bodies`.
    """
    found, known = [], True
    for at in judging.placed:
        body = judging.body(at)
        if at.link.length is None:
            judging.missing(code, "length", (at,))
            known = False
            continue
        weight = body.weight.value or (0.001 if at.link.spec.kind in UNWEIGHED else None)
        if weight is None:
            judging.missing(code, "weight", (at,))
            known = False
            continue
        found.append(Section(at.link.ident, at.link.length.nanometres / NM["ft"], weight))
    return found if known else None


def neutral_point(judging: Judging) -> None:
    """R08: the jar is away from the neutral point by the planner's share, and no stabilizer is over it.

    `judging` is the string (lb, ft); the share is of the length below the drill pipe. Raises nothing.
    Source: common practice.
    """
    jars = judging.of("jar")
    for at in jars:
        over = [one for one in judging.of("stabilizer") if one.n > at.n]
        if over:
            text = f"The stabilizer {over[0].link.ident} is over the jar {at.link.ident} and can hold it."
            judging.say("R08", text, (at, *over), measured="a stabilizer above", limit="none above")
    plan = judging.plan
    if not jars:
        return
    for what, value in (("mud weight", plan.mud_ppg), ("weight on bit", plan.weight_on_bit_lb)):
        if value is None:
            judging.not_given("R08", what)
    if plan.mud_ppg is None or plan.weight_on_bit_lb is None:
        return
    sections = sections_of(judging, "R08")
    if sections is None:
        return
    try:
        height = strings.neutral_point_ft(sections, buoyancy_factor(plan.mud_ppg), plan.weight_on_bit_lb,
                                          inclination_deg=plan.inclination_deg)
    except ValueError:
        return  # more weight on bit than the string has: R26 says so
    for at in jars:
        _away(judging, at, height)


def _away(judging: Judging, at: Placed, height_ft: float) -> None:
    if at.bottom is None or at.top is None:
        return
    low, high = at.bottom.nanometres / NM["ft"], at.top.nanometres / NM["ft"]
    pipe = [one.bottom for one in judging.of(PIPE) if one.bottom is not None]
    whole = (pipe[0] if pipe else judging.placed[-1].top) or Length(0)
    margin = judging.plan.neutral_margin * whole.nanometres / NM["ft"]
    away = max(low - height_ft, height_ft - high, 0)
    if away < margin:
        text = (f"The neutral point is {height_ft:.0f} ft above the bit and the jar {at.link.ident} stands "
                f"from {low:.0f} to {high:.0f} ft; it should be {margin:.0f} ft away from it.")
        judging.say("R08", text, (at,), measured=f"{away:.0f}", limit=f"{margin:.0f}", unit="ft")


def not_the_step(judging: Judging) -> None:
    """R09: no neighbour of a jar is wider than the jar. `judging` is the string (sizes in nm).

    Raises nothing. Source: common practice.
    """
    for at in judging.of("jar"):
        jar = at.link.spec.od_nm
        if not jar:
            judging.missing("R09", "OD", (at,))
            continue
        for index in (at.n - 2, at.n):
            if not 0 <= index < len(judging.placed):
                continue
            one = judging.placed[index]
            if not one.link.spec.od_nm:
                judging.missing("R09", "OD", (one,))
            elif one.link.spec.od_nm > jar:
                text = (f"{one.link.ident} is {inches(one.link.spec.od_nm)} in and stands at the jar "
                        f"{at.link.ident} of {inches(jar)} in: the string changes its size at the jar.")
                low, high = sorted((at.n, one.n))
                judging.say("R09", text, (at, one), where=f"between {low} and {high}",
                            measured=inches(one.link.spec.od_nm), limit=inches(jar), unit="in")


def fishing_data(judging: Judging) -> None:
    """R29: every piece of the assembly has OD, bore, length, and the OD and length of its fishing neck.

    `judging` is the string up to its drill pipe. Raises nothing. Source: common practice.
    """
    if judging.coupled:
        return
    alike: dict[str, list[Placed]] = {}
    for at in judging.placed:
        kind = kind_of(at.link.spec.kind)
        if kind.code == PIPE:
            continue
        body, facts = judging.body(at), {fact.name for fact in kind.facts}
        lacks = []
        if body.od_in is None:
            lacks.append("OD")
        if body.bore_in is None and kind.one_end != "up":
            lacks.append("bore")
        if at.link.length is None:
            lacks.append("length")
        if "neck_od_nm" in facts:
            lacks += [words for name, words in (("neck_od_nm", "fishing-neck OD"),
                      ("neck_nm", "fishing-neck length")) if not body.facts.get(name)]  # fmt: skip
        if lacks:
            listed = lacks[0] if len(lacks) == 1 else f"{', '.join(lacks[:-1])} and {lacks[-1]}"
            alike.setdefault(listed, []).append(at)
    for listed, pieces in alike.items():
        names = names_of([at.link for at in pieces])
        text = f"The fishing data of {names} are not complete: {listed} not known."
        judging.say("R29", text, tuple(pieces), measured=listed, limit="all five")


def telescopes(judging: Judging) -> None:
    """R30: what telescopes has a length open and closed, open the longer, and says which one is used.

    `judging` is the string (lengths in nm). Raises nothing. Source: common practice; 0.1 ft is near.
    """
    for at in judging.placed:
        link = at.link
        if not kind_of(link.spec.kind).telescopes:
            continue
        said = ((link.opened, "its length open"), (link.closed, "its length closed"),
                (link.stands, "which of the two is used"))  # fmt: skip
        lacks = [words for value, words in said if not value]
        if lacks:
            listed = lacks[0] if len(lacks) == 1 else f"{', '.join(lacks[:-1])} and {lacks[-1]}"
            judging.say("R30", f"{link.ident} telescopes, and {listed} is not known.", (at,), measured=listed,
                        limit="open, closed, and which")  # fmt: skip
        if link.opened and link.closed and link.opened <= link.closed:
            text = (f"{link.ident} is {_ft(link.opened)} ft open and {_ft(link.closed)} ft closed; open is "
                    "the longer. Were the two exchanged?")
            judging.say("R30", text, (at,), measured=_ft(link.opened), limit=_ft(link.closed), unit="ft")
        used = {"open": link.opened, "closed": link.closed}.get(link.stands)
        if used and link.length and link.count == 1 and abs(link.length - used) > NEAR:
            text = (f"{link.ident} is counted with {_ft(link.length)} ft and is {_ft(used)} ft "
                    f"{link.stands}.")
            judging.say("R30", text, (at,), measured=_ft(link.length), limit=_ft(used), unit="ft")


def _ft(length: Length) -> str:
    return trimmed(length.nanometres)


def what_is_worked_out(judging: Judging) -> None:
    """R31: what hangs below the jars and how far the sensors are from the bit can be worked out.

    `judging` is the string. It tells what is missing for it; the figures are those of `string_loads`.
    Raises nothing. Source: common practice.
    """
    jars, tools = judging.of("jar"), judging.of("mwd")
    if jars:
        for at in judging.placed[: jars[0].n - 1]:
            if at.link.length is None:
                judging.missing("R31", "length", (at,))
            elif judging.body(at).weight.value is None and at.link.spec.kind not in UNWEIGHED:
                judging.missing("R31", "weight", (at,))
        if judging.plan.mud_ppg is None:
            judging.not_given("R31", "mud weight")
    for at in tools:
        if not judging.body(at).facts.get("sensor_nm"):
            judging.missing("R31", "distance of the sensor from the lower shoulder", (at,))
        below = judging.placed[: at.n - 1]
        judging.missing("R31", "length", [one for one in below if one.link.length is None])
