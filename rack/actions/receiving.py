"""Accepting a delivery list: all of its rows or none."""

import json
from dataclasses import asdict, dataclass

from django.db import transaction

from rack.actions.files import file_row
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_open_place, lock_site
from rack.actions.making import NewPiece, make_pieces, specs_of
from rack.actions.racks import asking_only, delivery_questions, write_consents
from rack.calc.checks import Problem, Severity, asks, stops
from rack.calc.kinds import kind_of
from rack.calc.names import key_of
from rack.calc.receiving import DeliveryList, ReadRow, hand_count_problems
from rack.errors import Refused
from rack.models import (
    Component,
    Delivered,
    Delivery,
    Journal,
    Mark,
    MarkKind,
    Place,
    RememberedMapping,
    Site,
    Spec,
)
from rack.neighbours import tell_received
from rack.people import check_can

MOST_ROWS = 20_000


@dataclass(frozen=True)
class Receipt:
    """What is said of a list when it is accepted, beside the list itself.

    `confirmed` answers what the list asks, `reason` what the rack asks that would carry more than it may.
    """

    place: Place
    file_name: str
    media: str = ""
    sender: str = ""
    owner: str = ""
    confirmed: bool = False
    ticket: str = ""
    order_no: str = ""
    truck: str = ""
    hand_count: int | None = None
    reason: str = ""


def known_serials(site: Site, serials: list[str]) -> dict[str, str]:
    """Those of the serials that a piece at this site bears already, each with the number painted on it."""
    keys = {key_of(serial): serial for serial in serials if key_of(serial)}
    found: dict[str, str] = {}
    ordered = list(keys)
    for start in range(0, len(ordered), 500):
        part = ordered[start : start + 500]
        pieces = Component.objects.at(site).filter(serial_key__in=part)
        found |= {keys[key]: "" for key in pieces.values_list("serial_key", flat=True)}
        painted = Mark.objects.filter(component__in=pieces, what=MarkKind.PAINTED, ended=None).order_by("id")
        found |= {keys[key]: text for key, text in painted.values_list("component__serial_key", "text")}
    return found


def accept(asked: Asked, read: DeliveryList, receipt: Receipt) -> Delivery:
    """Take a list that was read into the register: every row marked "accepted" becomes a piece.

    All or nothing. A row that cannot be accepted, a question that was not confirmed, the same file once
    more (unless confirmed) and a rack that would carry more than its own rating (unless a reason is given)
    refuse the whole list with every problem.
    """
    site = receipt.place.site
    check_can(asked.hand.user, "receive", site)
    accepted = [row for row in read.rows if row.fate == "accepted"]
    body = {
        "sha256": read.digest,
        "place": receipt.place.pk,
        "sender": receipt.sender,
        "mapping": read.mapping.to_json(),
        "head": [receipt.ticket, receipt.order_no, receipt.truck, receipt.hand_count],
        "left_out": [[r.part, r.row] for r in read.rows if r.fate != "accepted"],
    }
    if receipt.reason:
        body["reason"] = receipt.reason
    with transaction.atomic():
        sentence = f"Received {len(accepted)} pieces from {receipt.file_name} on {receipt.place}"
        line, again = open_line(asked, "receive", site, sentence, body)
        if again:
            return Delivery.objects.get(journal=line)
        lock_site(site.pk)  # the same file accepted twice at once is seen by the second, whatever its place
        place = lock_open_place(receipt.place.pk)
        overload = asking_only(delivery_questions(place, accepted))
        reason = " ".join(receipt.reason.split())[:300]
        _refuse(read, accepted, receipt, site, overload if not reason else [])
        write_consents(line, overload, reason)
        delivery = Delivery.objects.create(
            journal=line,
            at=line.at,
            site=site,
            place=place,
            sender=receipt.sender[:80],
            file=file_row(line, 0, read.digest, receipt.file_name, receipt.media),
            mapping=read.mapping.to_json(),
            counted=json.dumps(asdict(read.counted), sort_keys=True),
            ticket=receipt.ticket[:60],
            order_no=receipt.order_no[:60],
            truck=receipt.truck[:60],
            hand_count_n=receipt.hand_count,
        )
        pieces = _make(line, site, place, accepted, receipt)
        _write_rows(delivery, read, dict(zip([id(row) for row in accepted], pieces, strict=True)))
        _remember(delivery)
        tell_received(line, [piece.pk for piece in pieces])
    return delivery


def _remember(delivery: Delivery) -> None:
    """Keep how the columns were set for this sender; the last accepted list of theirs counts."""
    key = key_of(delivery.sender)
    if key:
        RememberedMapping.objects.update_or_create(
            site=delivery.site,
            sender_key=key[:80],
            defaults={"mapping": delivery.mapping, "delivery": delivery},
        )


def remembered(site: Site, sender: str) -> RememberedMapping | None:
    """How the columns of this sender were set at this site before, None when nothing is remembered."""
    rows = RememberedMapping.objects.filter(site=site, sender_key=key_of(sender)[:80])
    return rows.select_related("delivery").first()


def forget(asked: Asked, site: Site, sender: str) -> None:
    """Forget how the columns of a sender were set; their next list is read as it seems."""
    check_can(asked.hand.user, "receive", site)
    with transaction.atomic():
        _, again = open_line(
            asked, "receive", site, f"Forgot how the columns of {sender} were set", {"forget": sender}
        )
        if not again:
            RememberedMapping.objects.filter(site=site, sender_key=key_of(sender)[:80]).delete()


def acceptance_problems(read: DeliveryList, site: Site, hand_count: int | None = None) -> list[Problem]:
    """What stands in the way of accepting this list at this site now, beside what its rows say."""
    problems = hand_count_problems(hand_count, read.rows)
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


def _refuse(
    read: DeliveryList, accepted: list[ReadRow], receipt: Receipt, site: Site, overload: list[Problem]
) -> None:
    problems = [*read.problems, *acceptance_problems(read, site, receipt.hand_count)]
    problems += [problem for row in accepted for problem in row.problems]
    hard = [problem for problem in problems if problem.severity is Severity.STOPS]
    if hard:
        raise Refused(hard)
    questions = [] if receipt.confirmed else asking_only(problems)
    if questions or overload:
        raise Refused([*questions, *overload])


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
        facts=row.facts,
        stands=row.stands,
        other=row.other,
    )


def _write_rows(delivery: Delivery, read: DeliveryList, made: dict[int, Component]) -> None:
    Delivered.objects.bulk_create(
        (
            Delivered(
                journal=delivery.journal,
                seq=seq,
                at=delivery.at,
                delivery=delivery,
                sheet=row.part[-80:],
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
        "facts": {fact.name: fact.value for fact in row.facts},
        "stands": row.stands,
        "other_nm": row.other.nanometres if row.other else None,
        "problems": [{"severity": one.severity, "text": one.text} for one in row.problems],
    }
