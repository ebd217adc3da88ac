"""A report that waits to be accepted: what a person chose for it, and the shapes of what is shown."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from django.http import HttpRequest

from inspection.actions.found import Found, Head, Judged
from inspection.calc.criteria import scheme
from inspection.calc.report_mapping import ReportMapping
from inspection.calc.report_names import LotJoint
from inspection.calc.report_ties import Tie
from inspection.calc.report_typed import TypedJoint
from inspection.exchange.report import ReadReport, read_report
from rack.actions.files import bytes_of
from rack.calc.checks import Problem, Severity
from rack.errors import NotAtHand
from rack.models import Component

#: A crack that is classed for use is recorded as what it is: the worse class holds.
ANSWERED = ("crack",)


@dataclass(frozen=True)
class Incoming:
    """A report that waits: its file and what a person chose; it lives in the session."""

    digest: str
    name: str
    media: str
    mapping: str = ""
    aliases: Mapping[str, str] = field(default_factory=dict)
    said: Mapping[str, str] = field(default_factory=dict)
    lot: str = ""
    scope: str = ""
    sheet: str = ""
    out: Mapping[str, str] = field(default_factory=dict)
    by_hand: Mapping[str, str] = field(default_factory=dict)
    remembered: bool = False

    def keep(self, request: HttpRequest) -> None:
        waiting = request.session.get("inspection_reports", {})
        waiting.pop(self.digest, None)
        waiting[self.digest] = dict(vars(self))
        request.session["inspection_reports"] = dict(list(waiting.items())[-5:])

    @classmethod
    def of(cls, request: HttpRequest, digest: str) -> "Incoming":
        found = request.session.get("inspection_reports", {}).get(digest)
        if found is None:
            raise NotAtHand("This report is not at hand any more. Choose the file again.")
        return cls(**found)

    @property
    def chosen(self) -> dict[str, object]:
        """Everything that decides what would be recorded."""
        return {name: value for name, value in vars(self).items() if name not in ("name", "media")}

    def read(
        self, lot: Sequence[LotJoint] = (), *, usual: str = "", judged: bool = False
    ) -> ReadReport:
        """The report as it reads with what was chosen; `usual` is the scheme that the site follows;
        without `judged` nothing is held against anything."""
        try:
            data = bytes_of(self.digest)
        except FileNotFoundError:
            words = "The file is not at hand any more. Choose it again; nothing was stored."
            raise NotAtHand(words) from None
        return read_report(
            data, self.name, mapping=ReportMapping.from_text(self.mapping) if self.mapping else None,
            sheet=self.sheet, lot=lot, aliases=self.aliases, said=self.said,
            scheme=self.said.get("scheme", "") or usual, judged=judged,
        )  # fmt: skip


@dataclass(frozen=True)
class Line:
    """A row of the preview: what was read, the piece, the problems, and what would come of it."""

    joint: TypedJoint
    tie: Tie
    fate: str
    why: str
    given: str
    problems: tuple[Problem, ...]
    piece: Component | None = None
    found: Found | None = None
    judged: Judged | None = None

    @property
    def recorded(self) -> bool:
        return self.fate == "recorded"

    @property
    def weight(self) -> int:
        order = (Severity.STOPS, Severity.ASKS, Severity.NOTE)
        worst = min((order.index(one.severity) for one in self.problems), default=len(order))
        return min(worst, 1) if self.fate in ("not tied", "cannot be recorded") else worst

    @property
    def falls(self) -> bool:
        """Whether the class that would hold is worse than the one that the register holds."""
        if self.judged is None or not (self.judged.before and self.judged.effect.held):
            return False
        by = scheme(self.judged.scheme)
        return self.judged.before in by.names and by.is_worse(self.judged.effect.held, self.judged.before)

    @property
    def is_cut(self) -> bool:
        return bool(self.found and self.piece and self.found.ends.cut and self.piece.length_nm is not None)


@dataclass(frozen=True)
class Preview:
    """Everything that is shown of a report before it is accepted."""

    read: ReadReport
    lines: tuple[Line, ...]
    problems: tuple[Problem, ...]
    missing: tuple[Component, ...]
    spellings: tuple[str, ...]
    head: Head

    @property
    def all_problems(self) -> list[Problem]:
        """What stands in the way of accepting it: of the whole, and of each row that is to be recorded."""
        rows = [one for line in self.lines if line.recorded for one in line.problems]
        softened = [replace(one, severity=Severity.ASKS) if one.code in ANSWERED else one for one in rows]
        return [*self.problems, *softened]
