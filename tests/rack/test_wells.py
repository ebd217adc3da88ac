"""Wells and their datum: who writes them, what supersedes what, and what is said of an old datum."""

import uuid
from datetime import date

import pytest
from django.db import DatabaseError, transaction
from django.test import Client
from django.urls import reverse

from rack.actions import wells
from rack.actions.wells import Measured, WellFacts
from rack.calc.lengths import Length
from rack.errors import ChangedMeanwhile, NotAllowed, Refused
from rack.models import DatumReading, Journal, Well
from tests import stock

pytestmark = pytest.mark.django_db

RKB = Measured("RKB", Length.parse("84 ft"), "sea", date(2026, 3, 2), "Ola Brandt", Length.parse("231 ft"),
               Length.parse("312.55 ft"))  # fmt: skip


@pytest.fixture
def here():
    return stock.site()


@pytest.fixture
def ines(here):
    return stock.person("ines", "office", here)


@pytest.fixture
def well(here, ines):
    return wells.add_well(stock.asks(ines), here, WellFacts("Sandholm A-1", "4", date(2026, 3, 1)))


def client_of(user):
    made = Client()
    made.force_login(user)
    return made


def post(client, at, **body):
    return client.post(at, {"key": str(uuid.uuid4()), **body})


def test_a_well_has_its_name_once_at_a_site_and_again_at_another(here, ines, well):
    with pytest.raises(Refused, match="Sandholm A-1 here already"):
        wells.add_well(stock.asks(ines), here, WellFacts("Sandholm A-1"))
    other = stock.site("KV1")
    wells.add_well(stock.asks(stock.person("kim", "office", other)), other, WellFacts("Sandholm A-1"))
    assert Well.objects.count() == 2


@pytest.mark.parametrize(
    "facts, words",
    [
        (WellFacts(" "), "its name"),
        (WellFacts("x" * 61), "its name"),
        (WellFacts("A", "x" * 21), "slot"),
        (WellFacts("A", "", date(2026, 3, 2), date(2026, 3, 1)), "before it came"),
    ],
)
def test_what_is_no_well_is_refused_in_a_sentence(here, ines, facts, words):
    with pytest.raises(Refused, match=words):
        wells.add_well(stock.asks(ines), here, facts)
    assert Well.objects.count() == 0


def test_a_new_measurement_supersedes_and_both_stay_in_the_book(ines, well):
    wells.measure_datum(stock.asks(ines), well, RKB)
    later = Measured("RKB", Length.parse("85.10 ft"), "sea", date(2026, 4, 1), "Ada Fenn")
    newest = wells.measure_datum(stock.asks(ines), well, later)
    assert Well.objects.with_datum().get().datum_id == newest.pk
    assert DatumReading.objects.count() == 2
    with pytest.raises(DatabaseError), transaction.atomic():
        DatumReading.objects.filter(pk=newest.pk).update(height_nm=1)


@pytest.mark.parametrize(
    "change, words",
    [
        ({"name": " "}, "Name the datum"),
        ({"measured_by": ""}, "who measured"),
        ({"over": "moon"}, "ground or over sea"),
        ({"over": "ground"}, "no water"),
        ({"measured_on": date(2999, 1, 1)}, "yet to come"),
        ({"height": Length(0)}, "more than nothing"),
        ({"shoulder": Length.parse("30000 m")}, "less than 20 km"),
    ],
)
def test_what_is_no_datum_is_refused_in_a_sentence(ines, well, change, words):
    lines = Journal.objects.count()
    with pytest.raises(Refused, match=words):
        wells.measure_datum(stock.asks(ines), well, Measured(**{**vars(RKB), **change}))
    assert Journal.objects.count() == lines


def test_each_action_repeated_with_its_key_writes_once(here, ines):
    keys = [uuid.uuid4() for _ in range(3)]
    for _ in range(2):
        well = wells.add_well(stock.asks(ines, keys[0]), here, WellFacts("Sandholm A-1"))
        wells.change_well(stock.asks(ines, keys[1]), well, WellFacts("Sandholm A-3"), seen=0)
        wells.add_well(stock.asks(ines, keys[2]), here, WellFacts("Sandholm A-9"))
    assert sorted(Well.objects.values_list("name", "version")) == [("Sandholm A-3", 1), ("Sandholm A-9", 0)]


def test_what_somebody_else_changed_meanwhile_is_not_written_over(ines, well):
    wells.change_well(stock.asks(ines), well, WellFacts("Sandholm A-1", "5"), seen=0)
    with pytest.raises(ChangedMeanwhile):
        wells.change_well(stock.asks(ines), well, WellFacts("Sandholm A-1", "6"), seen=0)


@pytest.mark.parametrize("role", ["crew", "viewer"])
def test_crew_and_viewers_read_and_do_not_write(here, well, role):
    user = stock.person(role, role, here)
    for act in (
        lambda: wells.add_well(stock.asks(user), here, WellFacts("B")),
        lambda: wells.change_well(stock.asks(user), well, WellFacts("B")),
        lambda: wells.measure_datum(stock.asks(user), well, RKB),
    ):
        with pytest.raises(NotAllowed):
            act()
    client = client_of(user)
    assert "Sandholm A-1" in client.get("/wells/").content.decode()
    page = client.get(reverse("well", args=[well.pk])).content.decode()
    assert "Measure the datum" not in page
    assert "No datum has been measured" in page


def test_a_well_of_another_site_does_not_exist_for_this_person(well):
    kim = client_of(stock.person("kim", "office", stock.site("KV1")))
    assert kim.get(reverse("well", args=[well.pk])).status_code == 404
    assert "Sandholm A-1" not in kim.get("/wells/").content.decode()
    assert post(kim, reverse("well_datum", args=[well.pk])).status_code == 404


def test_a_supervisor_adds_a_well_and_measures_it_on_the_pages(here):
    client = client_of(stock.person("ola", "supervisor", here))
    added = post(client, "/wells/", name="Sandholm A-2", slot="7", rig_from="2026-03-01")
    at = added.url
    body = {"name": "RKB", "height": "84 ft", "over": "sea", "water": "231", "shoulder": "312.55",
            "measured_on": "2026-03-02", "measured_by": "Ola Brandt"}  # fmt: skip
    assert post(client, at + "datum/", **body).url == at
    page = client.get(at).content.decode()
    assert "84.00 ft" in page
    assert "315.00 ft" in page, "the datum to the sea bed"
    assert "No datum" not in page


def test_a_datum_older_than_the_rig_on_the_well_is_said_on_both_pages(ines, well):
    client = client_of(ines)
    wells.measure_datum(stock.asks(ines), well, Measured(**{**vars(RKB), "measured_on": date(2026, 2, 1)}))
    assert "before the rig came" in client.get(reverse("well", args=[well.pk])).content.decode()
    assert "measure it" in client.get("/wells/").content.decode()
    wells.measure_datum(stock.asks(ines), well, RKB)
    assert "before the rig came" not in client.get(reverse("well", args=[well.pk])).content.decode()
    assert "measure it" not in client.get("/wells/").content.decode()


@pytest.mark.parametrize(
    "field, typed, words",
    [("height", "high", "high"), ("height", "", "required"), ("measured_on", "yesterday", "Write the day as"),
     ("over", "moon", "moon"), ("water", "-3", "-3")],
)  # fmt: skip
def test_bad_input_is_said_in_a_sentence_beside_its_field_and_kept(ines, well, field, typed, words):
    body = {"name": "RKB", "height": "84", "over": "sea", "measured_on": "2026-03-02", "measured_by": "Ola"}
    answer = post(client_of(ines), reverse("well_datum", args=[well.pk]), **{**body, field: typed})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert 'value="Ola"' in page
    assert DatumReading.objects.count() == 0


def test_a_name_that_is_taken_is_said_beside_the_field(ines, well):
    answer = post(client_of(ines), "/wells/", name="Sandholm A-1")
    assert answer.status_code == 422
    assert "here already" in answer.content.decode()


def test_the_list_asks_few_questions_of_the_database_however_many_wells_there_are(
    here, ines, django_assert_max_num_queries
):
    for n in range(12):
        made = wells.add_well(stock.asks(ines), here, WellFacts(f"Sandholm A-{n}"))
        wells.measure_datum(stock.asks(ines), made, RKB)
    client = client_of(ines)
    client.get("/wells/")
    with django_assert_max_num_queries(8):
        client.get("/wells/")
