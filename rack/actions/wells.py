"""What people do with wells: add one, say when the rig came and went, measure the datum."""

from dataclasses import asdict, dataclass
from datetime import date

from django.db import IntegrityError, transaction
from django.db.models import F

from rack.actions.journal import Asked, open_line
from rack.actions.locks import check_version
from rack.calc.checks import Problem, stops
from rack.calc.datums import OVER
from rack.calc.lengths import Length
from rack.errors import Refused
from rack.models import DatumReading, Site, Well
from rack.people import check_can

#: No datum, water or landing shoulder is further than this: 20 km.
MOST = Length(20_000 * 1_000_000_000)


@dataclass(frozen=True)
class WellFacts:
    """What is said of a well."""

    name: str
    slot: str = ""
    rig_from: date | None = None
    rig_to: date | None = None


@dataclass(frozen=True)
class Measured:
    """One measurement of a datum as it is written down; None for what was not measured."""

    name: str
    height: Length
    over: str
    measured_on: date
    measured_by: str
    water: Length | None = None
    shoulder: Length | None = None


def add_well(asked: Asked, site: Site, facts: WellFacts) -> Well:
    """Add a well of a site. Its name is its own there."""
    check_can(asked.hand.user, "well", site)
    facts = _tidy(facts)
    with transaction.atomic():
        body = {"site": site.pk, **asdict(facts)}
        line, again = open_line(asked, "add well", site, f"Added well {facts.name}", body)
        if again:  # it may bear another name by now
            return Well.objects.get(added_by=line)
        try:
            with transaction.atomic():
                return Well.objects.create(site=site, added_by=line, **asdict(facts))
        except IntegrityError:
            raise Refused([_twice(facts.name)]) from None


def change_well(asked: Asked, well: Well, facts: WellFacts, *, seen: int | None = None) -> Well:
    """Write a well anew: its slot, the day the rig left. The journal keeps what was said before."""
    check_can(asked.hand.user, "well", well.site)
    facts = _tidy(facts)
    with transaction.atomic():
        body = {"well": well.pk, **asdict(facts)}
        _, again = open_line(asked, "change well", well.site, f"Changed well {facts.name}", body)
        now = Well.objects.select_for_update().get(pk=well.pk)
        if again:
            return now
        check_version(now, seen)
        try:
            with transaction.atomic():
                Well.objects.filter(pk=now.pk).update(**asdict(facts), version=F("version") + 1)
        except IntegrityError:
            raise Refused([_twice(facts.name)]) from None
        now.refresh_from_db()
    return now


def measure_datum(asked: Asked, well: Well, measured: Measured) -> DatumReading:
    """Write down a measurement of a well's datum. It supersedes the one before, which stays in the book."""
    check_can(asked.hand.user, "well", well.site)
    with transaction.atomic():
        body = {"well": well.pk, **asdict(measured)}
        sentence = f"Measured the datum of {well}: {measured.name}"
        line, again = open_line(asked, "measure datum", well.site, sentence, body)
        if again:
            return DatumReading.objects.get(journal=line)
        today = line.at.astimezone(well.site.zone).date()
        problems = _datum_problems(measured, today)
        if problems:
            raise Refused(problems)
        return DatumReading.objects.create(
            journal=line,
            at=line.at,
            well=well,
            name=" ".join(measured.name.split()),
            height_nm=measured.height.nanometres,
            over=measured.over,
            water_nm=measured.water.nanometres if measured.water else None,
            shoulder_nm=measured.shoulder.nanometres if measured.shoulder else None,
            measured_on=measured.measured_on,
            measured_by=" ".join(measured.measured_by.split()),
        )


def _tidy(facts: WellFacts) -> WellFacts:
    name, slot = " ".join(facts.name.split()), " ".join(facts.slot.split())
    problems = []
    if not name or len(name) > 60:
        problems.append(stops("Give the well its name, up to 60 letters.", code="well", where="name"))
    if len(slot) > 20:
        problems.append(stops("Keep the slot under 20 letters.", code="well", where="slot"))
    if facts.rig_from and facts.rig_to and facts.rig_to < facts.rig_from:
        problems.append(stops(f"The rig left on {facts.rig_to}, before it came on {facts.rig_from}.",
                              code="well", where="rig_to"))  # fmt: skip
    if problems:
        raise Refused(problems)
    return WellFacts(name, slot, facts.rig_from, facts.rig_to)


def _twice(name: str) -> Problem:
    return stops(f"There is a well called {name} here already.", code="well", where="name")


def _datum_problems(measured: Measured, today: date) -> list[Problem]:
    problems = []
    if not measured.name.strip() or len(measured.name) > 40:
        problems.append(stops("Name the datum, up to 40 letters: RKB, or top of rotary.", where="name"))
    if not measured.measured_by.strip() or len(measured.measured_by) > 60:
        problems.append(stops("Say who measured it, up to 60 letters.", where="measured_by"))
    if measured.over not in OVER:
        problems.append(stops("The height is over ground or over sea.", where="over"))
    if measured.over == "ground" and measured.water:
        problems.append(stops("Over ground there is no water; leave its depth empty.", where="water"))
    if measured.measured_on > today:
        problems.append(stops(f"{measured.measured_on} is yet to come; today is {today}.",
                              where="measured_on"))  # fmt: skip
    for where, length in (("height", measured.height), ("water", measured.water),
                          ("shoulder", measured.shoulder)):  # fmt: skip
        if length is not None and not Length(0) < length <= MOST:
            problems.append(stops("It is more than nothing and less than 20 km.", where=where, code="datum"))
    return problems
