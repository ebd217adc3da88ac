"""A process killed in the middle of an entry: all of it is stored or nothing, and sent again it is stored.

The child is this process forked; it patches its own copy of the program and kills itself at a named
point, as a power cut would. Nothing of this is known to the program.
"""

import json
import os
import signal
import traceback
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest
from django.db import connection, connections
from django.test import Client

from rack.actions import doing, receiving, running, straps, strings, wells
from rack.models import Change, Component, Delivered, Delivery, Journal, Member, Move, Strap
from tests import stock
from tests.rack.test_audit import audited
from tests.rack.test_races_of_lists import delivery_list

pytestmark = pytest.mark.django_db(transaction=True)

TIMES = 3
PATIENCE = 30


def transaction_is_open() -> bool:
    """What the database says: Django takes its own flag down a moment before it commits."""
    if connection.vendor == "sqlite":
        return bool(connection.connection.in_transaction)
    return connection.connection.info.transaction_status.name != "IDLE"


@dataclass
class Deed:
    """Something that is sent: how, how much of it is stored, and where its last rows are written."""

    send: Callable[[uuid.UUID], str]
    stored: Callable[[uuid.UUID], tuple[int, ...]]
    module: Any
    last_rows: str


@pytest.fixture
def reading() -> Deed:
    """A reading of one joint, sent to the API by a signed-in person; each time another joint."""
    here = stock.site()
    crew = stock.person("ada", "crew", here)
    tally = stock.tally(crew, here, stock.pieces(stock.rack(here), TIMES))
    client = Client()
    client.force_login(crew, backend="django.contrib.auth.backends.ModelBackend")
    lines: dict[uuid.UUID, Any] = {}
    free = iter(tally.lines.in_order())

    def line_of(key: uuid.UUID) -> Any:
        return lines.setdefault(key, lines.get(key) or next(free))

    def send(key: uuid.UUID) -> str:
        entry = {"key": str(key), "tally": tally.pk, "line": line_of(key).pk, "strap_n": 1, "typed": "31.24"}
        answer = client.post("/api/readings", json.dumps([entry]), content_type="application/json")
        (result,) = answer.json()
        return str(result["status"])

    def stored(key: uuid.UUID) -> tuple[int, ...]:
        line = line_of(key)
        line.refresh_from_db()
        return (
            Journal.objects.filter(key=key).count(),
            Strap.objects.filter(line=line).count(),
            int(line.first_nm is not None),
        )

    return Deed(send, stored, straps, "keep_lines")


@pytest.fixture
def delivery() -> Deed:
    """A list of two joints, accepted; each time another file."""
    here = stock.site()
    crew = stock.person("ada", "supervisor", here)
    layer = stock.rack(here)

    def send(key: uuid.UUID) -> str:
        again = Journal.objects.filter(key=key).exists()
        read = delivery_list(key.bytes)
        receiving.accept(stock.asks(crew, key), read, receiving.Receipt(layer, f"{key}.csv"))
        return "repeated" if again else "stored"

    def stored(key: uuid.UUID) -> tuple[int, ...]:
        return (
            Journal.objects.filter(key=key).count(),
            Delivery.objects.filter(journal__key=key).count(),
            Delivered.objects.filter(journal__key=key).count() // 2,
            Move.objects.filter(journal__key=key).count() // 2,
            Component.objects.filter(move_rows__journal__key=key).count() // 2,
        )

    return Deed(send, stored, receiving, "_write_rows")


@pytest.fixture
def trip() -> Deed:
    """A stand of three joints racked back; each time the next from the top."""
    here = stock.site()
    boss = stock.person("ola", "supervisor", here)
    well = wells.add_well(stock.asks(boss), here, wells.WellFacts("SD-14"))
    string = strings.begin_string(stock.asks(boss), here, strings.StringHead(well))
    joints = stock.pieces(stock.rack(here), 3 * TIMES, lengths=["31.24"] * (3 * TIMES))
    running.join(stock.asks(boss), string, joints)
    stands: dict[uuid.UUID, list[Component]] = {}
    free = iter(joints[at : at + 3] for at in range(3 * TIMES - 3, -1, -3))

    def stand_of(key: uuid.UUID) -> list[Component]:
        return stands.setdefault(key, stands.get(key) or next(free))

    def send(key: uuid.UUID) -> str:
        again = Journal.objects.filter(key=key).exists()
        running.rack_back(stock.asks(boss, key), string, stand_of(key), "A", 1)
        return "repeated" if again else "stored"

    def stored(key: uuid.UUID) -> tuple[int, ...]:
        pieces = [piece.pk for piece in stand_of(key)]
        return (
            Journal.objects.filter(key=key).count(),
            Change.objects.filter(journal__key=key).count() // 3,
            Move.objects.filter(journal__key=key).count() // 3,
            Component.objects.filter(pk__in=pieces, state="in_derrick").count() // 3,
            Member.objects.filter(component__in=pieces, racked=True).count() // 3,
        )

    return Deed(send, stored, doing, "settle_kept")


def after_the_journal_line(deed: Deed, die: Callable[[], None]) -> None:
    _patch(deed.module, "open_line", then=die)


def after_the_rows(deed: Deed, die: Callable[[], None]) -> None:
    """All ledger rows are written; a reading's kept figures, its last step, are not yet."""
    if deed.last_rows in ("keep_lines", "settle_kept"):
        _patch(deed.module, deed.last_rows, first=die)
    else:
        _patch(deed.module, deed.last_rows, then=die)


def before_the_commit(deed: Deed, die: Callable[[], None]) -> None:
    _patch(deed.module, "open_line", then=lambda: _patch(connection, "commit", first=die))


def after_the_commit(deed: Deed, die: Callable[[], None]) -> None:
    """It is stored, and the answer never leaves."""
    _patch(deed.module, "open_line", then=lambda: _patch(connection, "commit", then=die))


def _nothing() -> None:
    pass


def _patch(
    owner: Any, name: str, *, first: Callable[[], None] = _nothing, then: Callable[[], None] = _nothing
) -> None:
    plain = getattr(owner, name)

    def patched(*args: Any, **more: Any) -> Any:
        first()
        answer = plain(*args, **more)
        then()
        return answer

    setattr(owner, name, patched)


def killed(deed: Deed, key: uuid.UUID, point: Callable[[Deed, Callable[[], None]], None]) -> bool:
    """Send the deed from a child that kills itself at `point`; was a transaction open when it died?"""
    connections.close_all()  # a child must not share the connection of its parent
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        _be_killed(deed, key, point, into)
    os.close(into)
    with os.fdopen(out, encoding="utf-8") as report:
        said = report.read()
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL, said
    return bool(json.loads(said)["open"])


def _be_killed(deed: Deed, key: uuid.UUID, point: Any, into: int) -> None:
    """What the child does. It never comes back into the tests, whatever happens."""

    def die() -> None:
        os.write(into, json.dumps({"open": transaction_is_open()}).encode())
        os.kill(os.getpid(), signal.SIGKILL)

    try:
        for one in connections.all():
            one.connection = None  # whatever was left open belongs to the parent; the child opens its own
        signal.alarm(PATIENCE)
        point(deed, die)
        deed.send(key)
        os.write(into, b"the point was never reached")
    except BaseException:
        os.write(into, traceback.format_exc().encode())
    finally:
        os._exit(1)


POINTS = {
    "after the journal line": (after_the_journal_line, False),
    "after the rows": (after_the_rows, False),
    "before the commit": (before_the_commit, False),
    "after the commit, before the answer": (after_the_commit, True),
}


@pytest.mark.parametrize(("point", "is_stored"), POINTS.values(), ids=POINTS.keys())
@pytest.mark.parametrize("what", ["reading", "delivery", "trip"])
def test_what_was_killed_is_there_wholly_or_not_at_all_and_sent_again_once(
    request, record_property, what, point, is_stored
):
    deed: Deed = request.getfixturevalue(what)
    opened = 0
    for _ in range(TIMES):
        key = uuid.uuid4()
        opened += killed(deed, key, point)
        assert set(deed.stored(key)) == {int(is_stored)}
        assert "No difference" in audited()
        assert deed.send(key) == ("repeated" if is_stored else "stored")
        assert set(deed.stored(key)) == {1}
        assert deed.send(key) == "repeated"
        assert set(deed.stored(key)) == {1}
    assert "No difference" in audited()
    record_property("processes killed", TIMES)
    record_property("of them in an open transaction", opened)
    assert opened == (0 if is_stored else TIMES)
