"""The class that readings and looks make, with every check; and whose class holds when two differ.

The worst single condition decides. What was not looked at is unknown, and unknown never passes.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from inspection.calc.bodies import body_checks
from inspection.calc.criteria import Scheme, scheme, schemes_for
from inspection.calc.ends import end_checks, worse_state
from inspection.calc.looked import ASKED, ENDS, asked_for, looked_at
from inspection.calc.readings import Look, Reading
from inspection.calc.tube import tube_checks
from inspection.calc.verdict import Check, Outcome
from rack.calc.checks import Problem
from rack.calc.specs import SpecFacts

__all__ = ["ASKED", "Settled", "Verdict", "classify", "settle"]


@dataclass(frozen=True)
class Verdict:
    """What an inspection comes to.

    `tube_class` and `joint_class` are "" where that part was not looked at whole; the `..._at_best` ones
    say how good it can be at most after what was found. `class_computed` is the worse of both, "" unless
    both are known or the piece is past help. `missing` names what the scope asks for and nobody told.
    """

    scheme: str
    edition: str
    scope: str
    checks: tuple[Check, ...]
    tube_class: str
    joint_class: str
    tube_at_best: str
    joint_at_best: str
    class_computed: str
    at_best: str
    box_state: str
    pin_state: str
    missing: tuple[str, ...]

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What does not pass, as problems for the page, what stops first."""
        order = ("STOPS", "ASKS", "NOTE")
        found = [check.problem for check in self.checks]
        return tuple(sorted((one for one in found if one), key=lambda one: order.index(one.severity)))

    @property
    def deciding(self) -> Check | None:
        """The check that made the class, None where none did."""
        known = [check for check in self.checks if check.allows]
        return next((check for check in known if check.allows == self.at_best), None)

    @property
    def to_hold(self) -> tuple[str, ...]:
        """Why the piece must stay out until somebody has seen to it: each reason one sentence."""
        bites = (Outcome.REPAIR, Outcome.REJECTS)
        return tuple(check.words for check in self.checks if check.outcome in bites or check.is_indication)


def classify(
    readings: Iterable[Reading], spec: SpecFacts, by: str | Scheme = "", *, looks: Iterable[Look] = (),
    scope: str = "full", unused: bool = False, acceptance: str = "", ratio_standard: str = "API RP 7G-2",
    asked: Iterable[str] | None = None,
) -> Verdict:
    """Return every check of `readings` (nm) and `looks` at a piece of `spec`, and the class they make.

    `by` is a scheme or its code ("" the usual one of the kind); `scope` is "visual", "connections", "tube"
    or "full"; `unused`: never run, so that it may be Class 1; `acceptance` is the class the work was
    accepted to, and all that a look without figures can prove; `ratio_standard` names the standard of the
    bending strength ratio; `asked` overrides what the scope asks for (keys of `ASKED`). Raises ValueError
    for an unknown scheme, scope or class, or a scheme that does not serve the kind.
    Source: RP 7G-2 and the documents of the scheme; each check names its own.
    """  # fmt: skip
    one = _scheme_of(by, spec)
    if acceptance:
        acceptance = one.step(acceptance).name
    read, seen = tuple(readings), tuple(looks)
    wanted = asked_for(spec.kind, scope, asked)
    checks = [
        *tube_checks(read, spec, one, acceptance=acceptance, unused=unused),
        *body_checks(read, spec, one, acceptance=acceptance, unused=unused, ratio_standard=ratio_standard),
        *end_checks(read, spec, one, acceptance=acceptance, unused=unused),
    ]
    if one.computed:
        checks += looked_at(read, seen, wanted, one, acceptance=acceptance, unused=unused, ends=ends_of(spec))
    return _verdict(one, scope, tuple(checks), spec, wanted)


def _scheme_of(by: str | Scheme, spec: SpecFacts) -> Scheme:
    if not by:
        return schemes_for(spec.kind)[0]
    one = scheme(by) if isinstance(by, str) else by
    if one.kinds and spec.kind not in one.kinds:
        raise ValueError(f"scheme: {one.said} is for {', '.join(one.kinds)}, not for a {spec.kind}")
    return one


def _verdict(
    one: Scheme, scope: str, checks: tuple[Check, ...], spec: SpecFacts, wanted: frozenset[str]
) -> Verdict:
    tube = [check for check in checks if check.part in ("tube", "body")]
    ends = [check for check in checks if check.part in ("box", "pin", "joint")]
    tube_best = one.worst(check.allows for check in tube)
    joint_best = one.worst(check.allows for check in ends)
    missing = tuple(check.words for check in checks if check.outcome is Outcome.UNKNOWN)
    open_tube = any(check.outcome is Outcome.UNKNOWN or (check.repair == "straighten" and not check.allows)
                    for check in tube)
    open_ends = any(check.outcome is Outcome.UNKNOWN for check in ends)
    # A ladder of wall and diameter is climbed by figures: a look alone may lower a class, and makes none.
    figures = "Repair" in one.names
    groups = {ASKED[what].group for what in wanted if figures or ASKED[what].figure}
    tube_class = _known(one, tube_best, whole="tube" in groups and not open_tube)
    joint_class = _known(one, joint_best, whole="joint" in groups and not open_ends)
    at_best = one.worst((tube_best, joint_best))
    if _has_both(spec):
        computed = one.worst((tube_class, joint_class)) if tube_class and joint_class else ""
    else:
        computed = at_best if groups and not (open_tube or open_ends) else ""
    if at_best == one.last:
        computed = one.last
    states = {part: worse_state([check.repair for check in ends if check.part == part])
              for part in ("box", "pin")}
    return Verdict(one.code, one.edition, scope, checks, tube_class, joint_class, tube_best, joint_best,
                   computed if one.computed or at_best == one.last else "", at_best, states["box"],
                   states["pin"], missing)  # fmt: skip


def ends_of(spec: SpecFacts) -> tuple[str, ...]:
    """Return the ends that a piece of `spec` has, "box" and "pin"; both where nobody said.

    No unit. Raises nothing. Source: the specification.
    """
    there = {spec.up_gender, spec.down_gender} & set(ENDS)
    return tuple(end for end in ENDS if end in there) or ENDS


def _has_both(spec: SpecFacts) -> bool:
    """Whether tube and tool joints are judged each by itself."""
    return spec.kind == "drill_pipe"


def _known(one: Scheme, best: str, *, whole: bool) -> str:
    """The class of a part: known when all that is asked for was looked at, or when it is past help."""
    return best if whole or (best and best == one.last) else ""


@dataclass(frozen=True)
class Settled:
    """Whose class holds: the worse of `given` and `computed`. `differs` is the sentence for the list of
    differences, "" where they agree."""

    held: str
    given: str
    computed: str
    differs: str


def settle(given: str, verdict: Verdict) -> Settled:
    """Return the class that holds: the inspector's `given` one, or what the readings allow when worse.

    `given` is a class of the verdict's scheme, "" unknown. A given class never passes what a finding of
    `verdict` rules out; where both are unknown so is the class. Raises ValueError for a class of another
    scheme. Source: law 5 of the house; trade guide 12, common practice.
    """
    one = scheme(verdict.scheme)
    name = one.step(given).name if given else ""
    best = verdict.at_best if one.computed or verdict.at_best == one.last else ""
    if not name:
        return Settled(verdict.class_computed, "", verdict.class_computed, "")
    if best and one.is_worse(best, name):
        why = verdict.deciding.words if verdict.deciding else ""
        return Settled(best, name, verdict.class_computed or best,
                       f"Given {name}, the readings allow {best}: {best} holds. {why}".strip())
    computed = verdict.class_computed
    if computed and one.is_worse(name, computed):
        return Settled(name, name, computed, f"Given {name}, the readings allow {computed}: {name} holds.")
    return Settled(name, name, computed, "")
