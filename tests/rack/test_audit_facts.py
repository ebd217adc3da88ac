"""The audit holds the specification of a piece to what was noted of it last."""

from dataclasses import replace

import pytest

from rack.actions.facts import note_fact
from rack.actions.making import specs_of
from rack.calc.facts import with_facts
from rack.models import Component
from tests import stock
from tests.rack.test_audit import audited, differences

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def jar():
    site = stock.site()
    ada = stock.person("ada", "supervisor", site)
    [jar] = stock.pieces(stock.rack(site), 1, facts=stock.JAR, first=8001)
    note_fact(stock.asks(ada), jar, {"neck_od_nm": "6.25", "clamp": "on"})
    jar.refresh_from_db()
    note_fact(stock.asks(ada), jar, {"neck_od_nm": "6.50", "action": "mechanical"})
    jar.refresh_from_db()
    return jar


def respecified(jar, **facts: str) -> None:
    """What a hand in the database does: another specification, and no note of it."""
    fresh = with_facts(jar.spec.as_facts, facts)
    Component.objects.filter(pk=jar.pk).update(spec=specs_of([fresh])[fresh.key])


def test_the_newest_note_is_that_of_the_specification(jar):
    assert "No difference" in audited()


@pytest.mark.parametrize("facts, words", [
    ({"neck_od_nm": "158750000"}, "neck_od_nm of its specification stands as '158750000'"),
    ({"neck_od_nm": ""}, "stands as '', and should be '165100000'"),
    ({"action": "hydraulic"}, "action of its specification stands as 'hydraulic'"),
])
def test_another_specification_than_the_notes_say_is_named(jar, facts, words):
    respecified(jar, **facts)
    [found] = differences()
    assert words in found and jar.tag in found


def test_what_nobody_noted_is_a_matter_of_the_specification_alone(jar):
    fresh = replace(jar.spec.as_facts, od_nm=171_450_000)
    Component.objects.filter(pk=jar.pk).update(spec=specs_of([fresh])[fresh.key])
    respecified(jar, neck_nm="508000000")
    assert "No difference" in audited()
