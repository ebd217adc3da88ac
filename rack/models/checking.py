"""Gathering what the checks of one tally ask for: its readings, its pieces, the sender's list, the register.

Ask only when the tally is not blind: everything here may speak of the first strap (law 13).
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from django.db.models import Max, QuerySet

from rack.calc.arbiter import bears_out
from rack.calc.checking import TallyFacts, checks, sample_of
from rack.calc.connections.names import End
from rack.calc.lengths import Length
from rack.calc.one_strap import Read
from rack.calc.registered import Group, Known
from rack.calc.sampling import Sample
from rack.calc.states import ON_SITE
from rack.calc.strapped import BothRead, Finding, StrapLine, Terms
from rack.calc.straps import GATE
from rack.models.comparing import compared, held_nm, strap_line
from rack.models.deliveries import Delivered
from rack.models.pieces import Component, Mark, MarkKind
from rack.models.tallies import Line, Purpose, Strap, Tally

#: So many primary keys are bound in one question.
_AT_ONCE = 500


@dataclass(frozen=True)
class ThirdList:
    """The sender's lengths of the pieces of a tally, by piece, and what their list is called.

    `other_kind` are pieces whose length the list has, but taken in another way: never converted silently.
    """

    name: str = ""
    lengths: dict[int, int] = field(default_factory=dict)
    other_kind: int = 0


@dataclass(frozen=True)
class Checked:
    """What the checks of a tally say: what they ask, which strap the list bears out, the sample drawn."""

    findings: tuple[Finding, ...] = ()
    third: tuple[Finding, ...] = ()
    third_list: ThirdList = ThirdList()
    sample: Sample | None = None
    #: The sum of the lengths that hold.
    total_nm: int = 0


def checked(tally: Tally, lines: list[Line], *, code: str = "", closing: bool = False) -> Checked:
    """Everything that the checks say of this tally now; the sample is drawn by `code`, the sheet's.

    Before there is a sheet it is drawn by the tally's own number. Nothing while the tally is blind, but for
    the sheet that is written now, `closing`.
    """
    if tally.is_blind and not closing:
        return Checked()
    third = _third_list(tally, lines)
    both = tally.heads.filter(strap_n=2, finished_at__isnull=False).exists()
    facts = _facts(tally, lines, third, code=code, both=both)
    return Checked(
        tuple(checks(facts)),
        tuple(_borne_out(tally, lines, third, facts.terms) if both else ()),
        third,
        None if tally.words.by_stand else sample_of(facts),
        sum(line.length.nanometres for line in facts.strap if line.length),
    )


def failing(tally: Tally, lines: list[Line], found: Checked | None = None) -> list[int]:
    """The places of the joints to be taped again, in order: the straps differ, or a check names them."""
    if tally.is_blind:
        return []
    both = tally.heads.filter(strap_n=2, finished_at__isnull=False).exists()
    apart = set(compared(tally, lines).differing) if both else set()
    asked = (found or checked(tally, lines)).findings
    told = {line for one in asked if _of_a_tape(one) for line in one.lines}
    return sorted(apart | told)


def _of_a_tape(found: Finding) -> bool:
    """Whether taping the joint again can answer a finding; numbers and threads are answered by looking."""
    return found.code not in ("T06", "T10", "T11", "T17")


def _facts(tally: Tally, lines: list[Line], third: ThirdList, *, code: str, both: bool) -> TallyFacts:
    held = [held_nm(tally, line) for line in lines]
    sure = set(
        Strap.objects.standing().filter(line__tally=tally, questions_n__gt=0).values_list("line", flat=True)
    )
    gone = tally.lines.filter(withdrawn=True).exclude(component=None)
    return TallyFacts(
        purpose=tally.words,
        terms=Terms(GATE, tally.unit, tally.digits),
        reads=[_read(tally, n, line, nm, sure) for n, (line, nm) in enumerate(zip(lines, held, strict=True))],
        known=_known(tally, lines),
        strap=[strap_line(tally, line, nm) for line, nm in zip(lines, held, strict=True)],
        second=[strap_line(tally, line, line.second_nm) for line in lines] if both else (),
        listed=_listed(tally, lines, third) if third.lengths else (),
        list_name=third.name,
        groups=_groups(tally, lines),
        struck_off=set(gone.values_list("component", flat=True)),
        code=code or f"{tally.site.code}-{tally.number}-{tally.revision + 1}",
    )


def _read(tally: Tally, n: int, line: Line, nm: int | None, asked: set[int]) -> Read:
    """One reading; whether it was asked about when it was taken: then it is not asked about again."""
    spec = line.component.spec if line.component else tally.spec
    batch = f"{spec.kind} {spec.od_nm}" if spec else ""
    length = None if nm is None else Length(nm)
    return Read(_name(line, n), length, spec.kind if spec else "", batch, line.pk in asked)


def _name(line: Line, n: int) -> str:
    return f"Joint {line.painted}" if line.painted else f"Line {n + 1}"


def _known(tally: Tally, lines: list[Line]) -> list[Known]:
    ids = [line.component_id for line in lines if line.component_id]
    painted = _painted(ids)
    ended = _ended(tally, ids)
    return [_known_line(tally, n, line, painted, ended) for n, line in enumerate(lines)]


def _known_line(tally: Tally, n: int, line: Line, painted: dict[int, str], ended: dict[int, str]) -> Known:
    plain = Known(_name(line, n), line.painted, line.serial_typed)
    piece = line.component
    if piece is None:
        return plain
    spec, away = piece.spec, ""
    if not tally.words.by_stand:
        away = "" if piece.state in ON_SITE else piece.get_state_display()
        away = away if piece.site_id == tally.site_id else f"at {piece.site}"
    size = spec.od_nm if spec.kind_entry.family == "coupled" else 0
    return replace(
        plain, serial=piece.serial, registered=painted.get(piece.pk, ""), piece=piece.pk, away=away,
        ended=ended.get(piece.pk, ""),
        up=End(spec.up_conn, spec.up_gender, size) if spec.up_conn else None,
        down=End(spec.down_conn, spec.down_gender, size) if spec.down_conn else None,
    )  # fmt: skip


def _painted(ids: Sequence[int]) -> dict[int, str]:
    numbers: dict[int, str] = {}
    for some in _some(ids):
        marks = Mark.objects.current().filter(component__in=some, what=MarkKind.PAINTED)
        numbers |= dict(marks.order_by("id").values_list("component", "text"))
    return numbers


def _ended(tally: Tally, ids: Sequence[int]) -> dict[int, str]:
    """What ended the length of a piece after it was read here, in words."""
    read: dict[int, datetime] = dict(
        Strap.objects.standing()
        .filter(line__tally=tally, strap_n__in=[1, 2], component__isnull=False)
        .values("component")
        .annotate(at=Max("at"))
        .values_list("component", "at")
    )
    found: dict[int, str] = {}
    for some in _some([piece for piece in ids if piece in read]):
        for row in Strap.objects.standing().filter(component__in=some, what="ended").order_by("id"):
            piece = row.component_id or 0
            if row.at > read[piece]:
                day = row.at.astimezone(tally.site.zone).date().isoformat()
                found[piece] = f"{row.typed or 'its length ended'} on {day}"
    return found


def _third_list(tally: Tally, lines: list[Line]) -> ThirdList:
    """The lengths that the pieces came with; one that a recut has ended says nothing any more."""
    ids = [line.component_id for line in lines if line.component_id]
    lengths: dict[int, int] = {}
    names: list[str] = []
    other: set[int] = set()
    for some in _some(ids):
        rows = Strap.objects.standing().filter(component__in=some, line=None, strap_n=0)
        for row in rows.order_by("id"):
            piece = row.component_id or 0
            lengths.pop(piece, None)
            other.discard(piece)
            if row.what == "reading" and row.hands.startswith("list "):
                if row.kind == tally.kind:
                    lengths[piece] = row.nm or 0
                    names.append(row.hands)
                else:
                    other.add(piece)
    alike = set(names)
    name = f"the {names[0]}" if len(alike) == 1 else "the senders' lists" if alike else ""
    return ThirdList(name, lengths, len(other))


def _listed(tally: Tally, lines: list[Line], third: ThirdList) -> list[StrapLine]:
    return [strap_line(tally, line, third.lengths.get(line.component_id or 0)) for line in lines]


def _borne_out(tally: Tally, lines: list[Line], third: ThirdList, terms: Terms) -> list[Finding]:
    """Of each joint on which the straps differ, which one the list bears out."""
    if not third.lengths:
        return []
    found = []
    for n in compared(tally, lines).differing:
        line = lines[n]
        pair = BothRead(n, _name(line, n), Length(line.first_nm or 0), Length(line.second_nm or 0))
        nm = third.lengths.get(line.component_id or 0)
        found.append(bears_out(pair, None if nm is None else Length(nm), terms, called=third.name))
    return found


def _groups(tally: Tally, lines: list[Line]) -> list[Group]:
    """What should be on the tally by the register: the delivery's pieces, or those of the same layers."""
    pieces = [line.component for line in lines if line.component]
    kinds = {piece.spec.kind for piece in pieces}
    if not pieces or tally.words.by_stand:
        return []
    here = Component.objects.at(tally.site).filter(state__in=ON_SITE, spec__kind__in=kinds)
    if tally.purpose == Purpose.DELIVERY:
        return _by_delivery([piece.pk for piece in pieces], here)
    places = {piece.place_id for piece in pieces if piece.place_id}
    rows: dict[str, list[Component]] = defaultdict(list)
    for piece in here.filter(place__in=places).select_related("place").order_by("serial_key", "id"):
        rows[str(piece.place)].append(piece)
    return [Group(name, _named(found)) for name, found in sorted(rows.items())]


def _by_delivery(ids: Sequence[int], here: "QuerySet[Component]") -> list[Group]:
    deliveries: set[int] = set()
    for some in _some(ids):
        rows = Delivered.objects.standing().filter(component__in=some)
        deliveries |= set(rows.values_list("delivery", flat=True))
    found = []
    for delivery in sorted(deliveries):
        pieces = here.filter(delivered_rows__delivery=delivery).order_by("delivered_rows__id")
        found.append(Group(f"delivery {delivery}", _named(list(pieces))))
    return found


def _named(pieces: list[Component]) -> tuple[tuple[int, str], ...]:
    """Each piece by what can be read on it from the catwalk: its serial, else the number painted on it."""
    painted = _painted([piece.pk for piece in pieces if not piece.serial])
    return tuple(
        (piece.pk, f"painted {painted[piece.pk]}" if painted.get(piece.pk) else str(piece))
        for piece in pieces
    )


def _some(ids: Sequence[int]) -> list[Sequence[int]]:
    return [ids[start : start + _AT_ONCE] for start in range(0, len(ids), _AT_ONCE)]
