"""A string in the hole: what joins, what comes out, in which order; and that the figures kept stay right."""

import uuid
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from rack.actions import pieces as on_pieces
from rack.actions import running, strings, taking_back, unlisted
from rack.actions.doing import Said
from rack.errors import NotAllowed, Refused
from rack.models import Change, Component, Journal, Member, Move, Place, RuleConsent, String, Well
from rack.models.running import hanging_of, members_of, running_members
from tests import stock
from tests.rack.test_audit import audited, differences

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def well(here, ola) -> Well:
    from rack.actions.wells import WellFacts, add_well

    return add_well(stock.asks(ola), here, WellFacts("SD-14"))


@pytest.fixture
def string(here, ola, well) -> String:
    return strings.begin_string(stock.asks(ola), here, strings.StringHead(well, stand_n=3))


@pytest.fixture
def joints(layer) -> list[Component]:
    return stock.pieces(layer, 6, lengths=["31.24", "30.98", "31.02", "31.10", "31.31", "31.05"])


def names(string: String, *, racked: bool | None = None) -> list[str]:
    return [str(m.component) for m in running_members(string) if racked is None or m.racked is racked]


def states(pieces) -> list[str]:
    return [Component.objects.get(pk=piece.pk).state for piece in pieces]


def test_pieces_that_join_hang_in_the_hole_in_their_order(string, joints, ada):
    running.join(stock.asks(ada), string, joints[:3])
    running.join(stock.asks(ada), string, [joints[5], joints[3]])
    assert names(string) == ["KD4101", "KD4102", "KD4103", "KD4106", "KD4104"]
    assert set(states(joints[:4])) == {"in_string"}
    assert hanging_of(string, members_of(string)).bit.shown("ft", 2) == "155.39"
    assert Component.objects.get(pk=joints[0].pk).place.path == "hole"
    assert "No difference" in audited()


def test_the_stick_up_does_not_count_as_depth(string, joints, ada, ola):
    running.join(stock.asks(ada), string, joints[:2])
    head = strings.StringHead(string.well, stick_up_nm=stock.feet("3.22"))
    strings.change_string(stock.asks(ola), string, head)
    string.refresh_from_db()
    assert hanging_of(string, members_of(string)).bit.shown("ft", 2) == "59.00"


def test_a_piece_never_taped_is_said_and_not_counted_as_zero(string, layer, ada):
    new = stock.pieces(layer, 1, first=5001)
    running.join(stock.asks(ada), string, new)
    assert hanging_of(string, members_of(string)).unknown == 1
    assert Change.objects.get().length_how == "never taped"


def test_the_same_request_twice_joins_once(string, joints, ada):
    key = uuid.uuid4()
    first = running.join(stock.asks(ada, key), string, joints[:2])
    again = running.join(stock.asks(ada, key), string, joints[:2])
    assert [row.pk for row in first] == [row.pk for row in again]
    assert Member.objects.count() == 2
    assert Move.objects.filter(to_state="in_string").count() == 2


def test_a_piece_in_one_string_cannot_join_another(here, string, joints, ada, ola, well):
    other = strings.begin_string(stock.asks(ola), here, strings.StringHead(well, title="second"))
    running.join(stock.asks(ada), string, joints[:1])
    with pytest.raises(Refused, match="KD4101 is in string 1 already"):
        running.join(stock.asks(ada), other, joints[:2])
    assert Member.objects.count() == 1, "all or none"
    with pytest.raises(IntegrityError), transaction.atomic():
        Member.objects.create(
            string=other, component=joints[0], rank=1, joined_at=timezone.now()
        )


def test_a_held_piece_asks_and_the_yes_is_written_down(string, joints, ada):
    on_pieces.put_hold(stock.asks(ada), joints[0], "slip cut")
    with pytest.raises(Refused, match="held by Ada: slip cut"):
        running.join(stock.asks(ada), string, joints[:1])
    running.join(stock.asks(ada), string, joints[:1], Said(reason="dressed, paper to follow"))
    consent = RuleConsent.objects.get()
    assert (consent.check_code, consent.component, consent.reason) == (
        "R16", joints[0], "dressed, paper to follow",
    )


def test_a_scrapped_piece_is_stopped_whatever_is_said(string, joints, ada):
    on_pieces.change_state(stock.asks(ada), joints[0], "scrapped")
    with pytest.raises(Refused, match="scrapped"):
        running.join(stock.asks(ada), string, joints[:1], Said(reason="never mind"))


def test_only_the_topmost_come_out_and_the_next_is_named(string, joints, ada):
    running.join(stock.asks(ada), string, joints)
    with pytest.raises(Refused, match="Not this one: KD4106 comes next out of the hole"):
        running.rack_back(stock.asks(ada), string, joints[2:5], "A", 1)
    running.rack_back(stock.asks(ada), string, joints[3:6], "a", 1)
    assert names(string, racked=True) == ["KD4104", "KD4105", "KD4106"]
    assert names(string, racked=False) == ["KD4101", "KD4102", "KD4103"]
    assert str(Component.objects.get(pk=joints[5].pk).place) == "derrick A, row 1"
    assert hanging_of(string, members_of(string)).bit.shown("ft", 2) == "93.24"
    assert "No difference" in audited()


def test_stands_run_again_in_their_order_and_another_order_asks(string, joints, ada):
    running.join(stock.asks(ada), string, joints)
    running.rack_back(stock.asks(ada), string, joints[3:6], "A", 1)
    running.rack_back(stock.asks(ada), string, joints[0:3], "A", 2)
    with pytest.raises(Refused, match="Not this one: KD4101 came next"):
        running.run_again(stock.asks(ada), string, joints[3:6])
    running.run_again(stock.asks(ada), string, joints[3:6], Said(reason="breaks staggered"))
    running.run_again(stock.asks(ada), string, joints[0:3])
    assert names(string, racked=False) == ["KD4104", "KD4105", "KD4106", "KD4101", "KD4102", "KD4103"]
    assert "No difference" in audited()


def test_a_joint_goes_in_below_those_that_stand_in_the_derrick(string, joints, ada):
    running.join(stock.asks(ada), string, joints[:4])
    running.rack_back(stock.asks(ada), string, joints[2:4], "A", 1)
    running.join(stock.asks(ada), string, joints[4:6])
    running.run_again(stock.asks(ada), string, joints[2:4])
    assert names(string) == ["KD4101", "KD4102", "KD4105", "KD4106", "KD4103", "KD4104"]


def test_what_is_laid_down_comes_back_as_what_it_was(string, joints, layer, ada):
    on_pieces.change_state(stock.asks(ada), joints[1], "accepted")
    running.join(stock.asks(ada), string, joints[:2])
    running.lay_down(stock.asks(ada), string, joints[:2], layer)
    assert states(joints[:2]) == ["received", "accepted"]
    assert names(string) == []
    assert Member.objects.exclude(left_at=None).count() == 2
    assert "No difference" in audited()


def test_a_hold_acts_when_the_piece_comes_out(string, joints, here, layer, ada, ola):
    from rack.actions.places import add_aside

    aside = add_aside(stock.asks(ola), here, "Red rack")
    running.join(stock.asks(ada), string, joints[:2])
    on_pieces.put_hold(stock.asks(ada), joints[1], "washed at the pin")
    with pytest.raises(Refused, match="lay it aside"):
        running.lay_down(stock.asks(ada), string, joints[1:2], layer)
    running.lay_down(stock.asks(ada), string, joints[1:2], aside)
    assert Component.objects.get(pk=joints[1].pk).place == aside


def test_a_swap_puts_the_new_piece_where_the_other_was(string, joints, layer, ada):
    running.join(stock.asks(ada), string, joints[:4])
    running.rack_back(stock.asks(ada), string, joints[2:4], "A", 1)
    running.swap(stock.asks(ada), string, joints[2], joints[5], layer)
    assert names(string) == ["KD4101", "KD4102", "KD4106", "KD4104"]
    assert names(string, racked=True) == ["KD4106", "KD4104"]
    running.swap(stock.asks(ada), string, joints[1], joints[4], layer)
    assert names(string, racked=False) == ["KD4101", "KD4105"]
    assert "No difference" in audited()


def test_taking_back_restores_what_was_and_only_the_newest_can_be(string, joints, ada, layer):
    joined = running.join(stock.asks(ada), string, joints[:3])
    racked = running.rack_back(stock.asks(ada), string, joints[2:3], "A", 1)
    with pytest.raises(Refused, match="KD4103 was changed after that"):
        taking_back.take_back(stock.asks(ada), string, joined[0].journal)
    taking_back.take_back(stock.asks(ada), string, racked[0].journal)
    assert names(string, racked=False) == ["KD4101", "KD4102", "KD4103"]
    taking_back.take_back(stock.asks(ada), string, joined[0].journal)
    assert set(states(joints[:3])) == {"received"}
    assert {Component.objects.get(pk=piece.pk).place for piece in joints[:3]} == {layer}
    assert Member.objects.count() == 0
    with pytest.raises(Refused, match="taken back already"):
        taking_back.take_back(stock.asks(ada), string, joined[0].journal)
    assert "No difference" in audited()


def test_a_time_to_come_or_before_the_last_change_is_refused(string, joints, ada, layer):
    now = timezone.now()
    with pytest.raises(Refused, match="still to come"):
        running.join(stock.asks(ada), string, joints[:1], Said(at=now + timedelta(hours=1)))
    running.join(stock.asks(ada), string, joints[:1], Said(at=now - timedelta(hours=1)))
    with pytest.raises(Refused, match="before its last change"):
        running.lay_down(stock.asks(ada), string, joints[:1], layer, Said(at=now - timedelta(hours=2)))


def test_pieces_by_count_are_named_later_in_their_place(string, joints, ada, layer):
    running.join(stock.asks(ada), string, joints[:1])
    counted = unlisted.put_in_by_count(stock.asks(ada), string, stock.spec(), 2)
    running.join(stock.asks(ada), string, joints[1:2])
    assert hanging_of(string, members_of(string)).unknown == 1
    with pytest.raises(Refused, match="name as many"):
        unlisted.name_them(stock.asks(ada), string, counted, joints[2:3])
    with pytest.raises(Refused, match="list to follow stand above"):
        running.lay_down(stock.asks(ada), string, joints[0:2], layer)
    unlisted.name_them(stock.asks(ada), string, counted, joints[2:4])
    assert names(string) == ["KD4101", "KD4103", "KD4104", "KD4102"]
    assert hanging_of(string, members_of(string)).unknown == 0


def test_a_string_ends_only_when_everything_has_left(string, joints, ada, ola, layer):
    running.join(stock.asks(ada), string, joints[:2])
    with pytest.raises(Refused, match="2 pieces are still in"):
        strings.end_string(stock.asks(ola), string)
    running.leave_behind(stock.asks(ada), string, joints[1:2], "lost_in_hole", Said(reason="twisted off"))
    running.lay_down(stock.asks(ada), string, joints[:1], layer)
    assert strings.end_string(stock.asks(ola), string).ended_at
    with pytest.raises(Refused, match="come to its end"):
        running.join(stock.asks(ada), string, joints[3:4])
    assert states(joints[1:2]) == ["lost_in_hole"]


def test_a_viewer_runs_nothing_and_crew_begins_no_string(here, string, joints, ada, well):
    vera = stock.person("vera", "viewer", here)
    with pytest.raises(NotAllowed):
        running.join(stock.asks(vera), string, joints[:1])
    with pytest.raises(NotAllowed):
        strings.begin_string(stock.asks(ada), here, strings.StringHead(well))
    assert not Journal.objects.filter(by=vera).exists()


def test_a_piece_of_another_site_is_in_no_string_here(string, joints, ada):
    far = stock.pieces(stock.rack(stock.site("SH9")), 1, first=9001)
    with pytest.raises(Refused, match="another site"):
        running.join(stock.asks(ada), string, far)
    assert Place.objects.filter(site=string.site, path="hole").count() == 0


def test_the_audit_finds_a_member_that_somebody_wrote(string, joints, ada):
    running.join(stock.asks(ada), string, joints[:2])
    Member.objects.filter(component=joints[0]).update(racked=True)
    assert any("its members" in line for line in differences())
