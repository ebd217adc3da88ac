"""Hours by piece, specification, lot and well: each adds up to the whole, and the whole to the lines."""

import csv
import io
import random

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from openpyxl import load_workbook

from rack.actions import receiving
from rack.actions.files import keep_bytes
from rack.actions.legs import post_legs, take_back_leg
from rack.calc.hours import add_up, run_totals
from rack.exchange.delivery import read_delivery
from rack.models import Hours, Leg, Run
from rack.models import hour_totals as read
from rack.models.stays import as_legs
from tests import runs, stock
from tests.rack.tally_desk import signed_in, text_of
from tests.runs import leg

pytestmark = pytest.mark.django_db
LISTED = (
    b"Serial;Item;Length ft\r\n"
    b"LT1;5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe;31.02\r\n"
    b"LT2;5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe;30.97\r\n"
)


@pytest.fixture
def two_wells(ada, ola, layer):
    """Two strings in two wells: joints of a list, joints without one, a jar, a motor; runs by chance."""
    by_chance = random.Random(7)
    keep_bytes(LISTED)
    receipt = receiving.Receipt(place=layer, file_name="lot.csv", media="text/csv", confirmed=True)
    lot = receiving.accept(stock.asks(ola), read_delivery(LISTED, "lot.csv", length_kind="pins off"), receipt)
    listed = [row.component for row in lot.rows.order_by("id")]
    more = stock.pieces(layer, 4, lengths=["31.00"] * 4)
    tools = [runs.tool(layer, "motor", 8101), runs.tool(layer, "jar", 8201)]
    hung = {"SD-14": [tools[0], listed[0], *more[:2]], "SD-15": [tools[1], listed[1], *more[2:]]}
    for name, on in hung.items():
        string = runs.string(ola, layer, name)
        runs.join(ada, string, on, hours=0)
        run = runs.run(ola, string)
        depth = 4000
        for n in range(5):
            whole = by_chance.randrange(600, 3600)
            slid = by_chance.randrange(0, 3600 - whole)
            given = {"rotating_s": None if n == 3 else whole, "sliding_s": slid}
            lines = [leg(n, n + 1, str(depth), str(depth + 10), **given)]
            post_legs(stock.asks(ada), run, lines, "as the sheet has it")
            depth += 10
        # One line goes again, so that reversals stand in the ledger.
        gone = Leg.objects.standing().filter(run=run).order_by("id")[1]
        take_back_leg(stock.asks(ada), gone, "written twice")
    return Run.objects.order_by("id")


def grouped(asked):
    pieces = list(read.pieces_of(asked))
    return {"piece": read.by_piece(asked, pieces), "spec": read.by_spec(asked),
            "lot": read.by_lot(asked), "well": read.by_well(asked)}  # fmt: skip


def test_every_grouping_adds_up_to_the_whole(two_wells, here):
    asked = read.Question(here)
    whole = read.whole_of(asked)
    assert whole["rotating_s"].least > 0 and not whole["rotating_s"].known
    assert Hours.objects.exclude(reverses=None).exists()
    for by, groups in grouped(asked).items():
        assert add_up(one.amounts for one in groups) == whole, by
        assert sum(one.pieces for one in groups) == 8, by


def test_the_whole_is_what_stands_in_the_ledger(two_wells, here):
    """Adding up all entries, reversals too, is adding up those that stand."""
    found: dict[str, int] = {}
    for clock, amount in Hours.objects.standing().values_list("clock", "amount"):
        found[clock] = found.get(clock, 0) + (amount or 0)
    assert {clock: one.least for clock, one in read.whole_of(read.Question(here)).items()} == found


def test_a_line_that_is_taken_back_takes_what_was_not_known_with_it(two_wells, here, ada):
    for run in two_wells:
        unknown = Leg.objects.standing().get(run=run, rotating_s=None)
        take_back_leg(stock.asks(ada), unknown, "written down again")
        for groups in grouped(read.Question(here, run.string.well)).values():
            assert all(one.known for group in groups for one in group.amounts.values())
    assert Hours.objects.filter(amount=None).exists()


def test_a_piece_that_was_in_throughout_has_what_the_lines_have(two_wells, here):
    """And the strings of a well turned what their lines say, whatever hung in them."""
    for run, well in zip(two_wells, read.by_well(read.Question(here)), strict=True):
        lines = as_legs(run, Leg.objects.standing().filter(run=run).order_by("id"))
        totals = run_totals(lines)
        asked = read.Question(here, run.string.well, "drill_pipe")
        for one in read.by_piece(asked, list(read.pieces_of(asked))):
            assert one.amounts["rotating_s"] == totals["rotating_s"]
            assert one.amounts["footage_nm"] == totals["footage_nm"]
        assert well.name == str(run.string.well) and well.runs == 1
        assert well.strings == totals


def test_a_lot_is_the_list_with_which_a_piece_came(two_wells, here):
    lots = read.by_lot(read.Question(here, kind="drill_pipe"))
    assert [(one.pieces, "lot.csv" in one.name) for one in lots] == [(2, True), (4, False)]
    assert lots[1].name == read.NO_LOT


def test_wells_and_kinds_narrow_and_the_parts_add_up(two_wells, here):
    whole = read.whole_of(read.Question(here))
    wells = [read.whole_of(read.Question(here, run.string.well)) for run in two_wells]
    kinds = [read.whole_of(read.Question(here, kind=kind)) for kind in ("drill_pipe", "motor", "jar")]
    assert add_up(wells) == add_up(kinds) == whole


def test_hours_of_another_site_are_not_counted_here(two_wells, here):
    other = stock.site("KV1")
    assert read.whole_of(read.Question(other)) == {}
    assert read.by_well(read.Question(other)) == []


@pytest.mark.parametrize("by", ["piece", "spec", "delivery", "well"])
def test_the_questions_do_not_grow_with_the_pieces(by, two_wells, here, ada, layer):
    ola = signed_in("ola2", "supervisor", here)
    at = f"/runs/totals/?by={by}"

    def asked() -> int:
        with CaptureQueriesContext(connection) as seen:
            assert ola.get(at).status_code == 200
        return len(seen)

    asked()
    before = asked()
    string = two_wells[0].string
    runs.join(ada, string, stock.pieces(layer, 20, first=6001, lengths=["31.00"] * 20), hours=6)
    post_legs(stock.asks(ada), two_wells[0], [leg(6, 7, "4100", "4110")], "as the sheet has it")
    assert asked() == before


@pytest.mark.parametrize("by", ["piece", "spec", "delivery", "well"])
def test_too_much_to_add_up_is_said_in_a_sentence_and_a_well_narrows_it(by, two_wells, here, monkeypatch):
    """Millions of entries would keep a page waiting for seconds."""
    well = Run.objects.order_by("pk")[0].string.well
    everything, of_well = (sum(rows.count() for rows in read.entries_of(asked))
                           for asked in (read.Question(here), read.Question(here, well)))  # fmt: skip
    assert 0 < of_well < everything
    monkeypatch.setattr(read, "MOST", of_well)
    client = signed_in("vera", "viewer", here)
    answer = client.get(f"/runs/totals/?by={by}")
    assert answer.status_code == 200 and "Choose a well" in answer.content.decode()
    refused = client.get(f"/runs/totals.csv?by={by}")
    assert refused.status_code == 400 and "would be added up" in refused.content.decode()
    narrowed = client.get(f"/runs/totals/?by={by}&well={well.pk}")
    assert narrowed.context["rows"] and "would be added up" not in narrowed.content.decode()
    assert client.get(f"/runs/totals.csv?by={by}&well={well.pk}").status_code == 200


@pytest.mark.sqlite
def test_a_well_is_narrowed_by_an_index_and_not_by_reading_the_ledger(two_wells, here):
    asked = read.Question(here, Run.objects.order_by("pk")[0].string.well)
    plan = read.entries_of(asked)[0].values_list("clock", flat=True).explain()
    assert "hours_run" in plan and "SCAN rack_hours" not in plan


def test_the_page_says_at_least_and_ends_with_the_sum(two_wells, here):
    page = text_of(signed_in("vera", "viewer", here).get("/runs/totals/?by=well"))
    assert "All together" in page and "at least" in page and "SD-15" in page


@pytest.mark.parametrize("by", ["piece", "spec", "delivery", "well"])
def test_the_files_have_hours_in_figures_and_seconds_that_add_up(by, two_wells, here):
    client = signed_in("vera", "viewer", here)
    text = client.get(f"/runs/totals.csv?by={by}").content.decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(text)))
    top = next(n for n, row in enumerate(rows) if "Rotating h" in row)
    heads, body = rows[top], rows[top + 1 :]
    assert "Footage ft" in heads
    for name in ("Rotating s", "Circulating s", "Footage ft"):
        figures = [float(row[heads.index(name)] or 0) for row in body]
        assert sum(figures[:-1]) == pytest.approx(figures[-1], abs=1e-6), name
    for row in body:
        hours, seconds = row[heads.index("Rotating h")], row[heads.index("Rotating s")]
        assert not seconds or abs(float(hours) - int(seconds) / 3600) <= 0.00005
    assert body[-1][-1] == "rotating"
    book = load_workbook(io.BytesIO(client.get(f"/runs/totals.xlsx?by={by}").content))
    cells = [[cell.value for cell in row] for row in book.active.iter_rows()]
    assert cells[-1][heads.index("Rotating s")] == int(body[-1][heads.index("Rotating s")])


def test_the_hours_of_a_run_leave_as_a_workbook_with_their_sum(two_wells, here):
    client = signed_in("vera", "viewer", here)
    data = client.get(f"/runs/{two_wells[0].pk}/hours.xlsx").content
    rows = [[cell.value for cell in row] for row in load_workbook(io.BytesIO(data)).active.iter_rows()]
    heads = next(row for row in rows if "Rotating s" in row)
    body = rows[rows.index(heads) + 1 :]
    at = heads.index("Rotating s")
    assert body[-1][0] == "All together"
    assert sum(row[at] or 0 for row in body[:-1]) == body[-1][at]
    assert {row[heads.index("Credited")] for row in body[:-1]} >= {"whole run"}
    assert client.get(f"/runs/{two_wells[0].pk}/hours.pdf").status_code == 404
    assert client.get("/runs/totals.pdf").status_code == 404
