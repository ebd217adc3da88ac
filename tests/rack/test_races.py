"""Eight hands at once on the same rows. Only PostgreSQL lets them meet: SQLite's writers queue."""

import uuid
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import OperationalError, close_old_connections

from rack.actions import closing, pieces, straps, tallies
from rack.actions import lines as lines_of_tally
from rack.calc.sheets import SheetContent
from rack.errors import AlreadyUsed, ChangedMeanwhile, Refused
from rack.models import Component, Hold, Journal, Line, Place, Sheet, Strap, Tally
from tests import stock
from tests.hands import HANDS, REFUSALS, Act, at_once, refused
from tests.rack.test_audit import audited

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

ROUNDS = 10


@pytest.fixture
def here():
    return stock.site()


@pytest.fixture
def boss(here) -> User:
    return stock.person("ola", "supervisor", here)


@pytest.fixture
def layer(here) -> Place:
    return stock.rack(here)


def test_a_thread_that_deadlocks_fails_these_tests():
    """They would be worth nothing if the harness swallowed what the database says."""

    def raises() -> None:
        raise OperationalError("deadlock detected")

    with pytest.raises(OperationalError, match="deadlock"):
        at_once([raises, lambda: None])


def test_holds_put_and_released_by_eight_hands_add_up(boss, layer):
    piece = stock.pieces(layer, 1)[0]

    def hand() -> None:
        for n in range(ROUNDS):
            hold = pieces.put_hold(stock.asks(boss), piece, f"cut {n}")
            if n % 2:
                pieces.release_hold(stock.asks(boss), hold, "dressed")

    at_once([hand] * HANDS)
    piece.refresh_from_db()
    assert piece.holds_n == HANDS * ROUNDS // 2
    assert piece.version >= HANDS * ROUNDS * 3 // 2
    assert Hold.objects.filter(what="put").count() == HANDS * ROUNDS
    assert "No difference" in audited()


def test_a_hold_that_eight_hands_release_at_once_is_released_once(boss, layer):
    hold = pieces.put_hold(stock.asks(boss), stock.pieces(layer, 1)[0], "slip cut")
    answers = at_once([lambda: pieces.release_hold(stock.asks(boss), hold, "dressed")] * HANDS)
    assert len(refused(answers)) == HANDS - 1
    assert Component.objects.get().holds_n == 0


def test_the_same_joints_read_by_eight_hands_keep_one_standing_reading_each(here, boss, layer):
    tally = stock.tally(boss, here, stock.pieces(layer, 4))
    lines = list(tally.lines.in_order())

    def hand(n: int) -> Act:
        def reads() -> None:
            for turn in range(ROUNDS):
                # Half of them from the far end: locks taken in the wrong order would meet.
                row = lines[turn % 4] if n % 2 else lines[-1 - turn % 4]
                straps.read(stock.asks(boss), straps.Reading(tally, f"31.{n}{turn}", line=row))

        return reads

    at_once([hand(n) for n in range(HANDS)])
    assert Strap.objects.filter(reverses=None).count() == HANDS * ROUNDS
    for row in tally.lines.all():
        standing = Strap.objects.standing().filter(line=row, strap_n=1)
        assert [one.nm for one in standing] == [row.first_nm]
    assert "No difference" in audited()


def test_lines_without_pieces_read_by_eight_hands_are_made_once(here, boss):
    """A painted number that nobody had yet: whoever comes second reads the line of the first."""
    tally = stock.tally(boss, here)

    def hand() -> None:
        for n in range(1, 6):
            straps.read(stock.asks(boss), straps.Reading(tally, "31.24", painted=str(n)))

    at_once([hand] * HANDS)
    assert sorted(tally.lines.standing().values_list("painted", flat=True)) == ["1", "2", "3", "4", "5"]
    for row in tally.lines.all():
        assert Strap.objects.standing().filter(line=row).count() == 1
    assert "No difference" in audited()


def test_one_key_from_eight_hands_is_stored_once_and_answered_alike(here, boss, layer):
    piece = stock.pieces(layer, 1)[0]
    tally = stock.tally(boss, here, [piece])
    row = tally.lines.get()
    for act in (
        lambda key: pieces.put_hold(stock.asks(boss, key), piece, "slip cut"),
        lambda key: straps.read(stock.asks(boss, key), straps.Reading(tally, "31.24", line=row)),
        lambda key: straps.read(stock.asks(boss, key), straps.Reading(tally, "31.24", painted="77")),
        lambda key: pieces.move_pieces(stock.asks(boss, key), [piece], layer)[0],
        lambda key: stock_tally(here, boss, key),
    ):
        key = uuid.uuid4()
        answers = at_once([lambda act=act, key=key: act(key)] * HANDS)
        assert refused(answers) == []
        assert len({(type(one), one.pk) for one in answers}) == 1
        assert Journal.objects.filter(key=key).count() == 1
    assert Hold.objects.count() == 1
    assert Tally.objects.count() == 2
    assert "No difference" in audited()


def stock_tally(here: Any, boss: User, key: uuid.UUID) -> Tally:
    head = tallies.TallyHead("rack", "pins off", tape="T-07", reader="Ada")
    return tallies.open_tally(stock.asks(boss, key), here, head)


def test_one_key_for_two_different_entries_at_once_stores_one_of_them(boss, layer):
    piece = stock.pieces(layer, 1)[0]
    key = uuid.uuid4()
    answers = at_once(
        [
            lambda reason=f"cut {n}": pieces.put_hold(stock.asks(boss, key), piece, reason)
            for n in range(HANDS)
        ]
    )
    assert len([one for one in answers if isinstance(one, AlreadyUsed)]) == HANDS - 1
    assert Component.objects.get().holds_n == Hold.objects.count() == 1


def test_tallies_opened_at_once_get_a_number_each(here, boss):
    made = at_once([lambda: stock_tally(here, boss, uuid.uuid4())] * HANDS)
    assert sorted(tally.number for tally in made) == list(range(1, HANDS + 1))


@pytest.mark.parametrize("turn", range(ROUNDS))
def test_a_reading_that_meets_the_closing_is_on_the_sheet_or_refused(here, boss, layer, turn):
    """Never stored on a closed tally and missing from its sheet."""
    tally = stock.tally(boss, here, stock.pieces(layer, 2))
    rows = list(tally.lines.in_order())
    for row in rows:
        straps.read(stock.asks(boss), straps.Reading(tally, "31.24", line=row))
    answers = at_once(
        [
            lambda: straps.read(stock.asks(boss), straps.Reading(tally, "31.30", line=rows[0])),
            lambda: closing.close(stock.asks(boss), tally, reason="one strap was wanted"),
            lambda: straps.read(stock.asks(boss), straps.Reading(tally, "30.98", line=rows[1])),
        ]
    )
    sheet = Sheet.objects.get(tally=tally)
    content = SheetContent.from_text(sheet.content)
    standing = [Strap.objects.standing().get(line=row, strap_n=1).nm for row in rows]
    assert [line.first_nm for line in content.lines] == standing
    assert not isinstance(answers[1], Refused)
    assert "No difference" in audited()


def test_a_tally_that_two_hands_close_has_one_sheet(here, boss, layer):
    tally = stock.tally(boss, here, stock.pieces(layer, 1))
    straps.read(stock.asks(boss), straps.Reading(tally, "31.24", line=tally.lines.get()))
    answers = at_once([lambda: closing.close(stock.asks(boss), tally)] * HANDS)
    assert len(refused(answers)) == HANDS - 1
    assert Sheet.objects.count() == 1
    assert "No difference" in audited()


def test_a_piece_tied_between_the_two_locks_of_closing_stops_the_closing(here, boss, layer, monkeypatch):
    """Its length would be changed without its lock, and a reader of it would wait in a ring."""
    piece = stock.pieces(layer, 1)[0]
    tally = stock.tally(boss, here)
    row = straps.read(stock.asks(boss), straps.Reading(tally, "31.24", painted="1")).line
    lock_pieces = closing.lock_pieces

    def lock_and_let_somebody_tie(ids):
        locked = lock_pieces(ids)
        at_once([lambda: lines_of_tally.tie_line(stock.asks(boss), row, piece)])
        return locked

    monkeypatch.setattr(closing, "lock_pieces", lock_and_let_somebody_tie)
    with pytest.raises(ChangedMeanwhile, match="in the meantime"):
        closing.close(stock.asks(boss), tally)
    assert Sheet.objects.count() == 0
    monkeypatch.undo()
    closing.close(stock.asks(boss), tally)
    assert "No difference" in audited()


def test_one_piece_tied_to_two_lines_at_once_lies_on_one(here, boss, layer):
    piece = stock.pieces(layer, 1)[0]
    tally = stock.tally(boss, here)
    tallies.add_numbers(stock.asks(boss), tally, "1", HANDS)
    answers = at_once(
        [
            lambda row=row: lines_of_tally.tie_line(stock.asks(boss), row, piece)
            for row in tally.lines.in_order()
        ]
    )
    assert len(refused(answers)) == HANDS - 1
    assert Line.objects.filter(component=piece).count() == 1


def test_a_line_tied_while_it_is_read_keeps_both_or_asks_to_repeat(here, boss, layer):
    piece = stock.pieces(layer, 1)[0]
    tally = stock.tally(boss, here)
    tallies.add_numbers(stock.asks(boss), tally, "1", 1)
    row = tally.lines.get()
    answers = at_once(
        [
            lambda: lines_of_tally.tie_line(stock.asks(boss), row, piece),
            *[lambda: straps.read(stock.asks(boss), straps.Reading(tally, "31.24", line=row))] * 4,
        ]
    )
    assert answers[0] is None
    assert all(isinstance(one, Strap | ChangedMeanwhile) for one in answers[1:])
    assert Line.objects.get().component == piece
    assert "No difference" in audited()


def test_moves_readings_ties_and_closings_mixed_wait_for_each_other_and_never_in_a_ring(here, boss, layer):
    made = stock.pieces(layer, 6)
    layers = list(Place.objects.on(here).layers())
    tally = stock.tally(boss, here, made[:4])
    rows = list(tally.lines.in_order())
    for row in rows:
        straps.read(stock.asks(boss), straps.Reading(tally, "31.24", line=row))

    def moves() -> None:
        for n in range(ROUNDS):
            pieces.move_pieces(stock.asks(boss), made[:: -1 if n % 2 else 1], layers[n % 2])

    def reads() -> None:
        for n in range(ROUNDS):
            reading = straps.Reading(tally, f"31.2{n}", line=rows[n % 4])
            _told(lambda reading=reading: straps.read(stock.asks(boss), reading))

    def closes() -> None:
        for _ in range(ROUNDS // 2):
            _told(lambda: closing.close(stock.asks(boss), tally, reason="one strap was wanted"))
            _told(lambda: closing.revise(stock.asks(boss), tally, "once more"))

    def holds() -> None:
        for n in range(ROUNDS):
            pieces.put_hold(stock.asks(boss), made[n % 6], "slip cut")

    def adds() -> None:
        for _ in range(ROUNDS):
            _told(lambda: tallies.add_pieces(stock.asks(boss), tally, made[4:]))
            for row in tally.lines.standing().filter(component__in=made[4:]):
                _told(lambda row=row: lines_of_tally.withdraw_line(stock.asks(boss), row, "not wanted"))

    at_once([moves, moves, reads, reads, closes, closes, holds, adds])
    assert "No difference" in audited()
    numbers = list(Sheet.objects.order_by("revision").values_list("revision", flat=True))
    assert numbers == list(range(1, len(numbers) + 1))


def _told(act: Act) -> None:
    """A refusal is an answer; whoever asks goes on."""
    try:
        act()
    except REFUSALS:
        close_old_connections()
