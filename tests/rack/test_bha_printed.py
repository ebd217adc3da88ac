"""BHA sheets: the live page, what the rules say, when a paper is old, what is shut away, sheets as typed."""

import csv
import io
import uuid
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection, transaction
from django.db.models import Value
from django.db.utils import DatabaseError
from django.test import Client
from django.utils import timezone
from openpyxl import load_workbook
from pypdf import PdfReader

from rack.actions import pieces, plans, running
from rack.actions.string_printing import print_bha
from rack.actions.taking_back import take_back
from rack.calc.bha import BhaContent
from rack.calc.specs import SpecFacts
from rack.errors import NotAllowed, Refused
from rack.exchange.bha_sheet import read_sheet
from rack.models import Component, Journal, Plan, StringSheet
from rack.models.bha import content_now, is_shut_away, still_says
from rack.models.judging import judge_plan
from tests import rig as made
from tests import stock

pytestmark = pytest.mark.django_db
FIXTURES = Path(__file__).resolve().parents[2] / "fixtures" / "bha"


@pytest.fixture
def rig(db):
    return made.build()


def client_of(rig, who: str) -> Client:
    client = Client()
    client.force_login(rig.who[who], backend="django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def boss(rig) -> Client:
    return client_of(rig, "supervisor")


def page(client: Client, at: str, status: int = 200) -> str:
    answer = client.get(at, follow=True)
    assert answer.status_code == status, at
    return answer.content.decode()


def press(client: Client, at: str, key: uuid.UUID | None = None) -> StringSheet:
    answer = client.post(at, {"key": str(key or uuid.uuid4())})
    assert answer.status_code == 302, answer.content.decode()[:400]
    return StringSheet.objects.get(code=answer["Location"].split("/B/")[1].strip("/"))


def sheet_of(rig) -> str:
    return f"/strings/{rig.strings['running'].number}/bha/"


def test_the_page_of_a_string_and_of_a_plan_leads_to_its_sheet(rig, boss):
    assert sheet_of(rig) in page(boss, f"/strings/{rig.strings['running'].number}/")
    assert f"/plans/{rig.plan.number}/bha/" in page(boss, f"/plans/{rig.plan.number}/")
    assert "/bha-sheet/" in page(boss, "/strings/")


def test_the_live_page_names_every_piece_with_its_place(rig, boss):
    said = page(boss, sheet_of(rig))
    content = content_now(rig.strings["running"], timezone.now())
    assert content.count == 6 and content.length_nm
    for line in content.lines:
        assert line.serial in said and f"/piece/{line.tag}/" in said
    assert "Caliper every piece" in said and "bha.svg?night=1" in said


def test_printing_writes_the_next_revision_once_and_the_code_opens_it(rig, boss):
    key = uuid.uuid4()
    second, again = press(boss, sheet_of(rig), key), press(boss, sheet_of(rig), key)
    assert second == again and second.revision == 2 and second.digest == BhaContent.from_text(
        second.content).digest()
    assert "the current one" in page(boss, f"/B/{second.code}/")
    old = page(boss, f"/B/{rig.bha.code}")
    assert "Superseded by revision 2" in old and f"/B/{second.code}/" in old
    assert "Printed the BHA sheet of string" in Journal.objects.latest("id").sentence


def test_a_sheet_is_no_longer_current_when_a_piece_joins_and_is_again_when_it_is_taken_back(rig, boss):
    one = press(boss, sheet_of(rig))
    before = Journal.objects.latest("id").pk
    running.join(stock.asks(rig.who["crew"]), rig.strings["running"], rig.spare[:1])
    assert "was changed since" in page(boss, f"/B/{one.code}/")
    joined = Journal.objects.filter(pk__gt=before).latest("id")
    take_back(stock.asks(rig.who["crew"]), rig.strings["running"], joined)
    assert "the current one" in page(boss, f"/B/{one.code}/")


def test_racking_back_changes_no_paper(rig, boss):
    one = press(boss, sheet_of(rig))
    running.rack_back(stock.asks(rig.who["crew"]), rig.strings["running"],
                      [row.component for row in rig.strings["running"].members.in_the_hole()
                       .from_the_bit()][-1:], "A", 3)  # fmt: skip
    assert "the current one" in page(boss, f"/B/{one.code}/")


def test_a_hold_that_was_put_on_after_printing_is_a_change(rig, boss):
    one = press(boss, sheet_of(rig))
    pieces.put_hold(stock.asks(rig.who["crew"]), rig.strings["running"].members.now()[0].component, "washed")
    assert "was changed since" in page(boss, f"/B/{one.code}/")
    assert "held: washed" in page(boss, sheet_of(rig))


def test_hours_and_the_depth_out_do_not_make_a_paper_old_but_mud_does(rig):
    content = content_now(rig.strings["running"], timezone.now())
    more = replace(content, head=replace(content.head, hours=(("rotating", "99.00"),), depth_out_nm=1))
    other = replace(content, head=replace(content.head, mud_mppg=12_345))
    assert still_says(content, more) and not still_says(content, other)


def test_the_head_bears_the_numbers_and_hours_of_the_newest_run(rig):
    head = content_now(rig.strings["running"], timezone.now()).head
    run = rig.strings["running"].runs.order_by("-number")[0]
    assert (head.bit_no, head.depth_in_nm) == (run.bit_no, run.in_nm)
    assert head.run_no == (run.run_no or str(run.number))


def test_the_title_keeps_the_capitals_of_its_words(rig):
    string = rig.strings["running"]
    string.title = "motor and MWD"
    assert content_now(string, timezone.now()).head.title.endswith("motor and MWD")


@pytest.mark.parametrize("form, media", [
    ("pdf", "application/pdf"), ("csv", "text/csv; charset=utf-8"), ("svg", "image/svg+xml"),
    ("xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
])  # fmt: skip
def test_every_form_of_the_printed_sheet_is_drawn_from_its_text(rig, boss, form, media):
    running.join(stock.asks(rig.who["crew"]), rig.strings["running"], rig.spare[:1])  # after the printing
    answer = boss.get(f"/B/{rig.bha.code}.{form}")
    assert answer.status_code == 200 and answer["Content-Type"] == media
    last = BhaContent.from_text(rig.bha.content).lines[-1].serial
    if form == "pdf":
        text = " ".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(answer.content)).pages)
        assert f"/B/{rig.bha.code}" in text and rig.spare[0].serial not in text and last in text
    elif form == "csv":
        assert answer.content.startswith(b"\xef\xbb\xbf") and not answer.content.startswith(
            b"\xef\xbb\xbf\xef\xbb\xbf")
        rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
        assert rows[0][0] == "BHA sheet" and any(last in row for row in rows)
        assert len(read_sheet(answer.content, "back.csv").links) == 6
    elif form == "xlsx":
        cells = [cell for row in load_workbook(io.BytesIO(answer.content)).active.iter_rows(values_only=True)
                 for cell in row]  # fmt: skip
        assert last in cells and any(str(cell).endswith(f"/B/{rig.bha.code}") for cell in cells)
    else:
        ElementTree.fromstring(answer.content)


@pytest.mark.parametrize("size, wide", [("A4", 595), ("Letter", 612)])
def test_either_paper_is_had(rig, boss, size, wide):
    data = boss.get(f"/B/{rig.bha.code}.pdf?size={size}").content
    assert round(float(PdfReader(io.BytesIO(data)).pages[0].mediabox.width)) == wide


def test_the_diagram_has_a_night_and_a_narrow_dress(rig, boss):
    at = sheet_of(rig).replace("/bha/", "/bha.svg")
    day, night, narrow = (boss.get(at + more).content.decode() for more in ("", "?night=1", "?narrow=1"))
    assert "#1a2127" in night and "#1a2127" not in day and 'width="352"' in narrow


@pytest.mark.parametrize("at", ["/B/AAAAAAA/", "/B/not a code/", "/B/AAAAAAA.pdf", "/B/x.csv"])
def test_a_code_that_cannot_be_is_said_so(rig, boss, at):
    page(boss, at, 404)


def test_a_form_that_there_is_not_is_not_found(rig, boss):
    page(boss, f"/B/{rig.bha.code}.docx", 404)


def test_an_empty_string_prints_nothing_and_has_no_diagram(rig, boss):
    at = f"/strings/{rig.strings['empty'].number}/bha/"
    answer = boss.post(at, {"key": str(uuid.uuid4())})
    assert answer.status_code == 422 and "there is nothing to print" in answer.content.decode()
    page(boss, at.replace("/bha/", "/bha.svg"), 404)
    assert "Nothing in it yet" in page(boss, at)


@pytest.mark.parametrize("who", ["crew", "viewer"])
def test_only_supervisor_and_office_print(rig, who):
    with pytest.raises(NotAllowed, match="print a BHA sheet"):
        print_bha(stock.asks(rig.who[who]), rig.strings["running"])
    assert "Print it as revision" not in page(client_of(rig, who), sheet_of(rig))


def test_a_printed_row_is_never_edited(rig):
    with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE rack_stringsheet SET content = 'x' WHERE id = %s", [rig.bha.pk])


def test_a_paper_whose_lengths_are_shut_away_is_neither_shown_nor_printed(rig, boss, monkeypatch):
    """Law 13; that the live pages tell nothing is walked in `test_string_blind`."""
    printed = StringSheet.objects.get(pk=rig.bha.pk)
    monkeypatch.setattr("rack.models.bha.is_shut", lambda: Value(value=True))
    assert is_shut_away(BhaContent.from_text(printed.content))
    with pytest.raises(Refused, match="strapped a second time"):
        print_bha(stock.asks(rig.who["supervisor"]), rig.strings["running"])
    for ending in ("/", ".pdf", ".csv", ".xlsx", ".svg"):
        assert "strapped a second time" in page(boss, f"/B/{printed.code}{ending}", 409)


def a_plan(rig, facts: list[SpecFacts]) -> Plan:
    """A plan of one piece of each specification."""
    ola, layer = rig.who["supervisor"], rig.layer
    found = [stock.pieces(layer, 1, facts=one, first=9100 + n, lengths=["30.00"])[0]
             for n, one in enumerate(facts)]  # fmt: skip
    return plans.begin_plan(stock.asks(ola), rig.site, plans.PlanHead("a new assembly"),
                            [plans.Put(piece) for piece in found])  # fmt: skip


def test_what_the_rules_stop_and_what_was_answered_stands_on_the_paper(rig, boss):
    facts = SpecFacts("collar", od_nm=165_100_000, bore_nm=71_437_500, up_conn="NC46", up_gender="box",
                      down_conn="NC46", down_gender="pin")  # fmt: skip
    upper = replace(facts, down_conn="NC50", up_conn="NC50")
    plan = a_plan(rig, [facts, upper])
    notes = content_now(plan, timezone.now()).notes
    assert any(note.startswith("Not cleared, R") and "NC50" in note for note in notes), notes
    waiting = [note for note in notes if note.startswith("The rules ask")]
    assert waiting
    text = PdfReader(io.BytesIO(boss.get(
        f"/B/{press(boss, f'/plans/{plan.number}/bha/').code}.pdf").content))
    assert "Not cleared" in " ".join(sheet.extract_text() for sheet in text.pages)


def test_a_yes_is_printed_once_with_who_said_it_and_until_when(rig):
    plan = a_plan(rig, [stock.JAR])
    ola = rig.who["supervisor"]
    _, judged = judge_plan(plan, timezone.localdate())
    asked = next(one for one in judged.problems if one.severity == "ASKS" and not one.rules)
    plans.consent(stock.asks(ola), plan, plans.Yes(asked.code, "one short run", "", None, None, None))
    notes = content_now(plan, timezone.now()).notes
    told = [note for note in notes if "one short run" in note]
    assert len(told) == 1 and told[0].startswith(f"{asked.code}: ") and "Taken all the same by" in told[0]


# Reading a typed sheet


def send(client: Client, data: bytes, name: str = "bha.csv"):
    return client.post("/bha-sheet/", {"file": SimpleUploadedFile(name, data)})


def test_a_typed_sheet_is_shown_with_its_rows_and_every_fault_and_nothing_is_stored(rig, boss):
    before = Journal.objects.count(), Component.objects.count(), StringSheet.objects.count()
    answer = send(boss, (FIXTURES / "extract_of_a_sheet.csv").read_bytes())
    said = answer.content.decode()
    assert answer.status_code == 200
    for words in ("M675-118", "DC-5512", "169.31", "6-1/2", "10.2 ppg", "Sandholm", "survey, gamma",
                  "Numbers 3, 4, 6 and 7 stand nowhere", "are the rotating hours"):  # fmt: skip
        assert words in said, words
    assert [row["mark"] for row in answer.context["rows"]] == ["ASKS", "ASKS", "ASKS", ""]
    assert len(answer.context["problems"]) == 4
    assert before == (Journal.objects.count(), Component.objects.count(), StringSheet.objects.count())


def test_a_sheet_without_fault_says_so(rig, boss):
    said = send(boss, (FIXTURES / "without_a_fault.csv").read_bytes()).content.decode()
    assert "betrays no fault" in said


@pytest.mark.parametrize("data, words", [
    (b"hello, world", "There is no BHA sheet in it"), (b"%PDF-1.7", "is a PDF"),
    (b"", "empty"), (b"\x00\xff" * 40, "."),
])  # fmt: skip
def test_what_is_no_sheet_is_refused_in_a_sentence(rig, boss, data, words):
    answer = send(boss, data)
    assert answer.status_code == 422 and words in answer.content.decode()


def test_a_file_that_is_too_large_is_refused_before_it_is_read(rig, boss, monkeypatch):
    monkeypatch.setattr("rack.forms.bha.MOST_BYTES", 10)
    assert "larger than 20 MB" in send(boss, b"x" * 11).content.decode()


def test_markup_in_a_typed_sheet_stays_text(rig, boss):
    data = (FIXTURES / "extract_of_a_sheet.csv").read_bytes().replace(b"DC-5512", b"<script>1</script>")
    assert "<script>1" not in send(boss, data).content.decode()
