"""The page of tags: which labels, moved how, what is refused, and whose class stands on a tag."""

import io
from urllib.parse import urlencode

import pytest
from pypdf import PdfReader

from rack.actions import receiving, reference
from rack.actions.files import keep_bytes
from rack.exchange.delivery import read_delivery
from rack.models import Component
from rack.models.listing import classes_of
from tests import stock
from tests.rack.paper.drawn import seen
from tests.rack.tally_desk import signed_in, text_of


@pytest.fixture
def ada_at_desk(here, layer):
    stock.pieces(layer, 3)
    return signed_in("ada", "crew", here)


def how(**more):
    return urlencode({"start": "1", "copies": "1", **more})


def size_of(answer):
    assert answer["Content-Type"] == "application/pdf", text_of(answer)
    pages = PdfReader(io.BytesIO(answer.content)).pages
    return round(float(pages[0].mediabox.width)), round(float(pages[0].mediabox.height)), len(pages)


@pytest.mark.parametrize(("grid", "size"), [
    ("", (612, 792, 1)), ("A4 3 x 7", (595, 842, 1)), ("A4 5 x 13", (595, 842, 1)),
    ("Letter 3 x 10", (612, 792, 1)),
    ("Roll 100 x 50", (283, 142, 3)),
])  # fmt: skip
def test_each_stock_is_printed_on_its_own_paper(ada_at_desk, grid, size):
    assert size_of(ada_at_desk.get(f"/tags.pdf?{how(grid=grid)}")) == size


def test_several_copies_from_a_later_label_are_all_read(ada_at_desk):
    answer = ada_at_desk.get(f"/tags.pdf?{how(grid='Letter 2 x 5', start='9', copies='2')}")
    codes = [sorted(page) for page in seen(answer.content)]
    tags = list(Component.objects.values_list("tag", flat=True))
    assert [len(page) for page in codes] == [2, 4]
    assert {code.rpartition("/")[2] for page in codes for code in page} == set(tags)


def test_a_site_in_the_us_is_offered_letter_first_and_any_other_a4(db):
    for code, units, name in (("A1", "us", "Letter 2 x 5"), ("B1", "metric", "A4 3 x 7")):
        at = stock.site(code, units=units)
        stock.pieces(stock.rack(at), 1, first=100 if units == "us" else 200)
        page = signed_in(f"crew-{units}", "crew", at).get("/tags/").content.decode()
        assert f'<option value="{name}" selected>' in page


@pytest.mark.parametrize(("typed", "said"), [
    ({"left": "20"}, "On the right a label would leave the paper by 5.5 mm"),
    ({"left": "1 in"}, "On the right a label would leave the paper by 10.9 mm"),
    ({"pitch_y": "38"}, "The pitch down is 38 mm and a label is 38.1 mm high"),
    ({"top": "high"}, "is no length"), ({"left": "-1"}, "cannot be negative"),
    ({"start": "22"}, "A4 3 x 7 has labels 1 to 21."),
    ({"grid": "A5"}, "A5 is not one of the available choices"),
    ({"grid": "Roll 50 x 25", "start": "2"}, "Roll 50 x 25 has labels 1 to 1."),
    ({"copies": "9"}, "less than or equal to 4"),
    ({"list_class": "other"}, "not one of the available choices"),
])  # fmt: skip
def test_what_cannot_be_printed_is_said_and_what_was_typed_is_kept(ada_at_desk, typed, said):
    answer = ada_at_desk.get(f"/tags.pdf?{how(**{'grid': 'A4 3 x 7', **typed})}")
    page = text_of(answer)
    assert answer.status_code == 422 and said in page
    for value in typed.values():
        if value not in ("A5", "other"):
            assert f'value="{value}"' in answer.content.decode()


@pytest.mark.parametrize(("typed", "field"), [
    ({"left": "20"}, "left"), ({"top": "40"}, "top"), ({"pitch_x": "80"}, "pitch_x"),
    ({"pitch_y": "38"}, "pitch_y"), ({"left": "5", "pitch_x": "80"}, "pitch_x"),
])  # fmt: skip
def test_a_refusal_stands_at_the_figure_that_was_typed(ada_at_desk, typed, field):
    answer = ada_at_desk.get(f"/tags.pdf?{how(grid='A4 3 x 7', **typed)}")
    assert list(answer.context["form"].errors) == [field]


def test_an_address_too_long_for_the_label_is_refused_in_a_sentence(ada_at_desk, settings):
    settings.ADDRESS = "https://tubulars.company.example"
    answer = ada_at_desk.get(f"/tags.pdf?{how(grid='A4 5 x 13')}")
    assert answer.status_code == 422
    assert "a module of this code would be 0.48 mm; under 0.5 mm a phone does not" in text_of(answer)


def test_margins_in_inches_move_the_labels_and_stay_in_the_form(ada_at_desk):
    query = how(grid="A4 3 x 7", left="0.3 in", top="15 mm", pitch_y="38.2")
    assert size_of(ada_at_desk.get(f"/tags.pdf?{query}")) == (595, 842, 1)
    page = ada_at_desk.get(f"/tags/?{query}").content.decode()
    for value in ("0.3 in", "15 mm", "38.2"):
        assert f'value="{value}"' in page


def test_the_test_page_shows_outlines_and_ruler_and_no_piece(ada_at_desk):
    answer = ada_at_desk.get(f"/tags.pdf?{how(grid='Letter 3 x 10', test='1')}")
    assert size_of(answer) == (612, 792, 1)
    text = PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    assert "rulers are 100 and 100 mm" in text and "KD4101" not in text and "30" in text


def test_which_pieces_are_chosen_is_kept_beside_how_they_are_printed(ada_at_desk):
    page = ada_at_desk.get("/tags/?kind=drill_pipe&start=1&grid=A4+3+x+8").content.decode()
    assert page.count('name="kind" value="drill_pipe"') == 1
    assert page.count('name="grid"') == 1


def test_labels_that_the_office_adds_are_offered(ada_at_desk):
    cells = {"grid": "Ours 2 x 2", "page": "A4", "page_w_mm": "210", "page_h_mm": "297", "cols": "2",
             "rows": "2", "label_w_mm": "90", "label_h_mm": "60", "left_margin_mm": "10",
             "top_margin_mm": "10", "pitch_x_mm": "95", "pitch_y_mm": "65"}
    office = stock.person("ines", "office", everywhere=True)
    reference.add_row(stock.asks(office), "label_grids", cells, "the box of labels")
    assert "Ours 2 x 2" in text_of(ada_at_desk.get("/tags/"))
    assert size_of(ada_at_desk.get(f"/tags.pdf?{how(grid='Ours 2 x 2')}")) == (595, 842, 1)


LIST = (
    b"Serial;Item;Class;Length (ft)\r\n"
    b"KD7001;5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe;Premium;31.20\r\n"
    b"KD7002;5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe;;31.22\r\n"
)


def test_the_class_of_the_list_stands_on_the_tag_and_can_be_left_off(here, layer, ola):
    keep_bytes(LIST)
    read = read_delivery(LIST, "gantry.csv", length_kind="pins off")
    receipt = receiving.Receipt(place=layer, file_name="gantry.csv", media="text/csv", confirmed=True)
    delivery = receiving.accept(stock.asks(ola), read, receipt)
    client = signed_in("cara", "crew", here)
    day = delivery.at.astimezone(here.zone).date().isoformat()
    assert set(classes_of(list(Component.objects.values_list("pk", flat=True))).values()) == {
        ("Premium", day, False), ("", day, False)}
    shown, left, without = (
        " ".join(PdfReader(io.BytesIO(client.get(f"/tags.pdf?piece={tag}&{how(list_class=choice)}").content))
                 .pages[0].extract_text().split())
        for serial, choice in (("KD7001", "shown"), ("KD7001", "left out"), ("KD7002", "shown"))
        for tag in [Component.objects.get(serial=serial).tag]
    )  # fmt: skip
    assert "Premium" in shown and "two white bands" in shown
    assert f"As given on the list of {day}, not an inspection" in shown
    assert "list" not in left and "list" not in without


def test_a_viewer_prints_no_tags(here, layer):
    stock.pieces(layer, 1)
    client = signed_in("vera", "viewer", here)
    assert [client.get(at).status_code for at in ("/tags/", f"/tags.pdf?{how(test='1')}")] == [403, 403]
