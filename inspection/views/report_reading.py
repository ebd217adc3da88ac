"""All that is shown of a report before it is accepted, and what accepting it would record.

It follows from the file, the columns, the spellings, the head, the lot and the register alone.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from django.utils import timezone

from inspection.actions import reports as actions
from inspection.actions.found import Found, Head, Judged, Kept, Read, Seen
from inspection.actions.judging import head_problems, judge
from inspection.calc.class_words import key, read_class
from inspection.calc.readings import Look
from inspection.calc.report_found import (
    ends_of,
    is_mended,
    paint_of,
    reads_of,
    remarks_of,
    scope_of,
    seen_of,
)
from inspection.calc.report_names import LotJoint
from inspection.calc.report_readings import looks_of
from inspection.calc.report_register import Registered, all_alike, other_item, register_problems
from inspection.calc.report_rows import class_of
from inspection.calc.report_ties import Candidate, Tie, ties
from inspection.calc.report_typed import TypedJoint
from inspection.exchange.report import ReadReport
from inspection.models import AcceptedReport, Inspection
from inspection.models.facts import scheme_for
from inspection.models.lots import candidates, job_of, recorded_from
from inspection.models.registered import registered
from inspection.views.report_incoming import ANSWERED, Incoming, Line, Preview
from rack.calc.checks import Problem, Severity, asks, stops
from rack.errors import Refused
from rack.models import Component, Site

#: Questions of the register that many rows of a lot may raise alike.
_OF_THE_LOT = ("day", "state", "item", "method")


def preview_of(incoming: Incoming, site: Site) -> Preview:
    """Read the report, tie its rows, hold them against the register, judge what would be recorded."""
    today = timezone.now().astimezone(site.zone).date()
    first = incoming.read()
    usual = _usual(first, site, today)
    known = candidates(site, incoming.lot, first.report.rows)
    of_lot = [one for one in known if one.of_lot] if incoming.lot else []
    read = incoming.read([LotJoint(one.serial, one.painted) for one in of_lot], usual=usual, judged=True)
    by_hand = {int(row): tag for row, tag in incoming.by_hand.items()}
    out = {int(row): why for row, why in incoming.out.items()}
    tied = ties(read.report.rows, [*known, *_chosen(site, known, by_hand)], by_hand=by_hand, left_out=out)
    head = _head(incoming, read, site, today)
    lines, of_all = _lines(read, tied, out, head, site, today, with_lot=bool(incoming.lot))
    whole = [one for one in read.problems if not one.where.startswith("row ")]
    whole += [*of_all, *_accepted_before(incoming, read, site), *_head_stops(head, today, site)]
    return Preview(
        read, tuple(sorted(lines, key=lambda one: (one.weight, one.joint.row))), tuple(whole),
        _missing(of_lot, tied), _spellings(read), head,
    )  # fmt: skip


def _usual(read: ReadReport, site: Site, today: date) -> str:
    head = read.report.head
    kind = head.spec.kind if head.spec else "drill_pipe"
    return scheme_for(site, kind, head.last_day or head.first_day or today)


def _chosen(site: Site, known: Sequence[Candidate], by_hand: Mapping[int, str]) -> list[Candidate]:
    """Pieces that a person named and no name of the file does."""
    there = {one.tag for one in known}
    rows = Component.objects.at(site).filter(tag__in=set(by_hand.values()) - there)
    return [Candidate(piece.pk, piece.tag, piece.serial, of_lot=False) for piece in rows]


def _head(incoming: Incoming, read: ReadReport, site: Site, today: date) -> Head:
    said = read.report.head
    return Head(
        on=said.last_day or said.first_day or today,
        scope=incoming.scope or scope_of(read.report), scheme=read.report.by.code,
        acceptance=said.accepted_to, company=said.company, report_no=said.number,
        equipment=tuple((one.name, one.due) for one in said.instruments), job=job_of(site, incoming.lot),
        report=Kept(incoming.digest, incoming.name, incoming.media),
    )  # fmt: skip


def _head_stops(head: Head, today: date, site: Site) -> list[Problem]:
    """What the action would refuse of the head; inspectors and calibration are named by the report itself."""
    return [one for one in head_problems(head, today, site) if one.severity is Severity.STOPS]


def _lines(
    read: ReadReport, tied: Mapping[int, Tie], out: Mapping[int, str], head: Head, site: Site, today: date,
    *, with_lot: bool,
) -> tuple[list[Line], list[Problem]]:  # fmt: skip
    ids = [tie.piece.pk for tie in tied.values() if tie.piece]
    pieces = {one.pk: one for one in Component.objects.filter(pk__in=ids).select_related("spec", "place")}
    there, before = registered(pieces.values()), recorded_from(head.report.digest if head.report else "", ids)
    found = {
        row.row: _found(row, read, pieces[piece.pk])
        for row in read.report.rows
        if (piece := tied[row.row].piece) and row.row not in out and piece.pk not in before
    }
    judged = _judged(site, head, found, pieces, today)
    lines = [
        _line(row, read, tied[row.row], out, pieces, there, before, found, judged, with_lot=with_lot)
        for row in read.report.rows
    ]
    return _of_the_lot(lines, read)


def _found(row: TypedJoint, read: ReadReport, piece: Component) -> Found:
    """What would be recorded of a row."""
    looks: tuple[Look, ...] = looks_of(row, read.report)
    return Found(
        piece, looks, tuple(Read(one, stage) for one, stage in reads_of(row)),
        class_of(row.final or row.cl, read.report), ends_of(row), is_mended(row), paint_of(row),
        remarks_of(row), tuple(Seen(what, where) for what, where in seen_of(row)),
    )  # fmt: skip


def _judged(
    site: Site, head: Head, found: Mapping[int, Found], pieces: Mapping[int, Component], today: date
) -> dict[int, Judged | Refused]:
    """What each row comes to; what cannot be judged with the others is judged alone."""
    try:
        return dict(zip(found, judge(site, head, list(found.values()), pieces, today), strict=True))
    except Refused:
        return {row: _alone(site, head, one, pieces, today) for row, one in found.items()}


def _alone(
    site: Site, head: Head, one: Found, pieces: Mapping[int, Component], today: date
) -> Judged | Refused:
    try:
        return judge(site, head, [one], pieces, today)[0]
    except Refused as refused:
        return refused


def _line(
    row: TypedJoint, read: ReadReport, tie: Tie, out: Mapping[int, str], pieces: Mapping[int, Component],
    there: Mapping[int, Registered], before: Mapping[int, Inspection], found: Mapping[int, Found],
    judged: Mapping[int, Judged | Refused], *, with_lot: bool,
) -> Line:  # fmt: skip
    problems = [one for one in read.problems if one.where == row.where]
    piece = pieces.get(tie.piece.pk) if tie.piece else None
    one = judged.get(row.row)
    if piece is not None:
        problems += _unsaid(register_problems(row, read.report, there[piece.pk]), problems)
    if isinstance(one, Judged):
        raised = [each for each in one.problems if each.severity is not Severity.NOTE]
        problems += _unsaid(raised, problems)
    elif one is not None:
        problems += one.problems
    fate, why = _fate(read, row, tie, out, piece, before, problems)
    if fate == "not tied" and not with_lot:
        perhaps = f"; {tie.guesses[0].name}, perhaps?" if tie.guesses else "."
        words = f"{row.said[:1].upper()}{row.said[1:]}: {why}{perhaps}"
        problems.append(asks(words, code="lot", where=row.where, source="the register"))
    return Line(
        row, tie, fate, why, class_of(row.final or row.cl, read.report), tuple(problems), piece,
        found.get(row.row), one if isinstance(one, Judged) else None,
    )  # fmt: skip


def _unsaid(more: Iterator[Problem] | Sequence[Problem], said: Sequence[Problem]) -> list[Problem]:
    """Those that no other problem of the row has told already."""
    twins = {"paint": {"bands", "class", "crack"}}  # the paint is that of the class that was given
    codes = {one.code for one in said}
    return [one for one in more if not ({one.code} | twins.get(one.code, set())) & codes]


def _fate(
    read: ReadReport, row: TypedJoint, tie: Tie, out: Mapping[int, str], piece: Component | None,
    before: Mapping[int, Inspection], problems: Sequence[Problem],
) -> tuple[str, str]:  # fmt: skip
    if row.row in out:
        return "left out", out[row.row]
    if piece is None:
        return "not tied", tie.why or "no piece of the register is meant"
    if piece.pk in before:
        return "recorded already", f"from this file, on {before[piece.pk].at:%Y-%m-%d}"
    word = row.final or row.cl
    if word.strip() and key(word) and not class_of(word, read.report):
        return "cannot be recorded", f"its class “{word[:20]}” is not settled: say above what it means"
    hard = [one for one in problems if one.severity is Severity.STOPS and one.code not in ANSWERED]
    return ("cannot be recorded", hard[0].text) if hard else ("recorded", "")


def _of_the_lot(lines: list[Line], read: ReadReport) -> tuple[list[Line], list[Problem]]:
    """What nearly every row says alike is one question of the whole."""
    of_all: list[Problem] = []
    tied = [line for line in lines if line.piece]
    for code in _OF_THE_LOT:
        raised = [one for line in tied for one in line.problems if one.code == code]
        if not all_alike(raised, len(tied)) or any(one.severity is Severity.STOPS for one in raised):
            continue
        words = raised[0].text
        if code == "item":
            piece = next(line.piece for line in tied if line.piece)
            what = other_item(read.report, piece.spec.as_facts)
            words = f"The report is of another item: the pieces are {what}."
        of_all.append(replace(raised[0], text=f"{words} So it is with {len(raised)} rows.", where=""))
        lines = [
            replace(line, problems=tuple(one for one in line.problems if one.code != code)) for line in lines
        ]
    return lines, of_all


def _missing(of_lot: Sequence[Candidate], tied: Mapping[int, Tie]) -> tuple[Component, ...]:
    """The pieces of the lot that no row means, for sure or perhaps."""
    there = {one.pk for tie in tied.values() for one in (tie.piece, tie.meant, *tie.guesses[:1]) if one}
    ids = [one.pk for one in of_lot if one.pk not in there]
    rows = Component.objects.filter(pk__in=ids).select_related("spec", "place")
    return tuple(rows.order_by("serial_key", "id"))


def _spellings(read: ReadReport) -> tuple[str, ...]:
    """Words for a class that the scheme does not tell for sure, and those that were settled."""
    report = read.report
    words = Counter(text.strip() for row in report.rows for text in (row.cl, row.final) if key(text))
    settled = {key(text) for text, _ in report.aliases}
    return tuple(
        word for word, _ in words.most_common() if key(word) in settled or not read_class(word, report.by)[0]
    )[:20]


def _accepted_before(incoming: Incoming, read: ReadReport, site: Site) -> list[Problem]:
    """The same report number of the same company from another file: a corrected report, or twice?"""
    head = read.report.head
    rows = AcceptedReport.objects.at(site).standing().filter(company=head.company, report_no=head.number)
    other = rows.exclude(file__sha256=incoming.digest).order_by("-id").first() if head.number else None
    if other is None:
        return []
    return [asks(f"Report {head.number} of {head.company or 'this company'} was accepted on "
                 f"{other.at:%Y-%m-%d} from another file: a corrected one, or twice?", code="again",
                 source="the register")]  # fmt: skip


def plan_of(incoming: Incoming, shown: Preview, signing: str = "") -> actions.Plan:
    """What accepting the preview as it stands would record, in the order of the file."""
    people = sorted(shown.read.report.head.inspectors, key=lambda one: one.name != signing)
    rows = [
        actions.Row(line.joint.row, line.joint.said, line.found if line.recorded else None, line.why)
        for line in sorted(shown.lines, key=lambda one: one.joint.row) if line.fate != "recorded already"
    ]  # fmt: skip
    problems = shown.all_problems
    hard = [line for line in shown.lines if line.fate == "cannot be recorded"]
    problems = [one for one in problems if one.severity is not Severity.STOPS] + [
        one for one in shown.problems if one.severity is Severity.STOPS
    ]
    if hard and not any(row.found for row in rows):
        problems += [stops(hard[0].why, code="row")]
    return actions.Plan(shown.head, rows, people, shown.read.mapping, incoming.aliases, incoming.chosen,
                        problems)  # fmt: skip
