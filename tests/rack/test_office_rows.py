"""Rows of the office in the handbook tables: who may, what is refused, what governs, what comes back."""

import uuid

import pytest
from django.db import IntegrityError, transaction

from rack.actions import reference as actions
from rack.calc.losses import SHIPPED, for_line
from rack.calc.specs import SpecFacts
from rack.errors import AlreadyUsed, NotAllowed, Refused
from rack.models import Journal, OfficeRow
from rack.models.comparing import loss_of
from rack.models.reference import catalogue
from tests import stock

pytestmark = pytest.mark.django_db

BTC = {"product": "casing", "size_in": "9-5/8", "thread": "BTC", "weight_lb_ft": "all",
       "coupling_length_NL_in": "11", "J_power_tight_in": "1/2"}  # fmt: skip


@pytest.fixture
def office():
    return stock.person("ines", "office", everywhere=True)


def added(office, row=None, source="maker's sheet 12", table="makeup_loss", key=None):
    return actions.add_row(stock.asks(office, key), table, row or BTC, source)


def in_force(table="makeup_loss", **cells):
    return catalogue().find(table, **(cells or {"size_in": "9.625", "thread": "BTC"}))


def test_a_row_supersedes_the_shipped_one_and_taken_back_the_shipped_one_governs(office):
    shipped = in_force()
    row = added(office)
    assert [one["coupling_length_NL_in"] for one in in_force()] == ["11"]
    assert in_force()[0]["source"] == "maker's sheet 12"
    actions.take_back(stock.asks(office), row)
    assert in_force() == shipped
    assert OfficeRow.objects.count() == 2


def test_a_later_row_governs_over_an_earlier_one_which_governs_again_when_it_is_taken_back(office):
    added(office)
    later = added(office, {**BTC, "coupling_length_NL_in": "12"}, "maker's sheet 13")
    assert [one["source"] for one in in_force()] == ["maker's sheet 13"]
    actions.take_back(stock.asks(office), later)
    assert [one["source"] for one in in_force()] == ["maker's sheet 12"]


def test_a_row_is_kept_as_the_table_writes_it(office):
    row = added(office, {**BTC, "J_power_tight_in": " 0,5 ", "note": " "})
    assert row.cells["J_power_tight_in"] == "0.5"
    assert "note" not in row.cells


@pytest.mark.parametrize(
    "role, everywhere", [("crew", True), ("supervisor", True), ("viewer", True), ("office", False)]
)
def test_only_an_office_of_every_site_may_add_and_take_back(office, role, everywhere):
    row = added(office)
    other = stock.person("ada", role, stock.site(), everywhere=everywhere)
    with pytest.raises(NotAllowed):
        added(other)
    with pytest.raises(NotAllowed):
        actions.take_back(stock.asks(other), row)
    assert OfficeRow.objects.count() == 1


@pytest.mark.parametrize(
    "row, source, where",
    [
        (BTC, "  ", {"source"}),
        (BTC, "x" * 201, {"source"}),
        (
            {**BTC, "coupling_length_NL_in": "long", "J_power_tight_in": "?"},
            "sheet",
            {"coupling_length_NL_in", "J_power_tight_in"},
        ),
        ({**BTC, "conf": "A"}, "sheet", {"conf"}),
        ({**BTC, "note": "x" * 201}, "sheet", {"note"}),
        ({"note": "  "}, "sheet", {""}),
        ({"note": "only a note"}, "sheet", {""}),
        ({**BTC, "colour": "red"}, "sheet", {""}),
    ],
)
def test_what_cannot_be_a_row_is_refused_with_every_reason(office, row, source, where):
    with pytest.raises(Refused) as refused:
        added(office, row, source)
    assert {problem.where for problem in refused.value.problems} == where
    assert not OfficeRow.objects.exists()
    assert not Journal.objects.filter(verb="reference").exists()


def test_an_unknown_table_is_refused(office):
    with pytest.raises(Refused, match="there is no table"):
        added(office, table="prices")


def test_the_same_form_twice_is_one_row_and_for_another_row_is_refused(office):
    key = uuid.uuid4()
    first = added(office, key=key)
    assert added(office, key=key) == first
    with pytest.raises(AlreadyUsed):
        added(office, {**BTC, "coupling_length_NL_in": "12"}, key=key)
    assert OfficeRow.objects.count() == 1


def test_a_row_is_taken_back_once(office):
    row = added(office)
    key = uuid.uuid4()
    taken = actions.take_back(stock.asks(office, key), row)
    assert actions.take_back(stock.asks(office, key), row) == taken
    for one in (row, taken):
        with pytest.raises(Refused, match="taken back already"):
            actions.take_back(stock.asks(office), one)


def test_the_database_itself_refuses_to_change_or_to_delete_a_row(office):
    row = added(office)
    for change in (lambda: OfficeRow.objects.filter(pk=row.pk).update(source="another"), row.delete):
        with pytest.raises(IntegrityError), transaction.atomic():
            change()


def test_a_row_without_a_source_cannot_be_stored_by_any_way(office):
    line = added(office).journal
    with pytest.raises(IntegrityError), transaction.atomic():
        OfficeRow.objects.create(
            journal=line, seq=1, at=line.at, table="drift", values="{}", source="", supersedes=""
        )


def test_the_tables_are_one_object_while_the_same_rows_govern(office):
    assert catalogue() is SHIPPED
    added(office)
    assert catalogue() is catalogue()
    assert catalogue() is not SHIPPED


def test_reading_the_tables_is_one_query_however_many_rows(office, django_assert_num_queries):
    for n in range(5):
        added(office, {**BTC, "size_in": f"{n + 30}"})
    with django_assert_num_queries(1):
        assert len(catalogue().rows("makeup_loss")) == len(SHIPPED.rows("makeup_loss")) + 5


def test_a_tally_takes_off_what_the_office_says_is_lost(office):
    site = stock.site()
    pieces = stock.pieces(stock.rack(site), 1, facts=stock.CASING)
    facts: SpecFacts = stock.CASING
    shipped = for_line("threads on", facts)
    tally = stock.tally(office, site, pieces, kind="threads on")
    assert loss_of(tally, tally.lines.get()).length == shipped.length
    added(office)
    tally = type(tally).objects.get(pk=tally.pk)
    lost = loss_of(tally, tally.lines.get())
    assert lost.length.nanometres == 5 * stock.IN
    assert "maker's sheet 12" in lost.source
