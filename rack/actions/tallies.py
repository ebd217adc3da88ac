"""What people do with a tally: open it, put pieces and numbers on it."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from django.db import transaction
from django.db.models import F, Max

from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_pieces, lock_site, lock_tally
from rack.calc.checks import stops
from rack.calc.kinds import LENGTH_KINDS
from rack.calc.painted import number_after
from rack.calc.purposes import purpose_of
from rack.calc.states import IN_A_STRING, ON_SITE
from rack.calc.tally import COLUMNS
from rack.errors import Refused
from rack.models import RANK_STEP, Component, Line, Purpose, Site, Spec, StrapHead, Tally
from rack.people import check_can

MOST_LINES = 5000
MOST_ADDED = 500


@dataclass(frozen=True)
class TallyHead:
    """What is asked once at the head of a tally; no straps named: as many as its purpose wants."""

    purpose: str
    kind: str
    title: str = ""
    straps_wanted: int | None = None
    column: int = 10
    tape: str = ""
    reader: str = ""
    writer: str = ""


@dataclass(frozen=True)
class TallyLines:
    """What a tally begins with: pieces in order, or `count` lines without one.

    Lines are painted from `first` on, or as `painted` says where each piece has a number of its own.
    """

    pieces: Sequence[Component] = ()
    painted: Sequence[str] = ()
    first: str = ""
    count: int = 0


def open_tally(
    asked: Asked,
    site: Site,
    head: TallyHead,
    *,
    spec: Spec | None = None,
    pieces: Sequence[Component] = (),
    lines: TallyLines | None = None,
) -> Tally:
    """Open a tally, empty or from pieces in the order given. The first strap begins with it."""
    check_can(asked.hand.user, "tally", site)
    lines = lines or TallyLines(pieces)
    _check_head(head)
    if not 0 <= lines.count <= MOST_ADDED:
        raise Refused([stops(f"Begin with at most {MOST_ADDED} lines; {lines.count} was typed.")])
    ids = [piece.pk for piece in lines.pieces]
    with transaction.atomic():
        begin = {"painted": list(lines.painted), "first": lines.first, "count": lines.count}
        body = {**asdict(head), "spec": spec and spec.pk, "pieces": ids, "site": site.pk, **begin}
        line, again = open_line(
            asked, "open tally", site, f"Opened a tally: {head.title or head.purpose}", body
        )
        if again:
            return Tally.objects.get(pk=StrapHead.objects.get(begun_by=line, strap_n=1).tally_id)
        locked = lock_pieces(ids)
        lock_site(site.pk)  # two tallies opened at once get two numbers
        refuse_pieces(list(locked.values()), site, head.purpose)
        number = (Tally.objects.at(site).aggregate(top=Max("number"))["top"] or 0) + 1
        tally = Tally.objects.create(
            site=site,
            number=number,
            title=head.title,
            purpose=head.purpose,
            kind=head.kind,
            spec=spec,
            unit=site.length_unit,
            digits=site.digits,
            straps_wanted=head.straps_wanted or purpose_of(head.purpose).straps,
            column_n=head.column,
            opened_at=line.at,
        )
        StrapHead.objects.create(
            tally=tally,
            strap_n=1,
            tape=head.tape,
            reader=head.reader,
            writer=head.writer,
            begun_at=line.at,
            begun_by=line,
        )
        _append(
            tally,
            [locked[pk] for pk in ids] or [None] * lines.count,
            first=lines.first,
            numbers=lines.painted,
        )
    return tally


def add_pieces(asked: Asked, tally: Tally, pieces: Sequence[Component]) -> None:
    """Put pieces at the end of an open tally, each on a line with the next painted number."""
    check_can(asked.hand.user, "tally", tally.site)
    ids = [piece.pk for piece in pieces]
    with transaction.atomic():
        _, again = open_line(
            asked,
            "add pieces",
            tally.site,
            f"Added {len(ids)} pieces to {tally}",
            {"tally": tally.pk, "pieces": ids},
        )
        if again:
            return
        locked = lock_pieces(ids)
        now = open_only(lock_tally(tally.pk))
        refuse_pieces(list(locked.values()), tally.site, tally.purpose)
        there = set(now.lines.standing().filter(component__in=ids).values_list("component", flat=True))
        if there:
            names = ", ".join(str(locked[pk]) for pk in sorted(there)[:5])
            raise Refused([stops(f"Already on {tally}: {names}.", code="twice")])
        _append(now, [locked[pk] for pk in ids])
        changed(now, order=True)


def add_numbers(asked: Asked, tally: Tally, first: str, count: int) -> None:
    """Put `count` lines without pieces at the end, painted from `first` on; pieces are tied later."""
    check_can(asked.hand.user, "tally", tally.site)
    if not 1 <= count <= MOST_ADDED:
        raise Refused(
            [stops(f"Add 1 to {MOST_ADDED} lines at once; {count} was typed.", measured=str(count))]
        )
    with transaction.atomic():
        _, again = open_line(
            asked,
            "add lines",
            tally.site,
            f"Added {count} lines to {tally}",
            {"tally": tally.pk, "first": first, "count": count},
        )
        if again:
            return
        now = open_only(lock_tally(tally.pk))
        _append(now, [None] * count, first=first.strip())
        changed(now, order=True)


def open_only(tally: Tally) -> Tally:
    """The tally, or a refusal when it is closed."""
    if not tally.open:
        raise Refused([stops(f"{tally} is closed; make a new revision to change it.", code="closed")])
    return tally


def changed(tally: Tally, *, order: bool = False) -> None:
    """Say that the tally is another than the one that a page was drawn from.

    `order`: joints came, went or changed places, so that a list printed before is stale.
    """
    Tally.objects.filter(pk=tally.pk).update(version=F("version") + 1, list_n=F("list_n") + int(order))


def _append(
    tally: Tally, pieces: Sequence[Component | None], *, first: str = "", numbers: Sequence[str] = ()
) -> None:
    """Write lines behind the last one, painted as given, else counted on from `first` or the last."""
    there = tally.lines.count()
    if there + len(pieces) > MOST_LINES:
        raise Refused(
            [
                stops(
                    f"A tally holds at most {MOST_LINES} lines; this one would have {there + len(pieces)}.",
                    measured=str(there + len(pieces)),
                )
            ]
        )
    last = tally.lines.in_order().last()
    rank = last.rank if last else 0
    if len(numbers) != len(pieces):
        numbers = _counted(first or number_after(last.painted if last else ""), len(pieces))
    refuse_painted(tally, numbers)
    Line.objects.bulk_create(
        Line(
            tally=tally,
            rank=rank + RANK_STEP * n,
            component=piece,
            painted=number,
            serial_typed=piece.serial if piece else "",
        )
        for n, (piece, number) in enumerate(zip(pieces, numbers, strict=True), start=1)
    )


def _counted(first: str, count: int) -> list[str]:
    numbers = []
    for _ in range(count):
        numbers.append(first)
        first = number_after(first)
    return numbers


def append_line(tally: Tally, painted: str) -> Line:
    """Put one line without a piece behind the last one; the caller has locked the tally."""
    _append(tally, [None], first=painted)
    made: Line = tally.lines.standing().get(painted=painted)
    return made


def refuse_painted(tally: Tally, numbers: Sequence[str]) -> None:
    """Refuse a painted number that is none, or that stands on the tally already."""
    if any(not number.strip() or len(number) > 20 for number in numbers):
        raise Refused([stops("Type the painted number, up to 20 letters: 36, or 36A.", code="painted")])
    there = tally.lines.standing().filter(painted__in=numbers).values_list("painted", flat=True)
    twice = sorted(set(there))
    if twice:
        raise Refused([stops(f"Painted number {twice[0]} is on {tally} already.", code="twice")])


def refuse_pieces(pieces: Sequence[Component], site: Site, purpose: str) -> None:
    """Refuse pieces that do not lie at the site, each with its reason.

    On the way out of the hole stands are read that hang in it or stand in the derrick.
    """
    here = (*ON_SITE, *IN_A_STRING) if purpose == Purpose.STRAP_OUT else ON_SITE
    problems = [
        stops(f"{piece} belongs to another site.", code="site", where=str(piece))
        for piece in pieces
        if piece.site_id != site.pk
    ]
    problems += [
        stops(
            f"{piece} is {piece.get_state_display()} and does not lie here.", code="state", where=str(piece)
        )
        for piece in pieces
        if piece.site_id == site.pk and piece.state not in here
    ]
    if problems:
        raise Refused(problems)


def _check_head(head: TallyHead) -> None:
    problems = []
    if head.purpose not in Purpose.values:
        problems.append(stops(f"A tally is for one of: {', '.join(Purpose.values)}."))
    if head.kind not in LENGTH_KINDS:
        problems.append(stops(f"Say how the lengths are taken: {', '.join(LENGTH_KINDS)}."))
    if head.straps_wanted not in (None, 1, 2):
        problems.append(stops("One or two straps can be wanted."))
    if head.straps_wanted == 2 and head.purpose == Purpose.STRAP_OUT:
        problems.append(stops("Out of the hole each stand is read once; a second strap has nothing to read."))
    if head.column not in COLUMNS:
        problems.append(stops(f"A column has {', '.join(map(str, COLUMNS))} lines; {head.column} was typed."))
    if problems:
        raise Refused(problems)
