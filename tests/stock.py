"""Invented people, places and pieces for the tests: one call a thing, every value can be given."""

import uuid
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from rack.actions import casing
from rack.actions.journal import Asked, Hand, open_line
from rack.actions.loads import LoadHead, Put, open_load, put_in, send
from rack.actions.making import NewPiece, make_pieces, specs_of
from rack.actions.places import make_rack
from rack.actions.tallies import TallyHead, open_tally
from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts
from rack.models import CasingPlan, Component, LoadOut, Place, Post, Site, Spec, Tally

IN = 25_400_000
PASSWORD = "not-a-real-password-71"

DRILL_PIPE = SpecFacts(
    kind="drill_pipe",
    od_nm=5 * IN,
    weight_mlb_ft=19500,
    grade="S-135",
    range="R2",
    up_conn="NC50",
    up_gender="box",
    down_conn="NC50",
    down_gender="pin",
)
CASING = SpecFacts(
    kind="casing",
    od_nm=244_475_000,
    weight_mlb_ft=47000,
    grade="L-80",
    range="R3",
    up_conn="BTC",
    up_gender="box",
    down_conn="BTC",
    down_gender="pin",
)
JAR = SpecFacts(
    kind="jar",
    od_nm=165_100_000,
    bore_nm=69_850_000,
    up_conn="NC50",
    up_gender="box",
    down_conn="NC50",
    down_gender="pin",
    facts='{"action":"hydraulic"}',
)


def site(code: str = "SH3", **more: Any) -> Site:
    return Site.objects.create(**{"code": code, "name": f"Sandholm {code}", "tz": "Europe/Oslo", **more})


def person(name: str, role: str = "", at: Site | None = None, *, everywhere: bool = False) -> User:
    """An account; with a role it holds a post at the site, or everywhere."""
    user = User.objects.create_user(name, password=PASSWORD, first_name=name.capitalize())
    if role:
        Post.objects.create(user=user, site=None if everywhere else at, role=role)
    return user


def asks(user: User | None, key: uuid.UUID | None = None) -> Asked:
    return Asked(key or uuid.uuid4(), Hand(user))


def rack(at: Site, name: str = "R1", layers: int = 2) -> Place:
    """A rack; the lowest layer comes back."""
    make_rack(at, name, layers)
    return Place.objects.get(site=at, path=f"{name}/1")


def spec(facts: SpecFacts = DRILL_PIPE) -> Spec:
    return specs_of([facts])[facts.key]


def pieces(
    place: Place,
    count: int = 3,
    *,
    facts: SpecFacts = DRILL_PIPE,
    first: int = 4101,
    lengths: list[str] | None = None,
    word_of: str = "list a.csv",
) -> list[Component]:
    """Pieces on a place, serials KD4101 and on, painted 1 and on."""
    from django.db import transaction

    made = spec(facts)
    new = [
        NewPiece(
            spec=made,
            serial=f"KD{first + n}",
            painted=str(n + 1),
            length=Length.parse(lengths[n]) if lengths else None,
            length_kind="pins off",
            word_of=word_of,
        )
        for n in range(count)
    ]
    with transaction.atomic():
        line, _ = open_line(asks(None), "stock", place.site, "Stock for a test", {"at": str(timezone.now())})
        return make_pieces(line, place.site, place, new)


def load(
    by: User | None, at: Site, on: list[Component], *, head: LoadHead | None = None, sent: bool = False
) -> LoadOut:
    """A load with these pieces in lift 1, sent where that is asked for."""
    made = open_load(asks(by), at, head or LoadHead("return", to="Gantry Lending"))
    if on:
        put_in(asks(by), made, on, Put("1", "both"))
    if sent:
        send(asks(by), made)
    made.refresh_from_db()
    return made


def tally(by: User, at: Site, on: list[Component] | None = None, **head: Any) -> Tally:
    made = TallyHead(**{"purpose": "rack", "kind": "pins off", "tape": "T-07", "reader": "Ada", **head})
    return open_tally(asks(by), at, made, spec=spec(), pieces=on or [])


def casing_plan(by: User, on: Tally, **head: Any) -> CasingPlan:
    """The plan of a casing tally: shoe, a shoe track of one joint, float collar, hanger, landing joint."""
    made = {"shoulder_nm": feet("24.60"), "hole_nm": feet("400"), "track_n": 1, "datum": "RKB", **head}
    plan = casing.begin_plan(asks(by), on, casing.CasingHead(**made))
    rows = list(plan.items.in_order())
    for kind, name, length, before in (
        ("shoe", "FS", "1.85", rows[0]), ("collar", "FC", "1.92", rows[1]), ("hanger", "HGR", "1.20", None),
        ("landing", "LJ", "38.10", None),
    ):
        part = casing.Part(kind, name, feet(length), locked=kind in ("shoe", "collar"))
        casing.put_in(asks(by), plan, part, before.pk if before else None)
    casing.tick(asks(by), plan, [rows[0].pk], "locked", done=True)
    return plan


def feet(text: str) -> int:
    return Length.parse(text, "ft").nanometres
