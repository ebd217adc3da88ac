"""Lists accepted and racks closed by several hands at once; only PostgreSQL lets them meet."""

import pytest
from django.contrib.auth.models import User

from rack.actions import pieces, places, receiving
from rack.actions.files import keep_bytes
from rack.calc.receiving import Counted, DeliveryList, Mapping, ReadRow
from rack.errors import Refused
from rack.models import Component, Delivery, Place
from tests import stock
from tests.hands import HANDS, at_once, refused

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


def delivery_list(data: bytes) -> DeliveryList:
    """A list of two joints as the reader gives it."""
    facts = stock.DRILL_PIPE
    rows = tuple(
        ReadRow(row=n, sheet="a", typed={"serial": f"KD{n}"}, serial=f"KD{n}", spec=facts) for n in (2, 3)
    )
    return DeliveryList(
        rows=rows,
        totals=(),
        counted=Counted(read=2, accepted=2, left_out=0, sum_rows=0, blank_rows=0),
        mapping=Mapping(),
        problems=(),
        digest=keep_bytes(data),
        sheet_names=("a",),
    )


def test_the_same_file_accepted_at_once_makes_its_pieces_once(boss, layer):
    read = delivery_list(b"serial\nKD2\nKD3\n")
    receipt = receiving.Receipt(place=layer, file_name="a.csv")
    answers = at_once([lambda: receiving.accept(stock.asks(boss), read, receipt)] * HANDS)
    assert len([one for one in answers if isinstance(one, Refused) and "same file" in str(one)]) == HANDS - 1
    assert (Component.objects.count(), Delivery.objects.count()) == (2, 1)


def test_the_same_file_accepted_at_once_on_two_layers_makes_its_pieces_once(here, boss, layer):
    read = delivery_list(b"serial\nKD2\nKD3\n")
    layers = list(Place.objects.on(here).layers())
    answers = at_once(
        [
            lambda place=place: receiving.accept(stock.asks(boss), read, receiving.Receipt(place, "a.csv"))
            for place in layers
        ]
    )
    assert len(refused(answers)) == 1
    assert Component.objects.count() == 2


@pytest.mark.parametrize("turn", range(ROUNDS))
def test_a_rack_that_is_closed_while_pieces_come_holds_none_of_them(here, boss, layer, turn):
    made = stock.pieces(layer, 2)
    other = stock.rack(here, "R2", layers=1)
    rack = Place.objects.racks().get(rack="R2")
    at_once(
        [
            lambda: places.close_rack(stock.asks(boss), rack),
            lambda: pieces.move_pieces(stock.asks(boss), made, other),
            lambda: receiving.accept(
                stock.asks(boss), delivery_list(b"KD2"), receiving.Receipt(other, "a.csv")
            ),
        ]
    )
    other.refresh_from_db()
    assert bool(other.ended_on) != Component.objects.filter(place=other).exists()
