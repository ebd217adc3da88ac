"""Moving many in one go: what is chosen is shown first, what is wrong is said at once, then all or none."""

import uuid

import pytest
from django.urls import reverse

from rack.actions import pieces as actions
from rack.actions import places
from rack.models import Component, Consent, Move, Place
from tests import stock
from tests.rack.tally_desk import ROLES, signed_in, text_of

pytestmark = pytest.mark.django_db
MOVE = "/rack/move/"


@pytest.fixture
def here():
    return stock.site()


@pytest.fixture
def layer(here):
    return stock.rack(here)


@pytest.fixture
def upper(layer):
    return Place.objects.get(site=layer.site, path="R1/2")


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 12, lengths=["30.00"] * 12)


@pytest.fixture
def ola(here):
    return signed_in(at=here)


def looked(client, **choice):
    return client.get(MOVE, {"way": "names", **choice})


def moved(client, page, **more):
    sent = dict(page.context["sent"]) if "sent" in page.context else {}
    body = {**sent, "same": page.context.get("same", ""), "key": str(uuid.uuid4()), **more}
    return client.post(MOVE, {name: value for name, value in body.items() if value is not None})


def lying(place):
    return sorted(Component.objects.filter(place=place).values_list("serial", flat=True))


def test_joints_from_one_painted_number_to_another_are_shown_and_then_moved(ola, joints, layer, upper):
    page = looked(ola, way="numbers", layer=layer.pk, first="9", last="11", place=upper.pk)
    assert page.context["count"] == 3 and "90.00 ft" in text_of(page)
    assert lying(upper) == []
    assert moved(ola, page).status_code == 302
    assert lying(upper) == ["KD4109", "KD4110", "KD4111"]
    assert len(set(Move.objects.filter(to_place=upper).values_list("journal", flat=True))) == 1


def test_a_whole_layer_goes_in_one_go(ola, joints, layer, upper):
    page = looked(ola, way="layer", layer=layer.pk, place=upper.pk)
    moved(ola, page)
    assert (len(lying(upper)), lying(layer)) == (12, [])


def test_numbers_can_be_in_the_order_of_a_tally(ola, here, joints, upper):
    by = stock.person("ada", "crew", here)
    tally = stock.tally(by, here, joints[6:10])
    page = looked(ola, way="numbers", tally=tally.pk, first="2", last="3", place=upper.pk)
    moved(ola, page)
    assert lying(upper) == ["KD4108", "KD4109"]


def test_a_typed_list_takes_serials_tags_and_painted_numbers(ola, joints, upper):
    names = f"kd-4101\n{joints[1].tag}, 3; KD4104"
    page = looked(ola, names=names, place=upper.pk)
    moved(ola, page)
    assert lying(upper) == ["KD4101", "KD4102", "KD4103", "KD4104"]


@pytest.mark.parametrize("choice, words", [
    ({"names": "KD4101 KD9"}, ["No piece there is called KD4101 KD9."]),
    ({"names": "KD9,KD8"}, ["No piece there is called KD9.", "No piece there is called KD8."]),
    ({"names": "KD4101\nkd4101"}, ["kd4101 is named twice: KD4101."]),
    ({"names": "KD4101\n1"}, ["1 is named twice: KD4101."]),
    ({"names": ""}, ["Type the serials, tags or painted numbers."]),
    ({"way": "numbers"}, ["Type the painted number it begins with.", "Choose the layer, or the tally"]),
    ({"way": "layer"}, ["Choose the layer."]),
    ({"names": ",".join(f"X{n}" for n in range(1001))}, ["1,001 names were typed; at most 1,000"]),
])  # fmt: skip
def test_what_is_wrong_with_the_names_is_said_all_at_once(ola, joints, upper, choice, words):
    page = looked(ola, place=upper.pk, **choice)
    assert "count" not in page.context
    assert all(one in text_of(page) for one in words)


def test_a_number_painted_on_two_joints_is_told_apart_by_tag(ola, here, joints, upper):
    stock.pieces(stock.rack(here, "R2"), 1, first=900)
    page = looked(ola, names="1", place=upper.pk)
    assert "count" not in page.context and "1 may mean KD4101" in text_of(page)


@pytest.mark.parametrize("field", ["layer", "tally", "place", "way"])
@pytest.mark.parametrize("value", ["x", "-1", "99999999999999999999", "\x00", "' or 1=1"])
def test_a_choice_that_somebody_made_up_is_refused_in_a_sentence(ola, joints, layer, upper, field, value):
    page = looked(ola, **{"way": "layer", "layer": layer.pk, "place": upper.pk, field: value})
    assert page.status_code == 200 and "count" not in page.context
    typed = {"way": "layer", "layer": layer.pk, "place": upper.pk, field: value}
    assert moved(ola, page, **typed).status_code == 422
    assert lying(upper) == []


def test_a_held_joint_is_noted_and_moved_all_the_same(ola, here, joints, upper):
    actions.put_hold(stock.asks(stock.person("ben", "crew", here)), joints[0], "slip cut")
    page = looked(ola, names="KD4101", place=upper.pk)
    assert "KD4101 is held: slip cut." in text_of(page)
    moved(ola, page)
    assert lying(upper) == ["KD4101"]


def test_a_piece_that_is_not_on_site_stops_the_move(ola, here, joints, upper):
    actions.change_state(stock.asks(stock.person("ben", "office", here)), joints[0], "scrapped")
    page = looked(ola, names="KD4101,KD4102", place=upper.pk)
    assert "count" not in page.context and "KD4101 is scrapped" in text_of(page)


def test_pieces_that_changed_since_they_were_shown_are_looked_at_again(ola, here, joints, layer, upper):
    page = looked(ola, way="layer", layer=layer.pk, place=upper.pk)
    stock.pieces(layer, 1, first=800)
    again = moved(ola, page)
    assert again.status_code == 409 and "Nothing was moved" in text_of(again)
    assert lying(upper) == []


def test_sent_twice_it_is_moved_once(ola, joints, layer, upper):
    page, key = looked(ola, names="KD4101", place=upper.pk), str(uuid.uuid4())
    moved(ola, page, key=key)
    moved(ola, page, key=key)
    assert Move.objects.filter(to_place=upper).count() == 1


@pytest.fixture
def rated(here, joints, upper):
    """R2 may carry a thousand kilograms: three of these joints, not four (265 kg each by label)."""
    stock.rack(here, "R2")
    rack = Place.objects.racks().get(rack="R2")
    places.rate_rack(stock.asks(stock.person("ines", "office", here)), rack, 1000)
    return Place.objects.get(site=here, path="R2/1")


def test_over_its_own_rating_the_rack_asks_and_the_reason_is_stored(ola, rated):
    page = looked(ola, names="KD4101,KD4102,KD4103,KD4104", place=rated.pk)
    assert "R2 would carry 1,061 kg; its own rating is 1,000 kg." in text_of(page)
    refused = moved(ola, page)
    assert refused.status_code == 422 and lying(rated) == []
    assert moved(ola, page, reason="chocked and shared with the deck").status_code == 302
    assert len(lying(rated)) == 4
    assert Consent.objects.get(check_code="rack load").reason == "chocked and shared with the deck"


def test_within_its_rating_nothing_is_asked(ola, rated):
    page = looked(ola, names="KD4101,KD4102,KD4103", place=rated.pk)
    assert page.context["problems"] == []
    assert moved(ola, page).status_code == 302


def test_one_piece_too_many_asks_on_the_page_of_the_piece_too(ola, here, rated, joints):
    moved(ola, looked(ola, names="KD4101,KD4102,KD4103", place=rated.pk))
    at = reverse("piece_move", args=[joints[3].tag])
    refused = ola.post(at, {"key": str(uuid.uuid4()), "place": rated.pk})
    assert refused.status_code == 422 and "its own rating" in text_of(refused)
    assert 'name="reason"' in text_of(refused)
    ola.post(at, {"key": str(uuid.uuid4()), "place": rated.pk, "reason": "one more"})
    assert len(lying(rated)) == 4


def test_from_layer_to_layer_of_one_rack_its_load_does_not_change(ola, here, rated):
    moved(ola, looked(ola, names="KD4101,KD4102,KD4103,KD4104", place=rated.pk), reason="for one tour")
    other = Place.objects.get(site=here, path="R2/2")
    page = looked(ola, way="layer", layer=rated.pk, place=other.pk)
    assert page.context["problems"] == []


@pytest.mark.parametrize("role", ROLES)
def test_a_viewer_does_not_move(here, joints, upper, role):
    client = signed_in("eve", role, here)
    assert client.get(MOVE).status_code == (403 if role == "viewer" else 200)


def test_pieces_of_another_site_are_not_found_by_name(ola, joints, upper):
    theirs = stock.pieces(stock.rack(stock.site("KV1"), "K1"), 1, first=500)
    page = looked(ola, names=f"KD500,{theirs[0].tag}", place=upper.pk)
    assert text_of(page).count("No piece there is called") == 2
