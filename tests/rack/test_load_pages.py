"""The pages of a load by role, blind, with bad input; its paper and its files, read back."""

import csv
import io
import uuid

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from rack.actions import closing, loads, straps
from rack.actions.loads import LoadHead, Put
from rack.calc.loadlist import LoadContent
from rack.models import Component, Loaded, LoadOut, LoadSheet, Place
from tests import stock
from tests.calc.test_loadlist import content, line
from tests.rack.tally_desk import ROLES, read, signed_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return stock.site()


@pytest.fixture
def ines(here):
    return stock.person("ines", "office", here)


@pytest.fixture
def layer(here):
    return stock.rack(here)


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 4, lengths=["31.24", "30.97", "31.55", "31.02"])


@pytest.fixture
def ola(here):
    return signed_in(at=here)


@pytest.fixture
def going(ines, here, joints):
    return stock.load(ines, here, joints[:3], sent=True)


def do(client, load, what, **typed):
    return client.post(f"/loads/{load.number}/do/{what}/", {"key": str(uuid.uuid4()), **typed})


def code_of(load):
    return LoadSheet.objects.standing().get(loadout=load).code


def test_a_load_is_opened_filled_lift_by_lift_and_sent(ola, joints, layer):
    opened = ola.post("/loads/new/", {"key": str(uuid.uuid4()), "why": "return", "to": "Gantry, quay 4"})
    load = LoadOut.objects.get()
    assert opened.url == f"/loads/{load.number}/"
    do(ola, load, "put", way="names", names="KD4101", lift="A", protectors="both")
    do(ola, load, "put", way="numbers", layer=layer.pk, first="2", last="3", lift="B", protectors="pin")
    text = text_of(ola.get(opened.url))
    assert "Lift A" in text and "Lift B" in text and "93.76 ft" in text and "1,828" in text
    assert do(ola, load, "send").status_code == 302
    assert "On its way" in text_of(ola.get(opened.url))


@pytest.mark.parametrize("typed, words", [
    ({"way": "names", "names": "KD9", "lift": "A"}, "No piece there is called KD9."),
    ({"way": "names", "names": "KD4101"}, "This field is required"),
    ({"way": "names", "names": "KD4101", "lift": "A", "protectors": "gold"}, "gold is not one"),
    ({"way": "sideways", "lift": "A"}, "sideways is not one"),
    ({"way": "names", "names": "KD4101", "lift": "x" * 31}, "at most 30"),
    ({"way": "names", "names": "KD4101\x00", "lift": "A"}, "Null characters"),
])  # fmt: skip
def test_what_cannot_be_put_on_is_said_and_what_was_typed_stays(ola, ines, here, joints, typed, words):
    load = stock.load(ines, here, [])
    answer = do(ola, load, "put", **typed)
    assert answer.status_code == 422 and words in text_of(answer)
    assert not Loaded.objects.exists()


@pytest.mark.parametrize("what, typed", [
    ("off", {}), ("off", {"row": ["x", "-1", "9" * 30]}), ("back", {"reason": ""}), ("back", {"reason": "x"}),
    ("send", {}), ("arrive", {"everything": "on"}),
])  # fmt: skip
def test_what_does_not_fit_an_empty_load_is_refused_in_a_sentence(ola, ines, here, what, typed):
    answer = do(ola, stock.load(ines, here, []), what, **typed)
    assert answer.status_code == 422
    assert LoadOut.objects.get().state == "open"


def test_something_else_cannot_be_done_to_a_load(ola, ines, here):
    assert do(ola, stock.load(ines, here, []), "burn").status_code == 404


@pytest.mark.parametrize("role", ROLES)
def test_each_role_sees_what_it_may_do(here, ines, joints, role):
    load = stock.load(ines, here, joints[:1])
    client = signed_in("eve", role, here)
    text = text_of(client.get(f"/loads/{load.number}/"))
    assert ("Put pieces on" in text) == (role != "viewer")
    assert ("Send the load" in text) == (role in ("supervisor", "office"))
    refused = do(client, load, "send").status_code
    assert refused == (302 if role in ("supervisor", "office") else 403)


def test_the_page_shows_before_sending_what_would_stop_it(ola, ines, here, joints):
    from rack.actions import pieces

    load = stock.load(ines, here, joints[:2])
    pieces.change_state(stock.asks(ines), joints[0], "scrapped")
    pieces.put_hold(stock.asks(ines), joints[1], "slip cut")
    stock.tally(ines, here, joints[1:2])
    text = text_of(ola.get(f"/loads/{load.number}/"))
    assert "KD4101 is scrapped" in text and "KD4102 is held: slip cut." in text
    assert "1 of them is on Tally 1, which is open." in text


def test_the_live_page_says_whether_the_paper_is_current_and_what_arrived(ola, ines, here, going):
    code = code_of(going)
    assert "nothing has arrived yet" in text_of(ola.get(f"/L/{code}/"))
    do(ola, going, "back", reason="the boat is full")
    old = text_of(ola.get(f"/L/{code.lower()}"))
    assert "does not hold" in old and "the boat is full" in old
    do(ola, going, "send")
    assert "revision 2" in text_of(ola.get(f"/L/{code}/"))
    do(ola, going, "arrive", names="KD4101")
    assert "2 of 3 pieces have not arrived" in text_of(ola.get(f"/L/{code_of(going)}/"))
    do(ola, going, "arrive", everything="on")
    assert "everything on it has arrived" in text_of(ola.get(f"/L/{code_of(going)}/"))


@pytest.mark.parametrize("code", ["ABC", "ABCDEF0", "%00", "......."])
@pytest.mark.parametrize("ending", ["/", ".pdf", ".csv", ".xlsx"])
def test_a_code_that_leads_nowhere_is_not_found(ola, going, code, ending):
    assert ola.get(f"/L/{code}{ending}").status_code == 404


def test_a_load_coming_here_is_offered_and_received_with_what_is_short_and_over(ines, here, going, layer):
    there = stock.site("KV1")
    quay = stock.rack(there, "K1")
    sue = stock.person("sue", "office", there)
    home = stock.load(sue, there, stock.pieces(quay, 3, first=700), head=LoadHead("site", to_site=here),
                      sent=True)  # fmt: skip
    client = signed_in(at=here)
    at = f"/loads/coming/{home.pk}/"
    assert at in text_of(client.get("/receive/")) and at in text_of(client.get("/loads/"))
    answer = client.post(at, {"key": str(uuid.uuid4()), "names": "KD700, KD999", "place": layer.pk})
    assert answer.status_code == 302
    text = text_of(client.get(at))
    assert "Short then: KD701, KD702." in text and "Over, not on the list: KD999." in text
    assert "2 of 3 not received yet" in text
    tags = list(Component.objects.filter(state="in_transit", site=there).values_list("tag", flat=True))
    client.post(at, {"key": str(uuid.uuid4()), "came": tags, "place": layer.pk})
    assert Component.objects.filter(serial__startswith="KD70", site=here, state="received").count() == 3
    assert "KD999" in text_of(stock_client(sue).get(f"/loads/{home.number}/"))


def stock_client(user):
    from django.test import Client

    client = Client()
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    return client


@pytest.mark.parametrize("typed", [
    {}, {"everything": "on"}, {"everything": "on", "place": "x"}, {"names": "KD700,KD700"},
    {"came": ["\x00", "x" * 500]},
])  # fmt: skip
def test_an_arrival_that_says_too_little_keeps_what_was_typed(here, layer, typed):
    there = stock.site("KV1")
    sue = stock.person("sue", "office", there)
    home = stock.load(sue, there, stock.pieces(stock.rack(there, "K1"), 1, first=700),
                      head=LoadHead("site", to_site=here), sent=True)  # fmt: skip
    place = {} if "everything" in typed else {"place": layer.pk}
    body = {"key": str(uuid.uuid4()), **place, **typed}
    answer = signed_in(at=here).post(f"/loads/coming/{home.pk}/", body)
    assert answer.status_code == 422
    assert Component.objects.get(serial="KD700").state == "in_transit"


def test_first_readings_of_a_blind_strap_are_on_no_page_or_file_of_a_load(ola, ines, here, joints):
    """A load is listed by the length that governs; readings of an open tally are no part of it."""
    tally = stock.tally(ines, here, joints, straps_wanted=2)
    read(ines, tally, ["33.33", "33.34", "33.35", "33.36"])
    straps.begin_strap(stock.asks(ines), tally, 2, "T-9", "Bo", "Cy")
    load = stock.load(ines, here, joints[:3], sent=True)
    code = code_of(load)
    seen = [ola.get(at).content for at in (f"/loads/{load.number}/", f"/L/{code}/", f"/L/{code}.csv",
                                           "/rack/R1/", "/balance/", "/balance/check/")]  # fmt: skip
    seen.append(PdfReader(io.BytesIO(ola.get(f"/L/{code}.pdf").content)).pages[0].extract_text().encode())
    assert not any(b"33.3" in one for one in seen)


def test_lengths_shut_by_a_second_strap_are_on_no_page_of_racks_and_loads(ola, ines, here, joints, layer):
    """A tally that was closed once gave its pieces their length; strapped blind again, it shuts it away."""
    tally = stock.tally(ines, here, joints[:2])
    read(ines, tally, ["31.33", "31.34"])
    closing.close(stock.asks(ines), tally, reason="only two are strapped")
    load = stock.load(ines, here, joints[:2], sent=True)
    code = code_of(load)
    assert "31.33" in text_of(ola.get(f"/L/{code}/"))
    loads.take_back(stock.asks(ines), load, "to be strapped by other hands")
    closing.revise(stock.asks(ines), tally, "to be strapped by other hands")
    straps.begin_strap(stock.asks(ines), tally, 2, "T-9", "Bo", "Cy")
    move = f"/rack/move/?way=layer&layer={layer.pk}&place={layer.pk + 1}"
    for at in ("/rack/R1/", f"/loads/{load.number}/", move):
        answer = ola.get(at)
        assert answer.status_code == 200 and "31.3" not in text_of(answer) and "62.67" not in text_of(answer)
    assert "31.3" not in PdfReader(io.BytesIO(ola.get("/rack/R1/end-on.pdf").content)).pages[0].extract_text()
    shut = load_workbook(io.BytesIO(ola.get("/rack/R1/end-on.xlsx").content))
    cells = {str(cell.value) for page in shut for row in page.iter_rows() for cell in row}
    assert "31.55" in cells and not [text for text in cells if text.startswith(("31.3", "62.67"))]
    for at in ("/", ".pdf", ".csv", ".xlsx"):
        assert ola.get(f"/L/{code}{at}").status_code == 409
    refused = do(ola, load, "send")
    assert refused.status_code == 422 and "KD4101 is being strapped a second time" in text_of(refused)


# Paper and files


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_the_paper_says_everything_that_the_list_says(ola, ines, here, joints, size):
    load = stock.load(ines, here, joints[:2])
    loads.put_in(stock.asks(ines), load, joints[2:3], Put("Bundle 2", "pin", "box galled"))
    loads.send(stock.asks(ines), load)
    code = code_of(load)
    reader = PdfReader(io.BytesIO(ola.get(f"/L/{code}.pdf?size={size}").content))
    text = "\n".join(page.extract_text() for page in reader.pages)
    for words in ("Load-out list and return note", "Load 1 to Gantry Lending", "Lift 1: 2 pieces",
                  "Bundle 2: 1 piece", "KD4101", "31.24", "93.76 ft", "1,828 lb", "pin only",
                  "box galled", f"/L/{code} says whether", "Received by",
                  "Nobody under or in line"):  # fmt: skip
        assert words in text, words


def test_a_load_that_is_no_return_has_no_return_note():
    from rack.paper import loadout

    data = loadout.pdf(content(line(1), why="inspection"), address="http://x/L/ABC1234")
    assert "Return note" not in PdfReader(io.BytesIO(data)).pages[0].extract_text()


def test_five_hundred_pieces_print_alike_twice_over_many_pages():
    from rack.paper import loadout

    made = content(*(line(n, lift=str(n // 60)) for n in range(1, 501)))
    data = loadout.pdf(made, address="http://x/L/ABC1234")
    pages = PdfReader(io.BytesIO(data)).pages
    assert len(pages) > 10 and f"page 1 of {len(pages)}" in pages[0].extract_text()
    assert loadout.pdf(made, address="http://x/L/ABC1234") == data


NASTY = "=cmd|'/c calc'!A1"


def test_nothing_in_a_file_is_a_formula():
    from rack.exchange import loadout_table

    made = content(line(1, serial=NASTY, owner_no="+1+1", damage="@SUM(A1)", lift="-2", protectors="pin"),
                   to=NASTY, remark="=1+1")  # fmt: skip
    rows = list(csv.reader(io.StringIO(loadout_table.write_csv(made).removeprefix("\ufeff"))))
    assert not [cell for row in rows for cell in row if cell[:1] in "=+-@" and cell]
    book = load_workbook(io.BytesIO(loadout_table.write_xlsx(made)))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert not [cell for cell in cells if cell.data_type == "f"]
    assert NASTY in [cell.value for cell in cells]


def test_letters_that_a_workbook_cannot_hold_do_not_break_it():
    from rack.exchange import loadout_table

    made = content(line(1, serial="KD\x07\ufffe1"))
    book = load_workbook(io.BytesIO(loadout_table.write_xlsx(made)))
    assert "KD  1" in [cell.value for row in book["List"].iter_rows() for cell in row]


def test_the_workbook_and_the_csv_carry_the_figures_of_the_list(ola, going):
    code = code_of(going)
    made = LoadContent.from_text(LoadSheet.objects.get(code=code).content)
    book = load_workbook(io.BytesIO(ola.get(f"/L/{code}.xlsx").content))
    assert book.sheetnames == ["List", "Lifts", "Return note"]
    rows = list(book["List"].iter_rows(values_only=True))
    total = next(row for row in rows if row[0] == "Total")
    assert (total[6], total[7], total[15]) == ("3 pieces", 93.76, made.sum_nm)
    text = ola.get(f"/L/{code}.csv").content.decode("utf-8-sig")
    lines = [row for row in csv.reader(io.StringIO(text)) if row and row[0].isdecimal()]
    assert [row[3] for row in lines] == ["KD4101", "KD4102", "KD4103"]
    assert sum(int(row[15]) for row in lines) == made.sum_nm


def test_another_site_opens_neither_the_load_nor_its_list(here, going):
    stock.rack(stock.site("KV1"), "K1")
    other = signed_in("sue", "office", Place.objects.get(path="K1").site)
    for at in (f"/loads/{going.number}/", f"/L/{code_of(going)}/", f"/L/{code_of(going)}.pdf"):
        assert other.get(at).status_code == 404
