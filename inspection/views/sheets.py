"""A sheet of the grid: what was said once, signed, so that a browser can keep it and bring it back."""

import uuid
from dataclasses import asdict, dataclass, field
from datetime import date, datetime, time

from django.core import signing
from django.http import HttpRequest
from django.utils import timezone

from inspection.actions.found import Head, Kept
from inspection.calc.criteria import Scheme, scheme
from inspection.calc.grid import Column, columns_for
from inspection.models import Inspector, Job
from inspection.models.facts import scheme_for
from rack.errors import NotAllowed, NotAtHand
from rack.models import Component, Site

_SALT = "inspection.sheet"
_SESSION = "inspection_sheets"
_MOST = 6


@dataclass(frozen=True)
class Sheet:
    """The head and the pieces of a grid, with plain values only."""

    ident: str
    user: int
    site: int
    on: str
    scope: str
    scheme: str
    acceptance: str
    inspector: int | None
    company: str
    report_no: str
    equipment: list[list[str]]
    job: int | None
    report: list[str]
    methods: list[str]
    unit: str
    reason: str
    title: str
    pieces: list[int]
    hour: str = ""
    begun: str = field(default_factory=lambda: timezone.now().isoformat())

    def token(self) -> str:
        """The sheet as a text that nobody can change."""
        return signing.dumps(asdict(self), salt=_SALT, compress=True)

    def head(self, site: Site) -> Head:
        """The head as the action takes it."""
        equipment = tuple((name, date.fromisoformat(day) if day else None) for name, day in self.equipment)
        return Head(
            date.fromisoformat(self.on), self.scope, self.scheme, self.acceptance,
            Inspector.objects.filter(site=site, pk=self.inspector or 0).first(), self.company, self.report_no,
            equipment, Job.objects.at(site).filter(pk=self.job or 0).first(),
            Kept(*self.report) if self.report else None,
            time.fromisoformat(self.hour) if self.hour else None,
        )  # fmt: skip

    def scheme_of(self, site: Site, piece: Component) -> Scheme:
        """The scheme that a piece is judged by."""
        on = date.fromisoformat(self.on)
        return scheme(self.scheme or scheme_for(site, piece.spec.kind, on))

    def columns(self, site: Site, piece: Component) -> tuple[Column, ...]:
        """The columns, the same for all pieces of the sheet."""
        return columns_for(piece.spec.as_facts, self.scope, self.scheme_of(site, piece).code)

    @property
    def begun_at(self) -> datetime:
        return datetime.fromisoformat(self.begun)


def new_ident() -> str:
    return str(uuid.uuid4())


def sheet_of(request: HttpRequest, token: str, site: Site) -> Sheet:
    """The sheet of a token. Raises NotAtHand for a text that is none, NotAllowed for another person's."""
    try:
        found = Sheet(**signing.loads(token, salt=_SALT))
    except (signing.BadSignature, TypeError, ValueError):
        raise NotAtHand("This sheet cannot be read. Begin it again from its pieces.") from None
    if found.user != request.user.pk or found.site != site.pk:
        raise NotAllowed("This sheet was begun by somebody else, or at another site. Begin one of your own.")
    return found


def keep(request: HttpRequest, sheet: Sheet) -> None:
    """Remember a sheet in the session, so that its page can be loaded again."""
    there = dict(request.session.get(_SESSION, {}))
    there.pop(sheet.ident, None)
    there[sheet.ident] = sheet.token()
    request.session[_SESSION] = dict(list(there.items())[-_MOST:])


def kept(request: HttpRequest, ident: str, site: Site) -> Sheet:
    """The sheet that the session remembers."""
    token = request.session.get(_SESSION, {}).get(ident, "")
    if not token:
        said = "This sheet is not at hand any more. What was typed is kept in the browser it was typed in."
        raise NotAtHand(said)
    return sheet_of(request, token, site)
