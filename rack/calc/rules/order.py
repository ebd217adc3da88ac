"""Rules of what stands where: R01, R04, R05, R06, R10, R13, R23, R27, R28."""

from collections.abc import Sequence

from rack.calc.bodies import COLLARS, HEAVY, PIPE
from rack.calc.chain import Placed
from rack.calc.kinds import kind_of
from rack.calc.lengths import Length
from rack.calc.rules.judging import Judging, names_of
from rack.calc.specs import trimmed
from rack.calc.units import NM

#: What may stand at the bottom of a string.
HOLE_MAKING = ("bit", "core_bit", "mill", "hole_opener", "reamer", "under_reamer", "scraper", "fishing_tool")
_BLUNT = ("bull", "mule shoe", "muleshoe", "stinger", "guide")
_BITS = ("bit", "core_bit", "mill", "hole_opener")
#: What may stand between a bit and the motor over it.
_SHORT = ("bit_sub", "sub", "crossover", "float_sub", "stabilizer", "reamer", "rotary_steerable", "mwd")
MEASURING_WITHIN, FLOAT_WITHIN = 8, 5
_BARREL = (Length(30 * NM["ft"]), Length(90 * NM["ft"]))
#: The order of stiffness, the stiffest first.
_RANK = {COLLARS: 0, HEAVY: 1, PIPE: 2}
_TOP = ("saver_sub", "kelly", "safety_valve")
_SHOES, _LANDINGS = ("float_shoe", "guide_shoe"), ("float_collar", "landing_collar", "stage_collar")


def _kind(at: Placed) -> str:
    return kind_of(at.link.spec.kind).name


def _name(at: Placed) -> str:
    return f"{at.link.ident} ({_kind(at)})"


def bottom(judging: Judging) -> None:
    """R01: a bit or another tool that makes hole is the lowest piece of a drilling string.

    `judging` is the string (no unit). Raises nothing. Source: common practice.
    """
    if judging.coupled or not judging.placed:
        return
    first = judging.placed[0]
    name = judging.body(first).facts.get("name", "").casefold()
    if first.link.spec.kind in HOLE_MAKING or any(word in name for word in _BLUNT):
        return
    text = (f"The lowest piece is {_name(first)}; a bit, core bit, mill, reamer, scraper or fishing tool "
            "is expected there.")
    judging.say("R01", text, (first,), measured=_kind(first), limit="bit or other hole-making tool")


def motor_on_bit(judging: Judging) -> None:
    """R04: no more than one short sub or near-bit tool stands between a bit and the lowest motor.

    `judging` is the string (no unit). Raises nothing. Source: common practice.
    """
    motors = judging.of("motor")
    if not motors:
        return
    between = [at for at in judging.placed[: motors[0].n - 1] if at.link.spec.kind not in _BITS]
    pieces = sum(at.link.count for at in between)
    long = [at for at in between if at.link.spec.kind not in _SHORT]
    if pieces <= 1 and not long:
        return
    text = (f"{pieces} piece{'s stand' if pieces > 1 else ' stands'} between the bit and the motor "
            f"{motors[0].link.ident}: {names_of([at.link for at in between])}. One short sub, near-bit "
            "stabilizer or rotary steerable is usual.")
    judging.say("R04", text, [*between, motors[0]], measured=str(pieces), limit="1", unit="pieces")


def _non_magnetic(judging: Judging, at: Placed) -> bool:
    return judging.body(at).facts.get("non_magnetic") == "yes"


def directional_sensor(judging: Judging) -> None:
    """R05: the directional sensor has non-magnetic steel below and above it, as much as the plan says.

    `judging` is the string (lengths in nm). Raises nothing. The length needed comes from the survey plan;
    without one only that there is some is judged. Source: open guides on non-magnetic collars.
    """
    for at in judging.of("mwd"):
        if judging.body(at).facts.get("senses") == "LWD":
            continue
        down = judging.placed[at.n - 2] if at.n > 1 else None
        up = judging.placed[at.n] if at.n < len(judging.placed) else None
        sides = ((down, "below"), (up, "above"))
        clear = [side is not None and _non_magnetic(judging, side) for side, _ in sides]
        own = _non_magnetic(judging, at)
        sensor = judging.body(at).facts.get("sensor_nm", "")
        if not all(clear) and not own:
            lacking = " and ".join(words for ok, (_, words) in zip(clear, sides, strict=True) if not ok)
            text = (f"{at.link.ident} is not noted as non-magnetic, and the piece {lacking} it is not "
                    "either: the directional sensor needs non-magnetic steel below and above.")
            judging.say("R05", text, (at,), measured="magnetic, or not noted", limit="non-magnetic")
        elif not all(clear) and not sensor:
            judging.missing("R05", "distance of the sensor from the lower shoulder", (at,))
        if judging.plan.non_magnetic_nm is not None:
            _enough(judging, at, judging.plan.non_magnetic_nm)


def _enough(judging: Judging, at: Placed, wanted_nm: int) -> None:
    """Whether the unbroken non-magnetic length around the tool reaches what the survey plan wants."""
    around = [at]
    for step, index in ((-1, at.n - 2), (1, at.n)):
        while 0 <= index < len(judging.placed) and _non_magnetic(judging, judging.placed[index]):
            around.append(judging.placed[index])
            index += step
    if not _non_magnetic(judging, at):
        around = around[1:]
    unknown = [one for one in around if one.link.length is None]
    there = sum(one.link.length.nanometres for one in around if one.link.length is not None)
    if there >= wanted_nm:
        return
    if unknown:
        judging.missing("R05", "length", unknown)
        return
    text = (f"{trimmed(there)} ft around {at.link.ident} are non-magnetic; the survey plan wants "
            f"{trimmed(wanted_nm)} ft.")
    judging.say("R05", text, (at,), measured=trimmed(there), limit=trimmed(wanted_nm), unit="ft",
                source="the survey plan")


def measuring_place(judging: Judging) -> None:
    """R06: measuring tools stand over the motor, among the first pieces from the bit.

    `judging` is the string (no unit). Raises nothing. Source: common practice.
    """
    motors = judging.of("motor")
    for at in judging.of("mwd"):
        if judging.body(at).facts.get("senses") == "LWD":
            continue
        if motors and at.n < motors[0].n:
            text = f"{at.link.ident} is below the motor {motors[0].link.ident}; it usually stands over it."
            judging.say("R06", text, (at, motors[0]), measured="below the motor", limit="over the motor")
        if at.n > MEASURING_WITHIN:
            text = (f"{at.link.ident} is piece {at.n} from the bit; measuring tools usually stand among "
                    f"the first {MEASURING_WITHIN}.")
            judging.say("R06", text, (at,), measured=str(at.n), limit=str(MEASURING_WITHIN), unit="pieces")


def float_near_bit(judging: Judging) -> None:
    """R10: where the programme wants a float, one is fitted among the lowest pieces.

    `judging` is the string (no unit). Raises nothing. Source: common practice.
    """
    if not judging.plan.float_wanted or judging.coupled:
        return
    near = [at for at in judging.of("float_sub") if at.n <= FLOAT_WITHIN]
    fitted = {at.n: judging.body(at).facts.get("float", "") for at in near}
    if any(value in ("plain", "ported") for value in fitted.values()):
        return
    unsaid = [at for at in near if not fitted[at.n]]
    if unsaid:
        judging.missing("R10", "float fitted", unsaid)
        return
    text = f"The programme wants a float, and none is fitted in the lowest {FLOAT_WITHIN} pieces."
    judging.say("R10", text, near, measured="none", limit="a float near the bit")


def order_of_stiffness(judging: Judging) -> None:
    """R13: no collar stands over heavy-weight, and neither over drill pipe. `judging` is the string.

    In a long reach heavy-weight may stand higher; that is consented to. No unit; raises nothing.
    Source: common practice.
    """
    ranked = judging.of(*_RANK)
    for lower, upper in zip(ranked, ranked[1:], strict=False):
        if _RANK[upper.link.spec.kind] < _RANK[lower.link.spec.kind]:
            text = (f"{_name(upper)} stands over {_name(lower)}; collars, then heavy-weight, then drill "
                    "pipe is the usual order from the bit.")
            judging.say("R13", text, (lower, upper), where=f"between {lower.n} and {upper.n}",
                        measured=_kind(upper), limit=_kind(lower))


def core_barrel(judging: Judging) -> None:
    """R23: a core barrel has a usual length and a core bit at the bottom, and a core bit has its barrel.

    `judging` is the string (lengths in nm). Raises nothing. Source: common practice.
    """
    barrels, bits = judging.of("core_barrel"), judging.of("core_bit")
    first = judging.placed[:1]
    if barrels and not (first and first[0].link.spec.kind == "core_bit"):
        text = f"{barrels[0].link.ident} is a core barrel, and no core bit is at the bottom."
        judging.say("R23", text, (barrels[0],), measured="no core bit", limit="core bit")
    if bits and not barrels:
        text = f"{bits[0].link.ident} is a core bit, and no core barrel is over it."
        judging.say("R23", text, (bits[0],), measured="no core barrel", limit="core barrel")
    for at in barrels:
        said = judging.body(at).facts.get("barrel_nm", "")
        length = Length(int(said)) if said else at.link.length if at.link.count == 1 else None
        if length is None:
            judging.missing("R23", "length of the barrel", (at,))
        elif not _BARREL[0] <= length <= _BARREL[1]:
            shown = trimmed(length.nanometres)
            text = f"{at.link.ident} is {shown} ft long; core barrels are usually 30 to 90 ft."
            judging.say("R23", text, (at,), measured=shown, limit="30 to 90", unit="ft")


def top(judging: Judging) -> None:
    """R27: a string that ends in drill pipe has a saver sub, a valve or a kelly over it.

    `judging` is the string (no unit); a list that ends in the bottom-hole assembly is not asked. Raises
    nothing. Source: common practice.
    """
    if judging.placed and judging.placed[-1].link.spec.kind == PIPE:
        last = judging.placed[-1]
        text = (f"The highest piece is {_name(last)}; a saver sub, a safety valve or the kelly is not in "
                "the list.")
        judging.say("R27", text, (last,), measured=_kind(last), limit="saver sub")


def shoe_track(judging: Judging) -> None:
    """R28: casing begins with a shoe, then the joints of the shoe track, then a collar.

    `judging` is the string, `Plan.shoe_track` the joints wanted (count). Raises nothing. Source: operator
    guide on casing; common practice.
    """
    kinds = [at.link.spec.kind for at in judging.placed]
    if not judging.coupled or not {"casing", *_SHOES, *_LANDINGS[:2]} & set(kinds):
        return
    if kinds[0] not in _SHOES:
        text = f"The lowest piece is {_name(judging.placed[0])}; a casing list begins with its shoe."
        judging.say("R28", text, judging.placed[:1], measured=_kind(judging.placed[0]), limit="shoe")
    collars = judging.of(*_LANDINGS[:2])
    if not collars:
        text = "No float collar or landing collar is in the list; the shoe track has no end."
        judging.say("R28", text, measured="none", limit="float collar")
        return
    track = judging.placed[1 if kinds[0] in _SHOES else 0 : collars[0].n - 1]
    joints = sum(at.link.count for at in track if at.link.spec.kind in ("casing", "pup_joint"))
    _track(judging, joints, [*judging.placed[:1], collars[0]], track)


def _track(judging: Judging, joints: int, about: Sequence[Placed], track: Sequence[Placed]) -> None:
    wanted = judging.plan.shoe_track
    if wanted is not None and joints != wanted:
        text = f"The shoe track has {joints} joint{'' if joints == 1 else 's'}; the programme wants {wanted}."
        judging.say("R28", text, about, measured=str(joints), limit=str(wanted), unit="joints",
                    source="the programme")
    elif not joints and wanted is None:
        text = "The collar stands on the shoe, with no joint of a shoe track between them."
        judging.say("R28", text, about, measured="0", limit="1 or more", unit="joints")
    strange = [at for at in track if at.link.spec.kind not in ("casing", "pup_joint")]
    if strange:
        text = f"{names_of([at.link for at in strange])} stands in the shoe track, where only joints belong."
        judging.say("R28", text, strange, measured=_kind(strange[0]), limit="casing")
