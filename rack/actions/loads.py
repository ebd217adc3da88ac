"""What people do with a load: open it, put pieces on and take them off, send it, take it back."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from django.db import transaction
from django.db.models import F, Max

from rack.actions.journal import Asked, open_line
from rack.actions.leaving import refuse_leaving, refuse_pieces
from rack.actions.locks import check_version, lock_load, lock_pieces, lock_site
from rack.actions.places import away_from
from rack.calc.checks import stops
from rack.calc.loadlist import PROTECTORS
from rack.calc.sheets import digest_of
from rack.errors import ChangedMeanwhile, Refused
from rack.models import Component, Journal, Loaded, LoadOut, LoadSheet, LoadWhy, Move, Place, Site
from rack.models.listing import content_of, free_code
from rack.people import check_can


@dataclass(frozen=True)
class LoadHead:
    """What is asked once when a load is opened: why it goes, where to, by whom."""

    why: str
    to_site: Site | None = None
    to: str = ""
    carrier: str = ""
    remark: str = ""


@dataclass(frozen=True)
class Put:
    """How pieces are put on: in which lift or bundle, with which protectors, and what is damaged."""

    lift: str
    protectors: str = ""
    damage: str = ""


def open_load(asked: Asked, site: Site, head: LoadHead) -> LoadOut:
    """Open a load at a site. It takes pieces until it is sent."""
    check_can(asked.hand.user, "load", site)
    to = " ".join(head.to.split())[:120]
    _check_head(site, head, to)
    with transaction.atomic():
        body = {**asdict(head), "to_site": head.to_site and head.to_site.pk, "site": site.pk}
        where = head.to_site.name if head.to_site else to
        line, again = open_line(asked, "open load", site, f"Opened a load to {where}", body)
        if again:
            return LoadOut.objects.get(opened_by=line)
        lock_site(site.pk)  # two loads opened at once get two numbers
        number = (LoadOut.objects.at(site).aggregate(top=Max("number"))["top"] or 0) + 1
        return LoadOut.objects.create(
            site=site,
            number=number,
            why=head.why,
            to_site=head.to_site,
            to="" if head.to_site else to,
            carrier=" ".join(head.carrier.split())[:80],
            remark=" ".join(head.remark.split())[:300],
            opened_at=line.at,
            opened_by=line,
        )


def put_in(asked: Asked, load: LoadOut, pieces: Sequence[Component], put: Put) -> list[Loaded]:
    """Put pieces on an open load, all of them or none."""
    check_can(asked.hand.user, "load", load.site)
    put = Put(" ".join(put.lift.split())[:30], put.protectors, " ".join(put.damage.split())[:200])
    _check_put(put)
    ids = [piece.pk for piece in pieces]
    with transaction.atomic():
        line, again = open_line(
            asked, "put on load", load.site, f"Put {_count(len(ids))} on {load}, {put.lift}",
            {"load": load.pk, "pieces": ids, **asdict(put)},
        )  # fmt: skip
        if again:
            return list(Loaded.objects.filter(journal=line).order_by("seq"))
        locked = lock_pieces(ids)
        now = _open_only(lock_load(load.pk))
        refuse_pieces(now, [locked[pk] for pk in dict.fromkeys(ids) if pk in locked], twice=ids)
        rows = Loaded.objects.bulk_create(
            Loaded(journal=line, seq=seq, at=line.at, component_id=pk, loadout=now, **asdict(put))
            for seq, pk in enumerate(ids)
        )
        _changed(now)
    return rows


def take_off(asked: Asked, load: LoadOut, rows: Sequence[Loaded]) -> None:
    """Take pieces off an open load again; the entries that put them on are reversed."""
    check_can(asked.hand.user, "load", load.site)
    ids = sorted(row.pk for row in rows)
    if not ids:
        raise Refused([stops("Choose what is taken off the load.", code="empty")])
    with transaction.atomic():
        line, again = open_line(
            asked, "take off load", load.site, f"Took {_count(len(ids))} off {load}",
            {"load": load.pk, "rows": ids},
        )  # fmt: skip
        if again:
            return
        lock_pieces(row.component_id for row in rows)
        now = _open_only(lock_load(load.pk))
        standing = list(Loaded.objects.on(now).filter(pk__in=ids))
        if len(standing) < len(ids):
            raise Refused([stops(f"A piece of these is not on {load} any more; load the page again.")])
        Loaded.objects.bulk_create(
            Loaded(journal=line, seq=seq, at=line.at, component_id=row.component_id, loadout=now,
                   lift=row.lift, protectors=row.protectors, damage=row.damage, reverses=row)
            for seq, row in enumerate(standing)
        )  # fmt: skip
        _changed(now)


def send(asked: Asked, load: LoadOut, *, seen: int | None = None) -> LoadSheet:
    """Send a load: its pieces are in transit, and its list is written for good."""
    check_can(asked.hand.user, "send", load.site)
    with transaction.atomic():
        line, again = open_line(
            asked, "send", load.site, f"Sent {load} to {load.destination}", {"load": load.pk}
        )
        if again:
            return LoadSheet.objects.get(journal=line)
        ids = list(Loaded.objects.on(load).values_list("component", flat=True))
        locked = lock_pieces(ids)
        now = _open_only(lock_load(load.pk))
        check_version(now, seen)
        rows = list(Loaded.objects.on(now))
        if {row.component_id for row in rows} != set(ids):
            raise ChangedMeanwhile(
                f"{load} was changed in the meantime. Nothing was sent. Load the page again and look at it."
            )
        refuse_leaving(now, list(locked.values()))
        content = content_of(now, rows, line, free_code())
        text = content.to_text()
        sheet = LoadSheet.objects.create(
            journal=line, at=line.at, loadout=now, revision=content.revision, code=content.code,
            digest=digest_of(text), content=text,
        )  # fmt: skip
        _leave(line, now, [locked[pk] for pk in ids])
        LoadOut.objects.filter(pk=now.pk).update(
            state="sent", revision=content.revision, version=F("version") + 1
        )
    return sheet


def take_back(asked: Asked, load: LoadOut, reason: str) -> LoadSheet:
    """Take back a load of which nothing has arrived: every move is reversed and the load is open again."""
    check_can(asked.hand.user, "send", load.site)
    reason = " ".join(reason.split())[:300]
    if not reason:
        raise Refused([stops("Say in a few words why the load is taken back; it stays in the book.")])
    with transaction.atomic():
        line, again = open_line(
            asked, "take back load", load.site, f"Took {load} back: {reason}",
            {"load": load.pk, "reason": reason},
        )  # fmt: skip
        if again:
            return LoadSheet.objects.get(journal=line)
        locked = lock_pieces(Loaded.objects.on(load).values_list("component", flat=True))
        now = lock_load(load.pk)
        if now.state != "sent" or now.arrivals.standing().exists():
            words = "it is open" if now.state == "open" else "something of it has arrived"
            raise Refused([stops(f"{load} cannot be taken back: {words}.", code="state")])
        sheet = LoadSheet.objects.standing().get(loadout=now)
        back = LoadSheet.objects.create(
            journal=line, at=line.at, loadout=now, revision=sheet.revision, reason=reason, reverses=sheet
        )
        _come_back(line, list(Move.objects.standing().filter(journal=sheet.journal)), locked)
        LoadOut.objects.filter(pk=now.pk).update(state="open", version=F("version") + 1)
    return back


def _leave(line: Journal, load: LoadOut, pieces: list[Component]) -> None:
    away = away_from(load.site)
    Move.objects.bulk_create(
        (
            Move(journal=line, seq=seq, at=line.at, component=piece, from_place_id=piece.place_id,
                 to_place=away, from_state=piece.state, to_state="in_transit")
            for seq, piece in enumerate(pieces)
        ),
        batch_size=500,
    )  # fmt: skip
    for ids in _some([piece.pk for piece in pieces]):
        Component.objects.filter(pk__in=ids).update(
            state="in_transit", place=away, version=F("version") + 1
        )


def _come_back(line: Journal, moves: list[Move], locked: dict[int, Component]) -> None:
    """Reverse the moves of a sending; a piece whose layer was closed since comes back to no layer."""
    places = Place.objects.filter(pk__in={move.from_place_id for move in moves})
    still = {place.pk for place in places.select_for_update(no_key=True).order_by("pk") if not place.ended_on}
    Move.objects.bulk_create(
        (
            Move(journal=line, seq=seq, at=line.at, component_id=move.component_id,
                 from_place_id=move.to_place_id, from_state=move.to_state, to_state=move.from_state,
                 to_place_id=_still(move, still), reverses=move)
            for seq, move in enumerate(moves)
        ),
        batch_size=500,
    )  # fmt: skip
    by_end: dict[tuple[int | None, str], list[int]] = {}
    for move in moves:
        by_end.setdefault((_still(move, still), move.from_state), []).append(locked[move.component_id].pk)
    for (place, state), ids in by_end.items():
        for some in _some(ids):
            Component.objects.filter(pk__in=some).update(
                place=place, state=state, version=F("version") + 1
            )


def _still(move: Move, still: set[int]) -> int | None:
    return move.from_place_id if move.from_place_id in still else move.to_place_id


def _check_head(site: Site, head: LoadHead, to: str) -> None:
    problems = []
    if head.why not in LoadWhy.values:
        problems.append(stops(f"Say why the load goes: {', '.join(LoadWhy.labels)}."))
    if (head.why == LoadWhy.SITE) != bool(head.to_site):
        problems.append(stops("A load to another site names the site; any other load names the place."))
    if head.why != LoadWhy.SITE and not to:
        problems.append(stops("Say where it goes, and to whom.", code="to"))
    if head.to_site and (head.to_site.pk == site.pk or head.to_site.ended_on):
        problems.append(stops(f"{head.to_site} cannot be where it goes.", code="to"))
    if problems:
        raise Refused(problems)


def _check_put(put: Put) -> None:
    problems = []
    if not put.lift:
        problems.append(stops("Give the lift or bundle a number or a name.", code="lift"))
    if put.protectors not in PROTECTORS:
        problems.append(stops(f"Say which protectors are on: {', '.join(PROTECTORS.values())}."))
    if problems:
        raise Refused(problems)


def _open_only(load: LoadOut) -> LoadOut:
    if load.state != "open":
        words = "on its way" if load.state == "sent" else "arrived"
        raise Refused([stops(f"{load} is {words}; its list does not change any more.", code="sent")])
    return load


def _changed(load: LoadOut) -> None:
    LoadOut.objects.filter(pk=load.pk).update(version=F("version") + 1)


def _count(number: int) -> str:
    return "1 piece" if number == 1 else f"{number} pieces"


def _some(ids: list[int]) -> list[list[int]]:
    return [ids[start : start + 500] for start in range(0, len(ids), 500)]
