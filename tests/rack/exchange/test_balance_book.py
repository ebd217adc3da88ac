"""The balance as a workbook: its terms add up to what was received, and every piece stands under its term."""

import io
from collections import Counter
from datetime import timedelta

import pytest
from django.utils import timezone
from openpyxl import load_workbook

from rack.actions import pieces
from rack.actions.places import add_aside
from rack.calc.balance import UNPLACED, Balance
from rack.exchange import balance_book
from rack.exchange.balance_book import NOWHERE, BalanceBook, Held
from rack.models import Move
from rack.views import balance as page
from tests import stock
from tests.rack.exchange.test_sheet_book import FORMULAS, every_cell, table
from tests.rack.tally_desk import signed_in, text_of


@pytest.fixture
def ola(here):
    return signed_in(at=here)


@pytest.fixture
def ines(here):
    return stock.person("ines", "office", here)


def opened(data):
    return load_workbook(io.BytesIO(data))


def asked(client, query=""):
    answer = client.get(f"/balance.xlsx{query}")
    assert answer.status_code == 200, text_of(answer)
    return opened(answer.content)


def terms(book):
    return {row["Where"]: row["Pieces"] for row in table(book["Balance"], "Where")}


def listed(book):
    *rows, count = table(book["Pieces"], "Where")
    assert count["Serial"] == len(rows)
    return rows


def head(book):
    return {row[0]: row[1] for row in book["Balance"].iter_rows(values_only=True) if row[0]}


def small(held, **parts):
    return BalanceBook("Sandholm 3 (SH3)", "as it stood", "2026-11-02 14:20", "https://sandholm.example/", (),
                       Balance(2, parts), held)


def spread(ines, here, layer):
    """Seven pieces in six terms of the balance, one of them in none."""
    made = stock.pieces(layer, 7)
    for piece, state in zip(made, ("scrapped", "at_inspection", "in_repair", "returned"), strict=False):
        pieces.change_state(stock.asks(ines), piece, state)
    pieces.move_pieces(stock.asks(ines), [made[4]], add_aside(stock.asks(ines), here, "Failed the drift"))
    pieces.change_state(stock.asks(ines), made[5], "returned")
    pieces.change_state(stock.asks(ines), made[5], "received")
    return made


def test_the_terms_of_the_file_are_those_of_the_page_and_of_its_pieces(ola, ines, here, layer):
    made = spread(ines, here, layer)
    book = asked(ola)
    found = terms(book)
    on_page = {row["name"]: row["n"] for row in ola.get("/balance/").context["rows"]}
    assert {name: n for name, n in found.items() if name in on_page} | {NOWHERE: 1} == on_page
    assert (found["received"], found["Accounted for"], found["Received less accounted for"]) == (7, 6, 1)
    rows = listed(book)
    assert sorted(row["Tag"] for row in rows) == sorted(piece.tag for piece in made)
    counts = Counter(row["Where"] for row in rows)
    assert counts.pop(NOWHERE) == found["Received less accounted for"]
    assert counts == {name: n for name, n in found.items() if name in counts}
    assert sum(counts.values()) == found["Accounted for"]


def test_a_balance_that_closes_says_nothing_to_mind(ola, layer):
    stock.pieces(layer, 2)
    book = asked(ola)
    assert "Mind" not in head(book) and "Received less accounted for" not in terms(book)
    assert head(book)["Live page"].endswith("/balance/")


def test_a_narrowed_balance_says_by_what_and_holds_only_that(ola, layer):
    stock.pieces(layer, 3)
    stock.pieces(layer, 2, facts=stock.CASING, first=900)
    book = asked(ola, "?kind=casing")
    assert head(book)["Kind"] == "casing" and head(book)["Live page"].endswith("/balance/?kind=casing")
    assert terms(book)["received"] == len(listed(book)) == 2


def test_an_earlier_moment_is_that_of_the_page(ola, ines, here, layer, monkeypatch):
    made = stock.pieces(layer, 3)
    then = Move.objects.first().at
    monkeypatch.setattr(timezone, "now", lambda: then + timedelta(minutes=5))
    pieces.change_state(stock.asks(ines), made[0], "scrapped")
    on = timezone.localtime(then, here.zone)
    book = asked(ola, f"?on={on:%Y-%m-%dT%H:%M}")
    assert (terms(book)["on the rack"], terms(book)["scrapped"]) == (3, 0)
    assert {row["Where"] for row in listed(book)} == {"on the rack"}
    assert head(book)["Balance"] == f"as of {on:%Y-%m-%d %H:%M}"
    assert terms(asked(ola))["scrapped"] == 1


@pytest.mark.parametrize(("on", "said"), [
    ("someday", "Type the moment as 2026-11-02 14:20; no file was made."),
    ("2999-01-01T10:00", "That moment has not come yet; no file was made."),
])  # fmt: skip
def test_a_moment_that_is_none_makes_no_file_of_another(ola, layer, on, said):
    answer = ola.get(f"/balance.xlsx?on={on}")
    assert answer.status_code == 422 and said in text_of(answer)


def test_a_piece_that_went_on_to_another_site_stands_as_gone_on(ola, here, layer):
    from rack.actions.arriving import Came, arrive
    from rack.actions.loads import LoadHead

    there = stock.site("KV1")
    made = stock.pieces(layer, 3)
    max_ = stock.person("max", "office", everywhere=True)
    load = stock.load(max_, here, made[:2], head=LoadHead("site", to_site=there), sent=True)
    arrive(stock.asks(max_), load, Came(stock.rack(there, "K1"), everything=True))
    book = asked(ola)
    assert terms(book)["gone on to another site"] == 2
    assert Counter(row["Where"] for row in listed(book)) == {"gone on to another site": 2, "on the rack": 1}


def test_too_many_pieces_by_name_are_left_out_and_the_head_says_so(ola, layer, monkeypatch):
    stock.pieces(layer, 3)
    monkeypatch.setattr(page, "MOST_IN_A_FILE", 2)
    book = asked(ola)
    assert book.sheetnames == ["Balance"] and "too many for this file" in head(book)["Mind"]


@pytest.mark.parametrize("text", FORMULAS)
def test_text_stays_text_whatever_it_begins_with(text):
    book = opened(balance_book.write(small([Held("rack", text, "K7Q2M01", text)], rack=1)))
    cells = every_cell(book)
    assert [cell.value for cell in cells if cell.data_type == "f"] == []
    assert [cell.quotePrefix for cell in cells if cell.value == text] == [True, True]


def test_pieces_stand_in_the_order_of_the_sum_and_those_in_no_term_last():
    held = [Held(UNPLACED, "a", "1", ""), Held("scrapped", "b", "2", ""), Held("rack", "d", "3", ""),
            Held("rack", "c", "4", "")]  # fmt: skip
    rows = listed(opened(balance_book.write(small(held, rack=1, scrapped=1))))
    assert [row["Tag"] for row in rows] == ["3", "4", "2", "1"]
