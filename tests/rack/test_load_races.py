"""The same load received by eight hands, and pieces moved while they are sent. Only PostgreSQL can answer."""

import pytest

from rack.actions import arriving, loads, pieces
from rack.actions.arriving import Came
from rack.actions.loads import LoadHead, Put
from rack.actions.unarriving import undo_arrival
from rack.models import Arrival, Component, Loaded, LoadOut, LoadSheet, Move, Place
from tests import stock
from tests.rack.test_audit import audited
from tests.rack.test_races import HANDS, REFUSALS, at_once, refused

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def here():
    return stock.site()


@pytest.fixture
def there():
    return stock.site("KV1")


@pytest.fixture
def ines(here, there):
    return stock.person("ines", "office", everywhere=True)


@pytest.fixture
def layer(here):
    return stock.rack(here)


@pytest.fixture
def quay(there):
    return stock.rack(there, "K1")


def test_a_load_received_by_eight_hands_is_received_once(ines, here, there, layer, quay):
    going = stock.load(ines, here, stock.pieces(layer, 5), head=LoadHead("site", to_site=there), sent=True)
    answers = at_once([
        lambda: arriving.arrive(stock.asks(ines), going, Came(quay, everything=True))
    ] * HANDS)  # fmt: skip
    assert len(refused(answers)) == HANDS - 1
    assert (Arrival.objects.count(), Move.objects.filter(to_place=quay).count()) == (1, 5)
    assert Component.objects.at(there).count() == 5
    assert "No difference" in audited()


def test_an_arrival_taken_back_by_eight_hands_is_taken_back_once(ines, here, there, layer, quay):
    going = stock.load(ines, here, stock.pieces(layer, 5), head=LoadHead("site", to_site=there), sent=True)
    arrival = arriving.arrive(stock.asks(ines), going, Came(quay, everything=True))
    answers = at_once([lambda: undo_arrival(stock.asks(ines), arrival, "the wrong boat")] * HANDS)
    assert len(refused(answers)) == HANDS - 1
    assert Arrival.objects.filter(reverses=arrival).count() == 1
    assert Move.objects.filter(reverses__journal=arrival.journal).count() == 5
    assert Component.objects.at(here).filter(state="in_transit").count() == 5
    assert "No difference" in audited()


@pytest.mark.parametrize("turn", range(8))
def test_a_piece_is_moved_at_the_other_end_or_its_arrival_is_taken_back(ines, here, there, layer, quay, turn):
    going = stock.load(ines, here, stock.pieces(layer, 3), head=LoadHead("site", to_site=there), sent=True)
    arrival = arriving.arrive(stock.asks(ines), going, Came(quay, everything=True))
    piece = Component.objects.get(serial="KD4102")
    upper = Place.objects.get(site=there, path="K1/2")
    answers = at_once([
        lambda: undo_arrival(stock.asks(ines), arrival, "the wrong boat"),
        lambda: pieces.move_pieces(stock.asks(ines), [piece], upper),
    ])
    assert len(refused(answers)) == 1
    taken_back = Arrival.objects.filter(reverses=arrival).exists()
    assert Component.objects.at(here).filter(state="in_transit").count() == (3 if taken_back else 0)
    assert "No difference" in audited()


def test_a_load_sent_by_eight_hands_leaves_once(ines, here, layer):
    one = stock.load(ines, here, stock.pieces(layer, 5))
    answers = at_once([lambda: loads.send(stock.asks(ines), one)] * HANDS)
    assert len(refused(answers)) == HANDS - 1
    assert (LoadSheet.objects.count(), Move.objects.filter(to_state="in_transit").count()) == (1, 5)
    assert "No difference" in audited()


@pytest.mark.parametrize("turn", range(8))
def test_taken_back_or_received_but_never_both(ines, here, there, layer, quay, turn):
    going = stock.load(ines, here, stock.pieces(layer, 3), head=LoadHead("site", to_site=there), sent=True)
    answers = at_once([
        lambda: arriving.arrive(stock.asks(ines), going, Came(quay, everything=True)),
        lambda: loads.take_back(stock.asks(ines), going, "no room"),
    ])
    assert len(refused(answers)) == 1
    going.refresh_from_db()
    at = Component.objects.at(there if going.state == "arrived" else here)
    assert (going.state in ("arrived", "open"), at.count()) == (True, 3)
    assert "No difference" in audited()


@pytest.mark.parametrize("turn", range(8))
def test_a_piece_moved_while_it_is_sent_is_in_one_place(ines, here, layer, turn):
    made = stock.pieces(layer, 4)
    one = stock.load(ines, here, made[:3])
    upper = Place.objects.get(site=here, path="R1/2")
    at_once([
        lambda: pieces.move_pieces(stock.asks(ines), made[::-1], upper),
        lambda: loads.send(stock.asks(ines), one),
        lambda: pieces.change_state(stock.asks(ines), made[1], "at_inspection"),
        lambda: loads.put_in(stock.asks(ines), one, made[3:], Put("2")),
    ])
    for piece in Component.objects.all():
        last = Move.objects.filter(component=piece).order_by("-id")[0]
        assert (piece.place_id, piece.state) == (last.to_place_id, last.to_state)
    load = LoadOut.objects.get(pk=one.pk)
    away = set(Component.objects.filter(state="in_transit").values_list("pk", flat=True))
    on = set(Loaded.objects.on(load).values_list("component", flat=True))
    assert away == (on if load.state == "sent" else set())
    assert "No difference" in audited()


def test_one_piece_put_on_eight_loads_at_once_is_on_one(ines, here, layer):
    (piece,) = stock.pieces(layer, 1)
    made = [stock.load(ines, here, []) for _ in range(HANDS)]
    answers = at_once([
        lambda load=load: loads.put_in(stock.asks(ines), load, [piece], Put("1")) for load in made
    ])  # fmt: skip
    assert len(refused(answers)) == HANDS - 1
    assert Loaded.objects.standing().count() == 1


def test_loads_opened_at_once_get_numbers_of_their_own(ines, here):
    at_once([lambda: loads.open_load(stock.asks(ines), here, LoadHead("return", to="quay"))] * HANDS)
    numbers = sorted(LoadOut.objects.values_list("number", flat=True))
    assert numbers == list(range(1, HANDS + 1))


def test_sending_moving_taking_back_and_receiving_never_wait_in_a_ring(ines, here, there, layer, quay):
    made = stock.pieces(layer, 6)
    upper = Place.objects.get(site=here, path="R1/2")
    both = [stock.load(ines, here, made[:3], head=LoadHead("site", to_site=there)),
            stock.load(ines, here, made[3:])]  # fmt: skip

    def told(act):
        try:
            act()
        except REFUSALS:
            return

    def goes(load):
        for _ in range(4):
            told(lambda: loads.send(stock.asks(ines), load))
            told(lambda: loads.take_back(stock.asks(ines), load, "again"))

    def moves():
        for n in range(6):
            told(lambda n=n: pieces.move_pieces(stock.asks(ines), made[:: -1 if n % 2 else 1], upper))
            told(lambda n=n: pieces.put_hold(stock.asks(ines), made[n], "slip cut"))

    def comes():
        for _ in range(6):
            told(lambda: arriving.arrive(stock.asks(ines), both[0], Came(quay, everything=True)))

    at_once([lambda: goes(both[0]), lambda: goes(both[1]), lambda: goes(both[0]), moves, moves, comes])
    assert "No difference" in audited()
