"""A BHA sheet: as the string stands, printed once for ever, and told apart from what the string is now."""

import io
import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from openpyxl import load_workbook
from pypdf import PdfReader

from rack.actions import running
from rack.actions.string_printing import print_bha
from rack.calc.bha import BhaContent
from rack.errors import NotAllowed, Refused
from rack.models import StringSheet
from tests import runs, stock
from tests.rack.test_audit import audited, differences

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def string(ola, layer):
    made = runs.string(ola, layer)
    running.join(
        stock.asks(ola), made, stock.pieces(layer, 3, first=7101, lengths=["31.20", "30.98", "31.05"])
    )
    return made


def test_a_printed_sheet_never_changes_and_says_when_the_string_has(client, ola, layer, string):
    sheet = print_bha(stock.asks(ola), string)
    before = sheet.content
    client.force_login(ola)
    assert "This is revision 1, the current one." in client.get(f"/B/{sheet.code}/").content.decode()
    running.join(stock.asks(ola), string, stock.pieces(layer, 1, first=7201, lengths=["31.31"]))
    said = client.get(f"/B/{sheet.code}/").content.decode()
    assert "was changed since" in said
    print_bha(stock.asks(ola), string)
    assert "Superseded by revision 2" in client.get(f"/B/{sheet.code}/").content.decode()
    sheet.refresh_from_db()
    assert sheet.content == before
    assert "No difference" in audited()


def test_paper_table_and_page_tell_the_same(client, ola, string):
    sheet = print_bha(stock.asks(ola), string)
    content = BhaContent.from_text(sheet.content)
    client.force_login(ola)
    answers = {form: client.get(f"/B/{sheet.code}.{form}").content for form in ("pdf", "csv", "xlsx", "svg")}
    words = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(answers["pdf"])).pages)
    assert "KD7102" in words
    assert sheet.code in words
    assert "KD7102" in answers["csv"].decode("utf-8-sig")
    cells = [
        cell.value for row in load_workbook(io.BytesIO(answers["xlsx"])).active.iter_rows() for cell in row
    ]
    assert "KD7102" in cells
    assert answers["svg"].startswith(b"<svg") or b"<svg" in answers["svg"][:200]
    assert content.count >= 3


def test_the_sheet_and_the_loads_say_one_weight_and_the_sheet_opens_it(client, ola, string):
    client.force_login(ola)
    sheet = client.get(f"/strings/{string.number}/bha/")
    said = sheet.content.decode()
    air = dict(sheet.context["figures"])["Weight in air, lb"]
    assert "How the weight in air was worked out" in said and f"sum = {air} lb" in said
    loads = {one.name: one.text for one in client.get(f"/strings/{string.number}/loads/").context["whole"]}
    assert loads["Weight in air"] == f"{air} lb"


def test_the_same_request_twice_prints_once(ola, string):
    key = uuid.uuid4()
    assert print_bha(stock.asks(ola, key), string).pk == print_bha(stock.asks(ola, key), string).pk
    assert StringSheet.objects.count() == 1


def test_nothing_and_nobody_prints_nothing(ola, ada, layer, string):
    with pytest.raises(NotAllowed):
        print_bha(stock.asks(ada), string)
    from rack.actions.strings import StringHead, begin_string

    empty = begin_string(stock.asks(ola), string.site, StringHead(string.well, title="empty"))
    with pytest.raises(Refused, match="nothing to print"):
        print_bha(stock.asks(ola), empty)


def test_the_audit_opens_printed_sheets(ola, string, monkeypatch):
    sheet = print_bha(stock.asks(ola), string)
    monkeypatch.setattr("rack.auditing.strings.check", lambda content: (stock_problem(),))
    assert any(sheet.code in line for line in differences())


def stock_problem():
    from rack.calc.checks import stops

    return stops("a sum that does not add up")


@pytest.mark.parametrize("data, status", [(b"", 422), (b"just a letter", 422), (b"\x00\x01\x02", 422)])
def test_what_is_no_sheet_is_refused_in_a_sentence(client, ada, data, status):
    client.force_login(ada)
    answer = client.post("/bha-sheet/", {"file": SimpleUploadedFile("a.csv", data)})
    assert answer.status_code == status
