"""The invented rig of `manage.py demo`: written through the same actions that people use.

Every key is made from a fixed name, so that loading twice writes nothing twice.
"""

import uuid
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from django.contrib.auth.models import User

from rack.actions import closing, people, pieces, receiving, straps, tallies
from rack.actions.files import keep_bytes
from rack.actions.journal import Asked, Hand
from rack.actions.places import add_rack
from rack.exchange.delivery import read_delivery
from rack.models import Component, Journal, Place, Role, Site, Strap, Tally

LISTS = Path(__file__).resolve().parent.parent / "fixtures" / "demo"
PASSWORD = "layer-by-layer-3"
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

#: Readings of the second strap that differ from the first, by line: the slips to be found.
SLIPS = {4: "transposed", 9: "a foot more", 14: "a foot less", 22: "fourteen for forty"}


def load() -> None:
    """Write the demo rig into the database; what is there already stays as it is."""
    if Journal.objects.filter(key=_key("finish second")).exists():
        return
    if not Site.objects.filter(code="SH3").exists():
        first = PEOPLE[0]
        people.begin(
            Asked(_key("begin"), Hand(None)),
            people.NewAccount(first.username, first.full_name, PASSWORD),
            people.NewSite("SH3", "Sandholm 3", "Europe/Oslo", "us", "R1", 4),
        )
    site = Site.objects.get(code="SH3")
    office = User.objects.get(username="ines")
    for person in PEOPLE[1:]:
        people.add_account(
            _ask(f"account {person.username}", office),
            people.NewAccount(person.username, person.full_name, PASSWORD),
            site,
            person.role,
        )
    add_rack(_ask("rack 2", office), site, "R2", 3, None)
    _receive(site, office)
    _hold(site)
    _closed_tally(site)
    _open_tally(site)


def _receive(site: Site, office: User) -> None:
    for name, path, kind in (
        ("drill_pipe.csv", "R1/1", "pins off"),
        ("bottom_assembly.csv", "R1/2", "pins off"),
        ("casing.csv", "R2/1", "threads on"),
    ):
        data = (LISTS / name).read_bytes()
        read = read_delivery(data, name, length_kind=kind)
        keep_bytes(data)
        receipt = receiving.Receipt(
            place=Place.objects.get(site=site, path=path),
            file_name=name,
            media="text/csv",
            sender="Gantry Lending",
            owner="Gantry Lending",
            confirmed=True,
        )
        receiving.accept(_ask(f"receive {name}", office), read, receipt)


def _hold(site: Site) -> None:
    piece = Component.objects.at(site).filter(spec__kind="drill_pipe").order_by("serial_key")[22]
    ada = User.objects.get(username="ada")
    pieces.put_hold(_ask("hold", ada), piece, "slip cut near the box, wants a look")


def _closed_tally(site: Site) -> None:
    """Fifteen joints, strapped once and closed."""
    ada, ola = (User.objects.get(username=name) for name in ("ada", "ola"))
    chosen = _drill_pipe(site)[:15]
    head = tallies.TallyHead(
        purpose="delivery",
        kind="pins off",
        title="first lift of drill pipe",
        tape="T-07",
        reader="Ada Fenn",
        writer="Ben Tarrow",
    )
    tally = tallies.open_tally(_ask("tally 1", ada), site, head, pieces=chosen)
    for n, line in enumerate(tally.lines.in_order()):
        straps.read(_ask(f"tally 1, {n}", ada), straps.Reading(tally, _near(line.component, n), 1, line))
    if Tally.objects.get(pk=tally.pk).revision == 0:
        closing.close(_ask("close 1", ola), tally)


def _open_tally(site: Site) -> None:
    """Twenty-five joints, strapped twice, with slips planted in the second strap."""
    ada, ben = (User.objects.get(username=name) for name in ("ada", "ben"))
    head = tallies.TallyHead(
        purpose="rack",
        kind="pins off",
        title="drill pipe on R1, lowest layer",
        straps_wanted=2,
        tape="T-07",
        reader="Ada Fenn",
        writer="Ben Tarrow",
    )
    tally = tallies.open_tally(_ask("tally 2", ada), site, head, pieces=_drill_pipe(site)[15:40])
    if not tally.open:
        return
    lines = list(tally.lines.in_order())
    for n, line in enumerate(lines):
        straps.read(_ask(f"tally 2, {n}", ada), straps.Reading(tally, _near(line.component, n), 1, line))
    straps.begin_strap(_ask("second", ben), tally, 2, "T-11", "Ben Tarrow", "Ada Fenn")
    for n, line in enumerate(lines):
        typed = _slipped(_near(line.component, n), SLIPS.get(n, ""))
        straps.read(_ask(f"tally 2, second {n}", ben), straps.Reading(tally, typed, 2, line))
    straps.finish_strap(_ask("finish second", ben), tally, 2)


def _drill_pipe(site: Site) -> list[Component]:
    rows = Component.objects.at(site).filter(spec__kind="drill_pipe")
    return list(rows.order_by("serial_key", "id"))


def _near(piece: Component | None, n: int) -> str:
    """What a tape reads on this piece: the list's length, a hundredth up or down."""
    listed = Strap.objects.filter(component=piece, strap_n=0).order_by("id").first()
    nm = listed.nm if listed else 0
    return f"{Decimal(nm or 0) / 304_800_000 + Decimal((n % 3) - 1) / 100:.2f}"


def _slipped(typed: str, slip: str) -> str:
    value = Decimal(typed)
    if slip == "transposed":
        return f"{typed[:-2]}{typed[-1]}{typed[-2]}"
    if slip == "a foot more":
        return f"{value + 1:.2f}"
    if slip == "a foot less":
        return f"{value - 1:.2f}"
    if slip == "fourteen for forty":
        return typed.replace(".40", ".14")
    return typed


def _ask(name: str, user: User) -> Asked:
    return Asked(_key(name), Hand(user))


def _key(name: str) -> uuid.UUID:
    return uuid.uuid5(_NAMES, name)
