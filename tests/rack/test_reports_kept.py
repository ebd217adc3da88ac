"""What is kept of a daily report: its rows can be seen again, its file is saved; a line ends at 24:00."""

from datetime import datetime
from types import SimpleNamespace

import pytest
from django.test import Client
from django.utils import timezone

from rack.actions.files import path_of
from rack.actions.legs import take_back_leg
from rack.models import Leg
from rack.templatetags.house import line_end
from tests import rig as made
from tests import stock
from tests.reports import kept_report

pytestmark = pytest.mark.django_db


@pytest.fixture
def rig(db):
    return made.build()


def viewer(rig) -> Client:
    client = Client()
    client.force_login(rig.who["viewer"], backend="django.contrib.auth.backends.ModelBackend")
    return client


def test_the_rows_of_an_accepted_report_are_seen_again_as_they_were_taken(rig):
    report = kept_report(rig)
    legs = list(Leg.objects.filter(journal=report.journal).order_by("seq"))
    answer = viewer(rig).get(f"/runs/{rig.runs[1].pk}/reports/{report.pk}/?show=all")
    taken = answer.context["taken"]
    assert [leg.rotating_s for leg in taken.legs] == [leg.rotating_s for leg in legs]
    assert len(answer.context["rows"]) == len(taken.rows)
    page = answer.content.decode()
    assert report.words in page and "<form" not in page.split("<main")[1]


def test_a_line_that_was_taken_back_later_changes_nothing_of_what_was_accepted(rig):
    report = kept_report(rig)
    at = f"/runs/{rig.runs[1].pk}/reports/{report.pk}/"
    before = viewer(rig).get(at).context["taken"]
    for leg in Leg.objects.standing().filter(run=rig.runs[1]):
        take_back_leg(stock.asks(rig.who["crew"]), leg, "a slip")
    assert viewer(rig).get(at).context["taken"].legs == before.legs


def test_the_file_is_saved_as_it_came_and_never_opened(rig):
    report = kept_report(rig)
    answer = viewer(rig).get(f"/runs/{rig.runs[1].pk}/reports/{report.pk}/file/")
    assert answer.content == made.REPORT
    assert answer.headers["Content-Disposition"] == f'attachment; filename="{made.REPORT_NAME}"'
    assert answer.headers["Content-Security-Policy"] == "sandbox; default-src 'none'"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_a_report_of_another_run_and_a_file_that_is_gone_are_said(rig):
    report = kept_report(rig)
    assert viewer(rig).get(f"/runs/{rig.runs[0].pk}/reports/{report.pk}/").status_code == 404
    path_of(report.file.sha256).unlink()
    answer = viewer(rig).get(f"/runs/{rig.runs[1].pk}/reports/{report.pk}/file/")
    assert answer.status_code == 404 and "look in the backup" in answer.content.decode()


def _at(text: str) -> datetime | None:
    return datetime.fromisoformat(f"2026-03-{text}+00:00") if text else None


@pytest.mark.parametrize(
    "begins, ends, words",
    [
        ("02 12:00", "03 00:00", "24:00"),
        ("02 00:00", "03 00:00", "24:00"),
        ("02 12:00", "02 18:30", "18:30"),
        ("02 12:00", "03 06:00", "2026-03-03 06:00"),
        ("02 12:00", "04 00:00", "2026-03-03 24:00"),
        ("02 00:00", "02 00:00", "00:00"),
        ("", "03 00:00", "2026-03-02 24:00"),
        ("02 12:00", "", "a time that is not known"),
    ],
)
def test_a_line_that_ends_at_midnight_ends_at_24_of_the_day_it_belongs_to(begins, ends, words):
    with timezone.override("UTC"):
        assert line_end(SimpleNamespace(from_at=_at(begins), to_at=_at(ends))) == words
