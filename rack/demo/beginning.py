"""How the demo rig began: its people, its racks and what they may carry, its wells and their datums."""

from dataclasses import replace

from django.db import transaction

from rack.actions import people, places, wells
from rack.actions.journal import open_line
from rack.calc.lengths import Length
from rack.demo.rig import CODE, NAME, PASSWORD, PEOPLE, ZONE, Rig
from rack.models import Well


def people_and_racks(rig: Rig) -> None:
    rig.clock.day(44, "08:10")
    first = PEOPLE[0]
    people.begin(
        rig.ask("begin", ""),
        people.NewAccount(first.username, first.full_name, PASSWORD),
        people.NewSite(CODE, NAME, ZONE, "us", "R1", 5),
    )
    for person in PEOPLE[1:]:
        account = people.NewAccount(person.username, person.full_name, PASSWORD)
        people.add_account(rig.ask(f"account {person.username}", "ines"), account, rig.site, person.role)
    rig.clock.day(44, "10:00")
    places.rate_rack(rig.ask("rate R1", "ines"), rig.place("R1"), 120_000)
    places.add_rack(rig.ask("rack 2", "ines"), rig.site, "R2", 4, 110_000)
    places.add_aside(rig.ask("aside", "ines"), rig.site, "Aside")
    places.add_rack(rig.ask("tool stand", "ines"), rig.site, "Tools", 1, 30_000)


def first_well(rig: Rig) -> None:
    """The well before: the rig came before the book began, and left it three weeks ago."""
    rig.clock.day(44, "11:00")
    came = rig.days_ago(71)
    well = wells.add_well(rig.ask("well 1", "ines"), rig.site, wells.WellFacts("Holme A-12", "12", came))
    measured = wells.Measured(
        "RKB", feet("98.43"), "sea", rig.days_ago(70), "Ola Brandt", feet("236.20"), feet("84.65")
    )
    wells.measure_datum(rig.ask("datum 1", "ola"), well, measured)


def next_well(rig: Rig) -> None:
    """The rig skids: the datum of the new slot is measured, and measured again when it does not close."""
    rig.clock.day(18, "06:30")
    done = wells.WellFacts("Holme A-12", "12", rig.days_ago(71), rig.days_ago(18))
    wells.change_well(rig.ask("well 1 left", "ines"), Well.objects.get(name="Holme A-12"), done)
    wells_here = wells.WellFacts("Holme A-7", "7", rig.days_ago(18))
    well = wells.add_well(rig.ask("well 2", "ines"), rig.site, wells_here)
    first = wells.Measured(
        "RKB", feet("98.43"), "sea", rig.days_ago(18), "copied from A-12", feet("236.20"), feet("84.65")
    )
    wells.measure_datum(rig.ask("datum 2", "ines"), well, first)
    rig.clock.day(17, "14:20")
    again = replace(
        first,
        height=feet("99.18"),
        measured_on=rig.days_ago(17),
        measured_by="Ola Brandt, tape and level",
        shoulder=feet("85.40"),
    )
    wells.measure_datum(rig.ask("datum 2 again", "ola"), well, again)
    wells.add_well(rig.ask("well 3", "ines"), rig.site, wells.WellFacts("Holme A-3", "3"))


def done(rig: Rig) -> None:
    """The last line of the journal: the demo is there as a whole."""
    with transaction.atomic():
        open_line(rig.ask("the demo is complete", "ines"), "demo", rig.site, "The demo rig is complete", {})


def feet(text: str) -> Length:
    return Length.parse(text, "ft")
