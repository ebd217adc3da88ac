"""The bench measures what it says, on a database that is nobody's."""

import json
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import connection

from rack.benching import figures, hours, papers, stock, worn, year
from rack.benching import pages as pages_bench
from rack.benching.home import home
from rack.models import Component, Hold, Hours, Move, Strap
from tests.rack.test_audit import audited

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.parametrize(
    "measured, floor, limit, ok",
    [
        (3.0, 1.0, 3, True),
        (3.1, 1.0, 3, False),
        (149.0, None, 150, True),
        (150.0, None, 150, True),
        (151.0, None, 150, False),
        (0, None, 0, True),
        (1, None, 0, False),
    ],
)
def test_a_figure_is_held_to_its_ratio_where_there_is_a_floor_and_to_itself_where_there_is_none(
    measured, floor, limit, ok
):
    assert figures.Figure("a page", "ms", measured, limit, floor).ok is ok


@pytest.mark.parametrize(
    "times, late", [([1.0], 1.0), (list(range(1, 21)), 19), (list(range(1, 101)), 95)]
)
def test_the_late_one_is_the_one_that_ninety_five_in_a_hundred_stay_within(times, late):
    assert figures.p95(times) == late


def test_pieces_written_in_bulk_agree_with_their_ledgers():
    stock.fill(600)
    assert Component.objects.count() == 600
    assert (Hold.objects.count(), Move.objects.count(), Strap.objects.count()) == (6, 800, 540)
    assert "No difference: 600 pieces" in audited()


def test_lists_and_pages_ask_eight_times_at_most_and_say_as_much_as_the_floor(monkeypatch):
    """The floor would be no floor if it fetched other rows than the page."""
    monkeypatch.setattr(pages_bench, "LOADS", 1)
    monkeypatch.setattr(pages_bench, "ROUNDS", 1)
    stock.fill(600)
    pages = pages_bench.Pages()
    found = list(pages.figures())
    asked = [one for one in found if one.name.endswith("queries")]
    assert len(asked) == 6
    assert [one.name for one in asked if not one.ok] == []
    with figures.statements() as sent:
        pages.client.get("/")
    floor = figures.ask(pages._list())[-1]
    (rows,) = [each for (sql, _), each in zip(sent, figures.ask(sent), strict=True) if "serial_yek" in sql]
    assert [row[0] for row in rows] == [row[0] for row in floor]


def test_the_bare_loop_draws_every_tag_that_the_product_draws():
    from pypdf import PdfReader

    wanted = papers.labels()[:30]
    pages = papers._watched(wanted)
    assert sum(len(page.codes) for page in pages) == len(wanted)
    text = "".join(page.extract_text() for page in PdfReader(papers.io.BytesIO(papers._bare(pages))).pages)
    assert [label.code for label in wanted if label.code not in text] == []


@pytest.mark.sqlite
def test_the_command_works_on_a_database_of_its_own_and_takes_it_away(settings):
    before = connection.settings_dict["NAME"]
    out = StringIO()
    call_command("bench", "--pieces", "600", "--only", "audit", stdout=out, stderr=StringIO())
    report = json.loads(out.getvalue())
    assert report["ok"] is True
    assert {one["name"] for one in report["figures"]} == {"audit", "audit: differences"}
    assert connection.settings_dict["NAME"] == before
    assert list(settings.DATA.glob("bench-*")) == []
    assert Component.objects.count() == 0


@pytest.mark.sqlite
@pytest.mark.soak
def test_a_database_that_is_kept_is_used_again(settings):
    with home(600, keep=True):
        stock.fill(600)
    with home(600, keep=False):
        assert Component.objects.count() == 600
    assert list(settings.DATA.glob("bench-*")) == []


def test_a_line_of_the_bench_is_posted_to_every_piece_of_its_string():
    stock.fill(600)
    posting = hours.Posting(20)
    posting.post()
    posting.bare()
    assert Hours.objects.filter(run=posting.run).count() == 20 * len(hours.CLOCKS)
    assert "No difference" in audited()


def test_the_worn_joint_of_the_bench_has_its_entries_by_the_ledgers():
    stock.fill(600)
    piece = worn.worn(60)
    assert 60 <= worn.entries_of(piece) < 60 + worn.TOURS * worn.LINES * 3 + 5
    assert Hours.objects.filter(component=piece, clock="rotating_s").count() >= 20
    assert "No difference" in audited()


def test_a_year_of_the_bench_turns_its_pieces_and_leaves_the_ledgers_clean(monkeypatch):
    monkeypatch.setattr(year, "WELLS", 2)
    monkeypatch.setattr(year, "FIRST_JOINTS", 6)
    stock.fill(600)
    one = year.Year(pieces=70, runs=2, days=1)
    one.replay()
    assert len(one.done) == 4
    assert all(run.ended_by_id for run in one.done)
    turned = Hours.objects.filter(run__in=one.done).values("component").distinct().count()
    # two wells with other joints: the bits, the bottom, and the joints of both
    assert turned == 4 + len(year.BOTTOM) + 2 * (6 + 2 * 9) - (6 + 2 * 9 - 6)
    assert "No difference" in audited()
