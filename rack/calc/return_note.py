"""What a rental has run when it goes back: its clocks since it came and in all, and what happened to it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rack.calc.happenings import HAPPENINGS
from rack.calc.hours import CLOCK_NAMES, POLICY_WORDS, Amount, amount_shown

#: A row of the note: what, at delivery, now, whether it must be looked at.
NoteRow = tuple[str, str, str, bool]


@dataclass(frozen=True)
class LineClock:
    """One clock of a piece on the note, in the clock's own unit (whole seconds, nanometres, times).

    `hire` is what it ran since the piece came, `life` in all; where earlier or other hours are not known
    `hire_known` or `life_known` is false, and the figure is the least.
    """

    clock: str
    hire: int
    hire_known: bool
    life: int
    life_known: bool

    @classmethod
    def from_facts(cls, facts: Mapping[str, object]) -> "LineClock":
        """Return the clock whose `facts` a stored list holds. Raises TypeError when it is none.

        Source: house style.
        """
        return cls(**facts)  # type: ignore[arg-type]


def clock_rows(
    clocks: Iterable[LineClock], credited: Iterable[str], unit: str, digits: int
) -> tuple[NoteRow, ...]:
    """Return the rows of the note about `clocks`: on this hire with how they were `credited`, and in all.

    Lengths are shown in `unit` with `digits` figures; `credited` are the policies of the piece's runs. ()
    where there is no clock. Raises ValueError for an unknown clock, unit or digits. Source: trade guide 12,
    a return note has hours by clock, runs and hits; law 8 of the house, unknown is not zero.
    """
    def said(clock: str, least: int, *, known: bool) -> str:
        ending = "h" if clock.endswith("_s") else unit if clock.endswith("_nm") else ""
        shown = amount_shown(clock, Amount(least, known), unit=unit, digits=digits)
        return f"{CLOCK_NAMES[clock]} {shown} {ending}".rstrip()

    kept = list(clocks)
    if not kept:
        return ()
    here = ", ".join(said(one.clock, one.hire, known=one.hire_known) for one in kept)
    whole = ", ".join(said(one.clock, one.life, known=one.life_known) for one in kept)
    came = [
        said(one.clock, one.life - one.hire, known=one.life_known)
        for one in kept if one.life_known or one.life > one.hire
    ]  # fmt: skip
    before = ", ".join(came) if len(came) == len(kept) else ", ".join([*came, "the rest not known"])
    words = ", ".join(dict.fromkeys(POLICY_WORDS[policy] for policy in credited))
    return (
        ("on this hire", "", f"{here}; {words}" if words else here, False),
        ("in all", before if came else "not known", whole, False),
    )


def heading_of(clock: str, unit: str) -> str:
    """Return what a `clock` is called with its unit, lengths in `unit`: "rotating h", "footage ft", "runs".

    Raises KeyError for an unknown clock. Source: the names of clocks of this project.
    """
    ending = " h" if clock.endswith("_s") else f" {unit}" if clock.endswith("_nm") else ""
    return CLOCK_NAMES[clock] + ending


def event_words(
    day: str, kind: str, amount: int | None, unit: str, *, run: str = "", note: str = ""
) -> str:
    """Return an event of a piece as it stands on the note: "2026-03-02 overpull, 40,000 lbf, run 5: tight".

    `day` is the ISO date at its site, `kind` a code of `rack.calc.happenings`, `amount` counts in `unit`,
    `run` and `note` are added where there are any.
    Raises KeyError for an unknown kind. Source: trade guide 4, common practice.
    """
    parts = [f"{day} {HAPPENINGS[kind].name}"]
    parts += [f"{amount:,} {unit}".strip()] if amount is not None else []
    parts += [run] if run else []
    return ", ".join(parts) + (f": {note}" if note else "")
