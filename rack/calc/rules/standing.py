"""Rules of grade, class and standing: R14, R15, R16, R20, R21, R25; and of the weight on bit: R26."""

from collections.abc import Callable, Hashable, Sequence

from rack.calc import strings
from rack.calc.bodies import COLLARS, HEAVY, PIPE, UNWEIGHED
from rack.calc.chain import Placed
from rack.calc.checks import Severity
from rack.calc.kinds import kind_of
from rack.calc.rules.judging import Judging, names_of, where_of
from rack.calc.specs import size_label, weight_label
from rack.calc.states import STATES
from rack.calc.strings import Section
from rack.calc.units import NM
from rack.calc.weights import buoyancy_factor

#: Classes of used drill pipe from the best, by the scheme of RP 7G; what is on no ladder is asked.
LADDER = {"new": 0, "class 1": 0, "premium": 1, "class 2": 2, "class 3": 3}
#: Classes with which nothing goes in the hole.
REJECTED = ("scrap", "reject", "rejected", "scrapped")
_GONE = ("returned", "left_in_well", "lost_in_hole")
_AWAY = ("at_inspection", "in_repair", "on_order", "in_transit")
_OTHERS = ("law", "maker", "contract", "company")
#: High grades that sour service may forbid: above this yield.
_SOUR_PSI = 105_000


def _runs(judging: Judging, kind: str) -> list[list[Placed]]:
    """Consecutive pieces of this kind and one diameter."""
    runs: list[list[Placed]] = []
    for at in judging.placed:
        if at.link.spec.kind != kind:
            runs.append([])
        elif runs and runs[-1] and runs[-1][-1].link.spec.od_nm == at.link.spec.od_nm:
            runs[-1].append(at)
        else:
            runs.append([at])
    return [run for run in runs if run]


def grades(judging: Judging) -> None:
    """R14: no drill pipe has less yield than the drill pipe below it; high grades are noted when sour.

    `judging` is the string (yields in psi). Raises nothing. Source: common practice; table "grades".
    """
    pipe = judging.of(PIPE)
    unknown = [at for at in pipe if judging.body(at).yield_psi is None]
    judging.missing("R14", "grade", unknown)
    known = [at for at in pipe if judging.body(at).yield_psi is not None]
    for lower, upper in zip(known, known[1:], strict=False):
        one, other = judging.body(lower).yield_psi or 0, judging.body(upper).yield_psi or 0
        if other < one:
            text = (f"{upper.link.ident} is {upper.link.spec.grade} and stands over {lower.link.ident} of "
                    f"{lower.link.spec.grade}; the stronger grade belongs on top.")
            judging.say("R14", text, (lower, upper), where=f"between {lower.n} and {upper.n}",
                        measured=f"{other:,.0f}", limit=f"{one:,.0f}", unit="psi")
    strong = [at for at in known if (judging.body(at).yield_psi or 0) > _SOUR_PSI]
    if judging.plan.sour and strong:
        text = (f"{names_of([at.link for at in strong])} "
                f"{'are' if len(strong) > 1 else 'is'} {strong[0].link.spec.grade}: high grades may be "
                "forbidden in sour service.")
        judging.say("R14", text, strong, measured=strong[0].link.spec.grade, limit="G105")


def least_class(judging: Judging) -> None:
    """R15: no drill pipe is of a lower class than the least one wanted; ours only tells, others stop.

    `judging` is the string (classes as given). Raises nothing. Source: operator guide and DS-1 tables
    that ask for a least class; whose minimum it is stands in the plan.
    """
    wanted = judging.plan.class_wanted.strip()
    rank = LADDER.get(wanted.lower())
    if not wanted:
        return
    severity = Severity.NOTE if judging.plan.class_by == "default" else Severity.STOPS
    asks = Severity.NOTE if severity is Severity.NOTE else Severity.ASKS
    if severity is Severity.NOTE:
        judging.only_tells.add("R15")
    below: dict[str, list[Placed]] = {}
    strange: dict[str, list[Placed]] = {}
    for at in judging.of(PIPE):
        said, scheme = at.link.pipe_class.strip(), judging.plan.class_scheme
        other = bool(scheme and at.link.scheme and scheme != at.link.scheme)
        if not said:
            judging.missing("R15", "class", (at,))
        elif said.lower() in REJECTED:  # below every class, whatever the ladder: R16 stops it
            continue
        elif rank is None or said.lower() not in LADDER or other:
            # The wanted class itself is good, on whatever ladder it stands.
            if said.lower() != wanted.lower() or other:
                strange.setdefault(f"{said} ({at.link.scheme})" if other else said, []).append(at)
        elif LADDER[said.lower()] > rank:
            below.setdefault(said, []).append(at)
    whose = "our default" if judging.plan.class_by == "default" else f"the {judging.plan.class_by}"
    for said, about in below.items():
        text = (f"{names_of([at.link for at in about])} "
                f"{'are' if _count(about) > 1 else 'is'} {said}; {whose} wants {wanted} or better.")
        judging.say("R15", text, about, severity=severity, measured=said, limit=wanted,
                    source="our default" if judging.plan.class_by == "default" else whose)
    for said, about in strange.items():
        text = (f"The class {said} of {names_of([at.link for at in about])} cannot be compared with "
                f"{wanted}, which {whose} wants.")
        judging.say("R15", text, about, severity=asks, measured=said, limit=wanted)


def _count(about: Sequence[Placed]) -> int:
    return sum(at.link.count for at in about)


def standing(judging: Judging) -> None:
    """R16: nothing scrapped, held or overdue is in the string; clocks that nobody keeps are silent.

    `judging` is the string. Scrapped, or overdue by law, maker, contract or company stops; held asks with
    name and reason; overdue by a default of ours tells. Raises nothing. Source: common practice, law 9.
    """
    for at in judging.placed:
        link = at.link
        if link.state == "scrapped" or link.pipe_class.strip().lower() in REJECTED:
            said = "scrapped" if link.state == "scrapped" else f"classed {link.pipe_class}"
            judging.say("R16", f"{link.ident} is {said} and must not go in the hole.", (at,),
                        severity=Severity.STOPS, measured=said, limit="not scrapped")
        elif link.state in _GONE:
            judging.say("R16", f"{link.ident} is {STATES[link.state].name} and cannot be in a string.", (at,),
                        severity=Severity.STOPS, measured=STATES[link.state].name)  # fmt: skip
        elif link.state in _AWAY:
            judging.say("R16", f"{link.ident} is {STATES[link.state].name}; it has to be back in time.",
                        (at,), severity=Severity.NOTE, measured=STATES[link.state].name)  # fmt: skip
        for reason in link.holds:
            judging.say("R16", f"{link.ident} is held: {reason.rstrip('.')}.", (at,), measured="held",
                        limit="no hold")
    for (due, by), about in _grouped(judging.placed, lambda at: (at.link.due, at.link.due_by)).items():
        _overdue(judging, str(due), str(by), about)


def _grouped(all_of_them: Sequence[Placed],
             key: Callable[[Placed], tuple[Hashable, ...]]) -> dict[tuple[Hashable, ...], list[Placed]]:
    found: dict[tuple[Hashable, ...], list[Placed]] = {}
    for at in all_of_them:
        found.setdefault(key(at), []).append(at)
    return found


def _overdue(judging: Judging, due: str, by: str, about: list[Placed]) -> None:
    if due not in ("over", "due"):
        return
    who, verb = names_of([at.link for at in about]), "are" if _count(about) > 1 else "is"
    whose = f"the {by}" if by in _OTHERS else "a default of ours"
    if due == "due":
        judging.say("R16", f"{who} {verb} due for a look by {whose}.", about, severity=Severity.NOTE,
                    measured="due", limit="before it is overdue")
        return
    hard = by in _OTHERS
    ends = " and must not go in the hole before it" if hard else ""
    judging.say("R16", f"{who} {verb} overdue for a look by {whose}{ends}.", about,
                severity=Severity.STOPS if hard else Severity.NOTE, measured="overdue", limit="not overdue",
                source=whose)  # fmt: skip


def twice(judging: Judging) -> None:
    """R20: no piece is twice in a string, nor in another that is in the hole or racked; plans may share.

    `judging` is the string. Raises nothing. Source: common practice.
    """
    named = [at for at in judging.placed if at.link.named and (at.link.key or at.link.tag)]
    for _, about in _grouped(named, lambda at: (at.link.key or at.link.tag,)).items():
        if len(about) > 1:
            judging.say("R20", f"{about[0].link.ident} is in this string {len(about)} times: "
                        f"{where_of([at.n for at in about])}.", about, measured=str(len(about)),
                        limit="1", unit="times")
    for at in named:
        if not at.link.elsewhere:
            continue
        taken = not judging.plan.planned and at.link.state in ("in_string", "in_derrick")
        words = "it cannot be in two" if taken else "planned strings may share it"
        text = f"{at.link.ident} is in {at.link.elsewhere} as well; {words}."
        judging.say("R20", text, (at,), severity=Severity.STOPS if taken else Severity.NOTE,
                    measured=at.link.elsewhere, limit="one string")


def mixed(judging: Judging) -> None:
    """R21: pieces of one weight, class and grade stand together; a mix is told run by run.

    `judging` is the string. A weight, class or grade that comes back after another is mixed; what is not
    known is not compared. Raises nothing. Source: common practice.
    """
    for kind in (PIPE, HEAVY):
        for run in _runs(judging, kind):
            for what, value in (("weight", lambda at: weight_label(at.link.spec.weight_mlb_ft)),
                                ("grade", lambda at: at.link.spec.grade),
                                ("class", lambda at: at.link.pipe_class)):  # fmt: skip
                _mix(judging, run, what, value)


def _mix(judging: Judging, run: list[Placed], what: str, value: Callable[[Placed], str]) -> None:
    known = [(at, value(at)) for at in run if value(at)]
    changes = [said for n, (_, said) in enumerate(known) if n == 0 or known[n - 1][1] != said]
    if len(changes) == len(set(changes)):
        return
    kinds = list(dict.fromkeys(changes))
    odd = [at for at, said in known if said != _usual(known)]
    size = size_label(run[0].link.spec).split(" in ")[0]
    text = (f"{what.capitalize()} is mixed in the {size} in {kind_of(run[0].link.spec.kind).name}: "
            f"{' and '.join(kinds)} by turns; {names_of([at.link for at in odd])} "
            f"{'stand' if _count(odd) > 1 else 'stands'} among others.")
    judging.say("R21", text, odd, measured=" and ".join(kinds), limit=f"one {what}")


def _usual(known: Sequence[tuple[Placed, str]]) -> str:
    counted: dict[str, int] = {}
    for at, said in known:
        counted[said] = counted.get(said, 0) + at.link.count
    return max(counted, key=lambda said: counted[said])


def hours_left(judging: Judging) -> None:
    """R25: the hours left in each counter cover the planned ones; silent until hours are known.

    `judging` is the string (hours). Raises nothing. Source: common practice.
    """
    clocks, hours = judging.plan.clocks, judging.plan.hours
    if clocks is None:
        return
    if hours is None:
        judging.not_given("R25", "number of planned hours")
        return
    short: dict[tuple[str, str, str], list[Placed]] = {}
    for at in judging.placed:
        for clock in clocks.get(at.link.key, ()):
            if clock.used_h is None:
                judging.missing("R25", f"number of {clock.name} hours", (at,))
            elif clock.used_h + hours > clock.limit_h:
                left = round(max(clock.limit_h - clock.used_h, 0), 2)
                short.setdefault((clock.name, f"{left:g}", f"{clock.limit_h:g}"), []).append(at)
    for (name, rest, limit), about in short.items():
        has = "have" if len(about) > 1 else "has"
        text = (f"{names_of([at.link for at in about])} {has} {rest} {name} hours left of {limit}; the run "
                f"is planned with {hours:g}.")
        judging.say("R25", text, about, measured=rest, limit=f"{hours:g}", unit="h")


def weight_on_bit(judging: Judging) -> None:
    """R26: what stands below the drill pipe weighs enough in mud for the planned weight on bit.

    `judging` is the string (lb). What has no known weight counts as nothing only to say that the rest
    suffices. Raises nothing. Source: common practice; RP 7G for the weight.
    """
    plan = judging.plan
    if judging.coupled or not judging.of(COLLARS, HEAVY, PIPE):
        return
    if plan.weight_on_bit_lb is None or plan.mud_ppg is None:
        for what, value in (("weight on bit", plan.weight_on_bit_lb), ("mud weight", plan.mud_ppg)):
            if value is None:
                judging.not_given("R26", what)
        return
    first = next((at.n for at in judging.placed if at.link.spec.kind == PIPE), len(judging.placed) + 1)
    below, sections = judging.placed[: first - 1], []
    unknown: dict[str, list[Placed]] = {}
    for at in below:
        weight = judging.body(at).weight.value
        if weight is not None and at.link.length is not None:
            sections.append(Section(at.link.ident, at.link.length.nanometres / NM["ft"], weight))
        elif at.link.spec.kind not in UNWEIGHED:
            unknown.setdefault("length" if at.link.length is None else "weight", []).append(at)
    there = strings.weight_on_bit_available_lb(sections, buoyancy_factor(plan.mud_ppg),
                                               factor=plan.bit_factor, inclination_deg=plan.inclination_deg)
    if there >= plan.weight_on_bit_lb:
        return
    for what, about in unknown.items():
        judging.missing("R26", what, about)
    if unknown:
        return
    text = (f"Below the drill pipe {there:,.0f} lb are there for the bit, in mud and with a factor of "
            f"{plan.bit_factor:g}; {plan.weight_on_bit_lb:,.0f} lb are planned.")
    judging.say("R26", text, measured=f"{there:,.0f}", limit=f"{plan.weight_on_bit_lb:,.0f}", unit="lb")
