"""What people do on the way out of the hole: read a stand, take it back, accept a correction of the depth."""

from django.db import transaction

from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_tally
from rack.actions.tallies import changed, open_only
from rack.calc.checks import stops
from rack.calc.lengths import Length, strap_digits
from rack.calc.painted import group_ends
from rack.errors import Refused
from rack.models import Correction, Journal, Line, Stand, Tally
from rack.models.comparing import lines_of
from rack.models.standing import group_name, stands_of
from rack.people import check_can


def read_stand(asked: Asked, tally: Tally, group: str, typed: str) -> Stand:
    """Store one reading of a stand, its joints named by painted numbers ("1-3").

    A stand that was read before is taken back by the new reading. Two stands share no joint.
    """
    check_can(asked.hand.user, "strap", tally.site)
    length = _length(tally, typed)
    with transaction.atomic():
        body = {"tally": tally.pk, "group": group, "typed": typed}
        line, again = open_line(asked, "read stand", tally.site, f"Read stand {group} of {tally}", body)
        if again:
            return Stand.objects.get(journal=line, reverses=None)
        now = _by_stand(lock_tally(tally.pk))
        first, last, places = _joints(lines_of(now), group)
        rows = [Stand(journal=line, seq=0, at=line.at, tally=now, first=first, last=last,
                      nm=length.nanometres, typed=typed.strip()[:40])]  # fmt: skip
        for row in stands_of(now, lines_of(now)).rows:
            if row.places == places:
                rows.append(_reversal(line, row.entry))
            elif set(row.places) & set(places):
                raise Refused([stops(
                    f"{row.read.name} holds some of these joints already; take it back first.", code="twice"
                )])  # fmt: skip
        Stand.objects.bulk_create(rows)
        changed(now)
    return rows[0]


def take_back_stand(asked: Asked, stand: Stand) -> Stand:
    """Take back the reading of a stand by an entry that reverses it, once."""
    tally = stand.tally
    check_can(asked.hand.user, "strap", tally.site)
    with transaction.atomic():
        sentence = f"Took back stand {group_name(stand.first, stand.last)} of {tally}"
        line, again = open_line(asked, "take back stand", tally.site, sentence, {"stand": stand.pk})
        if again:
            return Stand.objects.get(journal=line)
        now = _by_stand(lock_tally(tally.pk))
        if stand.reverses_id or Stand.objects.filter(reverses=stand).exists():
            raise Refused([stops("This reading was taken back already.", code="take back")])
        back = _reversal(line, stand)
        Stand.objects.bulk_create([back])
        changed(now)
    return back


def accept_correction(asked: Asked, tally: Tally, reason: str, *, seen_nm: int) -> Correction:
    """Accept what the stands add to the depth, with the reason. No joint changes by it.

    `seen_nm` is the difference as the page showed it: another one is not accepted unseen.
    """
    check_can(asked.hand.user, "close", tally.site)
    reason = " ".join(reason.split())[:200]
    if not reason:
        raise Refused([stops("Say in a few words why the correction is accepted; it is printed.")])
    with transaction.atomic():
        body = {"tally": tally.pk, "reason": reason, "nm": seen_nm}
        line, again = open_line(
            asked, "accept correction", tally.site, f"Accepted a correction of the depth by {tally}", body
        )
        if again:
            return Correction.objects.get(journal=line, reverses=None)
        now = _by_stand(lock_tally(tally.pk))
        stands = stands_of(now, lines_of(now))
        if not stands.rows:
            raise Refused([stops("No stand was read yet; there is nothing to accept.", code="empty")])
        apart = stands.judgement.apart.nanometres
        if apart != seen_nm:
            says = f"{Length(apart).shown(now.unit, now.digits)} {now.unit}"
            raise Refused([stops(f"The stands now say {says}. Look at them again.", code="changed")])
        rows = [Correction(journal=line, seq=0, at=line.at, tally=now, nm=apart, reason=reason)]
        if stands.correction:
            was = stands.correction
            rows.append(Correction(journal=line, seq=1, at=line.at, tally=now, nm=was.nm, reason=was.reason,
                                   reverses=was))  # fmt: skip
        Correction.objects.bulk_create(rows)
        changed(now)
    return rows[0]


def _by_stand(tally: Tally) -> Tally:
    if not tally.words.by_stand:
        raise Refused([stops(f"{tally} is read by the joint, not by the stand.", code="purpose")])
    return open_only(tally)


def _length(tally: Tally, typed: str) -> Length:
    try:
        length = strap_digits(typed, tally.unit, tally.digits)
    except ValueError as problem:
        raise Refused([stops(str(problem), code="length", measured=typed[:40])]) from None
    if length.nanometres <= 0:
        raise Refused([stops("A stand is longer than nothing; type its length.", code="length")])
    return length


def _joints(lines: list[Line], group: str) -> tuple[Line, Line, tuple[int, ...]]:
    known = [line.painted for line in lines]
    try:
        ends = group_ends(group, known)
    except ValueError as problem:
        raise Refused([stops(str(problem), code="group", measured=group[:40])]) from None
    first, last = (known.index(end) for end in ends)
    return lines[first], lines[last], tuple(range(first, last + 1))


def _reversal(line: Journal, stand: Stand) -> Stand:
    return Stand(
        journal=line, seq=1, at=line.at, tally_id=stand.tally_id, first_id=stand.first_id,
        last_id=stand.last_id, nm=stand.nm, typed=stand.typed, reverses=stand,
    )  # fmt: skip
