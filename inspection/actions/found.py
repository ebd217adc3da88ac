"""What a hand says of an inspection, and what it comes to: the shapes that recording is asked with."""

from dataclasses import dataclass, field
from datetime import date, time

from inspection.calc.effects import Effect, Ends
from inspection.calc.readings import Look
from inspection.calc.readings import Reading as CalcReading
from inspection.models import Inspector, Job
from rack.calc.checks import Problem
from rack.models import Component


@dataclass(frozen=True)
class Kept:
    """A file whose bytes were kept: digest, the name it came under, its type."""

    digest: str
    name: str
    media: str


@dataclass(frozen=True)
class Head:
    """What is said once for the whole batch. `scheme` "" is the one the site follows on that day; `hour` when
    it was looked at, None where nobody said."""

    on: date
    scope: str
    scheme: str = ""
    acceptance: str = ""
    inspector: Inspector | None = None
    company: str = ""
    report_no: str = ""
    equipment: tuple[tuple[str, date | None], ...] = ()
    job: Job | None = None
    report: Kept | None = None
    hour: time | None = None


@dataclass(frozen=True)
class Read:
    """One reading, as found ("found") or after repair ("after"), with what was typed."""

    reading: CalcReading
    stage: str = "found"
    typed: str = ""


@dataclass(frozen=True)
class Seen:
    """A finding in words, and its photo."""

    what: str
    where: str = ""
    photo: Kept | None = None


@dataclass(frozen=True)
class Found:
    """What was found of one piece; `given` is the inspector's class, in the words of the scheme."""

    piece: Component
    looks: tuple[Look, ...] = ()
    readings: tuple[Read, ...] = ()
    given: str = ""
    ends: Ends = field(default_factory=Ends)
    repaired: bool = False
    paint: str = ""
    remarks: str = ""
    seen: tuple[Seen, ...] = ()

    @property
    def is_empty(self) -> bool:
        said = (self.given, self.readings, self.seen, self.ends.said, self.repaired, self.paint, self.remarks)
        return not any(said) and not any(look.done for look in self.looks)


@dataclass(frozen=True)
class Judged:
    """A piece with what its inspection comes to; `before` is the class that the register held."""

    found: Found
    effect: Effect
    scheme: str
    resets: frozenset[str]
    unused: bool
    before: str
    problems: tuple[Problem, ...]

    @property
    def mended(self) -> frozenset[str]:
        """What was repaired: tube and joint where it was said of the whole piece, the joint by its ends."""
        if self.found.repaired:
            return frozenset({"tube", "joint"})
        return frozenset({"joint"}) if self.found.ends.repaired else frozenset()
