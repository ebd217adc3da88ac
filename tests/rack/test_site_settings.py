"""The office sets the report day and the tours of its site, and lines are judged by them from then on."""

import uuid
from datetime import timedelta

import pytest
from django.test import Client

from rack.actions.legs import new_problems
from rack.actions.site_settings import set_report_day
from rack.errors import NotAllowed, Refused
from rack.models import Journal, Run, Site
from tests import rig as made
from tests import stock
from tests.runs import leg

pytestmark = pytest.mark.django_db


@pytest.fixture
def rig(db):
    return made.build()


def send(rig, **body):
    client = Client()
    client.force_login(rig.who["office"], backend="django.contrib.auth.backends.ModelBackend")
    return client.post("/site/settings/", {"key": str(uuid.uuid4()), **body}, follow=True)


def open_tours(rig) -> list[str]:
    run = Run.objects.get(pk=rig.runs[1].pk)  # 16:00 to 29:00 UTC: 17:00 to 06:00 by the clock of the site
    return [one.where for one in new_problems(run, [leg(16, 29)]) if one.code == "H04"]


def test_tours_close_by_the_day_and_the_hours_that_were_set(rig):
    assert open_tours(rig) == []
    answer = send(rig, report_day="06:00", tour_hours="8")
    assert answer.status_code == 200
    assert "06:00 to 14:00, 14:00 to 22:00, 22:00 to 06:00" in answer.content.decode()
    assert "The report day of Sandholm SH3 begins at 06:00, its tours have 8 h" in answer.content.decode()
    assert (Site.objects.get(pk=rig.site.pk).report_day_s, rig.site.tour_hours) == (6 * 3600, 12)
    late = leg(16.5, 29)  # half an hour of the tour from 14:00 is in no line
    run = Run.objects.get(pk=rig.runs[1].pk)
    assert [one.measured for one in new_problems(run, [late]) if one.code == "H04"] == ["7.50"]
    assert late.to_at - late.from_at == timedelta(hours=12.5)


@pytest.mark.parametrize("body", [
    {"report_day": "24:00", "tour_hours": "12"}, {"report_day": "six", "tour_hours": "12"},
    {"report_day": "06:00", "tour_hours": "6"}, {"report_day": "", "tour_hours": ""},
])  # fmt: skip
def test_what_is_no_time_of_day_and_no_tour_is_refused(rig, body):
    before = Journal.objects.count()
    assert send(rig, **body).status_code == 422
    assert Journal.objects.count() == before


@pytest.mark.parametrize(("day", "hours"), [(86_400, 12), (-60, 12), (30, 12), (0, 10)])
def test_the_action_refuses_it_too(rig, day, hours):
    with pytest.raises(Refused):
        set_report_day(stock.asks(rig.who["office"]), rig.site, day, hours)


def test_only_the_office_sets_it_and_the_same_key_twice_is_once(rig):
    with pytest.raises(NotAllowed):
        set_report_day(stock.asks(rig.who["supervisor"]), rig.site, 0, 8)
    asked, before = stock.asks(rig.who["office"]), Journal.objects.count()
    for _ in range(2):
        assert set_report_day(asked, rig.site, 18_000, 8).tour_hours == 8
    assert Journal.objects.count() == before + 1
