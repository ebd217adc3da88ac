"""The well of a casing plan: chosen among those of the site, its datum governs, printed sheets stay."""

from datetime import date
from importlib import import_module

import pytest
from django.apps import apps
from django.test import Client

from rack.actions import casing, casing_printing, straps, wells
from rack.calc.casing_content import CasingContent
from rack.calc.lengths import Length
from rack.errors import Refused
from rack.models import CasingPlan
from rack.models.casing_facts import datum_of, planned
from tests import stock
from tests.stock import feet

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return stock.site()


@pytest.fixture
def ola(here):
    return stock.person("ola", "supervisor", here)


@pytest.fixture
def well(here, ola):
    made = wells.add_well(stock.asks(ola), here, wells.WellFacts("Sandholm A-1", "4", date(2026, 3, 1)))
    measure(ola, made, "312.55")
    return made


@pytest.fixture
def plan(here, ola) -> CasingPlan:
    joints = stock.pieces(stock.rack(here), 2, facts=stock.CASING, first=5301)
    return stock.casing_plan(ola, stock.tally(ola, here, joints, kind="threads on"), well_said="SD-14")


def measure(by, well, shoulder: str | None, on: date = date(2026, 3, 2)) -> None:
    landing = Length(feet(shoulder)) if shoulder else None
    wells.measure_datum(stock.asks(by), well, wells.Measured(
        "Rotary table", Length(feet("84")), "sea", on, "Ada Fenn", Length(feet("231")), landing))


def strap(by, plan: CasingPlan) -> None:
    for line in plan.tally.lines.in_order():
        straps.read(stock.asks(by), straps.Reading(plan.tally, "39.10", 1, line))


def head(by, plan: CasingPlan, **values) -> CasingPlan:
    casing.set_head(stock.asks(by), plan, casing.CasingHead(**values))
    return now(plan)


def now(plan: CasingPlan) -> CasingPlan:
    return CasingPlan.objects.select_related("tally__site", "well").get(pk=plan.pk)


def said(plan: CasingPlan) -> list[str]:
    return [one.text for one in planned(plan).problems]


def test_the_datum_comes_from_the_measurement_of_the_well_that_governs(ola, plan, well) -> None:
    plan = head(ola, plan, well_id=well.pk, datum="RKB", measured_by="somebody")
    found = datum_of(plan)
    assert (found.name, found.shoulder_nm) == ("Rotary table", feet("312.55"))
    assert found.measured == "measured on 2026-03-02 by Ada Fenn"
    measure(ola, well, "313.05", date(2026, 4, 1))
    assert datum_of(now(plan)).shoulder_nm == feet("313.05")


def test_the_shoe_is_counted_from_the_shoulder_of_the_well(ola, plan, well) -> None:
    strap(ola, plan)
    before = planned(now(plan)).layout
    after = planned(head(ola, plan, well_id=well.pk)).layout
    assert before.shoe is not None
    assert after.shoe == before.shoe + Length(feet("312.55") - feet("24.60"))


def test_a_well_without_a_datum_asks_and_what_was_typed_stands(here, ola, plan) -> None:
    bare = wells.add_well(stock.asks(ola), here, wells.WellFacts("Sandholm A-9"))
    plan = head(ola, plan, well_id=bare.pk, datum="RKB", shoulder_nm=feet("24.60"))
    assert (datum_of(plan).name, datum_of(plan).shoulder_nm) == ("RKB", feet("24.60"))
    assert any("No datum has been measured on this well" in text for text in said(plan))


def test_another_shoulder_than_that_of_the_well_is_asked_about_and_a_liner_is_not(ola, plan, well) -> None:
    plan = head(ola, plan, well_id=well.pk, shoulder_nm=feet("24.60"))
    assert datum_of(plan).shoulder_nm == feet("24.60")
    assert any("lands at 24.60 ft, the landing shoulder of the well was measured at 312.55 ft" in text
               for text in said(plan))
    casing.put_in(stock.asks(ola), plan, casing.Part("liner_hanger", "LH", feet("6.10")), None)
    assert not any("landing shoulder of the well" in text for text in said(now(plan)))
    plan = head(ola, plan, well_id=well.pk, shoulder_nm=feet("312.55"))
    assert not any("landing shoulder of the well" in text for text in said(plan))


def test_a_datum_older_than_the_rig_on_the_well_is_asked_about(here, ola, plan) -> None:
    old = wells.add_well(stock.asks(ola), here, wells.WellFacts("B-1", "", date(2026, 5, 1)))
    measure(ola, old, "300", date(2026, 4, 1))
    assert any("before the rig came" in text for text in said(head(ola, plan, well_id=old.pk)))


def test_a_typed_name_is_for_a_well_that_the_site_does_not_keep(ola, plan, well) -> None:
    with pytest.raises(Refused, match="sandholm a-1 is a well of this site: choose it"):
        head(ola, plan, well_said=" sandholm  a-1 ")
    with pytest.raises(Refused, match="not both"):
        head(ola, plan, well_id=well.pk, well_said="SD-14")
    with pytest.raises(Refused, match="under 60 letters"):
        head(ola, plan, well_said="x" * 61)
    assert head(ola, plan, well_said="SD-15").well_name == "SD-15"


def test_the_well_of_another_site_is_refused(ola, plan) -> None:
    other = stock.site("KV1")
    theirs = wells.add_well(stock.asks(stock.person("kim", "office", other)), other, wells.WellFacts("K-1"))
    with pytest.raises(Refused, match="not one of this site"):
        head(ola, plan, well_id=theirs.pk)


def test_a_printed_sheet_says_what_it_said_whatever_the_well_says_later(ola, plan, well) -> None:
    strap(ola, plan)
    plan = head(ola, plan, well_id=well.pk)
    first = casing_printing.print_plan(stock.asks(ola), plan, reason="a test")
    measure(ola, well, "313.05", date(2026, 4, 1))
    second = casing_printing.print_plan(stock.asks(ola), now(plan), reason="a test")
    first.refresh_from_db()
    one, two = (CasingContent.from_text(sheet.content) for sheet in (first, second))
    assert (one.well, one.datum, one.shoulder_nm) == ("Sandholm A-1, slot 4", "Rotary table", feet("312.55"))
    assert two.shoulder_nm == feet("313.05")
    assert two.shoe_nm - one.shoe_nm == feet("0.50")


def test_the_page_offers_the_wells_of_the_site_and_names_the_chosen_one(ola, plan, well) -> None:
    client = Client()
    client.force_login(ola)
    at = f"/tallies/{plan.tally.number}/casing/"
    page = client.get(at).content.decode()
    assert "Sandholm A-1, slot 4</option>" in page and "well SD-14" in page
    key = {"key": "5b6ad7a1-5f7c-4f35-9a70-1d0f1f0f7c11"}
    answer = client.post(f"{at}do/head/", {**key, "well": well.pk, "well_said": ""})
    assert answer.status_code == 302
    page = client.get(at).content.decode()
    assert f'/wells/{well.pk}/">Sandholm A-1, slot 4</a>' in page and "of the well" in page
    key = {"key": "5b6ad7a1-5f7c-4f35-9a70-1d0f1f0f7c12"}
    answer = client.post(f"{at}do/head/", {**key, "well_said": "Sandholm A-1"})
    assert answer.status_code == 422 and "choose it, and its datum" in answer.content.decode()
    answer = client.post(f"{at}do/head/", {**key, "well": "999999"})
    assert answer.status_code == 422


@pytest.mark.parametrize("shoulder, tied", [("312.55", True), ("24.60", False)])
def test_a_plan_of_before_is_tied_to_its_well_only_where_no_figure_changes(ola, plan, well, shoulder, tied
                                                                           ) -> None:
    CasingPlan.objects.update(well_said="sandholm a-1", shoulder_nm=feet(shoulder))
    import_module("rack.migrations.0012_wells_of_casing_plans").link(apps, None)
    found = now(plan)
    assert (found.well == well, found.well_said) == (tied, "" if tied else "sandholm a-1")
