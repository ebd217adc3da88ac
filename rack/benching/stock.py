"""The pieces of the bench, written in bulk by plain SQL: what a fleet's register holds after some years.

The kept figures agree with the ledgers, so the audit has nothing to say of them.
"""

import datetime
import uuid
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import Any

from django.contrib.auth.models import User
from django.core.management.color import no_style
from django.db import connection, models, transaction
from django.db.models import Max

from rack.actions import people
from rack.actions.journal import Asked, Hand
from rack.actions.making import specs_of
from rack.actions.places import make_rack
from rack.calc.specs import SpecFacts
from rack.calc.standing import NEVER
from rack.calc.tags import SPACE, new_code
from rack.models import Component, Hold, Journal, Mark, Move, Place, Site, Strap

IN = 25_400_000
WHEN = datetime.datetime(2024, 3, 1, 6, 0, tzinfo=datetime.UTC)
DAY = WHEN.date()
PASSWORD = "bench-" + uuid.uuid4().hex
RACKS, LAYERS = 20, 6
#: So many pieces came with one delivery.
A_LIST = 1000
SENTENCES = ("Received a list", "Moved pieces", "Held a piece")
COMPONENT = (
    "id tag serial serial_key serial_yek spec_id owner site_id received_on place_id state "
    "length_nm length_kind length_by_id holds_n version "
    "scheme edition pipe_class tube_class joint_class due_why day_hard_by "
    "soon_on due_on over_on day_soon_on day_due_on day_over_on day_hard_on"
)
STRAP = (
    "id component_id strap_n what nm kind typed typed_unit tape hands questions_n questions journal_id seq at"
)
_BATCH = 5000
#: An odd multiplier visits every number below a power of two once: tags in no order, none twice.
_STRIDE = 366_384_041


def fill(count: int) -> None:
    """Write `count` pieces at two sites, unless they are there."""
    if Component.objects.count() >= count:
        return
    site = _site()
    with transaction.atomic():
        for n in range(RACKS):
            make_rack(site, f"R{n + 1}", LAYERS)
        specs = [spec.pk for spec in specs_of(_facts()).values()]
        layers = list(Place.objects.on(site).layers().order_by("pk").values_list("pk", flat=True))
        with connection.cursor() as cursor:
            _write(cursor, count, site.pk, specs, layers)
            written = [Component, Journal, Move, Strap, Hold, Mark]
            for statement in connection.ops.sequence_reset_sql(no_style(), written):
                cursor.execute(statement)
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")  # as its own housekeeping does within a minute


def user() -> User:
    """The supervisor whose pages are measured."""
    return User.objects.get(username="bench")


def _site() -> Site:
    hand = Hand(None)
    people.begin(
        Asked(uuid.uuid4(), hand), people.NewAccount("office", "Office", PASSWORD),
        people.NewSite("BENCH", "Bench", "Europe/Oslo", "us", "R0", 1),
    )  # fmt: skip
    site = Site.objects.get(code="BENCH")
    office = Asked(uuid.uuid4(), Hand(User.objects.get(username="office")))
    people.add_account(office, people.NewAccount("bench", "Bench", PASSWORD), site, "supervisor")
    return site


def _facts() -> Iterator[SpecFacts]:
    for od, weight, conn in ((5, 19500, "NC50"), (5, 25600, "NC50"), (4, 14000, "NC40"), (3, 9500, "NC31")):
        for grade in ("G-105", "S-135", "X-95"):
            yield SpecFacts(
                kind="drill_pipe", od_nm=od * IN, weight_mlb_ft=weight, grade=grade, range="R2",
                up_conn=conn, up_gender="box", down_conn=conn, down_gender="pin",
            )  # fmt: skip


def _write(cursor: Any, count: int, site: int, specs: list[int], layers: list[int]) -> None:
    """Every third piece was moved once, nine in ten have a length, one in a hundred is held."""
    pieces, at = range(1, count + 1), ready(Move, "at", WHEN)
    received, moved, held = (lines(cursor, count, site, at, words) for words in SENTENCES)

    def layer(n: int, on: int = 0) -> int:
        return layers[(n // 40 + on) % len(layers)]

    _pieces(cursor, pieces, site, specs, lambda n: layer(n, 0 if n % 3 else 7))
    insert(
        cursor,
        Move,
        "id component_id to_place_id from_state to_state journal_id seq at",
        ((n, n, layer(n), "", "received", *entry(received, n), at) for n in pieces),
    )
    insert(
        cursor,
        Move,
        "id component_id from_place_id to_place_id from_state to_state journal_id seq at",
        (
            (count + n, n, layer(n), layer(n, 7), "received", "received", *entry(moved, n), at)
            for n in pieces[2::3]
        ),
    )
    insert(
        cursor,
        Strap,
        STRAP,
        (
            (n, n, 0, "reading", nm, "pins off", "", "ft", "", "a list", 0, "[]", *entry(received, n), at)
            for n in pieces
            if (nm := _nm(n))
        ),
    )
    insert(
        cursor,
        Hold,
        "id component_id what reason journal_id seq at",
        ((n, n, "put", "slip cut", *entry(held, n), at) for n in pieces[99::100]),
    )
    insert(
        cursor,
        Mark,
        "id component_id what text text_key text_yek since",
        (
            (n, n, "painted", text, text, text[::-1], DAY.isoformat())
            for n in pieces
            for text in [str(n % 5000 + 1)]
        ),
    )


def _pieces(cursor: Any, pieces: range, site: int, specs: list[int], layer: Callable[[int], int]) -> None:
    tags = _tags()
    insert(
        cursor,
        Component,
        COMPONENT,
        (
            (
                n,
                next(tags),
                serial,
                serial,
                serial[::-1],
                specs[n // 7 % len(specs)],
                "",
                site,
                DAY.isoformat(),
                layer(n),
                "received",
                nm,
                "pins off" if nm else "",
                n if nm else None,
                int(n % 100 == 0),
                0,
                *[""] * 7,
                *[NEVER.isoformat()] * 7,
            )
            for n in pieces
            for serial, nm in [(_serial(n), _nm(n))]
        ),
    )


def _serial(n: int) -> str:
    """Capitals and figures alone: the serial is its own key."""
    return f"{'KD' if n % 5 else 'TX'}{n * 7 % 900_001 + 100_000}"


def _nm(n: int) -> int | None:
    return None if n % 10 == 7 else 9_300_000_000 + n * 7919 % 400 * 304_800


def _tags() -> Iterator[str]:
    drawn = 1
    while True:
        drawn = (drawn + _STRIDE) % SPACE
        if code := new_code(drawn):
            yield code


def lines(cursor: Any, count: int, site: int, at: Any, sentence: str) -> int:
    """A journal line for every thousand pieces; gives the first one's id."""
    first = (Journal.objects.aggregate(last=Max("id"))["last"] or 0) + 1
    by = user().pk
    insert(
        cursor,
        Journal,
        "id key body_digest verb site_id by_id at sentence facts",
        (
            (first + n, ready(Journal, "key", uuid.uuid4()), "", "bench", site, by, at, sentence, "{}")
            for n in range(count // A_LIST + 1)
        ),
    )
    for statement in connection.ops.sequence_reset_sql(no_style(), [Journal]):
        cursor.execute(statement)
    return first


def entry(first: int, n: int) -> tuple[int, int]:
    """The journal line and the place in it of the n-th piece."""
    return first + n // A_LIST, n % A_LIST


def ready(model: type[models.Model], field: str, value: Any) -> Any:
    """A value as this database takes it."""
    return model._meta.get_field(field).get_db_prep_save(value, connection)  # type: ignore[union-attr]


def insert(cursor: Any, model: type[models.Model], names: str, rows: Iterable[tuple[Any, ...]]) -> None:
    """Write rows of plain values into these columns, some thousands at a time."""
    table, columns = model._meta.db_table, names.split()
    statement = f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({', '.join(['%s'] * len(columns))})"
    waiting = iter(rows)
    while batch := list(islice(waiting, _BATCH)):
        cursor.executemany(statement, batch)
