"""The reference pages: every role reads them, what calc says stands on them, and bad input is answered."""

import uuid
from dataclasses import replace
from urllib.parse import urlencode

import pytest
from django.test import Client
from django.urls import reverse

from rack.actions import reference as actions
from rack.calc import tubes
from rack.calc.lookup import CONFIDENCE, SOURCES, TABLES, rows
from rack.models import Component, OfficeRow
from tests import stock
from tests.rack.handbook import PICKS, PIPE, figures, look, office, signed_in, text_of

pytestmark = pytest.mark.django_db

@pytest.fixture
def here():
    return stock.site()


@pytest.mark.parametrize("role", ["viewer", "crew", "supervisor", "office"])
def test_every_role_reads_every_page(here, role):
    client = signed_in("ada", role, here)
    for name in ("reference", *(f"reference_{page}" for page in PICKS)):
        assert client.get(reverse(name)).status_code == 200
    for page, typed in PICKS.items():
        assert look(client, page, **typed).status_code == 200


def test_nobody_reads_them_unsigned(here):
    stock.person("ada", "viewer", here)
    for name in ("reference", "reference_pipe"):
        assert Client().get(reverse(name)).url.startswith("/sign-in/")


def test_the_section_is_in_the_bar_and_current(here):
    response = signed_in(at=here).get(reverse("reference_pipe"))
    section = next(one for one in response.context["sections"] if one["word"] == "Reference")
    assert section["current"]


# Tables


def test_the_index_lists_every_table_with_document_edition_and_count(here):
    page = text_of(signed_in(at=here).get(reverse("reference")))
    for source in SOURCES.values():
        assert source.edition.split(";")[0] in page
        assert str(source.rows) in page


@pytest.mark.parametrize("table", TABLES)
def test_every_table_shows_every_row_with_source_and_confidence(here, table):
    response = signed_in(at=here).get(reverse("reference_table", args=[table]))
    shown = response.context["rows"]
    assert len(shown) == len(rows(table))
    assert {row.letter for row in shown} == {row["conf"] for row in rows(table)}
    words = text_of(response)
    for letter in {row["conf"] for row in rows(table)}:
        assert CONFIDENCE[letter] in words
    recalled = sum(row["conf"] in ("D", "M") for row in rows(table))
    assert words.count("verify against your standard") >= recalled


def test_a_table_that_is_none_is_not_found(here):
    client = office()
    for name in ("reference_table", "reference_add"):
        assert client.get(reverse(name, args=["prices"])).status_code == 404


def test_the_rules_of_the_string_are_shown_and_take_no_row(here):
    client = office()
    page = client.get(reverse("reference_table", args=["rules"]))
    assert "Add a row" not in page.content.decode()
    assert "Every thread makes up with the next." in text_of(page)
    assert client.get(reverse("reference_add", args=["rules"])).status_code == 404


def test_only_the_office_sees_the_way_to_add(here):
    address = reverse("reference_table", args=["grades"])
    assert "Add a row" not in signed_in(at=here).get(address).content.decode()
    assert "Add a row" in office().get(address).content.decode()


@pytest.mark.parametrize("role", ["viewer", "crew", "supervisor", "office"])
def test_adding_and_taking_back_is_refused_to_all_but_an_office_of_every_site(here, role):
    ines = stock.person("ines", "office", everywhere=True)
    row = actions.add_row(stock.asks(ines), "grades", {"grade": "Z1", "min_yield_psi": "150000"}, "sheet")
    client = signed_in("ada", role, here)
    assert client.get(reverse("reference_add", args=["grades"])).status_code == 403
    back = reverse("reference_take_back", args=[row.pk])
    assert client.post(back, {"key": str(uuid.uuid4())}).status_code == 403
    assert OfficeRow.objects.count() == 1


def add(client, table, **typed):
    address = reverse("reference_add", args=[table])
    key = client.get(address).content.decode().split('name="key" value="')[1].split('"')[0]
    return client.post(address, {"key": key, **typed}, follow=True)


def test_a_row_of_the_office_strikes_the_shipped_one_and_its_figure_governs(here):
    client = office()
    typed = {name: cell for name, cell in rows("drill_pipe")[15].items() if name not in ("source", "conf")}
    assert (typed["size"], typed["nominal_weight_lb_ft"]) == ("5", "19.50")
    shipped = figures(look(client, "pipe", **PIPE))["Tension"]
    response = add(client, "drill_pipe", **{**typed, "wall_in": "0.400", "source": "Maker's sheet DP-5"})
    assert [row.struck for row in response.context["rows"]].count(True) == 1
    assert "Maker&#x27;s sheet DP-5" in response.content.decode()
    right = tubes.strengths(5, 0.4, 135_000, "premium").tensile_lb
    assert figures(look(client, "pipe", **PIPE))["Tension"] == f"{right:,.0f} lb"
    row = OfficeRow.objects.get()
    key = response.content.decode().split('name="key" value="')[1].split('"')[0]
    response = client.post(reverse("reference_take_back", args=[row.pk]), {"key": key}, follow=True)
    assert not any(row.struck for row in response.context["rows"])
    assert figures(look(client, "pipe", **PIPE))["Tension"] == shipped


def test_a_shipped_row_is_there_to_be_changed_without_its_source(here):
    form = office().get(reverse("reference_add", args=["grades"]) + "?row=1").context["form"]
    assert form["min_yield_psi"].value() == rows("grades")[0]["min_yield_psi"]
    assert form["source"].value() == ""


@pytest.mark.parametrize("row", ["0", "-1", "999999", "9" * 40, "x"])
def test_a_row_that_is_none_begins_an_empty_form(here, row):
    response = office().get(reverse("reference_add", args=["grades"]) + f"?row={row}")
    assert not response.context["form"]["grade"].value()


def test_a_figure_that_is_none_stands_beside_its_field_and_what_was_typed_stays(here):
    response = add(office(), "grades", grade="Z1", min_yield_psi="strong", source="sheet")
    assert response.status_code == 422
    assert "no number" in response.context["form"].errors["min_yield_psi"][0]
    assert response.context["form"]["grade"].value() == "Z1"
    assert not OfficeRow.objects.exists()


# The piece


def piece_page(client, facts, site):
    piece = stock.pieces(stock.rack(site), 1, facts=facts)[0]
    return client.get(reverse("piece", args=[Component.objects.get(pk=piece.pk).tag]))


def test_a_piece_says_what_its_specification_implies(here):
    found = piece_page(signed_in(at=here), stock.DRILL_PIPE, here).context["implied"]
    right = [tubes.strengths(5, 0.362, 135_000, name).tensile_lb for name in tubes.PIPE_CLASSES]
    tension = dict(found.rows)["Tension"]
    assert [one.text for _, one in tension] == [f"{value:,.0f} lb" for value in right]
    pins = [one.text for part in found.parts for one in part.figures if one.label == "Length of the pin"]
    assert pins == ["4.5 in"]


def test_a_piece_that_no_table_knows_says_which_does_not(here):
    response = piece_page(signed_in(at=here), replace(stock.DRILL_PIPE, weight_mlb_ft=1000), here)
    assert "Table drill_pipe has no 5 in 1.00 lb/ft" in text_of(response)


@pytest.mark.browser
def test_pages_are_whole_for_a_reader_of_the_screen_and_fit_a_phone(here, page, live_server, sign_in):
    from axe_playwright_python.sync_playwright import Axe

    ada = stock.person("ada", "office", everywhere=True)
    sign_in(page, ada, live_server.url)
    piece = Component.objects.get(pk=stock.pieces(stock.rack(here), 1)[0].pk)
    page.set_viewport_size({"width": 390, "height": 844})
    for address in (
        reverse("reference"), reverse("reference_table", args=["heavyweight"]),
        reverse("reference_add", args=["casing"]), reverse("piece", args=[piece.tag]),
        *(f"{reverse(f'reference_{name}')}?{urlencode(typed)}" for name, typed in PICKS.items()),
    ):  # fmt: skip
        page.goto(address)
        if page.locator("details.worked").count():
            page.locator("details.worked summary").first.click()
            assert page.locator("details.worked pre").first.is_visible()
        assert page.evaluate("document.documentElement.scrollWidth") == 390
        assert Axe().run(page).response["violations"] == []
