"""Writing new pieces: the rows that a delivery and a tally both make."""

import secrets
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from rack.actions.kept import keep_lengths
from rack.calc.lengths import Length
from rack.calc.names import key_of, last_first
from rack.calc.receiving import OwnFact
from rack.calc.specs import SpecFacts
from rack.calc.tags import new_code
from rack.models import Component, Journal, Mark, MarkKind, Move, PieceFact, Place, Site, Spec, Strap

_BATCH = 500
_OTHER = {"open": "closed", "closed": "open"}


@dataclass(frozen=True)
class NewPiece:
    """What is known of a piece when it comes into the register.

    Of a tool that telescopes `stands` says which of its lengths `length` is, `other` is the other one.
    """

    spec: Spec
    serial: str = ""
    owner: str = ""
    painted: str = ""
    owner_no: str = ""
    length: Length | None = None
    length_kind: str = ""
    typed: str = ""
    typed_unit: str = ""
    word_of: str = ""
    facts: tuple[OwnFact, ...] = ()
    stands: str = ""
    other: Length | None = None


def specs_of(facts: Iterable[SpecFacts]) -> dict[str, Spec]:
    """The rows of these specifications by key; those that are new are written."""
    wanted = {fact.key: fact for fact in facts}
    there = set(Spec.objects.filter(key__in=wanted).values_list("key", flat=True))
    Spec.objects.bulk_create(
        (Spec(key=key, **vars(fact)) for key, fact in wanted.items() if key not in there),
        ignore_conflicts=True,
    )
    return {spec.key: spec for spec in Spec.objects.filter(key__in=wanted)}


def make_pieces(line: Journal, site: Site, place: Place, new: Sequence[NewPiece]) -> list[Component]:
    """Write the pieces with their tags, first move, names and lengths under one journal line."""
    today = line.at.astimezone(site.zone).date()
    pieces = Component.objects.bulk_create(
        (
            Component(
                tag=tag,
                serial=piece.serial,
                serial_key=key_of(piece.serial),
                serial_yek=last_first(piece.serial),
                spec=piece.spec,
                owner=piece.owner,
                site=site,
                received_on=today,
                place=place,
                state="received",
            )
            for piece, tag in zip(new, free_tags(len(new)), strict=True)
        ),
        batch_size=_BATCH,
    )
    Move.objects.bulk_create(
        (
            Move(journal=line, seq=seq, at=line.at, component=piece, to_place=place, to_state="received")
            for seq, piece in enumerate(pieces)
        ),
        batch_size=_BATCH,
    )
    both = list(zip(pieces, new, strict=True))
    Mark.objects.bulk_create(
        [
            Mark(
                component=piece,
                what=what,
                text=text,
                text_key=key_of(text),
                text_yek=last_first(text),
                since=today,
            )
            for piece, fresh in both
            for what, text in ((MarkKind.PAINTED, fresh.painted), (MarkKind.OWNER, fresh.owner_no))
            if text
        ],
        batch_size=_BATCH,
    )
    _write_lengths(line, both)
    _write_facts(line, today, both)
    return pieces


def _write_facts(line: Journal, today: date, both: list[tuple[Component, NewPiece]]) -> None:
    """What the list says of each piece alone; a fact of its specification stands there as well."""
    said = [(piece, fact) for piece, fresh in both for fact in fresh.facts]
    PieceFact.objects.bulk_create(
        (
            PieceFact(
                journal=line, seq=seq, at=line.at, component=piece, name=fact.name, value=fact.value,
                typed=fact.typed[:80], since=today,
            )
            for seq, (piece, fact) in enumerate(said)
        ),
        batch_size=_BATCH,
    )  # fmt: skip


def _write_lengths(line: Journal, both: list[tuple[Component, NewPiece]]) -> None:
    # The newest governs: of two lengths the one that does not hold comes first.
    known = [
        (piece, fresh, fresh.other, _OTHER.get(fresh.stands, "")) for piece, fresh in both if fresh.other
    ]
    known += [(piece, fresh, fresh.length, fresh.stands) for piece, fresh in both if fresh.length]
    Strap.objects.bulk_create(
        (
            Strap(
                journal=line,
                seq=seq,
                at=line.at,
                component=piece,
                strap_n=0,
                what="reading",
                nm=length.nanometres,
                kind=fresh.length_kind,
                stands=stands,
                typed=fresh.typed[:40] if length is fresh.length else "",
                typed_unit=fresh.typed_unit,
                hands=fresh.word_of[:160],
            )
            for seq, (piece, fresh, length, stands) in enumerate(known)
            if length
        ),
        batch_size=_BATCH,
    )
    ids = list(dict.fromkeys(piece.pk for piece, *_ in known))
    for start in range(0, len(ids), _BATCH):
        keep_lengths(ids[start : start + _BATCH])


def free_tags(count: int) -> list[str]:
    """As many tag codes as asked for, none of which is in use."""
    found: list[str] = []
    while len(found) < count:
        drawn = {code for _ in range(count - len(found)) if (code := new_code(secrets.randbits(30)))}
        drawn -= set(found)
        drawn -= set(Component.objects.filter(tag__in=drawn).values_list("tag", flat=True))
        found.extend(sorted(drawn))
    return found
