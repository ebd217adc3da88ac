"""An inspection report as somebody typed it: head, one row a joint, foot; blank is not the same as OK."""

from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from inspection.calc.criteria import Scheme, scheme, schemes_for
from inspection.calc.nominal import nominal_wall
from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts


@dataclass(frozen=True)
class TypedEnd:
    """Box or pin of one row; None or "" where the cell is blank. `lead` is the stretch in 2 in."""

    od: Length | None = None
    shoulder: Length | None = None
    counterbore: Length | None = None
    tong: Length | None = None
    bore: Length | None = None
    lead: Length | None = None
    hardband: str = ""
    seal: str = ""
    threads: str = ""
    cond: str = ""


@dataclass(frozen=True)
class TypedJoint:
    """One row. `row` is its line in the file; `rem` the percentage as printed, with `rem_text`; `cl` the
    tube's class and `final` the joint's, as written; `dittos` the roles that repeat the row above."""

    row: int
    jt: str = ""
    serial: str = ""
    painted: str = ""
    length: Length | None = None
    od: Length | None = None
    wall: Length | None = None
    rem: Fraction | None = None
    emi: str = ""
    slip: str = ""
    straight: str = ""
    coating: str = ""
    defect: str = ""
    cl: str = ""
    box: TypedEnd = field(default_factory=TypedEnd)
    pin: TypedEnd = field(default_factory=TypedEnd)
    final: str = ""
    bands: str = ""
    stencil: str = ""
    remarks: str = ""
    dittos: tuple[str, ...] = ()

    @property
    def said(self) -> str:
        """What the row is called in a sentence."""
        name = self.jt or self.painted or self.serial
        return f"joint {name}" if name else f"row {self.row}"

    @property
    def where(self) -> str:
        """The line of the file."""
        return f"row {self.row}"

    @property
    def words(self) -> str:
        """All that is written in words, lower case."""
        ends = [word for end in (self.box, self.pin) for word in (end.seal, end.threads, end.cond)]
        return " | ".join((self.emi, self.slip, self.straight, self.defect, *ends, self.remarks)).lower()


@dataclass(frozen=True)
class Person:
    """An inspector as the head names him; `valid_to` None where no day is said."""

    name: str
    level: str = ""
    valid_to: date | None = None


@dataclass(frozen=True)
class Instrument:
    """An instrument as the head names it; `due` is the day its calibration runs out, None where not said."""

    name: str
    due: date | None = None


@dataclass(frozen=True)
class ReportHead:
    """What stands above the rows. `spec` is the lot, None where it is not understood."""

    company: str = ""
    number: str = ""
    job: str = ""
    order: str = ""
    place: str = ""
    first_day: date | None = None
    last_day: date | None = None
    inspectors: tuple[Person, ...] = ()
    spec: SpecFacts | None = None
    hardband: str = ""
    scope: str = ""
    methods: tuple[str, ...] = ()
    acceptance: str = ""
    scheme: str = ""
    accepted_to: str = ""
    addendum: str = ""
    instruments: tuple[Instrument, ...] = ()


@dataclass(frozen=True)
class ReportFoot:
    """What stands under the rows: counts by what they count ("inspected", "Premium", "RF", "bent" ...)."""

    counts: tuple[tuple[str, int], ...] = ()
    signed: bool = False
    listed_only: bool = False
    there: bool = False


@dataclass(frozen=True)
class TypedReport:
    """A whole report. `columns` are the roles it has; `aliases` spellings of classes that were settled,
    each with the class of the scheme that it is; `usual` the scheme where the head names none."""

    head: ReportHead
    rows: tuple[TypedJoint, ...]
    foot: ReportFoot = field(default_factory=ReportFoot)
    columns: frozenset[str] = frozenset()
    aliases: tuple[tuple[str, str], ...] = ()
    usual: str = ""

    @property
    def by(self) -> Scheme:
        """The scheme its classes are read by: the one named, else the usual one of the reader or the kind."""
        if self.head.scheme or self.usual:
            return scheme(self.head.scheme or self.usual)
        return schemes_for(self.head.spec.kind if self.head.spec else "drill_pipe")[0]

    @property
    def wall_nm(self) -> int:
        """The nominal wall of the lot in nm, 0 where it is not known."""
        return nominal_wall(self.head.spec) if self.head.spec else 0
