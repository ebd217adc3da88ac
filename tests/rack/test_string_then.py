"""The string as it was: by time, by depth, with what was written down late; and the stays of a piece."""

import re

import pytest
from django.utils import timezone

from rack.actions import running, taking_back, unlisted
from rack.actions.doing import Said
from rack.actions.legs import post_legs
from rack.models.then import first_reached, stays_of, string_then
from tests import runs, stock
from tests.rack.tally_desk import signed_in, text_of
from tests.runs import at, leg

pytestmark = pytest.mark.django_db


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 4, lengths=["31.00"] * 4)


@pytest.fixture
def string(ola, layer):
    return runs.string(ola, layer)


def names(string, hours: float) -> list[str]:
    return [str(row.piece) for row in string_then(string, at(hours)).rows]


def test_a_string_is_seen_as_it_was_at_each_moment(ada, ola, string, joints):
    runs.join(ada, string, joints[:3], hours=0)
    running.rack_back(stock.asks(ada), string, joints[2:3], "A", 1, Said(at(2)))
    runs.join(ada, string, joints[3:], hours=3)
    assert names(string, -1) == []
    assert names(string, 1) == ["KD4101", "KD4102", "KD4103"]
    assert names(string, 2.5) == ["KD4101", "KD4102"]
    assert names(string, 4) == ["KD4101", "KD4102", "KD4104"]
    then = string_then(string, at(2.5))
    assert [row.from_bit_nm for row in then.rows] == [stock.feet("31"), stock.feet("62")]
    assert (then.before, then.after) == (at(2), at(3))


def test_what_was_taken_back_was_never_in(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    runs.join(ada, string, joints[1:2], hours=1)
    newest = string.changes.order_by("-id")[0]
    taking_back.take_back(stock.asks(ola), string, newest.journal)
    assert names(string, 2) == ["KD4101"]


def test_a_joint_that_was_written_down_late_with_its_depth_stands_where_it_belongs(ada, ola, string, joints):
    """By time where noted, else by depth: as its hours are shared."""
    runs.join(ada, string, joints[:1], hours=0)
    run = runs.run(ola, string, in_nm=stock.feet("8000"))
    runs.join(ada, string, joints[1:2], feet="8100")
    post_legs(stock.asks(ada), run, [leg(0, 10, "8000", "8300")], "as the sheet has it")
    assert names(string, 3) == ["KD4101"]
    assert names(string, 4) == ["KD4101", "KD4102"]
    reached = first_reached(string, stock.feet("8150"))
    assert reached is not None and reached[1] == at(5)


def test_the_page_takes_a_moment_or_a_depth_and_says_what_it_cannot(ada, ola, here, string, joints):
    runs.join(ada, string, joints[:2], hours=0)
    run = runs.run(ola, string, in_nm=stock.feet("8000"))
    post_legs(stock.asks(ada), run, [leg(0, 10, "8000", "8300")], "as the sheet has it")
    client = signed_in("vera", "viewer", here)
    page = f"/strings/{string.number}/then/"
    by_depth = text_of(client.get(f"{page}?depth=8150"))
    local = timezone.localtime(at(5), here.zone)
    assert f"{local:%Y-%m-%d %H:%M}" in by_depth and "8,150.00 ft" in by_depth
    assert "KD4102" in by_depth and str(run) in by_depth
    assert "Nothing hung in the hole" in text_of(client.get(f"{page}?at=2026-02-01T00:00"))
    assert "No time line of this string came to 9,999.00 ft" in text_of(client.get(f"{page}?depth=9999"))
    assert "Write the time as" in text_of(client.get(f"{page}?at=noon"))
    assert client.get(f"{page}?depth=deep").status_code == 200


def test_a_step_to_a_change_shows_what_it_changed(ada, here, string, joints):
    """To the second: a moment cut to the minute would lie before its own change."""
    running.join(stock.asks(ada), string, joints[:1], Said(at(1.01), None, "as planned"))
    client = signed_in("vera", "viewer", here)
    page = client.get(f"/strings/{string.number}/then/?at=2026-03-01T00:00")
    step = page.context["then"].after
    local = timezone.localtime(step, here.zone)
    at_step = text_of(client.get(f"/strings/{string.number}/then/?at={local:%Y-%m-%dT%H:%M:%S}"))
    assert "KD4101" in at_step
    assert f'value="{local:%Y-%m-%dT%H:%M:%S}"' in at_step


def test_pieces_by_count_stand_among_the_named(ada, here, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    unlisted.put_in_by_count(stock.asks(ada), string, joints[0].spec, 12, length_nm=stock.feet("372"))
    shown = text_of(signed_in("vera", "viewer", here).get(f"/strings/{string.number}/then/"))
    assert "12 x " in shown and "list to follow" in shown
    words = " ".join(re.sub(r"<[^>]+>", " ", shown).split())
    assert "Pieces in the hole 13 " in words, "twelve by count and one by name"


def test_the_page_of_a_piece_has_its_stays_and_where_they_ended(ada, here, string, joints):
    runs.join(ada, string, joints[:2], hours=0)
    running.rack_back(stock.asks(ada), string, joints[1:2], "A", 1, Said(at(2)))
    running.run_again(stock.asks(ada), string, joints[1:2], Said(at(5)))
    stays = stays_of(joints[1])
    assert [(one.began.happened_at, one.ended and one.ended.happened_at) for one in stays] == [
        (at(5), None), (at(0), at(2))]  # fmt: skip
    page = text_of(signed_in("vera", "viewer", here).get(f"/piece/{joints[1].tag}/"))
    assert "In the hole" in page and "still in" in page and "racked back" in page


def test_a_string_of_another_site_is_not_named_on_the_page_of_a_piece(ada, here, string, joints):
    from rack.models import Component

    runs.join(ada, string, joints[:1], hours=0)
    other = stock.site("KV1")
    stock.rack(other, "K1")
    Component.objects.filter(pk=joints[0].pk).update(site=other, place=None)
    page = text_of(signed_in("kim", "viewer", other).get(f"/piece/{joints[0].tag}/"))
    assert "a string of another site" in page
    assert f"/strings/{string.number}/then/" not in page
