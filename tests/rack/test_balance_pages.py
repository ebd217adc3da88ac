"""The page of the balance: figures open to their pieces, a difference is named, any moment can be asked."""

from datetime import timedelta

import pytest
from django.utils import timezone

from rack.actions import pieces
from rack.calc.balance import AT_SITE, PARTS
from rack.models import Component, Move, Place
from tests import rig as rigs
from tests import stock
from tests.rack.tally_desk import ROLES, signed_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return stock.site()


@pytest.fixture
def layer(here):
    return stock.rack(here)


@pytest.fixture
def ines(here):
    return stock.person("ines", "office", here)


@pytest.fixture
def ola(here):
    return signed_in(at=here)


def parts(page):
    return {row["code"]: row["n"] for row in page.context["rows"]}


def test_every_figure_opens_to_as_many_pieces_as_it_says(ola, ines, here, layer):
    made = stock.pieces(layer, 8)
    for piece, state in zip(made, ("scrapped", "at_inspection", "in_repair", "returned"), strict=False):
        pieces.change_state(stock.asks(ines), piece, state)
    stock.load(ines, here, made[6:], sent=True)
    page = ola.get("/balance/")
    assert page.context["balance"].closes
    for row in page.context["rows"]:
        if row["at"]:
            assert len(ola.get(row["at"]).context["page"].rows) == row["n"], row["code"]


def test_a_piece_that_came_back_to_no_rack_is_named_by_its_serial(ola, ines, layer):
    made = stock.pieces(layer, 3)
    pieces.change_state(stock.asks(ines), made[1], "returned")
    pieces.change_state(stock.asks(ines), made[1], "received")
    text = text_of(ola.get("/balance/"))
    assert "1 piece of 3 is on no rack" in text and "KD4102" in text and "KD4101" not in text
    assert "KD4102" in text_of(ola.get("/balance/check/"))
    pieces.move_pieces(stock.asks(ines), [made[1]], layer)
    assert "It closes" in text_of(ola.get("/balance/"))


@pytest.mark.parametrize("query, received", [
    ("kind=drill_pipe", 6), ("kind=casing", 2), ("owner=Gantry Lending", 0), ("size=5 in 19.50", 6),
    ("kind=banana", 8),
])  # fmt: skip
def test_the_balance_is_narrowed_by_kind_size_and_owner(ola, ines, layer, query, received):
    rigs._receive(ines, layer)
    stock.pieces(layer, 3)
    stock.pieces(layer, 2, facts=stock.CASING, first=900)
    page = ola.get(f"/balance/?{query}")
    assert page.context["balance"].received == (received or 8)  # nobody's pipe: the choice is not offered


def test_the_balance_of_one_delivery_is_that_of_its_rows(ola, ines, layer):
    delivery = rigs._receive(ines, layer)
    stock.pieces(layer, 5)
    page = ola.get(f"/balance/?delivery={delivery.pk}")
    assert page.context["balance"].received == 3
    at = next(row["at"] for row in page.context["rows"] if row["code"] == "rack")
    assert len(ola.get(at).context["page"].rows) == 3


def test_an_earlier_moment_is_rebuilt_from_the_moves(ola, ines, layer, monkeypatch):
    made = stock.pieces(layer, 3)
    then = Move.objects.first().at
    later = then + timedelta(minutes=5)
    monkeypatch.setattr(timezone, "now", lambda: later)
    pieces.change_state(stock.asks(ines), made[0], "scrapped")
    on = timezone.localtime(then, made[0].site.zone).strftime("%Y-%m-%dT%H:%M")
    assert parts(ola.get("/balance/"))["scrapped"] == 1
    page = ola.get(f"/balance/?on={on}")
    assert (parts(page)["rack"], parts(page)["scrapped"]) == (3, 0)
    named = text_of(ola.get(f"/balance/?on={on}&of=rack"))
    assert all(f"{piece.serial}, tag {piece.tag}" in named for piece in made)


@pytest.mark.parametrize("on, words", [
    ("someday", "Type the moment as"), ("2999-01-01T10:00", "has not come yet"),
    ("0001-01-01T00:00", "Type the moment as"), ("1970-01-02T00:00", ""), ("%00", "Type the moment as"),
    ("2026-02-30T10:00", "Type the moment as"),
])  # fmt: skip
def test_a_moment_that_is_none_is_said_and_the_page_stands(ola, layer, on, words):
    stock.pieces(layer, 1)
    page = ola.get(f"/balance/?on={on}")
    assert page.status_code == 200
    assert words in text_of(page)


@pytest.mark.parametrize("role", ROLES)
def test_everybody_at_the_site_sees_its_balance_and_nobody_elses(here, layer, role):
    stock.pieces(layer, 2)
    stock.pieces(stock.rack(stock.site("KV1"), "K1"), 5, first=700)
    page = signed_in("eve", role, here).get("/balance/")
    assert page.context["balance"].received == 2


def test_states_that_nothing_leads_to_are_offered_nowhere(ola, layer):
    (piece,) = stock.pieces(layer, 1)
    for at in ("/rack/", "/balance/", f"/piece/{piece.tag}/"):
        text = text_of(ola.get(at)).lower()
        assert "on order" not in text


@pytest.mark.parametrize(("part", "state"), [
    (code, state) for code, part in PARTS.items() for state in part.states if code not in AT_SITE
])  # fmt: skip
def test_every_part_that_holds_a_piece_opens_to_it_on_the_rack_list(ola, layer, part, state):
    """A part that the rack list did not offer would open to every piece of the site."""
    made = stock.pieces(layer, 3)
    Component.objects.filter(pk=made[1].pk).update(state=state, place=None)
    (row,) = (row for row in ola.get("/balance/").context["rows"] if row["code"] == part)
    page = ola.get(row["at"])
    assert [piece.pk for piece in page.context["page"].rows] == [made[1].pk] and row["n"] == 1


def test_the_page_asks_as_few_questions_of_ten_pieces_as_of_two_hundred(
    ola, layer, django_assert_max_num_queries
):
    stock.pieces(layer, 200)
    ola.get("/balance/")
    with django_assert_max_num_queries(12):
        ola.get("/balance/")


def test_the_counting_is_answered_from_its_index_alone(here, layer):
    from django.db import connection

    stock.pieces(layer, 20)
    grouped = Component.objects.at(here).order_by().values("state", "place")
    from django.db.models import Count

    plan = grouped.annotate(n=Count("*")).explain()
    if connection.vendor == "sqlite":
        assert "COVERING INDEX" in plan and "component_balance" in plan
    else:
        assert "component" in plan


def test_a_kind_that_has_gone_altogether_can_still_be_asked_for(ola, ines, here, layer):
    from rack.actions.arriving import Came, arrive
    from rack.actions.loads import LoadHead

    there = stock.site("KV1")
    quay = stock.rack(there, "K1")
    casing = stock.pieces(layer, 2, facts=stock.CASING, first=900)
    everywhere = stock.person("max", "office", everywhere=True)
    load = stock.load(everywhere, here, casing, head=LoadHead("site", to_site=there), sent=True)
    arrive(stock.asks(everywhere), load, Came(quay, everything=True))
    page = ola.get("/balance/?kind=casing")
    assert (page.context["balance"].received, parts(page)["elsewhere"]) == (2, 2)


def test_layers_and_places_aside_are_told_apart(ola, ines, here, layer):
    from rack.actions.places import add_aside

    made = stock.pieces(layer, 3)
    aside = add_aside(stock.asks(ines), here, "Failed the drift")
    pieces.move_pieces(stock.asks(ines), made[:1], aside)
    found = parts(ola.get("/balance/"))
    assert (found["rack"], found["aside"]) == (2, 1)
    assert Place.objects.on(here).filter(kind="aside").count() == 1
