"""The depths of a string: corrected with a reason, told against the driller and the tape."""

import uuid

import pytest
from django.test import Client
from django.utils import timezone

from rack.actions import stands, strings
from rack.errors import ChangedMeanwhile, Refused
from rack.models import Component, Journal, String, Tally
from rack.models.running import hanging_of, members_of
from tests import stock
from tests.rig import Rig, build

pytestmark = pytest.mark.django_db


@pytest.fixture
def rig() -> Rig:
    return build()


@pytest.fixture
def string(rig: Rig) -> String:
    return rig.strings["running"]


@pytest.fixture
def ola(rig: Rig) -> Client:
    client = Client()
    client.force_login(rig.who["supervisor"])
    return client


def bit(string: String):
    string.refresh_from_db()
    return hanging_of(string, members_of(string)).bit


def correct(client: Client, string: String, **more: object):
    typed = {"length": "1.20", "way": "deeper", "reason": "strap out, tally 4", **more}
    body = {"key": str(uuid.uuid4()), **typed}
    return client.post(f"/strings/{string.number}/depths/correct/", body, follow=True)


@pytest.mark.parametrize("way, sign", [("deeper", 1), ("shallower", -1)])
def test_a_correction_changes_the_depth_and_no_joint(ola, string, way, sign):
    before, lengths = bit(string), list(string.members.order_by("pk").values_list("length_nm", flat=True))
    page = correct(ola, string, way=way).content.decode()
    assert (bit(string) - before).nanometres == sign * stock.feet("1.20")
    assert list(string.members.order_by("pk").values_list("length_nm", flat=True)) == lengths
    assert f"{'+' if sign > 0 else '−'}1.20 ft: strap out, tally 4" in page
    assert "in all: strap out, tally 4" in Journal.objects.order_by("-id")[0].sentence


def test_a_second_correction_takes_the_place_of_the_first_and_nothing_takes_it_away(ola, string):
    before = bit(string)
    correct(ola, string)
    correct(ola, string, length="0.40")
    assert (bit(string) - before).nanometres == stock.feet("0.40")
    correct(ola, string, length="0", reason="the tape was read wrong")
    assert bit(string) == before


@pytest.mark.parametrize("more, words", [
    ({"reason": " "}, "This field is required"), ({"length": "much"}, "much"),
    ({"length": "140"}, "more than 40 m"),
])  # fmt: skip
def test_what_is_no_correction_is_refused_and_what_was_typed_stays(ola, string, more, words):
    before = bit(string)
    answer = correct(ola, string, **more)
    assert answer.status_code == 422 and words in answer.content.decode()
    assert str({"length": "1.20", **more}["length"]) in answer.content.decode()
    assert bit(string) == before


def test_a_page_that_is_old_corrects_nothing(rig, string):
    asked = stock.asks(rig.who["supervisor"])
    with pytest.raises(ChangedMeanwhile):
        strings.correct_depth(asked, string, 1, "strap out", seen=string.version + 7)


def test_a_string_that_has_ended_is_corrected_no_more(rig):
    ended = strings.end_string(stock.asks(rig.who["supervisor"]), rig.strings["empty"])
    with pytest.raises(Refused, match="come to its end"):
        strings.correct_depth(stock.asks(rig.who["supervisor"]), ended, 1, "strap out")


def test_the_page_tells_what_a_strap_out_says_and_begins_with_what_was_accepted(rig, ola, string):
    user = rig.who["supervisor"]
    pieces = [member.component for member in string.members.from_the_bit()[:3]]
    tally = stock.tally(rig.who["crew"], rig.site, pieces, title="on the way out", purpose="strap out")
    whole = sum(piece.length_nm for piece in pieces)
    read = stands.read_stand(stock.asks(user), tally, "1-3", "93.21")
    stands.accept_correction(stock.asks(user), tally, "read twice", seen_nm=read.nm - whole)
    page = ola.get(f"/strings/{string.number}/depths/")
    assert "Accepted: read twice" in page.content.decode()
    begins = page.context["correct_form"]["reason"].value()
    assert begins == f"strap out of the hole, tally {tally.number}: read twice"
    assert page.context["taped"][0].apart.nanometres == read.nm - whole


def test_the_driller_s_depth_is_held_against_the_stick_up_too(rig, ola, string):
    String.objects.filter(pk=string.pk).update(stick_up_nm=stock.feet("3.10"))
    deeper = (bit(string)).shown("ft", 2).replace(",", "")
    typed = f"{float(deeper) + 3.10:.2f}"
    page = ola.get(f"/strings/{string.number}/depths/?driller={typed}")
    assert page.context["against"].looks == "a constant"
    assert "as long as the stick-up" in page.content.decode()


def test_a_strap_out_is_opened_of_what_hangs_in_the_hole_and_stands_in_the_derrick(rig, ola, string):
    where = f"/strings/{string.number}/depths/strap-out/"
    answer = ola.post(where, {"key": str(uuid.uuid4())}, follow=True)
    tally = Tally.objects.order_by("-id")[0]
    assert (tally.purpose, answer.status_code) == ("strap out", 200)
    inside = list(string.members.now().from_the_bit().values_list("component", flat=True))
    assert list(tally.lines.in_order().values_list("component", flat=True)) == inside
    assert [line.painted for line in tally.lines.in_order()] == [str(n + 1) for n in range(len(inside))]


def test_no_other_tally_takes_what_is_in_the_hole(rig, string):
    piece = string.members.in_the_hole().first().component
    with pytest.raises(Refused, match="does not lie here"):
        stock.tally(rig.who["crew"], rig.site, [piece], purpose="rack")


def test_what_was_strapped_out_before_the_string_was_begun_is_not_its_correction(rig, ola, string):
    pieces = [member.component for member in string.members.from_the_bit()[:3]]
    Component.objects.filter(pk__in=[piece.pk for piece in pieces]).update(state="accepted")
    stock.tally(rig.who["crew"], rig.site, pieces, title="of the well before", purpose="strap out")
    String.objects.filter(pk=string.pk).update(begun_at=timezone.now())
    assert ola.get(f"/strings/{string.number}/depths/").context["taped"] == []
