"""Accepting a delivery list: all of its rows or none."""

import json
from dataclasses import asdict, dataclass

from django.db import transaction

from rack.actions.files import file_row
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_open_place, lock_site
from rack.actions.making import NewPiece, make_pieces, specs_of
from rack.calc.checks import Problem, Severity, asks, stops
from rack.calc.kinds import kind_of
from rack.calc.names import key_of
from rack.calc.receiving import DeliveryList, ReadRow
from rack.errors import Refused
from rack.models import Component, Delivered, Delivery, Journal, Place, Site, Spec
from rack.people import check_can

MOST_ROWS = 20_000


@dataclass(frozen=True)
class Receipt:
    """What is said of a list when it is accepted, beside the list itself."""

    place: Place
    file_name: str
    media: str = ""
    sender: str = ""
    owner: str = ""
    confirmed: bool = False


def known_serials(site: Site, serials: list[str]) -> set[str]:
    """Those of the serials that a piece at this site bears already, as they were given."""
    keys = {key_of(serial): serial for serial in serials if key_of(serial)}
    found: set[str] = set()
    ordered = list(keys)
    for start in range(0, len(ordered), 500):
        part = ordered[start : start + 500]
        rows = Component.objects.at(site).filter(serial_key__in=part).values_list("serial_key", flat=True)
        found.update(keys[key] for key in rows)
    return found


def accept(asked: Asked, read: DeliveryList, receipt: Receipt) -> Delivery:
    """Take a list that was read into the register: every row marked "accepted" becomes a piece.

    All or nothing. A row that cannot be accepted, a question that was not confirmed and the same
    file once more (unless confirmed) refuse the whole list with every problem.
    """
    site = receipt.place.site
    check_can(asked.hand.user, "receive", site)
    accepted = [row for row in read.rows if row.fate == "accepted"]
    body = {
        "sha256": read.digest,
        "place": receipt.place.pk,
        "sender": receipt.sender,
        "mapping": read.mapping.to_json(),
        "left_out": [[r.sheet, r.row] for r in read.rows if r.fate != "accepted"],
    }
    with transaction.atomic():
        sentence = f"Received {len(accepted)} pieces from {receipt.file_name} on {receipt.place}"
        line, again = open_line(asked, "receive", site, sentence, body)
        if again:
            return Delivery.objects.get(journal=line)
        lock_site(site.pk)  # the same file accepted twice at once is seen by the second, whatever its place
        place = lock_open_place(receipt.place.pk)
        _refuse(read, accepted, receipt, site)
        delivery = Delivery.objects.create(
            journal=line,
            at=line.at,
            site=site,
            place=place,
            sender=receipt.sender[:80],
            file=file_row(line, 0, read.digest, receipt.file_name, receipt.media),
            mapping=read.mapping.to_json(),
            counted=json.dumps(asdict(read.counted), sort_keys=True),
        )
        pieces = _make(line, site, place, accepted, receipt)
        _write_rows(delivery, read, dict(zip([id(row) for row in accepted], pieces, strict=True)))
    return delivery


def acceptance_problems(read: DeliveryList, site: Site) -> list[Problem]:
    """What stands in the way of accepting this list at this site now, beside what its rows say."""
    problems: list[Problem] = []
    earlier = Delivery.objects.of_file(site, read.digest).order_by("id").first()
    if earlier:
        day = earlier.at.astimezone(site.zone).date().isoformat()
        problems.append(
            asks(
                f"The same file was accepted on {day} already, as delivery {earlier.pk}. "
                "Accepting it again makes every piece a second time.",
                code="same file",
            )
        )
    if len(read.rows) > MOST_ROWS:
        problems.append(
            stops(
                f"The list has {len(read.rows)} rows; at most {MOST_ROWS} are accepted at once.",
                measured=str(len(read.rows)),
                limit=str(MOST_ROWS),
            )
        )
    if not any(row.fate == "accepted" for row in read.rows):
        problems.append(
            stops("No row of this list can be accepted; correct the columns first.", code="empty")
        )
    return problems


def _refuse(read: DeliveryList, accepted: list[ReadRow], receipt: Receipt, site: Site) -> None:
    problems = [*read.problems, *acceptance_problems(read, site)]
    problems += [problem for row in accepted for problem in row.problems]
    hard = [problem for problem in problems if problem.severity is Severity.STOPS]
    if hard:
        raise Refused(hard)
    questions = [problem for problem in problems if problem.severity is Severity.ASKS]
    if questions and not receipt.confirmed:
        raise Refused(questions)


def _make(line: Journal, site: Site, place: Place, rows: list[ReadRow], receipt: Receipt) -> list[Component]:
    specs = specs_of(row.spec for row in rows if row.spec)
    return make_pieces(line, site, place, [_new_piece(row, specs, receipt) for row in rows])


def _new_piece(row: ReadRow, specs: dict[str, Spec], receipt: Receipt) -> NewPiece:
    if row.spec is None:
        raise Refused([stops(f"Row {row.row} does not say what the piece is; leave it out or set the item.")])
    return NewPiece(
        spec=specs[row.spec.key],
        serial=row.serial[:60],
        owner=receipt.owner[:60],
        painted=row.painted[:60],
        owner_no=row.owner_no[:60],
        length=row.length,
        length_kind=row.length_kind or kind_of(row.spec.kind).lengths[0],
        typed=row.typed.get("length", ""),
        typed_unit=row.length_unit,
        word_of=f"list {receipt.file_name}",
    )


def _write_rows(delivery: Delivery, read: DeliveryList, made: dict[int, Component]) -> None:
    Delivered.objects.bulk_create(
        (
            Delivered(
                journal=delivery.journal,
                seq=seq,
                at=delivery.at,
                delivery=delivery,
                sheet=row.sheet[:80],
                row_n=row.row,
                typed=json.dumps(row.typed, ensure_ascii=False),
                fate=row.fate,
                component=made.get(id(row)),
                read=json.dumps(_read_of(row), ensure_ascii=False),
            )
            for seq, row in enumerate(read.rows)
        ),
        batch_size=500,
    )


def _read_of(row: ReadRow) -> dict[str, object]:
    """What was made of a row, as it is kept: the class stays the sender's word."""
    return {
        "serial": row.serial,
        "painted": row.painted,
        "owner_no": row.owner_no,
        "pipe_class": row.pipe_class,
        "length_nm": row.length.nanometres if row.length else None,
        "problems": [{"severity": one.severity, "text": one.text} for one in row.problems],
    }
