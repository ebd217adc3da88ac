"""Every kind has a drawing, the same for page and paper, inside its box and without script or style."""

import re
from xml.etree import ElementTree

import pytest
from django.test import Client
from reportlab.graphics import renderPDF

from rack.calc.kinds import KINDS
from rack.paper.drawings import drawing, svg
from rack.paper.parts import HEIGHT, WIDTH
from rack.paper.shapes import shapes_of
from tests import stock


@pytest.mark.parametrize("code", KINDS)
def test_each_kind_is_drawn_inside_its_box(code):
    shapes = shapes_of(code)
    assert len(shapes) >= 3
    points = [point for shape in shapes for point in shape.points]
    assert all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in points)


def test_no_two_kinds_look_alike():
    assert len({shapes_of(code) for code in KINDS}) == len(KINDS)


@pytest.mark.parametrize("code", KINDS)
def test_page_and_paper_show_the_same_shapes(code):
    root = ElementTree.fromstring(svg(code))
    drawn = [one for one in root if not one.tag.endswith("title")]
    paper = drawing(code, width=2 * WIDTH)
    assert len(drawn) == len(paper.contents) == len(shapes_of(code))
    first = [float(part) for part in re.split("[ ,]", drawn[0].attrib["points"])]
    assert list(paper.contents[0].points)[::2] == pytest.approx([2 * x for x in first[::2]])
    assert renderPDF.drawToString(paper).startswith(b"%PDF")


@pytest.mark.parametrize("code", KINDS)
def test_a_drawing_carries_neither_script_nor_style(code):
    assert not re.search(r"<script|<style|style=|\son\w+=|href", svg(code))
    assert KINDS[code].name in svg(code)


def test_a_drawing_of_no_kind_is_refused():
    with pytest.raises(ValueError, match="banana"):
        svg("banana")


@pytest.mark.django_db
def test_a_drawing_has_an_address_of_its_own_and_is_kept_by_the_browser():
    client = Client()
    client.force_login(stock.person("ada", "viewer", stock.site()))
    answer = client.get("/drawings/jar.svg")
    assert answer.headers["Content-Type"] == "image/svg+xml"
    assert "max-age" in answer.headers["Cache-Control"]
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert b"<svg" in answer.content
    assert client.get("/drawings/banana.svg").status_code == 404
