"""The journal, the ledgers and their triggers: what must hold for every action."""

import ast
import uuid
from datetime import timedelta

import pytest
from django.db import DatabaseError, connection, transaction
from django.utils import timezone

from rack.actions import pieces as actions
from rack.actions.journal import Asked, Hand
from rack.bootstrap import ROOT
from rack.errors import AlreadyUsed, NotAllowed, Refused
from rack.models import Component, Hold, Journal, Move, Place
from rack.models.guard import ledgers, missing, triggers
from tests import stock

pytestmark = pytest.mark.django_db


@pytest.fixture
def crew(here):
    return stock.person("ada", "crew", here)


@pytest.fixture
def piece(here):
    return stock.pieces(stock.rack(here), 1)[0]


def test_the_same_key_twice_stores_once_and_gives_the_first_answer(crew, piece):
    key = uuid.uuid4()
    first = actions.put_hold(stock.asks(crew, key), piece, "slip cut")
    again = actions.put_hold(stock.asks(crew, key), piece, "slip cut")
    piece.refresh_from_db()
    assert first == again
    assert (Hold.objects.count(), piece.holds_n) == (1, 1)


def test_the_same_key_for_something_else_is_refused_and_stores_nothing(crew, piece):
    key = uuid.uuid4()
    actions.put_hold(stock.asks(crew, key), piece, "slip cut")
    with pytest.raises(AlreadyUsed, match="already used for something else"):
        actions.put_hold(stock.asks(crew, key), piece, "bent")
    assert Hold.objects.count() == 1


@pytest.mark.parametrize("off", [timedelta(minutes=1), timedelta(days=-1)])
def test_a_history_that_is_written_afterwards_never_runs_backwards_nor_ahead(crew, piece, off):
    """The demo names its moments; a moment to come or before the newest line would spoil the ledger."""
    named = Asked(uuid.uuid4(), Hand(crew), timezone.now() + off)
    with pytest.raises(ValueError, match="is not between the newest line of the journal and now"):
        actions.put_hold(named, piece, "slip cut")
    assert Hold.objects.count() == 0


def test_a_moment_that_is_named_is_the_moment_of_the_line_and_a_repeat_answers_as_ever(crew, piece):
    at = timezone.now()
    named = Asked(uuid.uuid4(), Hand(crew), at)
    first = actions.put_hold(named, piece, "slip cut")
    actions.put_hold(stock.asks(crew), piece, "bent")
    assert (first.at, first.journal.at) == (at, at)
    assert actions.put_hold(named, piece, "slip cut") == first


def test_only_the_demo_names_a_moment():
    """A page, the API or a command that could name one could write history anew."""
    naming = []
    for file in sorted((ROOT / "rack").rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            called = isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] == "Asked"
            if called and (len(node.args) > 2 or {"at", None} & {each.arg for each in node.keywords}):
                naming.append(str(file.relative_to(ROOT)))
    assert naming == ["rack/demo/rig.py"]


def test_the_key_of_one_person_is_no_answer_for_another(here, crew, piece):
    key = uuid.uuid4()
    actions.put_hold(stock.asks(crew, key), piece, "slip cut")
    with pytest.raises(AlreadyUsed):
        actions.put_hold(stock.asks(stock.person("ben", "crew", here), key), piece, "slip cut")


@pytest.mark.parametrize("what", ["update", "delete"])
def test_the_database_refuses_to_change_any_ledger(crew, piece, what):
    actions.put_hold(stock.asks(crew), piece, "slip cut")
    for model in (Hold, Journal, Move):
        rows = model.objects.all()
        with pytest.raises(DatabaseError, match="a ledger only grows"), transaction.atomic():
            rows.update(at="2026-01-01T00:00Z") if what == "update" else rows._raw_delete(rows.db)


@pytest.mark.sqlite
def test_sqlite_replace_does_not_walk_past_the_trigger(crew, piece):
    hold = actions.put_hold(stock.asks(crew), piece, "slip cut")
    with (
        pytest.raises(DatabaseError, match="a ledger only grows"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(
            "INSERT OR REPLACE INTO rack_hold (id, journal_id, seq, at, component_id, what, reason) "
            "VALUES (%s, %s, 0, '2026-01-01', %s, 'put', 'nothing')",
            [hold.pk, hold.journal_id, piece.pk],
        )


def test_every_ledger_is_guarded_and_a_missing_trigger_is_named():
    assert missing() == []
    assert {model.__name__ for model in ledgers()} >= {
        "Journal",
        "Strap",
        "Move",
        "Hold",
        "Sheet",
        "Delivered",
    }
    table = Hold._meta.db_table
    name, _ = next(triggers(table, connection.vendor))
    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER {name}" + (f" ON {table}" if connection.vendor == "postgresql" else ""))
    assert missing() == [name]


def test_a_hold_is_released_once_and_only_by_a_supervisor(here, crew, piece):
    hold = actions.put_hold(stock.asks(crew), piece, "slip cut")
    with pytest.raises(NotAllowed, match="you must be supervisor"):
        actions.release_hold(stock.asks(crew), hold, "looked at")
    boss = stock.person("ola", "supervisor", here)
    actions.release_hold(stock.asks(boss), hold, "looked at")
    with pytest.raises(Refused, match="released already"):
        actions.release_hold(stock.asks(boss), hold, "once more")
    piece.refresh_from_db()
    assert piece.holds_n == 0


@pytest.mark.parametrize(
    ("role", "allowed"), [("crew", True), ("supervisor", True), ("office", True), ("viewer", False)]
)
def test_anyone_but_a_viewer_may_hold(here, piece, role, allowed):
    user = stock.person("somebody", role, here)
    if allowed:
        actions.put_hold(stock.asks(user), piece, "bent")
    else:
        with pytest.raises(NotAllowed, match="you are viewer"):
            actions.put_hold(stock.asks(user), piece, "bent")
    assert Hold.objects.count() == int(allowed)


def test_a_post_at_another_site_gives_nothing_here(piece):
    stranger = stock.person("eve", "supervisor", stock.site("OTH"))
    with pytest.raises(NotAllowed):
        actions.put_hold(stock.asks(stranger), piece, "bent")
    assert not Component.objects.for_user(stranger).exists()


@pytest.mark.parametrize("reason", ["", "   ", "x" * 201])
def test_a_hold_without_a_sensible_reason_is_refused(crew, piece, reason):
    with pytest.raises(Refused):
        actions.put_hold(stock.asks(crew), piece, reason)
    assert not Journal.objects.filter(verb="hold").exists()


def test_moving_is_all_or_nothing(here, crew, piece):
    other = stock.site("OTH")
    theirs = stock.pieces(stock.rack(other), 1)[0]
    layer = Place.objects.get(site=here, path="R1/2")
    with pytest.raises(Refused, match="belongs to another site"):
        actions.move_pieces(stock.asks(crew), [piece, theirs], layer)
    piece.refresh_from_db()
    assert piece.place.path == "R1/1"
    actions.move_pieces(stock.asks(crew), [piece], layer)
    piece.refresh_from_db()
    assert piece.place == layer


def test_a_state_that_the_table_does_not_allow_is_refused_with_what_is_allowed(crew, piece):
    actions.change_state(stock.asks(crew), piece, "accepted")
    with pytest.raises(Refused, match="next can be: at inspection"):
        actions.change_state(stock.asks(crew), piece, "received")


def test_a_second_painted_number_ends_the_first(crew, piece):
    actions.write_mark(stock.asks(crew), piece, "painted", "36A")
    assert [mark.text for mark in piece.marks.current()] == ["36A"]
    assert piece.marks.count() == 2
