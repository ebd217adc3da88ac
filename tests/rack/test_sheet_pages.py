"""The address on a printed sheet: whether it is current, the same figures everywhere, blind, by site."""

import csv
import io
import re
import uuid

import pytest
from django.test import Client
from django.urls import reverse
from openpyxl import load_workbook
from pypdf import PdfReader

from rack.actions import closing, lines, straps
from rack.calc.lengths import Length
from rack.calc.sheets import SheetContent
from rack.models import Sheet, Tally
from tests import stock
from tests.rack.tally_desk import ROLES, do, read, signed_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def people(here):
    return stock.person("ada", "crew", here), stock.person("ines", "office", here)


@pytest.fixture
def sheet(here, people):
    """Casing, threads on, so that something comes off; twelve joints, closed as revision 1."""
    ada, ines = people
    pieces = stock.pieces(stock.rack(here, "C1"), 12, facts=stock.CASING, first=900)
    tally = stock.tally(ada, here, pieces, kind="threads on", title="surface casing")
    read(ada, tally, [f"40.{n:02d}" for n in range(10, 94, 7)])
    return closing.close(stock.asks(ines), tally)


def revised(people, sheet):
    """The same tally with joint 3 withdrawn, closed as revision 2."""
    ada, ines = people
    tally = Tally.objects.get(pk=sheet.tally_id)
    closing.revise(stock.asks(ines), tally, "joint 3 was bent")
    tally.refresh_from_db()
    lines.withdraw_line(stock.asks(ada), tally.lines.get(painted="3"), "bent")
    return closing.close(stock.asks(ines), Tally.objects.get(pk=sheet.tally_id))


def page_of(sheet, ending="/"):
    return f"/S/{sheet.code}{ending}"


def paper(response):
    assert response["Content-Type"] == "application/pdf"
    pages = PdfReader(io.BytesIO(response.content)).pages
    return pages, " ".join(page.extract_text() for page in pages)


# Who, and by which address


@pytest.mark.parametrize("role", ROLES)
def test_every_role_at_the_site_reads_the_sheet(here, sheet, role):
    client = signed_in(role, role, here)
    for ending in ("/", "", ".pdf", ".csv"):
        assert client.get(page_of(sheet, ending)).status_code == 200


def test_nobody_signed_in_is_led_to_the_sign_in_page(sheet):
    for ending in ("/", "", ".pdf", ".csv"):
        assert Client().get(page_of(sheet, ending)).url.startswith("/sign-in/")


def test_a_sheet_of_another_site_does_not_exist(sheet):
    stranger = signed_in("eve", "office", stock.site("OTH"))
    for ending in ("/", "", ".pdf", ".csv"):
        response = stranger.get(page_of(sheet, ending))
        assert response.status_code == 404 and "surface casing" not in text_of(response)


def test_the_code_ignores_case_and_says_when_its_check_is_wrong(here, sheet):
    client = signed_in(at=here)
    for address in (
        f"/S/{sheet.code.lower()}/",
        f"/s/{sheet.code.lower()}",
        f"/S/{sheet.code[:3]}-{sheet.code[3:]}",
    ):
        assert "surface casing" in text_of(client.get(address))
    wrong = sheet.code[:-2] + ("A" if sheet.code[-2] != "A" else "B") + sheet.code[-1]
    response = client.get(f"/S/{wrong}/")
    assert response.status_code == 404 and "check sign does not fit" in text_of(response)
    for ending in (".pdf", ".csv"):
        assert client.get(f"/S/{wrong}{ending}").status_code == 404


@pytest.mark.parametrize("code", ["x", "0000000", "%00%00", "A" * 300, "<b>bold"])
def test_a_code_that_is_none_is_said(here, sheet, code):
    response = signed_in(at=here).get(f"/S/{code}/")
    assert response.status_code == 404 and "<b>bold" not in text_of(response)


# Whether it is current


def test_the_first_sentence_says_that_the_sheet_is_current(here, sheet):
    assert "This is revision 1, the current one." in text_of(signed_in(at=here).get(page_of(sheet)))


def test_an_old_sheet_says_what_superseded_it_and_when_and_the_new_one_that_it_is_current(
    here, people, sheet
):
    new = revised(people, sheet)
    client = signed_in(at=here)
    text = text_of(client.get(page_of(sheet)))
    day = new.at.astimezone(here.zone).date().isoformat()
    assert f"Superseded by revision 2 on {day}" in text and reverse("sheet", args=[new.code]) in text
    assert "the current one" not in text
    assert "This is revision 2, the current one." in text_of(client.get(page_of(new)))


def test_a_tally_that_is_open_again_is_said_on_its_current_sheet(here, people, sheet):
    closing.revise(stock.asks(people[1]), sheet.tally, "joint 3 was bent")
    text = text_of(signed_in(at=here).get(page_of(sheet)))
    assert "the current one" in text and "open again for revision 2" in text


def test_both_revisions_keep_their_own_joints(here, people, sheet):
    new = revised(people, sheet)
    client = signed_in(at=here)
    old_text, new_text = text_of(client.get(page_of(sheet))), text_of(client.get(page_of(new)))
    third = SheetContent.from_text(sheet.content).lines[2]
    assert Length(third.nm).shown("ft", 2) in old_text
    assert Length(third.nm).shown("ft", 2) not in new_text and "bent" in new_text


# The same figures everywhere


def test_page_paper_and_csv_carry_the_totals_of_the_database(here, people, sheet):
    exact = list(sheet.tally.lines.standing().in_order().values_list("first_nm", flat=True))
    losses = closing.losses_of(sheet.tally, list(sheet.tally.lines.select_related("component__spec")))
    made_up = Length(sum(exact) - sum(loss.loss_nm * loss.pins for loss in losses)).shown("ft", 2)
    client = signed_in(at=here)
    page = text_of(client.get(page_of(sheet)))
    _, printed = paper(client.get(page_of(sheet, ".pdf")))
    for nm in (sum(exact), min(exact), max(exact), sum(exact[:10])):
        shown = Length(nm).shown("ft", 2)
        assert shown in page and shown in printed
    assert made_up in page and made_up in printed
    rows = list(csv.reader(io.StringIO(client.get(page_of(sheet, ".csv")).content.decode("utf-8-sig"))))
    flat = [cell for row in rows for cell in row]
    assert str(sum(exact)) in flat
    assert all(str(nm) in flat for nm in exact)


def test_the_workbook_is_drawn_from_the_sheets_text_alone_and_names_its_page(here, people, sheet, settings):
    settings.ADDRESS = "https://sandholm.example"
    client = signed_in(at=here)
    answer = client.get(page_of(sheet, ".xlsx"))
    assert "SH3-tally-1-revision-1.xlsx" in answer["Content-Disposition"]
    rows = joints_of(answer)
    assert ("Live page", f"https://sandholm.example/S/{sheet.code}") in [row[:2] for row in rows]
    total = next(row for row in rows if row[0] == "Total")
    assert (total[1], total[13]) == (12, sum_of(sheet))
    revised(people, sheet)
    assert joints_of(client.get(page_of(sheet, ".xlsx"))) == rows


def joints_of(answer):
    return list(load_workbook(io.BytesIO(answer.content))["Joints"].iter_rows(values_only=True))


def test_nothing_that_happens_later_changes_a_sheet(here, people, sheet):
    client = signed_in(at=here)
    before = [text_of(client.get(page_of(sheet))), paper(client.get(page_of(sheet, ".pdf")))[1]]
    sheet.tally.lines.update(first_nm=1, painted="moved")
    Tally.objects.filter(pk=sheet.tally_id).update(title="another title")
    after = [text_of(client.get(page_of(sheet))), paper(client.get(page_of(sheet, ".pdf")))[1]]
    for old, new in zip(before, after, strict=True):
        assert plain(old) == plain(new)


def plain(text):
    """A page without what is drawn anew for each request."""
    return re.sub(r'(name="(key|csrfmiddlewaretoken)" value=|x-csrftoken": )"[^"]*"', "", text)


def test_the_paper_bears_its_revision_and_the_address_of_this_page(here, sheet, settings):
    _, printed = paper(signed_in(at=here).get(page_of(sheet, ".pdf")))
    assert f"{settings.ADDRESS}/S/{sheet.code}" in printed and "revision 1" in printed.lower()


@pytest.mark.parametrize(
    ("units", "asked", "wide"),
    [
        ("us", "", 612),
        ("metric", "", 595),
        ("mixed", "", 595),
        ("us", "A4", 595),
        ("metric", "letter", 612),
        ("metric", "A0", 595),
    ],
)
def test_the_paper_is_letter_in_the_us_and_a4_elsewhere_unless_another_is_asked_for(units, asked, wide):
    here = stock.site("MIX", units=units)
    ines = stock.person("ines", "office", here)
    tally = stock.tally(ines, here, stock.pieces(stock.rack(here), 1))
    read(ines, tally, ["9.52" if units != "us" else "31.24"])
    sheet = closing.close(stock.asks(ines), tally)
    pages, _ = paper(signed_in(at=here).get(page_of(sheet, ".pdf"), {"size": asked}))
    assert int(pages[0].mediabox.width) == wide


def test_a_long_sheet_shows_every_joint_once_over_its_parts(here, people):
    ada, ines = people
    tally = stock.tally(ada, here, stock.pieces(stock.rack(here), 520))
    read(ada, tally, ["31.24"] * 520)
    sheet = closing.close(stock.asks(ines), tally)
    client, names, address = signed_in(at=here), [], page_of(sheet)
    while address:
        context = client.get(address).context
        names += [
            cell.row.name for page in context["shown"] for column in page.columns for cell in column.cells
        ]
        address = page_of(sheet) + context["next"] if context["next"] else ""
    assert names == [str(n) for n in range(1, 521)]


def test_the_page_asks_few_questions_of_the_database(here, sheet, django_assert_max_num_queries):
    client = signed_in(at=here)
    with django_assert_max_num_queries(9):
        client.get(page_of(sheet))


# Two straps, and blind again


def test_straps_differences_and_the_reason_stand_on_the_sheet(here, people):
    ada, ines = people
    tally = stock.tally(ada, here, stock.pieces(stock.rack(here), 3), straps_wanted=2)
    read(ada, tally, ["31.24", "31.02", "31.55"])
    straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "")
    read(ada, tally, ["31.24", "32.02", "30.55"], 2)
    straps.finish_strap(stock.asks(ada), tally, 2)
    client = signed_in("olga", "office", here)
    form = {"key": str(uuid.uuid4()), "reason": "rack had to be cleared"}
    text = text_of(client.get(client.post(reverse("tally_close", args=[1]), form).url))
    for words in (
        "rack had to be cleared",
        "tape T-11",
        "+1.00",
        "-1.00",
        "errors that cancel",
        "2 taken, 2 wanted",
    ):
        assert words in text


def test_a_joint_inside_the_gate_is_not_marked_once_the_tally_is_closed(here, people):
    """0.02 ft apart is what two good straps are; the open page says nothing of it, nor may the closed one."""
    ada, ines = people
    tally = stock.tally(ada, here, stock.pieces(stock.rack(here), 3), straps_wanted=2)
    read(ada, tally, ["31.24", "31.02", "31.55"])
    straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "")
    read(ada, tally, ["31.26", "31.12", "31.55"], 2)
    straps.finish_strap(stock.asks(ada), tally, 2)
    made = closing.close(stock.asks(ines), tally, reason="rack had to be cleared")
    assert SheetContent.from_text(made.content).gate_nm == stock.feet("0.02")
    client = signed_in("olga", "office", here)
    sheet = text_of(client.get(f"/S/{made.code}"))
    assert "+0.10" in sheet and "+0.02" not in sheet
    assert "1 more joint read differently" in sheet
    for page in (sheet, text_of(client.get("/tallies/1/"))):
        assert page.count('<tr class="differs">') == 1


@pytest.mark.parametrize("role", ROLES)
def test_an_earlier_sheet_is_shut_away_while_a_second_strap_is_open_again(here, people, sheet, role):
    client = signed_in(role, role, here)
    closing.revise(stock.asks(people[1]), sheet.tally, "to be strapped by other hands")
    straps.begin_strap(stock.asks(people[0]), Tally.objects.get(pk=sheet.tally_id), 2, "T-11", "Ben", "")
    shown = [Length(nm).shown("ft", 2) for nm in sheet.tally.lines.values_list("first_nm", flat=True)]
    page = client.get(page_of(sheet))
    assert page.status_code == 200 and "the current one" in text_of(page)
    answers = [page, client.get(page_of(sheet, ".pdf")), client.get(page_of(sheet, ".csv"))]
    assert client.get(page_of(sheet, ".xlsx")).status_code == 409
    answers += [client.get(reverse("tally", args=[1])), client.get(reverse("pencil_pdf", args=[1]))]
    for answer in answers[:4]:
        assert [length for length in shown if length in text_of(answer)] == []
    assert [answer.status_code for answer in answers[1:3]] == [409, 409]
    _, printed = paper(answers[4])
    assert [length for length in shown if length in printed] == []


def test_a_sheet_comes_back_when_the_second_strap_is_finished(here, people, sheet):
    closing.revise(stock.asks(people[1]), sheet.tally, "to be strapped by other hands")
    tally = Tally.objects.get(pk=sheet.tally_id)
    straps.begin_strap(stock.asks(people[0]), tally, 2, "T-11", "Ben", "")
    read(people[0], tally, ["40.10"], 2)
    client = signed_in(at=here)
    do(client, tally, "finish", strap="2")
    assert client.get(page_of(sheet, ".pdf")).status_code == 200
    assert Sheet.objects.count() == 1


def test_a_revised_tally_strapped_blind_again_shuts_the_length_of_its_pieces_too(here, people, sheet):
    closing.revise(stock.asks(people[1]), sheet.tally, "to be strapped by other hands")
    client = signed_in(at=here)
    piece = sheet.tally.lines.standing().first().component
    shown = Length(piece.length_nm).shown("ft", 2)
    pages = [reverse("rack_list"), reverse("rack_totals"), reverse("piece", args=[piece.tag])]
    assert all(shown in text_of(client.get(page)) for page in (pages[0], pages[2]))
    straps.begin_strap(stock.asks(people[0]), sheet.tally, 2, "T-11", "Ben", "")
    for page in pages:
        text = text_of(client.get(page))
        assert shown not in text and Length(sum_of(sheet)).shown("ft", 2) not in text


def sum_of(sheet):
    return SheetContent.from_text(sheet.content).sum_nm
