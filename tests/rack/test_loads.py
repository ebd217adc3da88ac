"""Loads: put on, taken off, sent, taken back, received at the other end; every step once and for good."""

import json

import pytest

from rack.actions import arriving, loads, pieces
from rack.actions.arriving import Came
from rack.actions.loads import LoadHead, Put
from rack.calc.loadlist import LoadContent
from rack.errors import ChangedMeanwhile, NotAllowed, Refused
from rack.models import Arrival, Component, Loaded, LoadOut, LoadSheet, Move, Place
from tests import stock
from tests.rack.test_audit import audited

pytestmark = pytest.mark.django_db


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


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 4, lengths=["31.24", "30.97", "31.55", "31.02"])


@pytest.fixture
def going(ines, here, there, joints):
    """A load of three joints on its way to the other site."""
    return stock.load(ines, here, joints[:3], head=LoadHead("site", to_site=there), sent=True)


def states():
    return list(Component.objects.order_by("serial_key").values_list("state", flat=True))


def sheet_of(load):
    return LoadSheet.objects.standing().get(loadout=load)


def test_sending_puts_every_piece_in_transit_and_writes_its_list(going, joints, here):
    assert states() == ["in_transit"] * 3 + ["received"]
    content = LoadContent.from_text(sheet_of(going).content)
    assert [line.serial for line in content.lines] == ["KD4101", "KD4102", "KD4103"]
    assert content.sum_nm == sum(joint.length_nm for joint in Component.objects.filter(state="in_transit"))
    assert (going.state, going.revision) == ("sent", 1)
    assert "No difference" in audited()


@pytest.mark.parametrize("act", [
    lambda load, ines, joints: loads.put_in(stock.asks(ines), load, joints[3:], Put("2")),
    lambda load, ines, joints: loads.take_off(stock.asks(ines), load, list(Loaded.objects.on(load))),
    lambda load, ines, joints: loads.send(stock.asks(ines), load),
])  # fmt: skip
def test_a_sent_load_does_not_change_any_more(going, ines, joints, act):
    with pytest.raises(Refused, match="on its way"):
        act(going, ines, joints)


def test_the_database_refuses_to_change_a_list(going):
    from django.db import DatabaseError, transaction

    with pytest.raises(DatabaseError, match="a ledger only grows"), transaction.atomic():
        LoadSheet.objects.update(content="{}")


def test_a_piece_in_transit_can_neither_move_nor_be_put_on_another_load(going, ines, here, joints, layer):
    with pytest.raises(Refused, match="in transit"):
        pieces.move_pieces(stock.asks(ines), [joints[0]], layer)
    other = stock.load(ines, here, [])
    with pytest.raises(Refused, match="does not lie here"):
        loads.put_in(stock.asks(ines), other, [joints[0]], Put("1"))


def test_a_piece_on_one_open_load_is_not_put_on_another(ines, here, joints):
    stock.load(ines, here, joints[:1])
    with pytest.raises(Refused, match="KD4101 is on Load 1 already"):
        stock.load(ines, here, joints[:2])


def test_every_reason_is_named_at_once(ines, here, joints, quay):
    theirs = stock.pieces(quay, 1, first=900)
    pieces.change_state(stock.asks(ines), joints[1], "scrapped")
    one = stock.load(ines, here, [])
    with pytest.raises(Refused) as refused:
        loads.put_in(stock.asks(ines), one, [joints[0], joints[0], joints[1], *theirs], Put("1"))
    texts = [problem.text for problem in refused.value.problems]
    assert texts == ["KD4101 is named twice.", "KD900 belongs to another site.",
                     "KD4102 is scrapped and does not lie here."]  # fmt: skip
    assert not Loaded.objects.exists()


def test_what_is_taken_off_stays_here_and_the_entry_is_reversed_once(ines, here, joints):
    one = stock.load(ines, here, joints[:2])
    row = Loaded.objects.on(one)[0]
    loads.take_off(stock.asks(ines), one, [row])
    with pytest.raises(Refused, match="not on Load 1 any more"):
        loads.take_off(stock.asks(ines), one, [row])
    loads.send(stock.asks(ines), one)
    assert states() == ["received", "in_transit", "received", "received"]


def test_an_empty_load_is_not_sent(ines, here):
    with pytest.raises(Refused, match="nothing on Load 1"):
        loads.send(stock.asks(ines), stock.load(ines, here, []))


def test_a_load_changed_since_the_page_was_shown_is_not_sent(ines, here, joints):
    one = stock.load(ines, here, joints[:1])
    loads.put_in(stock.asks(ines), one, joints[1:2], Put("1"))
    with pytest.raises(ChangedMeanwhile, match="changed by somebody else"):
        loads.send(stock.asks(ines), one, seen=one.version)


def test_the_same_key_sends_once_and_answers_alike(ines, here, joints):
    one, asked = stock.load(ines, here, joints[:2]), stock.asks(ines)
    assert loads.send(asked, one) == loads.send(asked, one)
    assert LoadSheet.objects.count() == 1 and Move.objects.filter(to_state="in_transit").count() == 2


@pytest.mark.parametrize("role", ["crew", "viewer"])
def test_only_those_who_may_send_a_load(here, joints, ines, role):
    one, person = stock.load(ines, here, joints[:1]), stock.person("eve", role, here)
    with pytest.raises(NotAllowed, match="To send a load"):
        loads.send(stock.asks(person), one)
    with pytest.raises(NotAllowed, match="To send a load"):
        loads.take_back(stock.asks(person), one, "no")


@pytest.mark.parametrize("head, words", [
    (LoadHead("return"), "Say where it goes"), (LoadHead("gift", to="x"), "Say why"),
    (LoadHead("site", to="x"), "names the site"),
])  # fmt: skip
def test_a_load_that_goes_nowhere_is_not_opened(ines, here, head, words):
    with pytest.raises(Refused, match=words):
        loads.open_load(stock.asks(ines), here, head)


def test_a_load_to_its_own_site_is_not_opened(ines, here):
    with pytest.raises(Refused, match="cannot be where it goes"):
        loads.open_load(stock.asks(ines), here, LoadHead("site", to_site=here))


def test_taking_back_lays_every_piece_where_it_lay_and_opens_the_load(ines, here, joints, layer):
    pieces.change_state(stock.asks(ines), joints[0], "accepted")
    one = stock.load(ines, here, joints[:2], sent=True)
    back = loads.take_back(stock.asks(ines), one, "the boat is full")
    assert states() == ["accepted", "received", "received", "received"]
    assert set(Component.objects.values_list("place", flat=True)) == {layer.pk}
    one.refresh_from_db()
    assert (one.state, one.revision, back.reverses.revision) == ("open", 1, 1)
    assert loads.send(stock.asks(ines), one).revision == 2
    assert "No difference" in audited()


def test_a_load_taken_back_to_a_rack_that_closed_meanwhile_says_so_in_the_balance(ines, here):
    from rack.actions.places import close_rack
    from rack.models.balancing import unplaced

    away = stock.pieces(stock.rack(here, "R2", layers=1), 2, first=700)
    one = stock.load(ines, here, away, sent=True)
    close_rack(stock.asks(ines), Place.objects.racks().get(rack="R2"))
    loads.take_back(stock.asks(ines), one, "no room on the boat")
    assert [piece.serial for piece in unplaced(Component.objects.at(here))] == ["KD700", "KD701"]
    assert "No difference" in audited()


def test_taking_back_wants_a_reason_and_only_what_is_on_its_way(ines, going, quay):
    with pytest.raises(Refused, match="few words"):
        loads.take_back(stock.asks(ines), going, "  ")
    arriving.arrive(stock.asks(ines), going, Came(quay, everything=True))
    with pytest.raises(Refused, match="something of it has arrived"):
        loads.take_back(stock.asks(ines), going, "too late")


def test_received_whole_the_pieces_belong_to_the_other_site(ines, going, quay, there):
    done = arriving.arrive(stock.asks(ines), going, Came(quay, everything=True))
    moved = Component.objects.at(there)
    assert {(piece.place_id, piece.state) for piece in moved} == {(quay.pk, "received")}
    assert (moved.count(), done.came_n, done.complete) == (3, 3, True)
    going.refresh_from_db()
    assert going.state == "arrived"
    assert "No difference" in audited()


def test_what_is_short_stays_in_transit_and_what_is_over_is_named(ines, going, quay):
    came = Came(quay, names=("KD4101", "3", "KD9999"))
    done = arriving.arrive(stock.asks(ines), going, came)
    assert states() == ["received", "in_transit", "received", "received"]
    short = Component.objects.get(serial="KD4102")
    assert (json.loads(done.short), json.loads(done.over)) == ([short.tag], ["KD9999"])
    going.refresh_from_db()
    assert going.state == "sent"
    arriving.arrive(stock.asks(ines), going, Came(quay, tags=(short.tag,)))
    going.refresh_from_db()
    assert going.state == "arrived" and Arrival.objects.count() == 2
    assert "No difference" in audited()


def test_the_same_load_is_received_once(ines, going, quay):
    arriving.arrive(stock.asks(ines), going, Came(quay, everything=True))
    with pytest.raises(Refused, match="has arrived already"):
        arriving.arrive(stock.asks(ines), going, Came(quay, everything=True))


@pytest.mark.parametrize("came, words", [
    (Came(), "Nothing is ticked"), (Came(names=("KD4101", "kd4101")), "named twice"),
    (Came(everything=True), "on which layer"), (Came(names=("x" * 61,)), "at most 60 letters"),
])  # fmt: skip
def test_an_arrival_that_says_too_little_is_refused(ines, going, came, words):
    with pytest.raises(Refused, match=words):
        arriving.arrive(stock.asks(ines), going, came)
    assert states() == ["in_transit"] * 3 + ["received"]


def test_pieces_are_laid_on_a_layer_of_the_site_they_came_to(ines, going, layer):
    with pytest.raises(Refused, match="on which layer"):
        arriving.arrive(stock.asks(ines), going, Came(layer, everything=True))


def test_only_the_other_site_receives(going, here, quay):
    ola = stock.person("ola", "office", here)
    with pytest.raises(NotAllowed, match="receive a delivery"):
        arriving.arrive(stock.asks(ola), going, Came(quay, everything=True))


@pytest.mark.parametrize("why, state", [
    ("return", "returned"), ("inspection", "at_inspection"), ("repair", "in_repair"), ("other", "returned"),
])  # fmt: skip
def test_arrived_outside_each_piece_takes_the_state_it_went_for(ines, here, joints, why, state):
    one = stock.load(ines, here, joints[:2], head=LoadHead(why, to="quay 4"), sent=True)
    arriving.arrive(stock.asks(ines), one, Came(everything=True))
    assert states() == [state] * 2 + ["received"] * 2
    assert {piece.place.kind for piece in Component.objects.filter(state=state)} == {"away"}
    assert "No difference" in audited()


def test_the_list_says_what_the_delivery_list_said_and_what_is_held(ines, here, layer):
    from tests import rig as rigs

    rigs._receive(ines, layer)
    piece = Component.objects.get(serial="KD7002")
    pieces.put_hold(stock.asks(ines), piece, "slip cut")
    one = stock.load(ines, here, [piece], sent=True)
    (line,) = LoadContent.from_text(sheet_of(one).content).lines
    assert (line.list_name, line.holds, line.painted) == (rigs.LIST_NAME, ("slip cut",), "2")
    assert line.list_nm == piece.length_nm


def test_a_piece_can_go_and_come_back_and_go_again(ines, here, there, going, quay, layer):
    arriving.arrive(stock.asks(ines), going, Came(quay, everything=True))
    moved = list(Component.objects.at(there))
    home = stock.load(ines, there, moved, head=LoadHead("site", to_site=here), sent=True)
    arriving.arrive(stock.asks(ines), home, Came(layer, everything=True))
    again = stock.load(ines, here, moved, head=LoadHead("site", to_site=there), sent=True)
    assert LoadContent.from_text(sheet_of(again).content).count == 3
    assert LoadOut.objects.filter(state="sent").count() == 1
    assert "No difference" in audited()
