"""The bench of the due board: its pieces agree with their ledgers, its floor fetches what the page does."""



import pytest
from django.utils import timezone

from inspection.benching import due
from rack.benching import pages as pages_bench
from rack.benching import stock
from rack.benching.figures import ask
from rack.models import Clock, Component, Hours
from tests.rack.test_audit import audited

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def filled():
    stock.fill(400)
    due.fill()


def test_hours_clocks_and_dates_written_in_bulk_agree_with_one_another(filled):
    assert Hours.objects.count() == 400 * due.ENTRIES and Clock.objects.count() == 800
    due.fill()
    assert Hours.objects.count() == 400 * due.ENTRIES
    assert "No difference: 400 pieces" in audited()


def test_the_floor_fetches_the_rows_and_the_counts_of_the_page(filled):
    """Else it would be no floor."""
    board = due.DueBoard()
    for name in ("due", "fine"):
        shown = board.client.get(f"/due/?list={name}").context
        *_, counts, rows, clocks = ask(board.floor(name))
        over, out, soon, here, held, in_wells = counts[0]
        mine = shown["board"].counts
        assert (over, out, soon, held) == tuple(mine[each] for each in ("overdue", "due", "soon", "held"))
        assert here - over - out - soon == mine["fine"] > 50 and in_wells == 0
        assert [row[0] for row in rows][:50] == [row.piece.pk for row in shown["rows"]]
        assert {row[1] for row in clocks} >= {row.piece.pk for row in shown["rows"]}


def test_every_list_of_the_bench_holds_something_and_each_page_is_asked_for(filled, monkeypatch):
    monkeypatch.setattr(pages_bench, "LOADS", 1)
    monkeypatch.setattr(pages_bench, "ROUNDS", 1)
    names = [one.name for one in due.DueBoard().figures()]
    assert sum(name.endswith("queries") for name in names) == 4
    assert Component.objects.filter(over_on__lte=timezone.localdate()).exists()
