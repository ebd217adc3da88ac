"""An arrival that was written down by mistake is taken back once, and only while nothing was done since."""

import uuid

import pytest
from django.test import Client

from rack.actions import arriving, loads, pieces
from rack.actions.arriving import Came
from rack.actions.loads import LoadHead
from rack.actions.unarriving import undo_arrival
from rack.errors import AlreadyUsed, NotAllowed, Refused
from rack.models import Arrival, Component, Journal, LoadOut, Move, Place
from rack.models.balancing import as_of, balance_now, gone_on
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
def quay(there):
    return stock.rack(there, "K1")


@pytest.fixture
def going(ines, here, there):
    joints = stock.pieces(stock.rack(here), 3, lengths=["31.24", "30.97", "31.55"])
    return stock.load(ines, here, joints, head=LoadHead("site", to_site=there), sent=True)


def came(ines, load, quay, **how) -> Arrival:
    return arriving.arrive(stock.asks(ines), load, Came(quay, **(how or {"everything": True})))


def stand(load) -> list[tuple]:
    rows = Component.objects.order_by("serial_key")
    return [(row.site_id, row.place_id, row.state, row.received_on, row.length_nm) for row in rows]


def test_an_arrival_is_taken_back_and_everything_stands_as_before(ines, going, quay, here) -> None:
    before = stand(going)
    arrival = came(ines, going, quay)
    back = undo_arrival(stock.asks(ines), arrival, "the wrong boat")
    assert stand(going) == before
    going.refresh_from_db()
    assert (going.state, back.reverses, back.remark) == ("sent", arrival, "the wrong boat")
    assert Move.objects.filter(journal=back.journal, reverses__journal=arrival.journal).count() == 3
    assert "No difference" in audited()


def test_it_can_be_received_again_or_taken_back_by_the_sender(ines, going, quay, here, there) -> None:
    undo_arrival(stock.asks(ines), came(ines, going, quay), "the wrong boat")
    assert came(ines, going, quay).came_n == 3
    undo_arrival(stock.asks(ines), Arrival.objects.standing().get(), "the wrong boat again")
    loads.take_back(stock.asks(ines), LoadOut.objects.get(), "it never left")
    assert set(Component.objects.values_list("site", "state")) == {(here.pk, "received")}
    assert "No difference" in audited()


def test_the_balance_of_both_sites_agrees_after_it(ines, going, quay, here, there) -> None:
    back = undo_arrival(stock.asks(ines), came(ines, going, quay), "the wrong boat")
    for site in (here, there):
        rows = Component.objects.at(site)
        assert balance_now(rows, gone_on(site)).difference == 0
        assert as_of(site, Component.objects.all(), back.at).balance.difference == 0


def test_the_same_key_twice_is_once_and_another_request_with_it_is_refused(ines, going, quay) -> None:
    arrival, key = came(ines, going, quay), uuid.uuid4()
    rows = {undo_arrival(stock.asks(ines, key), arrival, "the wrong boat").pk for _ in range(2)}
    assert len(rows) == 1 and Arrival.objects.count() == 2
    with pytest.raises(AlreadyUsed):
        undo_arrival(stock.asks(ines, key), arrival, "another reason")
    with pytest.raises(Refused, match="taken back already"):
        undo_arrival(stock.asks(ines), arrival, "the wrong boat")
    assert Arrival.objects.count() == 2


def test_of_two_arrivals_the_newest_is_taken_back_first(ines, going, quay) -> None:
    first = came(ines, going, quay, names=("KD4101",))
    second = came(ines, going, quay)
    with pytest.raises(Refused, match="take the newest arrival back first"):
        undo_arrival(stock.asks(ines), first, "the wrong boat")
    undo_arrival(stock.asks(ines), second, "the wrong boat")
    assert Component.objects.filter(state="in_transit").count() == 2
    undo_arrival(stock.asks(ines), first, "the wrong boat")
    assert Component.objects.filter(state="in_transit").count() == 3
    assert "No difference" in audited()


def moved(ines, quay, there):
    piece = Component.objects.get(serial="KD4102")
    pieces.move_pieces(stock.asks(ines), [piece], Place.objects.get(site=there, path="K1/2"))


def on_tally(ines, quay, there):
    stock.tally(ines, there, [Component.objects.get(serial="KD4102")])


def on_load(ines, quay, there):
    stock.load(ines, there, [Component.objects.get(serial="KD4102")])


@pytest.mark.parametrize("act, words", [
    (moved, "KD4102 was moved since"), (on_tally, "KD4102 stands on Tally 1"), (on_load, "KD4102 is on Load"),
])
def test_once_something_was_done_with_a_piece_it_is_named_and_nothing_is_taken_back(
    ines, going, quay, there, act, words
) -> None:
    arrival = came(ines, going, quay)
    act(ines, quay, there)
    with pytest.raises(Refused, match=words) as refused:
        undo_arrival(stock.asks(ines), arrival, "the wrong boat")
    assert len(refused.value.problems) == 1
    assert not Arrival.objects.filter(reverses=arrival).exists()


def test_it_needs_a_reason_and_a_post_at_the_other_end(ines, going, quay, here, there) -> None:
    arrival = came(ines, going, quay)
    count = Journal.objects.count()
    with pytest.raises(Refused, match="in a few words"):
        undo_arrival(stock.asks(ines), arrival, "  ")
    for user in (stock.person("kim", "crew", there), stock.person("bo", "office", here)):
        with pytest.raises(NotAllowed):
            undo_arrival(stock.asks(user), arrival, "the wrong boat")
    assert Journal.objects.count() == count


def client_of(user) -> Client:
    made = Client()
    made.force_login(user)
    return made


def key() -> str:
    return str(uuid.uuid4())


def test_the_page_takes_it_back_with_a_reason_and_says_what_is_in_the_way(going, ines, quay, there) -> None:
    kim = client_of(stock.person("kim", "office", there))
    at = f"/loads/coming/{going.pk}/"
    assert "Take the arrival back" not in kim.get(at).content.decode()
    arrival = came(ines, going, quay)
    assert "Take the arrival back" in kim.get(at).content.decode()
    bare = kim.post(at, {"key": key(), "what": "undo", "arrival": arrival.pk, "undo_reason": ""})
    assert bare.status_code == 422 and "required" in bare.content.decode()
    body = {"what": "undo", "arrival": arrival.pk, "undo_reason": "the wrong boat"}
    done = kim.post(at, {"key": key(), **body}, follow=True)
    page = done.content.decode()
    assert "in transit again" in page and "On the list and not here yet" in page
    again = kim.post(at, {"key": key(), **body})
    assert again.status_code == 422 and "taken back already" in again.content.decode()
    assert kim.post(at, {"key": key(), **body, "arrival": 10**9}).status_code == 404


def test_an_arrival_outside_is_taken_back_on_the_page_of_the_load(ines, here) -> None:
    load = stock.load(ines, here, stock.pieces(stock.rack(here), 2), sent=True)
    arrival = arriving.arrive(stock.asks(ines), load, Came(everything=True))
    ola = client_of(stock.person("ola", "office", here))
    assert "Take the arrival back" in ola.get(f"/loads/{load.number}/").content.decode()
    body = {"key": key(), "arrival": arrival.pk, "undo_reason": "it stands at the gate"}
    assert ola.post(f"/loads/{load.number}/do/unarrive/", body).status_code == 302
    assert set(Component.objects.values_list("state", flat=True)) == {"in_transit"}
    assert "No difference" in audited()
