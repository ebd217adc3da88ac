"""Rules of the threads: what mates, a bit's pin, stress relief, bending strength (R02, R03, R19, R24)."""

from rack.calc import connections
from rack.calc.bodies import COLLARS
from rack.calc.chain import Placed
from rack.calc.checks import Severity
from rack.calc.connections import End
from rack.calc.figures import figure
from rack.calc.kinds import kind_of
from rack.calc.lookup import Catalogue
from rack.calc.rules.judging import Judging, names_of

#: The bending strength ratio that a collar is usually kept in.
USUAL_RATIO = (2.25, 2.75)
_STRANGE = "one of them is a name that no table has."


def _pairs(judging: Judging) -> list[tuple[Placed, Placed]]:
    return list(zip(judging.placed, judging.placed[1:], strict=False))


def _between(lower: Placed, upper: Placed) -> str:
    return f"between {lower.n} and {upper.n}"


def _ends(lower: Placed, upper: Placed) -> tuple[End, End]:
    """The box end below and the pin end above, as a rule: top of the lower piece, bottom of the upper."""
    one, other = lower.link.spec, upper.link.spec
    size = kind_of(one.kind).family == "coupled" and kind_of(other.kind).family == "coupled"
    return (End(one.up_conn, one.up_gender, one.od_nm if size else 0),
            End(other.down_conn, other.down_gender, other.od_nm if size else 0))  # fmt: skip


def mating(judging: Judging) -> None:
    """R02: every thread makes up with the next, by the tables' names and by gender.

    `judging` is the string (no unit). Raises nothing. Source: table "interchange"; common practice.
    """
    for lower, upper in _pairs(judging):
        if _threadless(judging, lower, upper):
            continue
        _one_pair(judging, lower, upper)
    for at in judging.placed:
        if at.link.count > 1:
            _one_pair(judging, at, at)


def _threadless(judging: Judging, lower: Placed, upper: Placed) -> bool:
    """Whether one of the two has no thread at this end by its kind, which is then said."""
    for at, end, words in ((lower, "down", "upper"), (upper, "up", "lower")):
        kind = kind_of(at.link.spec.kind)
        if kind.one_end == end:
            text = (f"{at.link.ident} is a {kind.name} and has no thread at its {words} end; "
                    f"{(upper if at is lower else lower).link.ident} cannot be made up to it.")
            judging.say("R02", text, (lower, upper), where=_between(lower, upper))
            return True
    return False


def _one_pair(judging: Judging, lower: Placed, upper: Placed) -> None:
    box, pin = _ends(lower, upper)
    for at, end, place in ((lower, box, "upper"), (upper, pin, "lower")):
        if not end.thread:
            judging.missing("R02", f"connection at the {place} end", (at,))
        elif not end.gender:
            judging.missing("R02", f"gender (box or pin) of the {place} end", (at,))
    if not box.thread or not pin.thread:
        return
    why = _why_not(box, pin, judging.bodies.catalogue)
    if why:
        strange = why.endswith(_STRANGE)
        pair = (f"the joints of {lower.link.ident}" if lower is upper
                else f"{upper.link.ident} on top of {lower.link.ident}")
        text = (f"{pair[:1].upper()}{pair[1:]}: {why} The lower piece has {_shown(box)} up, "
                f"the upper one {_shown(pin)} down.")
        place = f"within {lower.n}" if lower is upper else _between(lower, upper)
        judging.say("R02", text, (lower,) if lower is upper else (lower, upper), where=place,
                    severity=Severity.ASKS if strange else None,
                    measured=_shown(pin), limit=_shown(End(box.thread, "pin" if box.gender == "box" else "")))


def _why_not(box: End, pin: End, catalogue: Catalogue) -> str:
    """Why two ends do not make up. Makers' threads are in no table: they go by their very names.

    Whether two strange names are one thread nobody here knows, so that asks; two pins stop as ever.
    """
    try:
        return connections.why_not(box, pin, catalogue)
    except ValueError:
        if _plain(box.thread) != _plain(pin.thread):
            return f"{box.thread} and {pin.thread} are not known to make up; {_STRANGE}"
        same = bool(box.gender) and box.gender == pin.gender
        return f"{box.thread} {box.gender} does not make up with another {pin.gender}." if same else ""


def _plain(name: str) -> str:
    return "".join(sign for sign in name.casefold() if sign.isalnum())


def _shown(end: End) -> str:
    return f"{end.thread} {end.gender}".strip()


def bit_in_a_box(judging: Judging) -> None:
    """R03: a bit that has a pin needs a box above it. `judging` is the string (no unit).

    Raises nothing; ends that are not known are told by R02. Source: lexicon of drilling, common practice.
    """
    for lower, upper in _pairs(judging):
        if lower.link.spec.kind not in ("bit", "core_bit"):
            continue
        end = lower.link.spec.up_gender
        if end == "pin" and upper.link.spec.down_gender == "pin":
            text = (f"{lower.link.ident} has a pin up, and so has {upper.link.ident} down. A bit sub (box by "
                    "box), a motor, a near-bit stabilizer or a rotary steerable belongs between them.")
            judging.say("R03", text, (lower, upper), where=_between(lower, upper), measured="pin",
                        limit="box")


def stress_relief(judging: Judging) -> None:
    """R19: where the programme wants it, every pin of the assembly is relieved and every box bored back.

    `judging` is the string (no unit). Raises nothing. Source: directional guide; common practice.
    """
    if not judging.plan.stress_relief_wanted or judging.coupled:
        return
    wanted = (("pin", "relief", "stress relief of the pin", "its pin is not stress-relieved"),
              ("box", "bored_back", "bore-back of the box", "its box is not bored back"))  # fmt: skip
    for at in judging.placed:
        kind = kind_of(at.link.spec.kind)
        if not any(fact.name == "relief" for fact in kind.facts):
            continue
        spec, facts, lacks = at.link.spec, judging.body(at).facts, []
        for gender, fact, what, words in wanted:
            if gender not in (spec.up_gender, spec.down_gender):
                continue
            if facts.get(fact) == "no":
                lacks.append(words)
            elif facts.get(fact) != "yes":
                judging.missing("R19", what, (at,))
        if lacks:
            judging.say("R19", f"{at.link.ident}: {' and '.join(lacks)}, and the programme asks for it.",
                        (at,), measured="no", limit="yes")  # fmt: skip


def bending_strength(judging: Judging) -> None:
    """R24: the bending strength ratio of each thread of each collar lies in the range wanted.

    `judging` is the string (ratios without unit). Raises nothing. Source: RP 7G appendix for the ratio;
    the range is a recommendation, from memory and a forum, or of the standard that the plan names.
    """
    seen: dict[tuple[str, float, float], list[Placed]] = {}
    for at in judging.of(COLLARS):
        body, spec = judging.body(at), at.link.spec
        if body.od_in is None or body.bore_in is None:
            judging.lacks_size("R24", at)
            continue
        for thread in dict.fromkeys(name for name in (spec.up_conn, spec.down_conn) if name):
            seen.setdefault((thread, body.od_in, body.bore_in), []).append(at)
    for (thread, od, bore), about in seen.items():
        _ratio(judging, thread, od, bore, about)


def _ratio(judging: Judging, thread: str, od: float, bore: float, about: list[Placed]) -> None:
    who = names_of([at.link for at in about])
    low, high, source = *USUAL_RATIO, ""
    try:
        dimensions = connections.thread_of(thread, judging.bodies.catalogue)
        ratio = connections.bending_strength_ratio(dimensions, od, bore)
        if judging.plan.ratio_standard:
            band = connections.recommended_ratio(judging.plan.ratio_standard, od,
                                                 catalogue=judging.bodies.catalogue)
            low, high, source = band.low, band.high, f"{band.standard}, a recommendation"
    except ValueError as wrong:
        judging.say("R24", f"{who}: no bending strength ratio can be worked out for {thread}: {wrong}.",
                    about, limit=f"{low:g} to {high:g}")  # fmt: skip
        return
    if low <= ratio <= high:
        return
    weak = "the pin is the weaker" if ratio > high else "the box is the weaker"
    text = (f"{who}: {thread} on {figure(od)} x {figure(bore)} in has a bending strength ratio of "
            f"{ratio:.2f}; {low:g} to {high:g} is wanted, so {weak}.")
    judging.say("R24", text, about, measured=f"{ratio:.2f}", limit=f"{low:g} to {high:g}", source=source)
