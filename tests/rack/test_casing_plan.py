"""A casing plan on top of a tally: what people do with it, what it refuses, what is shown while blind."""

import csv
import io
import uuid

import pytest
from django.core.management import call_command
from django.test import Client
from openpyxl import load_workbook
from pypdf import PdfReader

from rack.actions import casing, casing_printing, lines, straps
from rack.calc.casing_content import CasingContent
from rack.calc.lengths import Length
from rack.errors import AlreadyUsed, ChangedMeanwhile, NotAllowed, Refused
from rack.exchange import casing_files
from rack.exchange.casing_sheet import read_sheet
from rack.models import CasingPlan, CasingSheet, Journal
from rack.models.casing_facts import planned
from rack.paper import casing_detail, running_list
from tests import stock
from tests.stock import feet

pytestmark = pytest.mark.django_db


@pytest.fixture
def ola():
    return stock.person("ola", "supervisor", stock.site())


@pytest.fixture
def plan(ola) -> CasingPlan:
    site = ola.posts.get().site
    joints = stock.pieces(stock.rack(site), 6, facts=stock.CASING, first=5301)
    tally = stock.tally(ola, site, joints, kind="threads on", title="9-5/8 in casing")
    for n, line in enumerate(tally.lines.in_order()):
        straps.read(stock.asks(ola), straps.Reading(tally, f"39.{10 + n}", 1, line))
    return stock.casing_plan(ola, tally, loss_nm=feet("0.40"), loss_source="couplings measured")


def now(plan: CasingPlan) -> CasingPlan:
    return CasingPlan.objects.select_related("tally__site").get(pk=plan.pk)


def pk(plan: CasingPlan, name: str) -> int:
    return plan.items.get(name=name, removed=False).pk


def order(plan: CasingPlan) -> list[str]:
    return [row.name for row in plan.items.filter(removed=False).in_order()]


def printed(ola, plan: CasingPlan, **more) -> CasingContent:
    sheet = casing_printing.print_plan(stock.asks(ola), now(plan), reason="a test", **more)
    return CasingContent.from_text(sheet.content)


def test_a_plan_begins_with_every_joint_to_run_in_the_order_of_the_tally(plan) -> None:
    assert order(plan) == ["FS", "1", "FC", "2", "3", "4", "5", "6", "HGR", "LJ"]
    facts = planned(now(plan))
    joints = sum(feet(f"39.{10 + n}") for n in range(6))
    total = joints + feet("1.85") + feet("1.92") + feet("1.20") - 8 * feet("0.40")
    assert facts.layout.total == Length(total)
    assert facts.layout.shoe == Length(total + feet("24.60"))
    assert facts.layout.pins == 8


def test_losses_come_from_the_tables_where_nobody_typed_one(ola, plan) -> None:
    casing.set_head(stock.asks(ola), plan, casing.CasingHead(shoulder_nm=feet("24.60")))
    facts = planned(now(plan))
    assert {item.loss for item in facts.facts if item.is_joint} == {Length(122_237_500)}  # 4.8125 in, BTC
    assert facts.layout.losses == Length(122_237_500) * 8


def test_lengths_taken_threads_off_lose_nothing_more(ola) -> None:
    site = ola.posts.get().site
    joints = stock.pieces(stock.rack(site), 2, facts=stock.CASING, first=5401)
    tally = stock.tally(ola, site, joints, kind="threads off")
    for line in tally.lines.in_order():
        straps.read(stock.asks(ola), straps.Reading(tally, "38.70", 1, line))
    facts = planned(now(stock.casing_plan(ola, tally)))
    assert facts.layout.losses == Length(0)
    assert facts.layout.total == Length(2 * feet("38.70") + feet("1.85") + feet("1.92") + feet("1.20"))


def test_parts_and_joints_stand_where_they_are_put_whatever_the_gaps(ola, plan) -> None:
    for n in range(25):
        casing.put_in(stock.asks(ola), plan, casing.Part("pup", f"P{n}", feet("10")), pk(plan, "4"))
    assert order(plan)[4:31] == ["3", *(f"P{n}" for n in range(25)), "4"]
    casing.move(stock.asks(ola), plan, [pk(plan, "2"), pk(plan, "6")], pk(plan, "P3"))
    casing.move(stock.asks(ola), plan, [pk(plan, "P0")], None)
    found = order(plan)
    assert found[3:9] == ["3", "P1", "P2", "2", "6", "P3"]
    assert found[-1] == "P0"


def test_a_joint_left_out_needs_a_reason_and_leaves_the_length(ola, plan) -> None:
    with pytest.raises(Refused, match="why it is left out"):
        casing.set_role(stock.asks(ola), plan, [pk(plan, "3")], "out", "  ")
    before = planned(now(plan)).layout.total
    casing.set_role(stock.asks(ola), plan, [pk(plan, "3")], "out", "thread hit")
    casing.set_role(stock.asks(ola), plan, [pk(plan, "6")], "spare")
    facts = planned(now(plan))
    assert facts.counts.on_rack == ("3", "6")
    assert before is not None
    assert facts.layout.total == before - Length(feet("39.12") + feet("39.15")) + Length(
        2 * feet("0.40"))


def test_a_part_is_taken_out_and_a_joint_of_the_tally_is_not(ola, plan) -> None:
    with pytest.raises(Refused, match="leave it out with a reason"):
        casing.take_out(stock.asks(ola), plan, [pk(plan, "3")])
    with pytest.raises(Refused, match="is a part"):
        casing.set_role(stock.asks(ola), plan, [pk(plan, "FC")], "spare")
    casing.take_out(stock.asks(ola), plan, [pk(plan, "FC")])
    assert "FC" not in order(plan)


def test_a_joint_found_is_tied_to_its_line_where_the_tally_has_one(ola, plan) -> None:
    with pytest.raises(Refused, match="Type the length of 3A"):
        casing.put_in(stock.asks(ola), plan, casing.Part("joint", "3A"), pk(plan, "4"))
    tally = plan.tally
    before = tally.lines.get(painted="4")
    line = lines.insert_line(stock.asks(ola), before, "3A")
    straps.read(stock.asks(ola), straps.Reading(tally, "39.44", 1, line))
    facts = planned(now(plan))
    assert [one.painted for one in facts.nowhere] == ["3A"]
    assert any("3A of the tally stands nowhere" in one.text for one in facts.problems)
    casing.put_in(stock.asks(ola), plan, casing.Part("joint", "3A"), pk(plan, "4"))
    facts = planned(now(plan))
    assert facts.nowhere == []
    assert facts.facts[5].length == Length(feet("39.44"))


def test_a_line_withdrawn_under_the_plan_stops_it(ola, plan) -> None:
    lines.withdraw_line(stock.asks(ola), plan.tally.lines.get(painted="4"), "not on the rack")
    with pytest.raises(Refused, match="4 was withdrawn from the tally"):
        printed(ola, plan)


def test_the_same_key_twice_is_once_and_another_request_with_it_is_refused(ola, plan) -> None:
    key = uuid.uuid4()
    for _ in range(2):
        casing.put_in(stock.asks(ola, key), plan, casing.Part("pup", "P1", feet("10")), None)
    assert order(plan).count("P1") == 1
    with pytest.raises(AlreadyUsed):
        casing.put_in(stock.asks(ola, key), plan, casing.Part("pup", "P2", feet("10")), None)
    sheets = {casing_printing.print_plan(stock.asks(ola, sure), now(plan), reason="x").pk
              for sure in [uuid.uuid4()] * 2}
    assert len(sheets) == 1


def test_a_page_drawn_before_somebody_else_wrote_changes_nothing(ola, plan) -> None:
    seen = now(plan).version
    casing.tick(stock.asks(ola), plan, [pk(plan, "2")], "drifted", done=True, seen=seen)
    with pytest.raises(ChangedMeanwhile, match="changed by somebody else"):
        casing.tick(stock.asks(ola), plan, [pk(plan, "3")], "drifted", done=True, seen=seen)
    assert [row.name for row in plan.items.filter(drifted=True)] == ["2"]


def test_a_viewer_plans_nothing_and_the_crew_prints_nothing(ola, plan) -> None:
    site = plan.tally.site
    viewer, crew = stock.person("vi", "viewer", site), stock.person("ada", "crew", site)
    count = Journal.objects.count()
    with pytest.raises(NotAllowed):
        casing.tick(stock.asks(viewer), plan, [pk(plan, "2")], "drifted", done=True)
    with pytest.raises(NotAllowed):
        casing_printing.print_plan(stock.asks(crew), plan, reason="x")
    assert Journal.objects.count() == count


def test_drill_pipe_makes_no_casing_plan(ola) -> None:
    site = ola.posts.get().site
    tally = stock.tally(ola, site, stock.pieces(stock.rack(site, "R7"), 2))
    with pytest.raises(Refused, match="has drill pipe on it"):
        casing.begin_plan(stock.asks(ola), tally, casing.CasingHead())


@pytest.mark.parametrize("head, words", [
    ({"shoulder_nm": -1}, "less than nothing"), ({"loss_nm": 2 * 10**9, "loss_source": "x"}, "a few inches"),
    ({"loss_nm": 10**8}, "where the make-up loss comes from"),
])
def test_a_head_that_cannot_be_is_refused(ola, plan, head, words) -> None:
    with pytest.raises(Refused, match=words):
        casing.set_head(stock.asks(ola), plan, casing.CasingHead(**head))


def test_what_asks_is_printed_with_its_reason_and_a_sheet_never_changes(ola, plan) -> None:
    with pytest.raises(Refused, match="Not ticked as drifted"):
        casing_printing.print_plan(stock.asks(ola), now(plan))
    first = printed(ola, plan)
    assert any("Not ticked as drifted" in text for text in first.asked) and first.reason == "a test"
    casing.set_role(stock.asks(ola), plan, [pk(plan, "3")], "out", "bent")
    second = printed(ola, plan)
    assert (second.revision, second.left_out, first.left_out) == (2, 1, 0)
    assert CasingSheet.objects.get(revision=1).content == first.to_text()
    assert CasingContent.from_text(first.to_text()) == first


@pytest.mark.django_db(transaction=True)
def test_the_audit_finds_a_plan_that_was_written_over(ola, plan, capsys) -> None:
    printed(ola, plan)
    call_command("audit_ledger")
    assert "No difference" in capsys.readouterr().out
    CasingPlan.objects.filter(pk=plan.pk).update(revision=7)
    with pytest.raises(Exception, match="difference"):
        call_command("audit_ledger")


@pytest.fixture
def content(ola, plan) -> CasingContent:
    found = casing.Part("joint", "3A", feet("39.40"), serial="=1+1")
    casing.put_in(stock.asks(ola), plan, found, pk(plan, "4"))
    casing.set_role(stock.asks(ola), plan, [pk(plan, "6")], "out", "=HYPERLINK(thread)")
    casing.set_role(stock.asks(ola), plan, [pk(plan, "5")], "spare")
    casing.centralize(stock.asks(ola), plan, [pk(plan, "2")], "bow", 2, feet("5"))
    return printed(ola, plan)


def words(data: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages).split())


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_both_papers_say_what_the_sheet_says(content, size) -> None:
    shoe = content.shown(content.shoe_nm)
    for paper, order in ((running_list, ("FS", "3A", "HGR")), (casing_detail, ("HGR", "3A", "FS"))):
        data = paper.pdf(content, size=size, address="https://tally.example/C/ABC")
        text = words(data)
        assert f"Shoe at {shoe} ft below RKB" in text
        assert "must lie, when the string is landed: 5, 6." in text
        assert "6: =HYPERLINK(thread)" in text
        table = text[text.index("from the bottom up (ft)" if paper is running_list else "from the top down"):]
        assert table.index(order[0]) < table.index(order[1]) < table.index(order[2])
        assert data == paper.pdf(content, size=size, address="https://tally.example/C/ABC")


def test_the_files_hold_no_formula_and_their_figures_are_numbers(content) -> None:
    book = load_workbook(io.BytesIO(casing_files.xlsx(content)))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert [cell.value for cell in cells if cell.data_type == "f"] == []
    assert "=1+1" in {cell.value for cell in cells if cell.data_type == "s"}
    row = next(row for row in book["Running list"].iter_rows(values_only=True) if row[2] == "FC")
    assert (row[5], row[6], row[7]) == (1.92, 0.4, 1.52)
    text = casing_files.csv_text(content, casing_files.running_rows(content))
    assert text.startswith("\ufeff")
    rows = list(csv.reader(io.StringIO(text)))
    assert [row for row in rows if any(cell.startswith("=") for cell in row)] == []
    totals = [row[8] for row in rows if row and row[0].isdigit()]
    assert totals[-1] == content.shown(content.total_nm)


def test_our_own_running_list_read_back_betrays_no_fault(content) -> None:
    text = casing_files.csv_text(content, casing_files.running_rows(content))
    rows = [row for row in csv.reader(io.StringIO(text)) if row and row[0].isdigit()]
    out = io.StringIO()
    made = csv.writer(out)
    made.writerow(["M/U loss", "0.40 ft", "Lengths", "threads on, ft"])
    made.writerow(["Run", "Jt", "Strap 1", "Eff. ft", "Total ft", "Remarks"])
    for row in rows:
        remark = f"{row[3]} TL" if row[13] else row[3]
        made.writerow([row[0], row[2], row[5], row[7], row[8], remark])
    assert [one.text for one in read_sheet(out.getvalue().encode(), "ours.csv").problems] == []


def test_while_the_second_strap_is_open_no_length_leaves_the_house(ola, plan) -> None:
    sheet = casing_printing.print_plan(stock.asks(ola), now(plan), reason="a test")
    client = Client()
    client.force_login(ola)
    at = f"/tallies/{plan.tally.number}/casing/"
    open_pages = (at, f"/C/{sheet.code}/")
    for address in open_pages:
        assert "39.1" in client.get(at).content.decode() and client.get(address).status_code == 200
    straps.begin_strap(stock.asks(ola), plan.tally, 2, "T-11", "Bo", "Cy")
    for address in open_pages:
        text = client.get(address).content.decode()
        for secret in ("39.1", "38.7", "235.", "1.85", "is not known", "Shoe below"):
            assert secret not in text, (address, secret)
    for file in ("running-list.pdf", "running-list.csv", "casing-detail.pdf", "casing.xlsx"):
        assert client.get(f"/C/{sheet.code}/{file}").status_code == 409
    assert client.get(f"{at}check/").status_code == 302
    assert client.post(f"{at}check/", {"total": "1"}).status_code == 302
    with pytest.raises(Refused, match="second strap"):
        casing_printing.print_plan(stock.asks(ola), now(plan), reason="x")


def test_a_refused_form_keeps_what_was_typed(ola, plan) -> None:
    client = Client()
    client.force_login(ola)
    at = f"/tallies/{plan.tally.number}/casing/do/"
    key = {"key": str(uuid.uuid4())}
    answer = client.post(f"{at}part/", {**key, "kind": "pup", "name": "PX", "length_nm": "ten"})
    assert answer.status_code == 422 and 'value="PX"' in answer.content.decode()
    answer = client.post(f"{at}chosen/", {**key, "what": "out", "names": "1 to 3, 99", "reason": "bent"})
    assert answer.status_code == 422 and "There is no 99 in the plan" in answer.content.decode()
    answer = client.post(f"{at}chosen/", {**key, "what": "spare", "names": "4 to 5", "seen": "999"})
    assert answer.status_code == 409
    assert client.post(f"{at}nothing/", key).status_code == 404


def test_a_typed_sheet_is_read_on_its_page_and_nothing_of_it_is_stored(ola) -> None:
    from tests.rack.exchange.casing_paper import paper

    client = Client()
    client.force_login(ola)
    count = Journal.objects.count()
    bad = paper()
    bad.row("9")["Jt"] = "8"
    file = io.BytesIO(bad.data())
    file.name = "casing.csv"
    text = client.post("/casing-sheet/", {"file": file}).content.decode()
    assert "Joint 8 stands twice" in text
    file = io.BytesIO(b"%PDF")
    file.name = "casing.pdf"
    answer = client.post("/casing-sheet/", {"file": file})
    assert answer.status_code == 422 and "is a PDF" in answer.content.decode()
    assert Journal.objects.count() == count
