"""The pages of intervals, editions and criteria."""

import uuid
from datetime import date

import pytest
from django.utils import timezone
from django.utils.html import escape

from inspection.actions.policies import set_interval
from inspection.calc.criteria import schemes
from inspection.calc.rules import Rule, default_rules
from inspection.calc.showing import (
    ELSEWHERE,
    confidence_words,
    intervals_shown,
    limits_of,
    limits_shown,
)
from inspection.models import Follows, IntervalRule, Policy
from rack.calc.kinds import KINDS
from tests import stock

TODAY = date(2026, 11, 20)
TYPED = {"kind": "drill_pipe", "service": "", "only": "", "clock": "rotating_s", "basis": "full",
         "due": "250.5", "soon": "200", "over": "", "authority": "contract",
         "source": "Contract 14", "from_on": "2026-01-01", "note": ""}  # fmt: skip


@pytest.fixture
def office(here):
    return stock.person("office", "office", here)


@pytest.fixture
def desk(client, office):
    client.force_login(office)
    return client


def send(client, address, **body):
    return client.post(address, {"key": str(uuid.uuid4()), **body})


def said(answer) -> str:
    return answer.content.decode()


def test_every_kind_with_an_interval_stands_on_the_page_with_source_and_confidence(desk):
    text = said(desk.get("/intervals/"))
    for one in intervals_shown(default_rules(), "typical", TODAY):
        assert escape(one.kinds[0].upper() + one.kinds[1:]) in text and escape(one.source) in text
    assert "30 CFR 250.722" in text and "common practice" in text and "only tells" in text


def test_what_is_typed_is_whole_seconds_and_stands_with_its_authority(desk):
    assert send(desk, "/intervals/new/", **TYPED).status_code == 302
    row = IntervalRule.objects.get()
    assert (row.due, row.soon, row.over, row.authority) == (901_800, 720_000, None, "contract")
    text = said(desk.get("/intervals/"))
    assert "250.5 h rotating" in text and "Contract 14" in text and "stops when it is passed" in text


@pytest.mark.parametrize("more, words", [
    ({"due": "1,500"}, "may mean two things"), ({"due": "0.3333"}, "no whole second"),
    ({"due": ""}, "required"), ({"soon": "300"}, "Soon comes before due"),
    ({"over": "1"}, "Overdue comes after"),
    ({"clock": "days"}, "no whole number"), ({"from_on": "2199-01-01"}, "still to come"),
    ({"source": ""}, "a limit that stops has a source"), ({"kind": "spaceship"}, "valid choice"),
    ({"clock": "hits_n", "due": "9", "soon": ""}, "Nothing counts that clock"),
    ({"from_on": "soon"}, "Write the day as 2026-05-01"),
])  # fmt: skip
def test_what_cannot_hold_is_said_beside_its_field_and_what_was_typed_stays(desk, more, words):
    answer = send(desk, "/intervals/new/", **{**TYPED, **more})
    assert answer.status_code == 422 and words in said(answer)
    assert more.get("source", "Contract 14") in said(answer)
    assert not IntervalRule.objects.exists()


def test_an_interval_is_taken_back_with_a_reason_and_stays_in_the_book(desk, here, office):
    rule = Rule("jar", "rotating_s", "service", 360_000, authority="maker", source="Manual 7",
                from_on=date(2026, 1, 1))  # fmt: skip
    row = set_interval(stock.asks(office), here, rule)
    address = f"/intervals/{row.pk}/take-back/"
    assert send(desk, address, reason="").status_code == 422
    assert send(desk, address, reason="another jar").status_code == 302
    text = said(desk.get("/intervals/"))
    assert 'class="reversed"' in text and "another jar" in text
    assert send(desk, address, reason="twice").status_code == 422


def test_service_margin_and_edition_are_set_from_the_page(desk):
    send(desk, "/intervals/service/", service="severe", margin="12.5", from_on="2026-01-01")
    assert (Policy.objects.get().service, Policy.objects.get().margin_pm) == ("severe", 125)
    wide = send(desk, "/intervals/service/", service="severe", margin="95", from_on="2026-01-01")
    assert wide.status_code == 422
    send(desk, "/intervals/edition/", scheme="ds1_4th", from_on="2026-06-01")
    assert Follows.objects.get().scheme == "ds1_4th"
    text = said(desk.get("/intervals/"))
    assert "Service is severe; soon comes 12.5 % before due" in text and "2026-06-01" in text


def test_whoever_may_not_set_them_sees_them_without_a_form(client, here):
    client.force_login(stock.person("vera", "viewer", here))
    text = said(client.get("/intervals/"))
    assert "What holds today" in text and "Set the interval" not in text


def test_superseded_editions_stay_and_what_is_only_recorded_says_so(desk):
    text = said(desk.get("/intervals/"))
    assert "superseded by API RP 7G-2 (2020); it stays" in text
    assert text.count("recorded as given") == sum(not one.computed for one in schemes())


def test_the_criteria_show_every_class_in_order_and_every_limit_with_its_source(desk):
    text = said(desk.get("/criteria/"))
    for one in schemes():
        assert escape(one.said) in text
        at = [text.index(f">{escape(step.name)}<", text.index(f'id="{one.code}"')) for step in one.steps]
        assert at == sorted(at)
        for limit in limits_of(one):
            assert escape(limit.wants) in text and limit.source and limit.confidence
    assert "never worked out: no limits were seen" in text
    assert "remaining wall ≥ 80 % of the nominal wall" in text


def test_a_limit_without_a_figure_says_that_it_is_not_in_the_source():
    every = [one for table in ELSEWHERE for one in limits_shown([table])]
    every += [one for scheme in schemes() for one in limits_of(scheme)]
    assert all(one.wants and one.source and confidence_words(one.conf) for one in every)


@pytest.mark.parametrize("letter, words", [
    ("CP", "common practice"), ("A", "A: seen in two places or more"), ("", ""),
    ("M", "M: from memory, verify against your standard"),
])  # fmt: skip
def test_confidence_is_said_in_words(letter, words):
    assert confidence_words(letter) == words


def test_a_letter_that_there_is_not_is_refused():
    with pytest.raises(ValueError, match="none of"):
        confidence_words("Z")


def test_alike_intervals_stand_in_one_row_and_a_stricter_rule_for_one_kind_in_its_own():
    shown = intervals_shown(default_rules(), "typical", TODAY)
    subs = next(one for one in shown if "bit sub" in one.kinds)
    assert "float sub" in subs.kinds and not subs.stops
    own = Rule("bit_sub", "rotating_s", "connections", 100 * 3600, authority="contract", source="Contract 14")
    shown = intervals_shown((*default_rules(), own), "typical", TODAY)
    assert [one.due for one in shown if one.kinds == "bit sub"] == ["100 h rotating"]
    every = intervals_shown([Rule("", "days", "rental", 90, authority="company", source="x")], "light", TODAY)
    assert [one.kinds for one in every] == ["every kind"]


def test_stored_pipe_is_said_not_to_be_counted():
    shown = intervals_shown(default_rules(), "typical", TODAY)
    assert {one.only for one in shown if not one.counted} == {"stored"}
    known = {"", "steel", "non-magnetic", "lifting", "drilled inside"}
    assert {one.only for one in shown if one.counted} == known


def test_the_page_asks_as_many_questions_for_many_rules_as_for_one(
    desk, here, office, django_assert_max_num_queries
):
    for n, kind in enumerate(list(KINDS)[:12]):
        rule = Rule(kind, "days", "full", 100 + n, authority="company", source="House rule 3",
                    from_on=timezone.now().date())  # fmt: skip
        set_interval(stock.asks(office), here, rule)
    with django_assert_max_num_queries(13):
        assert desk.get("/intervals/").status_code == 200
