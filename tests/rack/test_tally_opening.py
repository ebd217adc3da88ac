"""Opening a tally: what its lines are made from, what is refused, sent twice."""

import uuid

import pytest
from django.urls import reverse

from rack.actions import places, receiving
from rack.actions.files import keep_bytes
from rack.exchange.delivery import read_delivery
from rack.models import Place, Tally
from tests import stock
from tests.rack.tally_desk import signed_in, text_of

pytestmark = pytest.mark.django_db


HEAD = {
    "purpose": "rack",
    "kind": "pins off",
    "title": "R1",
    "straps_wanted": "1",
    "tape": "T-07",
    "reader": "Ada",
}


def opened(client, **typed):
    return client.post(reverse("tally_new"), {"key": str(uuid.uuid4()), **HEAD, **typed})


def test_a_tally_begins_with_numbers_from_any_number(here):
    client = signed_in(at=here)
    assert opened(client, lines_from="numbers", first="36A", count="3").status_code == 302
    assert [line.painted for line in Tally.objects.get().lines.in_order()] == ["36A", "37", "38"]


def test_a_tally_begins_with_the_pieces_of_a_layer_by_the_numbers_painted_on_them(here, layer):
    stock.pieces(layer, 12)
    client = signed_in(at=here)
    opened(client, lines_from="layer", layer=str(layer.pk))
    lines = list(Tally.objects.get().lines.in_order().select_related("component"))
    assert [line.painted for line in lines] == [str(n) for n in range(1, 13)]
    assert [line.component.serial for line in lines] == [f"KD{4101 + n}" for n in range(12)]


def test_a_first_number_counts_over_what_is_painted(here, layer):
    stock.pieces(layer, 3)
    opened(signed_in(at=here), lines_from="layer", layer=str(layer.pk), first="101")
    assert [line.painted for line in Tally.objects.get().lines.in_order()] == ["101", "102", "103"]


def test_a_tally_begins_with_a_delivery_in_the_order_of_its_list(here, layer):
    data = b"Serial;Item;Length ft\nKD9;5 in 19.50 S-135 NC50;31.24\nKD2;5 in 19.50 S-135 NC50;31.30\n"
    keep_bytes(data)
    read = read_delivery(data, "list.csv", length_kind="pins off", default_item="drill pipe")
    receipt = receiving.Receipt(
        place=layer, file_name="list.csv", media="text/csv", sender="", owner="", confirmed=True
    )
    came = receiving.accept(stock.asks(stock.person("ines", "office", here)), read, receipt)
    client = signed_in(at=here)
    form = client.get(reverse("tally_new"), {"delivery": came.pk}).context["form"]
    assert (form["purpose"].value(), form["lines_from"].value()) == ("delivery", "delivery")
    opened(client, lines_from="delivery", delivery=form["delivery"].value())
    lines = Tally.objects.get().lines.in_order().select_related("component")
    assert [line.component.serial for line in lines] == ["KD9", "KD2"]


def test_a_tally_begins_with_what_the_rack_list_shows(here, layer):
    stock.pieces(layer, 3)
    stock.pieces(stock.rack(here, "C1"), 2, facts=stock.CASING, first=900)
    client = signed_in(at=here)
    page = client.get(reverse("tally_new") + "?from=rack&kind=casing")
    assert "what the rack list showed: 2 pieces" in text_of(page)
    query = page.context["form"].initial["rack_query"]
    opened(client, lines_from="rack", rack_query=query)
    assert Tally.objects.get().lines.count() == 2
    assert set(Tally.objects.get().lines.values_list("component__spec__kind", flat=True)) == {"casing"}


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"lines_from": "numbers"}, "Say how many numbers"),
        ({"lines_from": "layer"}, "Choose the layer"),
        ({"lines_from": "delivery"}, "Choose the delivery"),
        ({"lines_from": "numbers", "count": "0"}, "greater than"),
        ({"lines_from": "empty", "reader": ""}, "required"),
        ({"lines_from": "empty", "kind": "by eye"}, "valid choice"),
        ({"lines_from": "rack"}, "valid choice"),
        ({"lines_from": "numbers", "count": "9", "first": "x" * 30}, "at most"),
    ],
)
def test_a_head_that_cannot_be_is_refused_and_what_was_typed_stays(here, layer, typed, words):
    response = opened(signed_in(at=here), **{"title": "lowest layer, north", **typed})
    text = text_of(response)
    assert response.status_code == 422 and words in text and 'value="lowest layer, north"' in text
    assert not Tally.objects.exists()


def test_an_empty_layer_is_refused_with_a_sentence(here, layer):
    response = opened(signed_in(at=here), lines_from="layer", layer=str(layer.pk))
    assert response.status_code == 422 and "No piece is chosen" in text_of(response)


def test_the_same_head_sent_twice_opens_one_tally(here, layer):
    client, key = signed_in(at=here), str(uuid.uuid4())
    for _ in range(2):
        assert opened(client, lines_from="numbers", count="4", key=key).status_code == 302
    assert Tally.objects.count() == 1 and Tally.objects.get().lines.count() == 4


def test_a_rack_that_was_closed_is_not_offered(here, layer):
    rack = Place.objects.get(site=here, path="R1")
    places.close_rack(stock.asks(stock.person("ines", "office", here)), rack)
    assert "R1, layer" not in text_of(signed_in(at=here).get(reverse("tally_new")))
