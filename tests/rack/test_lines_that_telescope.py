"""Open or closed said on a tally line: "31.24 closed". The piece keeps both lengths from closing on."""

import pytest
from django.test import Client

from rack.actions import closing, straps
from rack.actions.lengths import Taking, Taped, strap_piece
from rack.calc.telescopes import said_stands
from rack.errors import Refused
from rack.models import Component
from rack.models.lengths import how_lines_stood, standing_lengths
from tests import stock
from tests.stock import feet

pytestmark = pytest.mark.django_db
TOOL = "overall, tool"


@pytest.mark.parametrize("typed, text, stands", [
    ("31.24 closed", "31.24", "closed"), ("3124 o", "3124", "open"), ("31.24 (Open)", "31.24", "open"),
    ("31 ft 3 in c", "31 ft 3 in", "closed"), ("31' 3 1/2\" open", "31' 3 1/2\"", "open"),
    ("31.24", "31.24", ""), ("9.62 m", "9.62 m", ""), ("31 ft", "31 ft", ""), ("open", "open", ""),
    ("31.24 closer", "31.24 closer", ""), ("952 cm", "952 cm", ""), ("", "", ""),
])
def test_the_word_beside_a_length_is_told_from_its_unit(typed, text, stands) -> None:
    assert said_stands(typed) == (text, stands)


@pytest.fixture
def ada():
    return stock.person("ada", "supervisor", stock.site())


@pytest.fixture
def jar(ada) -> Component:
    return stock.pieces(stock.rack(ada.posts.get().site, "R5"), 1, facts=stock.JAR, first=8001)[0]


@pytest.fixture
def on_tally(ada, jar):
    """The line of the jar on a tally that is opened now: what it was taped before stands already."""
    return lambda: stock.tally(ada, jar.site, [jar], kind=TOOL, title="BHA").lines.get()


def read(by, line, typed: str):
    return straps.read(stock.asks(by), straps.Reading(line.tally, typed, 1, line))


def shut(by, line) -> None:
    straps.finish_strap(stock.asks(by), line.tally, 1)
    line.tally.refresh_from_db()
    closing.close(stock.asks(by), line.tally, reason="a test")


def test_a_line_says_which_length_of_the_jar_it_is_and_the_piece_keeps_both(ada, jar, on_tally) -> None:
    strap_piece(stock.asks(ada), jar, [Taped("32.15", TOOL, "open")], Taking(holds="open"))
    line = on_tally()
    strap = read(ada, line, "30.90 closed")
    assert (strap.nm, strap.stands, strap.typed) == (feet("30.90"), "closed", "30.90 closed")
    line.refresh_from_db()
    assert how_lines_stood([line], TOOL) == {line.pk: "closed"}
    shut(ada, line)
    known = standing_lengths([jar.pk])[jar.pk]
    assert {name: row.nm for name, row in known.items()} == {"open": feet("32.15"), "closed": feet("30.90")}
    jar.refresh_from_db()
    assert (jar.length_nm, jar.length_by.stands) == (feet("30.90"), "closed")


def test_what_is_said_goes_before_what_the_length_looks_like(ada, jar, on_tally) -> None:
    both = [Taped("32.15", TOOL, "open"), Taped("32.10", TOOL, "closed")]
    strap_piece(stock.asks(ada), jar, both, Taking(holds="open"))
    line = on_tally()
    read(ada, line, "32.14")
    line.refresh_from_db()
    assert how_lines_stood([line], TOOL) == {line.pk: ""}  # it may be either
    read(ada, line, "32.14 open")
    line.refresh_from_db()
    assert how_lines_stood([line], TOOL) == {line.pk: "open"}


def test_open_that_is_not_longer_than_closed_asks(ada, jar, on_tally) -> None:
    strap_piece(stock.asks(ada), jar, [Taped("30.90", TOOL, "closed")], Taking(holds="closed"))
    line = on_tally()
    assert "stands" in read(ada, line, "30.10 open").questions
    assert "stands" not in read(ada, line, "32.15 open").questions


def test_a_reading_taken_back_no_longer_says_how_the_jar_stood(ada, jar, on_tally) -> None:
    line = on_tally()
    back = straps.take_back(stock.asks(ada), read(ada, line, "30.90 closed"))
    assert back.stands == "closed" and back.reverses_id
    read(ada, line, "30.90")
    line.refresh_from_db()
    assert how_lines_stood([line], TOOL) == {line.pk: ""}


def test_drill_pipe_has_one_length_and_says_so(ada) -> None:
    site = ada.posts.get().site
    line = stock.tally(ada, site, stock.pieces(stock.rack(site, "R6"), 1)).lines.get()
    with pytest.raises(Refused, match="drill pipe has one length, neither open nor closed"):
        read(ada, line, "31.24 open")
    with pytest.raises(Refused, match="length"):
        read(ada, line, "31.24 closer")


def test_the_strap_page_asks_which_length_of_a_jar_is_read(ada, on_tally) -> None:
    line = on_tally()
    client = Client()
    client.force_login(ada)
    at = f"/tallies/{line.tally.number}/strap/1/"
    assert "8001, open or closed?" in client.get(at).content.decode()
