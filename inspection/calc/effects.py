"""What an inspection comes to for the piece: its classes, the end of its length, why it must stay out."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inspection.calc.class_words import by_bands, read_bands
from inspection.calc.classify import Verdict, settle
from inspection.calc.criteria import Scheme, scheme
from inspection.calc.ends import STATES
from inspection.calc.readings import Reading
from rack.calc.checks import Problem, asks, stops

#: What was done to an end that changes its length.
CUTS = ("reface", "recut", "shop")
#: A hold has room for so much.
LONGEST_REASON = 200
_SOURCE = "common practice"


@dataclass(frozen=True)
class Ends:
    """Box and pin: what was to be done with each as found, and after repair; "" where nobody said.

    Raises ValueError for a word that is none of `STATES`.
    """

    box_found: str = ""
    box_after: str = ""
    pin_found: str = ""
    pin_after: str = ""

    def __post_init__(self) -> None:
        for state in (self.box_found, self.box_after, self.pin_found, self.pin_after):
            if state and state not in STATES:
                raise ValueError(f"state: {state!r} is none of {', '.join(STATES)}")

    @property
    def cut(self) -> tuple[str, ...]:
        """What was done that ends the length, in words: "box refaced"."""
        both = (("box", self.box_found, self.box_after), ("pin", self.pin_found, self.pin_after))
        done = {"reface": "refaced", "recut": "recut", "shop": "repaired in the shop"}
        return tuple(f"{end} {done[found]}" for end, found, after in both if found in CUTS and after == "ok")

    @property
    def repaired(self) -> bool:
        """Whether something was mended and found good afterwards."""
        both = ((self.box_found, self.box_after), (self.pin_found, self.pin_after))
        return any(found not in ("", "ok", "reject") and after == "ok" for found, after in both)

    @property
    def said(self) -> bool:
        """Whether anything was said of an end."""
        return bool(self.box_found or self.box_after or self.pin_found or self.pin_after)

    @property
    def open(self) -> tuple[str, ...]:
        """What is still to be done: "box to recut"."""
        last = {"box": self.box_after or self.box_found, "pin": self.pin_after or self.pin_found}
        words = {"reject": "is rejected", "shop": "to the shop"}
        needs = {end: state for end, state in last.items() if state not in ("", "ok")}
        return tuple(f"{end} {words.get(state, f'to {state}')}" for end, state in needs.items())


@dataclass(frozen=True)
class Effect:
    """`held` is the class that holds, `computed` the second opinion; `tube` and `joint` the class of each
    part where it is known or lowered; `hold` why the piece must stay out, "" for no reason; `differs` the
    sentence for the list of differences."""

    held: str
    computed: str
    tube: str
    joint: str
    hold: str
    differs: str


def effect_of(verdict: Verdict, given: str, ends: Ends) -> Effect:
    """Return what the `verdict` on a piece, the class `given` by the inspector ("" none) and its `ends`
    come to.

    Raises ValueError for a class of another scheme. Source: law 5 of the house; classes as `settle`.
    """
    one, settled = scheme(verdict.scheme), settle(given, verdict)
    why = [f"{settled.held}: not for use" for _ in "x" if settled.held and not one.step(settled.held).use]
    why += [*ends.open, *(words.rstrip(".") for words in verdict.to_hold)]
    hold = "; ".join(dict.fromkeys(why))
    return Effect(
        settled.held, settled.computed, verdict.tube_class or _lowered(one, verdict.tube_at_best),
        verdict.joint_class or _lowered(one, verdict.joint_at_best), hold[:LONGEST_REASON], settled.differs,
    )  # fmt: skip


def _lowered(one: Scheme, at_best: str) -> str:
    """A part that was not looked at whole is known to be no better than what was found of it."""
    best = next((step.name for step in one.steps if step.use and step.name != "Class 1"), "")
    return at_best if at_best and best and one.is_worse(at_best, best) else ""


def effective(readings: Iterable[tuple[Reading, str]]) -> tuple[Reading, ...]:
    """Return those of `readings` that judge; each is a pair of a reading and its stage, "found" or "after".

    A reading after repair takes the place of those of the same thing at the same part and place; one without
    a place only of those without one, so that nothing that was found is lost. No unit of its own.
    Raises nothing. Source: as found and after repair are both kept, trade guide 2.
    """
    both = list(readings)
    mended = {(one.what, one.part, one.where) for one, stage in both if stage == "after"}
    return tuple(
        one for one, stage in both if stage == "after" or (one.what, one.part, one.where) not in mended
    )


def cut_problems(name: str, ends: Ends, readings: Sequence[Reading], *, has_length: bool) -> list[Problem]:
    """Return what to see to when ends were refaced or recut: the bench mark, and the length that ends.

    `name` is the piece, `ends` what was done to it, `readings` those of its inspection; `has_length`: it has
    one that would end. Raises nothing. Source: a reface or recut ends the length and
    needs a bench mark, common practice.
    """
    marked = {one.part for one in readings if one.what in ("bench_mark", "bench")}
    found = [
        asks(f"{name}: {done}, and no bench mark was read.", code="bench", where=name, source=_SOURCE)
        for done in ends.cut
        if done.split()[0] not in marked
    ]
    if ends.cut and has_length:
        found.append(asks(f"{name}: {' and '.join(ends.cut)}; its length ends and it must be taped again.",
                          code="length", where=name, source=_SOURCE))  # fmt: skip
    return found


def paint_problems(name: str, seen: str, by: Scheme, held: str) -> list[Problem]:
    """Return the question when the paint that was `seen` on the piece is not that of the class it holds.

    `name` is the piece, `by` the scheme, `held` its class ("" unknown). Raises ValueError for a class of
    another scheme. Source: bands of the scheme; a colour is never a class, law 5.
    """
    paint = read_bands(seen)
    if not seen.strip() or not held:
        return []
    if paint is None:
        return [stops(f"{name}: “{seen.strip()[:40]}” is no paint; write it as 2 white.", code="paint",
                      where=name)]  # fmt: skip
    step = by.step(held)
    if not step.colour or held in by_bands(by, *paint):
        return []
    shown = f"{paint[0]} {paint[1]}".strip()
    wants = f"{step.bands} {step.colour}"
    return [asks(f"{name} is painted {shown}; {held} has {wants}.", code="paint", where=name, measured=shown,
                 limit=wants, source=step.source)]  # fmt: skip
