"""What every chapter of the demo is given: the people, the site, the clock, and pieces by name."""

import uuid
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from random import Random
from zoneinfo import ZoneInfo

from django.contrib.auth.models import User

from rack.actions.journal import Asked, Hand
from rack.demo.clock import Clock
from rack.models import Component, Mark, MarkKind, Place, Role, Site, Tally

PASSWORD = "layer-by-layer-3"
CODE, NAME, ZONE = "SH3", "Sandholm 3", "Europe/Oslo"
_NAMES = uuid.UUID("6f3c1a52-0d0e-4b7a-9a53-5a1d3c0e7b11")


@dataclass(frozen=True)
class Person:
    username: str
    full_name: str
    role: str


PEOPLE = (
    Person("ines", "Ines Holt", Role.OFFICE),
    Person("ola", "Ola Brandt", Role.SUPERVISOR),
    Person("ada", "Ada Fenn", Role.CREW),
    Person("ben", "Ben Tarrow", Role.CREW),
    Person("vera", "Vera Quist", Role.VIEWER),
)


class Rig:
    """The people and the site of the demo, as its chapters see them.

    `ask(name, who)` is the `Asked` of the next action: a key made from the name, so that the same action
    is never done twice, the hand, and the next moment of the clock. Names are free and used once.
    `chance(name)` draws the same in every demo, whatever other chapters draw.
    """

    def __init__(self) -> None:
        self.clock = Clock(ZoneInfo(ZONE))
        self._users: dict[str, User] = {}
        self._asked: set[str] = set()

    def key(self, name: str) -> uuid.UUID:
        return uuid.uuid5(_NAMES, name)

    def chance(self, name: str) -> Random:
        return Random(f"{CODE} {name}")

    def ask(self, name: str, who: str) -> Asked:
        if name in self._asked:
            raise ValueError(f"{name!r} was asked already; give the action a name of its own")
        self._asked.add(name)
        return Asked(self.key(name), Hand(self.user(who) if who else None), self.clock.tick())

    def user(self, who: str) -> User:
        if who not in self._users:
            self._users[who] = User.objects.get(username=who)
        return self._users[who]

    @cached_property
    def site(self) -> Site:
        return Site.objects.get(code=CODE)

    def days_ago(self, days: int) -> date:
        return self.clock.today - timedelta(days=days)

    def place(self, path: str) -> Place:
        return Place.objects.get(site=self.site, path=path)

    def piece(self, serial: str) -> Component:
        return Component.objects.at(self.site).select_related("spec", "site").get(serial=serial)

    def pieces(self, *serials: str) -> list[Component]:
        return [self.piece(serial) for serial in serials]

    def of_kind(self, kind: str, *, od_nm: int | None = None, place: str = "") -> list[Component]:
        """Pieces of a kind that lie here, by serial; pipe without a serial by its painted number."""
        rows = Component.objects.at(self.site).filter(spec__kind=kind, state__in=("received", "accepted"))
        rows = rows.filter(spec__od_nm=od_nm) if od_nm else rows
        rows = rows.filter(place__path=place) if place else rows
        painted = self.painted(rows)
        found = rows.select_related("spec").order_by("serial_key", "id")
        return sorted(found, key=lambda one: painted.get(one.pk, 0))

    def painted(self, rows: object) -> dict[int, int]:
        """Painted numbers by piece, where they are numbers."""
        marks = Mark.objects.current().filter(component__in=rows, what=MarkKind.PAINTED)
        return {pk: int(text) for pk, text in marks.values_list("component", "text") if text.isdecimal()}

    def fresh(self, tally: Tally) -> Tally:
        return Tally.objects.select_related("site").get(pk=tally.pk)
