"""The lines of a tally changed on its page: what is done, refused, sent twice, tied, adopted."""

import uuid

import pytest
from django.urls import reverse

from rack.actions import tallies
from rack.models import Component
from tests import stock
from tests.rack.tally_desk import do, read, signed_in, text_of

pytestmark = pytest.mark.django_db


def test_lines_are_added_inserted_swapped_and_withdrawn(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 3))
    client = signed_in("ben", "crew", here)
    do(client, tally, "numbers", count="2")
    do(client, tally, "insert", painted="2A", before="3")
    do(client, tally, "swap", one="1", other="2")
    do(client, tally, "withdraw", line="5", reason="not on the rack")
    assert [line.painted for line in tally.lines.standing().in_order()] == ["2", "1", "2A", "3", "4"]
    assert "not on the rack" in text_of(client.get(reverse("tally", args=[1])))


@pytest.mark.parametrize(
    ("what", "typed", "words", "kept"),
    [
        ("insert", {"painted": "9A", "before": "99"}, "no joint 99", "9A"),
        ("insert", {"painted": "2", "before": "3"}, "is on Tally 1 already", "3"),
        ("swap", {"one": "1", "other": "77"}, "no joint 77", "77"),
        ("swap", {"one": "1", "other": "1"}, "two joints", "1"),
        ("withdraw", {"line": "1", "reason": ""}, "required", "1"),
        ("numbers", {"count": "501"}, "less than", "501"),
        ("tie", {"line": "1", "piece": "ZZ9"}, "No piece here is called ZZ9", "ZZ9"),
        ("pieces", {"names": "KD4101, ZZ9, ZZ8"}, "No piece here is called ZZ8", "ZZ9"),
        ("pieces", {"names": ""}, "Name the pieces", ""),
        ("begin", {"tape": "T-9", "reader": ""}, "required", "T-9"),
    ],
)
def test_a_change_that_cannot_be_is_refused_and_what_was_typed_stays(
    here, layer, ada, what, typed, words, kept
):
    tally = stock.tally(ada, here, stock.pieces(layer, 3))
    read(ada, tally, ["31.24"])
    before = list(tally.lines.values_list("painted", "rank", "component", "withdrawn"))
    response = do(signed_in(at=here), tally, what, **typed)
    assert response.status_code == 422
    assert words in text_of(response) and kept in text_of(response)
    assert list(tally.lines.values_list("painted", "rank", "component", "withdrawn")) == before


@pytest.mark.parametrize(
    ("what", "typed"),
    [
        ("numbers", {"count": "2"}),
        ("insert", {"painted": "2A", "before": "2"}),
        ("swap", {"one": "1", "other": "3"}),
        ("withdraw", {"line": "2", "reason": "bent"}),
        ("tie", {"line": "4", "piece": "KD4201"}),
        ("pieces", {"names": "KD4201\nKD4202"}),
        ("begin", {"tape": "T-11", "reader": "Ben", "writer": ""}),
        ("finish", {"strap": "1"}),
    ],
)
def test_a_change_sent_twice_is_made_once(here, layer, ada, what, typed):
    tally = stock.tally(ada, here, stock.pieces(layer, 3))
    tallies.add_numbers(stock.asks(ada), tally, "4", 1)
    stock.pieces(stock.rack(here, "R2"), 2, first=4201)
    read(ada, tally, ["31.24"])
    client, key = signed_in(at=here), uuid.uuid4()
    after = []
    for _ in range(2):
        assert do(client, tally, what, key=key, **typed).status_code == 302
        tally.refresh_from_db()
        after.append(
            (list(tally.lines.in_order().values_list("painted", "component", "withdrawn")), tally.version)
        )
    assert after[0] == after[1]


def test_every_piece_of_a_layer_is_added_once_also_when_sent_twice(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 3)[:1])
    client, key = signed_in(at=here), uuid.uuid4()
    for _ in range(2):
        assert do(client, tally, "pieces", key=key, layer=str(layer.pk)).status_code == 302
    assert tally.lines.count() == 3


def test_a_page_drawn_before_somebody_changed_the_list_changes_nothing(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 3))
    seen = tally.version
    tallies.add_numbers(stock.asks(ada), tally, "4", 1)
    response = do(signed_in(at=here), tally, "withdraw", line="2", reason="bent at the box", seen=str(seen))
    assert response.status_code == 409 and "bent at the box" in text_of(response)
    assert not tally.lines.filter(withdrawn=True).exists()


def test_joints_without_a_piece_are_tied_by_serial_tag_or_painted_number(here, layer, ada):
    pieces = stock.pieces(layer, 3)
    tally = stock.tally(ada, here, [])
    tallies.add_numbers(stock.asks(ada), tally, "51", 3)
    client = signed_in(at=here)
    for joint, name in (("51", pieces[0].serial), ("52", pieces[1].tag.lower()), ("53", "3")):
        assert do(client, tally, "tie", line=joint, piece=name).status_code == 302
    assert list(tally.lines.in_order().values_list("component", flat=True)) == [piece.pk for piece in pieces]


def test_all_joints_without_a_piece_become_new_pieces(here, layer, ada):
    tally = stock.tally(ada, here, [])
    tallies.add_numbers(stock.asks(ada), tally, "1", 5)
    stock.pieces(stock.rack(here, "R2"), 1)  # so that the site has something of this kind
    client, key = signed_in(at=here), uuid.uuid4()
    for _ in range(2):
        response = do(client, tally, "adopt", key=key, spec=str(stock.spec().pk), place=str(layer.pk))
        assert response.status_code == 302
    assert Component.objects.filter(place=layer).count() == 5
    assert not tally.lines.filter(component=None).exists()
    assert do(signed_in("ben", "crew", here), tally, "adopt", spec="1", place="1").status_code == 403
