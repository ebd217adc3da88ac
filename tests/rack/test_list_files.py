"""The pick list and the tour's handover as CSV and XLSX: figures as figures, text never a formula."""

import csv
import io
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone
from openpyxl import load_workbook

from rack.actions import pieces as on_pieces
from rack.actions import plans
from rack.actions.strings import correct_depth
from rack.exchange.list_files import ListFile, write_csv, write_xlsx
from rack.models import Plan, String
from rack.views.picks import in_order
from tests import stock
from tests.rig import Rig, build

pytestmark = pytest.mark.django_db


@pytest.fixture
def rig() -> Rig:
    return build()


@pytest.fixture
def ola(rig: Rig) -> Client:
    client = Client()
    client.force_login(rig.who["supervisor"])
    return client


def rows_of(data: bytes) -> list[list[object]]:
    sheet = load_workbook(io.BytesIO(data)).worksheets[0]
    return [[cell.value for cell in row] for row in sheet.iter_rows()]


def answered(rig: Rig, plan: Plan) -> str:
    """Holds a piece of the plan and answers the rule about it; the reason comes back."""
    piece = plan.lines.from_the_bit()[0].component
    on_pieces.put_hold(stock.asks(rig.who["supervisor"]), piece, "box face")
    until = timezone.now().astimezone(rig.site.zone).date() + timedelta(days=4)
    yes = plans.Yes("R16", "seen on the rack", ends_on=until, delivery=rig.delivery)
    plans.consent(stock.asks(rig.who["supervisor"]), plan, plans.Yes("R16", yes.reason, component=piece))
    return yes.reason


def test_the_pick_list_is_written_in_the_order_of_the_racks_with_figures(rig, ola):
    plan = rig.plan
    plans.put_in(stock.asks(rig.who["supervisor"]), plan, [plans.Put(spec=stock.spec(), count=15)])
    why = answered(rig, plan)
    rows = rows_of(ola.get(f"/plans/{plan.number}/picks.xlsx").content)
    at = next(n for n, row in enumerate(rows) if row[0] == "No")
    assert rows[at][6] == "Length (ft)"
    pieces = in_order(plan)
    assert [row[4] for row in rows[at + 1 :]] == [piece.tag for piece in pieces]
    assert [row[8] for row in rows[at + 1 :]] == [piece.length_nm for piece in pieces]
    known = [row for row, piece in zip(rows[at + 1 :], pieces, strict=True) if piece.length_nm]
    assert known and all(isinstance(row[6], int | float) for row in known)
    notes = [row[1] for row in rows[:at] if row[0] == "Note"]
    assert any(note.startswith("15 x 5 in") for note in notes)
    assert any(why in note and "Taken all the same by" in note for note in notes), "the answers are printed"


def test_the_csv_of_the_pick_list_says_the_same(rig, ola):
    answer = ola.get(f"/plans/{rig.plan.number}/picks.csv")
    assert answer["Content-Disposition"] == f'attachment; filename="pick-list-{rig.plan.number}.csv"'
    table = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
    tags = [piece.tag for piece in in_order(rig.plan)]
    assert [row[4] for row in table if len(row) > 4 and row[0].isdecimal()] == tags


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_the_handover_tells_depth_counts_correction_and_what_was_done(rig, ola, form):
    one: String = rig.strings["running"]
    correct_depth(stock.asks(rig.who["supervisor"]), one, -stock.feet("0.75"), "strap out, tally 4")
    answer = ola.get(f"/strings/{one.number}/handover.{form}")
    if form == "xlsx":
        rows = [[str(cell) for cell in row if cell is not None] for row in rows_of(answer.content)]
    else:
        rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
    told = {row[0]: row[1] for row in rows if len(row) >= 2}
    assert told["In the mousehole"] == "0" and told["In the derrick"] == "3"
    assert any("Made up 6 pieces in string 1" in " ".join(row) for row in rows)
    assert any("The depth is corrected by -0.75 ft: strap out, tally 4" in " ".join(row) for row in rows)


@pytest.mark.parametrize("at", ["plans/1/picks", "strings/1/handover"])
def test_another_form_is_not_found(ola, at):
    assert ola.get(f"/{at}.docx").status_code == 404


def test_the_papers_stay_pdf_at_their_old_address(rig, ola):
    for at in (f"plans/{rig.plan.number}/picks.pdf", f"strings/{rig.strings['running'].number}/handover.pdf"):
        assert ola.get(f"/{at}").content.startswith(b"%PDF")


def test_a_text_that_looks_like_a_formula_stays_text():
    made = ListFile("List", [("Site", "=1+1")], ["Name"], [["=2+2"], [7]], ["-3 more"])
    assert "'=2+2" in write_csv(made) and "'=1+1" in write_csv(made).replace("Site,", "")
    sheet = load_workbook(io.BytesIO(write_xlsx(made))).worksheets[0]
    cells = [cell for row in sheet.iter_rows() for cell in row if cell.value is not None]
    kinds = {cell.value: cell.data_type for cell in cells}
    assert kinds["=2+2"] == kinds["=1+1"] == kinds["-3 more"] == "s" and kinds[7] == "n"
