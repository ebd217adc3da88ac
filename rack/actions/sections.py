"""What people do with the sections of a well: write one down, change it."""

from dataclasses import asdict

from django.db import IntegrityError, transaction
from django.db.models import F

from rack.actions.journal import Asked, open_line
from rack.actions.locks import check_version
from rack.calc.checks import Problem, stops
from rack.calc.lengths import Length
from rack.calc.sections import SectionFacts
from rack.calc.units import NM
from rack.errors import Refused
from rack.models import Section, Well
from rack.people import check_can

#: The ends of what is taken at all: a hole of 2 to 48 in, a depth to 20 km, mud of 0 (air) to 25 ppg.
HOLE = (2 * NM["in"], 48 * NM["in"])
DEEPEST = 20_000 * NM["m"]
HEAVIEST_MPPG = 25_000


def add_section(asked: Asked, well: Well, facts: SectionFacts) -> Section:
    """Add a section to a well. Its name is its own there."""
    check_can(asked.hand.user, "well", well.site)
    facts = _checked(facts)
    with transaction.atomic():
        body = {"well": well.pk, **asdict(facts)}
        line, again = open_line(
            asked, "add section", well.site, f"Added section {facts.name} to {well}", body
        )
        if again:
            return Section.objects.get(added_by=line)
        try:
            with transaction.atomic():
                return Section.objects.create(well=well, added_by=line, **asdict(facts))
        except IntegrityError:
            raise Refused([_twice(facts.name)]) from None


def change_section(
    asked: Asked, section: Section, facts: SectionFacts, *, seen: int | None = None
) -> Section:
    """Write a section anew. The journal keeps what was said before."""
    site = section.well.site
    check_can(asked.hand.user, "well", site)
    facts = _checked(facts)
    with transaction.atomic():
        body = {"section": section.pk, **asdict(facts)}
        _, again = open_line(asked, "change section", site, f"Changed section {facts.name}", body)
        now = Section.objects.select_for_update().get(pk=section.pk)
        if again:
            return now
        check_version(now, seen)
        try:
            with transaction.atomic():
                Section.objects.filter(pk=now.pk).update(version=F("version") + 1, **asdict(facts))
        except IntegrityError:
            raise Refused([_twice(facts.name)]) from None
    return Section.objects.get(pk=section.pk)


def _twice(name: str) -> Problem:
    return stops(f"There is a section {name} of this well already.", code="section", where="name")


def _checked(facts: SectionFacts) -> SectionFacts:
    name, casing = " ".join(facts.name.split()), " ".join(facts.casing.split())
    problems = []
    if not name or len(name) > 40:
        problems.append(stops("Give the section a name of up to 40 letters.", code="name", where="name"))
    if not HOLE[0] <= facts.hole_nm <= HOLE[1]:
        problems.append(stops("A hole is 2 to 48 in wide.", code="hole", where="hole"))
    if not 0 < facts.planned_nm <= DEEPEST:
        problems.append(
            stops("The planned depth is more than nothing and up to 20 km.", code="depth", where="planned")
        )
    if facts.mud_mppg is not None and not 0 <= facts.mud_mppg <= HEAVIEST_MPPG:
        problems.append(stops("Mud weighs 0 to 25 ppg.", code="mud", where="mud"))
    for nm, where, words in (
        (facts.casing_shoe_nm, "shoe", "The casing shoe"),
        (facts.drift_nm, "drift", "The drift of the casing"),
    ):
        if nm is not None and nm <= 0:
            problems.append(stops(f"{words} is more than nothing.", code=where, where=where))
    shoe = facts.casing_shoe_nm
    if shoe is not None and shoe > facts.planned_nm > 0:
        problems.append(stops(
            f"The casing shoe at {Length(shoe).shown('m', 2)} m lies below the end of the section.",
            code="shoe", where="shoe",
        ))  # fmt: skip
    if problems:
        raise Refused(problems)
    return SectionFacts(
        name, facts.hole_nm, facts.planned_nm, facts.mud_mppg, casing[:80], shoe, facts.drift_nm
    )
