"""A joint made ready in the mousehole: it is counted, goes in next, and the balance closes with it."""

import uuid

import pytest
from django.test import Client

from rack.actions import pieces as on_pieces
from rack.actions.mousehole import MOST, make_ready
from rack.errors import NotAllowed, Refused
from rack.models import Component, Consent, Move, String
from rack.models.balancing import balance_now, gone_on
from tests import stock
from tests.rack.test_audit import audited
from tests.rig import Rig, build

pytestmark = pytest.mark.django_db


@pytest.fixture
def rig() -> Rig:
    return build()


@pytest.fixture
def string(rig: Rig) -> String:
    return rig.strings["running"]


@pytest.fixture
def crew(rig: Rig) -> Client:
    client = Client()
    client.force_login(rig.who["crew"])
    return client


def ready(rig: Rig, piece: Component, **more: str) -> Move:
    return make_ready(stock.asks(rig.who["crew"]), rig.site, piece, **more)


def driller(client: Client, string: String):
    return client.get(f"/strings/{string.number}/driller/")


def post(client: Client, string: String, where: str, **body: object):
    return client.post(f"/strings/{string.number}/{where}/", {"key": str(uuid.uuid4()), **body}, follow=True)


def test_a_joint_is_made_ready_on_the_driller_s_page_counted_and_comes_next(rig, string, crew):
    joint = rig.spare[0]
    assert ("In the mousehole", "0") in driller(crew, string).context["counts"]
    page = post(crew, string, "mousehole", piece=joint.tag)
    assert ("In the mousehole", "1") in page.context["counts"]
    assert page.context["next"].pieces == (joint,) and page.context["next"].where == "the mousehole"
    assert Component.objects.get(pk=joint.pk).place.path == "mousehole"


def test_it_is_run_from_there_and_the_mousehole_is_empty_again(rig, string, crew):
    joint = rig.spare[0]
    ready(rig, joint)
    page = post(crew, string, "do/join", way="names", names=joint.tag)
    assert page.status_code == 200
    joint.refresh_from_db()
    assert (joint.state, joint.place.path) == ("in_string", "hole")
    assert ("In the mousehole", "0") in driller(crew, string).context["counts"]
    assert "No difference" in audited()


def test_the_balance_has_a_term_for_it_and_closes(rig):
    before = balance_now(Component.objects.at(rig.site), gone_on(rig.site))
    ready(rig, rig.spare[0])
    after = balance_now(Component.objects.at(rig.site), gone_on(rig.site))
    assert after.parts["mousehole"] == 1
    assert after.difference == before.difference
    assert after.parts["rack"] == before.parts["rack"] - 1


def test_the_term_of_the_balance_opens_to_the_joint_on_the_rack_list(rig, crew):
    ready(rig, rig.spare[0])
    (row,) = (row for row in crew.get("/balance/").context["rows"] if row["code"] == "mousehole")
    page = crew.get(row["at"]).context["page"]
    assert [piece.pk for piece in page.rows] == [rig.spare[0].pk] and row["n"] == 1


def test_it_is_laid_back_on_the_rack(rig):
    joint, lay = rig.spare[0], rig.spare[0].place
    ready(rig, joint)
    joint.refresh_from_db()
    on_pieces.move_pieces(stock.asks(rig.who["crew"]), [joint], lay)
    joint.refresh_from_db()
    assert joint.place == lay


def test_a_held_joint_is_asked_about_and_the_yes_is_kept(rig):
    joint = rig.spare[0]
    on_pieces.put_hold(stock.asks(rig.who["crew"]), joint, "box face")
    joint.refresh_from_db()
    with pytest.raises(Refused, match="made ready all the same"):
        ready(rig, joint)
    assert Component.objects.get(pk=joint.pk).place == joint.place
    move = ready(rig, joint, reason="looked at by the toolpusher")
    assert Consent.objects.get(journal=move.journal).reason == "looked at by the toolpusher"


def test_what_is_in_the_hole_or_there_already_is_not_made_ready(rig, string):
    inside = string.members.in_the_hole().first().component
    with pytest.raises(Refused, match="only a piece that lies here"):
        ready(rig, inside)
    ready(rig, rig.spare[0])
    with pytest.raises(Refused, match="stands in the mousehole already"):
        ready(rig, Component.objects.get(pk=rig.spare[0].pk))


def test_no_more_than_a_stand_of_four_stands_in_it(rig, layer_of_five):
    for piece in layer_of_five[:MOST]:
        ready(rig, piece)
    with pytest.raises(Refused, match="4 joints stand in the mousehole"):
        ready(rig, layer_of_five[MOST])


@pytest.fixture
def layer_of_five(rig: Rig) -> list[Component]:
    return stock.pieces(rig.layer, 5, first=9501)


def test_the_same_key_twice_moves_once(rig):
    key = uuid.uuid4()
    moves = [make_ready(stock.asks(rig.who["crew"], key), rig.site, rig.spare[0]) for _ in range(2)]
    assert moves[0] == moves[1]
    assert Move.objects.filter(component=rig.spare[0], to_place__path="mousehole").count() == 1


def test_a_viewer_makes_nothing_ready(rig, string):
    with pytest.raises(NotAllowed):
        make_ready(stock.asks(rig.who["viewer"]), rig.site, rig.spare[0])


def test_a_name_that_is_none_is_said_on_the_page(rig, string, crew):
    answer = post(crew, string, "mousehole", piece="NOSUCH 99")
    assert answer.status_code == 422 and "NOSUCH 99" in answer.content.decode()
