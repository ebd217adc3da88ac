"""What a string went through: which pieces were in, how far from the bit; and the blows of a jar."""

import uuid

import pytest

from rack.actions import running
from rack.actions.doing import Said
from rack.actions.happenings import (
    EventSaid,
    add_dogleg,
    record_event,
    take_back_dogleg,
    take_back_event,
)
from rack.calc.happenings import HAPPENINGS
from rack.errors import Refused
from rack.models import Clock, Dogleg, Event, EventPiece
from rack.models.timeline import line_of_time
from tests import runs, stock
from tests.rack.test_audit import audited
from tests.runs import at

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def string(ola, layer):
    return runs.string(ola, layer)


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 3, lengths=["31.50", "31.00", "30.50"])


def where(event) -> list[tuple[str, float | None]]:
    rows = EventPiece.objects.filter(event=event).order_by("seq")
    return [(str(row.component), row.from_bit_nm and row.from_bit_nm / stock.feet("1")) for row in rows]


def test_every_piece_in_the_hole_is_named_with_its_distance_from_the_bit(
    here, ada, ola, string, joints, layer
):
    bit = runs.tool(layer, "bit", 9001)
    runs.join(ada, string, [bit, *joints[:2]], hours=0)
    runs.join(ada, string, joints[2:], hours=5)
    said = EventSaid("overpull", at(3), string=string, depth_nm=stock.feet("900"), amount=40_000, unit="lbf")
    event = record_event(stock.asks(ada), here, said)
    lengths = [0, *(member.length_nm / stock.feet("1") for member in string.members.from_the_bit())]
    assert where(event) == [("KD9001", 0), ("KD4101", lengths[1]), ("KD4102", lengths[1] + lengths[2])]
    assert "Overpull" in line_of_time(joints[0])[0].what
    assert "Overpull" not in line_of_time(joints[2])[0].what


def test_what_stood_in_the_derrick_went_through_nothing(here, ada, string, joints):
    runs.join(ada, string, joints, hours=0)
    running.rack_back(stock.asks(ada), string, joints[2:], "A", 1, Said(at(2)))
    event = record_event(stock.asks(ada), here, EventSaid("washout", at(3), string=string))
    assert [name for name, _ in where(event)] == ["KD4101", "KD4102"]
    before = record_event(stock.asks(ada), here, EventSaid("washout", at(1), string=string))
    assert len(where(before)) == 3


def test_above_a_length_that_is_not_known_no_distance_is_invented(here, ada, string, joints, layer):
    new = stock.pieces(layer, 1, first=5001)
    runs.join(ada, string, [joints[0], new[0], joints[1]], hours=0)
    event = record_event(
        stock.asks(ada), here, EventSaid("heat", at(1), string=string, amount=150, unit="°C")
    )
    assert [nm is None for _, nm in where(event)] == [False, False, True]


def test_the_blows_of_a_jar_are_counted_on_the_jar_alone_and_taken_back(
    here, ada, ola, string, joints, layer
):
    jar = runs.tool(layer, "jar", 9001)
    runs.join(ada, string, [joints[0], jar, joints[1]], hours=0)
    run = runs.run(ola, string)
    key = uuid.uuid4()
    said = EventSaid("jar_up", at(3), at(4), string=string, amount=12, unit="hits")
    for _ in range(2):
        event = record_event(stock.asks(ada, key), here, said)
    record_event(stock.asks(ada), here, EventSaid("jar_down", at(4), string=string, amount=3, unit="hits"))
    assert Clock.objects.get(clock="hits_n").component == jar
    assert Clock.objects.get(clock="hits_n").total == 15
    assert event.run == run
    assert "No difference" in audited()
    take_back_event(stock.asks(ada), event, "it was the other string")
    assert Clock.objects.get(clock="hits_n").total == 3
    assert "No difference" in audited()
    with pytest.raises(Refused, match="taken back already"):
        take_back_event(stock.asks(ada), event, "again")


def test_a_piece_that_was_dropped_on_the_deck_is_named_by_hand(here, ada, joints):
    event = record_event(
        stock.asks(ada), here, EventSaid("dropped", at(1), note="off the catwalk"), joints[:1]
    )
    assert where(event) == [("KD4101", None)]
    assert event.string is None


@pytest.mark.parametrize(("given", "words"), [
    ({"kind": "flood"}, "Choose what happened"),
    ({"from_at": at(24 * 365)}, "still to come"),
    ({"to_at": at(-1)}, "ended before"),
    ({"amount": 5, "unit": "hits"}, "has no amount"),
    ({"kind": "overpull", "amount": 5, "unit": "hits"}, "whole number in lbf or kN or t"),
    ({"kind": "overpull", "amount": 10**12, "unit": "lbf"}, "whole number"),
    ({"from_at": at(-5)}, "No piece was in the hole"),
    ({"kind": "jar_up"}, "How many hits"),
])  # fmt: skip
def test_an_event_that_makes_no_sense_is_refused_with_the_sentence(here, ada, string, joints, given, words):
    runs.join(ada, string, joints, hours=0)
    with pytest.raises(Refused, match=words):
        record_event(stock.asks(ada), here, EventSaid(**{"kind": "washout", "from_at": at(1), **given},
                                                      string=string))  # fmt: skip
    assert not Event.objects.exists()


def test_every_kind_of_event_has_words_for_a_page():
    assert all(one.name and one.look and bool(one.units) == bool(one.counts) for one in HAPPENINGS.values())


def test_a_dogleg_goes_down_and_is_taken_back_once(ada, ola, string):
    key = uuid.uuid4()
    given = (string.well, stock.feet("4000"), stock.feet("4200"), 6500)
    row = add_dogleg(stock.asks(ada, key), *given)
    assert add_dogleg(stock.asks(ada, key), *given).pk == row.pk
    with pytest.raises(Refused, match="goes down"):
        add_dogleg(stock.asks(ada), string.well, 5, 5, 6500)
    with pytest.raises(Refused, match="at most 100 degrees"):
        add_dogleg(stock.asks(ada), string.well, 0, 5, 0)
    take_back_dogleg(stock.asks(ada), row)
    assert not Dogleg.objects.standing().exists()
    with pytest.raises(Refused, match="already"):
        take_back_dogleg(stock.asks(ada), row)
