"""What a site goes by, and that the limits of its pieces follow at once."""

from datetime import date, timedelta

import pytest
from django.db import transaction
from django.utils import timezone

from inspection.actions.found import Found, Head, Read
from inspection.actions.limits import set_first
from inspection.actions.policies import follow_edition, set_interval, set_policy, take_back_interval
from inspection.actions.recording import record
from inspection.audits import standings
from inspection.calc.readings import Look
from inspection.calc.rules import Rule
from inspection.models import Follows, IntervalRule, Policy
from inspection.models.facts import scheme_for
from rack.actions.journal import open_line
from rack.calc.standing import NEVER
from rack.errors import AlreadyUsed, NotAllowed, Refused
from rack.models import Clock, Component, Journal
from tests import stock
from tests.inspection.pieces import LOOKS, good, pipe

HOUR = 3600
LONG_AGO = date(2026, 1, 1)
FULL = (*LOOKS, *(Look(method, "nothing to reject") for method in ("ODG", "UTW", "DIM2")))
USUAL, THEIRS = 2500 * HOUR, 1000 * HOUR


@pytest.fixture
def office(here):
    return stock.person("office", "office", here)


@pytest.fixture
def joints(layer):
    return came(stock.pieces(layer, 2, facts=pipe()))


def came(pieces):
    """What follows when pieces are received."""
    with transaction.atomic():
        line, _ = open_line(stock.asks(None), "stock", pieces[0].site, "Received for a test", {})
        set_first(line, [piece.pk for piece in pieces])
    return pieces


@pytest.fixture
def looked_at(here, ola, inspector, joints):
    """A joint that was fully inspected today."""
    today = timezone.now().astimezone(here.zone).date()
    found = Found(joints[0], FULL, tuple(Read(one) for one in good()), "Premium")
    record(stock.asks(ola), here, Head(on=today, scope="full", inspector=inspector), [found], reason="early")
    return joints[0]


def rule(due=THEIRS, authority="contract", **more) -> Rule:
    return Rule(**{"kind": "drill_pipe", "clock": "rotating_s", "basis": "full", "due": due,
                   "authority": authority, "from_on": LONG_AGO, "source": "Contract 14", **more})  # fmt: skip


def clock_of(piece, clock="rotating_s", basis="full"):
    return Clock.objects.get(component=piece, clock=clock, basis=basis)


def agrees() -> bool:
    return list(standings("default")) == []


def test_a_stricter_contract_limits_every_piece_of_its_kind(here, office, layer, looked_at, joints):
    jar = came(stock.pieces(layer, 1, facts=stock.JAR, first=900))[0]
    before = clock_of(jar, basis="service").due
    set_interval(stock.asks(office), here, rule())
    for joint in joints:
        now = clock_of(joint)
        assert (now.due, now.soon, now.by) == (THEIRS, 900 * HOUR, "contract")
    assert clock_of(jar, basis="service").due == before
    assert agrees()


def test_the_mark_of_zero_stays_when_a_limit_changes(here, office, looked_at):
    before = clock_of(looked_at)
    set_interval(stock.asks(office), here, rule())
    after = clock_of(looked_at)
    assert (after.zero, after.zero_known, after.after_id) == (before.zero, True, before.after_id)


def test_the_maker_s_longer_interval_overrides_ours_and_a_longer_contract_does_not(here, office, looked_at):
    set_interval(stock.asks(office), here, rule(4000 * HOUR, "maker"))
    assert (clock_of(looked_at).due, clock_of(looked_at).by) == (4000 * HOUR, "maker")
    set_interval(stock.asks(office), here, rule(5000 * HOUR, "contract"))
    assert (clock_of(looked_at).due, clock_of(looked_at).by) == (4000 * HOUR, "maker")
    set_interval(stock.asks(office), here, rule(3000 * HOUR, "law"))
    assert (clock_of(looked_at).due, clock_of(looked_at).by) == (3000 * HOUR, "law")
    assert agrees()


def test_a_limit_of_our_own_only_tells(here, office, looked_at):
    set_interval(stock.asks(office), here, rule(authority="default", source=""))
    assert (clock_of(looked_at).due, clock_of(looked_at).by) == (THEIRS, "default")


def test_an_interval_that_is_taken_back_lets_hold_what_held_before(here, office, looked_at):
    row = set_interval(stock.asks(office), here, rule())
    take_back_interval(stock.asks(office), row, "another contract")
    assert (clock_of(looked_at).due, clock_of(looked_at).by) == (USUAL, "default")
    assert agrees()
    with pytest.raises(Refused, match="taken back already"):
        take_back_interval(stock.asks(office), row, "twice")
    with pytest.raises(Refused, match="few words"):
        take_back_interval(stock.asks(office), row, "  ")


def test_limits_by_days_move_the_dates_of_the_piece(here, office, looked_at):
    today = timezone.now().astimezone(here.zone).date()
    set_interval(stock.asks(office), here, rule(100, "law", clock="days"))
    piece = Component.objects.get(pk=looked_at.pk)
    assert (piece.due_on, piece.day_hard_on, piece.day_hard_by) == (*[today + timedelta(days=100)] * 2, "law")
    assert piece.soon_on == today + timedelta(days=90)


@pytest.mark.parametrize("more, words", [
    ({"from_on": date(2199, 1, 1)}, "still to come"),
    ({"from_on": date(1026, 1, 1)}, "slip of the year"),
    ({"source": " "}, "has a source"),
    ({"clock": "hits_n", "basis": "service"}, "Nothing counts that clock for drill pipe"),
])  # fmt: skip
def test_a_rule_that_cannot_hold_is_refused_in_a_sentence(here, office, more, words):
    with pytest.raises(Refused, match=words):
        set_interval(stock.asks(office), here, rule(**more))
    assert not IntervalRule.objects.exists() and not Journal.objects.filter(verb="interval").exists()


def test_the_same_key_twice_is_one_interval_and_another_thing_is_refused(here, office, joints):
    ask = stock.asks(office)
    assert set_interval(ask, here, rule()) == set_interval(ask, here, rule())
    with pytest.raises(AlreadyUsed):
        set_interval(ask, here, rule(2000 * HOUR))
    assert IntervalRule.objects.count() == 1


def test_what_is_set_twice_over_is_one_line_of_the_journal(here, office):
    set_policy(stock.asks(office), here, "severe", 125, LONG_AGO)
    line = Journal.objects.get(verb="interval")
    assert line.sentence == "Service is severe, soon 12.5 % before due, from 2026-01-01"


@pytest.mark.parametrize("role", ["crew", "supervisor", "viewer"])
def test_only_the_office_sets_what_the_site_goes_by(here, role):
    by = stock.asks(stock.person(role, role, here))
    for act in (lambda: set_interval(by, here, rule()), lambda: set_policy(by, here, "light", 100, LONG_AGO),
                lambda: follow_edition(by, here, "ds1_4th", LONG_AGO)):  # fmt: skip
        with pytest.raises(NotAllowed):
            act()


@pytest.mark.parametrize("service, due", [("severe", 1500), ("typical", 2500), ("light", 3500)])
def test_severity_of_service_chooses_among_the_three_usual_figures(here, office, looked_at, service, due):
    set_policy(stock.asks(office), here, service, 100, LONG_AGO)
    assert (clock_of(looked_at).due, clock_of(looked_at).soon) == (due * HOUR, due * HOUR * 9 // 10)
    assert agrees()


def test_soon_is_due_less_the_margin_of_the_site(here, office, looked_at):
    set_policy(stock.asks(office), here, "typical", 250, LONG_AGO)
    assert clock_of(looked_at).soon == USUAL * 3 // 4


@pytest.mark.parametrize("service, margin, day", [
    ("heroic", 100, LONG_AGO), ("light", 901, LONG_AGO), ("light", 100, date(2199, 1, 1)),
])  # fmt: skip
def test_a_policy_that_makes_no_sense_is_refused(here, office, service, margin, day):
    with pytest.raises(Refused):
        set_policy(stock.asks(office), here, service, margin, day)
    assert not Policy.objects.exists()


def test_an_edition_counts_from_its_day_by_the_day_of_the_inspection(here, office):
    follow_edition(stock.asks(office), here, "ds1_4th", date(2026, 6, 1))
    assert scheme_for(here, "drill_pipe", date(2026, 5, 31)) == "api_rp7g2_2009"
    assert scheme_for(here, "drill_pipe", date(2026, 6, 1)) == "ds1_4th"
    assert scheme_for(here, "collar", date(2026, 6, 1)) == "api_rp7g2_2009_components"


def test_a_sender_s_word_is_read_by_the_edition_of_the_day_it_came(here, office, joints):
    came = joints[0].received_on
    Component.objects.filter(pk=joints[1].pk).update(received_on=came - timedelta(days=9))
    follow_edition(stock.asks(office), here, "ds1_4th", came)
    found = dict(Component.objects.values_list("pk", "scheme"))
    assert (found[joints[0].pk], found[joints[1].pk]) == ("ds1_4th", "api_rp7g2_2009")
    assert agrees()


def test_what_was_inspected_keeps_its_edition(here, office, looked_at):
    follow_edition(stock.asks(office), here, "ds1_4th", LONG_AGO)
    piece = Component.objects.get(pk=looked_at.pk)
    assert (piece.scheme, piece.pipe_class) == ("api_rp7g2_2009", "Premium")
    assert agrees()


def test_an_edition_may_be_followed_from_a_day_ahead_and_changes_nothing_before(here, office, joints):
    ahead = timezone.now().date() + timedelta(days=60)
    follow_edition(stock.asks(office), here, "ds1_4th", ahead)
    assert set(Component.objects.values_list("scheme", flat=True)) == {"api_rp7g2_2009"}
    assert agrees()


@pytest.mark.parametrize("code, day", [
    ("ds1_5th", LONG_AGO), ("api_rp7g2_2009_components", LONG_AGO), ("ds1_4th", date(2199, 1, 1)),
])  # fmt: skip
def test_an_edition_that_there_is_not_or_that_serves_no_kind_is_refused(here, office, code, day):
    with pytest.raises(Refused):
        follow_edition(stock.asks(office), here, code, day)
    assert not Follows.objects.exists()


def test_two_hundred_pieces_are_settled_in_a_few_questions(
    here, office, layer, django_assert_max_num_queries
):
    stock.pieces(layer, 200, facts=pipe())
    with django_assert_max_num_queries(47):
        set_interval(stock.asks(office), here, rule())
    assert Clock.objects.filter(due=THEIRS, by="contract").count() == 200


def test_a_piece_of_another_site_keeps_its_limits(here, office, joints):
    there = came(stock.pieces(stock.rack(stock.site("KV2"), "R9"), 1, facts=pipe(), first=700))[0]
    set_interval(stock.asks(office), here, rule())
    assert clock_of(there).due == USUAL and clock_of(joints[0]).due == THEIRS
    assert Component.objects.get(pk=there.pk).day_due_on != NEVER
