"""The audit finds what a hand in the database did, and finds nothing where nobody did."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection, transaction

from rack.actions import pieces
from rack.actions.files import keep_bytes, path_of
from rack.actions.journal import open_line
from rack.models import Component, File, Hold, Line, Mark, Place, Spec, Tally, guard
from tests import stock

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def full():
    """Pieces that were moved, held, released and named; a tally that is half read."""
    site = stock.site()
    crew, boss = stock.person("ada", "crew", site), stock.person("ola", "supervisor", site)
    made = stock.pieces(stock.rack(site), 4, lengths=["31.24", "30.98", "31.02", "31.10"])
    hold = pieces.put_hold(stock.asks(crew), made[0], "slip cut")
    pieces.put_hold(stock.asks(crew), made[1], "bent")
    pieces.release_hold(stock.asks(boss), hold, "dressed")
    pieces.move_pieces(stock.asks(crew), made[:2], Place.objects.get(site=site, path="R1/2"))
    pieces.write_mark(stock.asks(crew), made[2], "stencil", "AB-12")
    stock.tally(crew, site, made)
    with transaction.atomic():
        line, _ = open_line(stock.asks(None), "keep", None, "Kept a file", {})
        sha256 = keep_bytes(b"serial,length")
        File.objects.create(
            journal=line, at=line.at, sha256=sha256, size=13, media="text/csv", typed_name="a.csv"
        )
    return site


def audited() -> str:
    out = StringIO()
    call_command("audit_ledger", stdout=out)
    return out.getvalue()


def differences() -> list[str]:
    out = StringIO()
    with pytest.raises(CommandError, match="difference"):
        call_command("audit_ledger", stdout=out)
    return out.getvalue().splitlines()


def test_what_the_actions_wrote_has_no_difference(full):
    assert "No difference: 4 pieces" in audited()


def piece(serial: str):
    return Component.objects.filter(serial=serial)


SLIPS = {
    "a state": (lambda: piece("KD4101"), {"state": "scrapped"}, "state"),
    "a place": (lambda: piece("KD4101"), {"place": None}, "place_id"),
    "a hold": (lambda: piece("KD4102"), {"holds_n": 0}, "holds_n"),
    "a length": (lambda: piece("KD4103"), {"length_nm": 1}, "length_nm"),
    "a length's word": (lambda: piece("KD4103"), {"length_by": None}, "length_by_id"),
    "a searched serial": (lambda: piece("KD4103"), {"serial_key": "X"}, "searched serial"),
    "a searched mark": (lambda: Mark.objects.filter(text="AB-12"), {"text_yek": "21BB"}, "searched text"),
    "a specification": (lambda: Spec.objects.all(), {"od_nm": 1}, "columns"),
    "a reading of a line": (lambda: Line.objects.order_by("pk")[:1], {"first_nm": 5}, "first_nm"),
    "a question of a line": (lambda: Line.objects.order_by("pk")[:1], {"questions_n": 3}, "questions_n"),
    "a revision": (lambda: Tally.objects.all(), {"revision": 2}, "revision"),
}  # fmt: skip


@pytest.mark.parametrize(("rows", "wrong", "figure"), SLIPS.values(), ids=SLIPS.keys())
def test_a_figure_that_was_changed_by_hand_is_named_and_nothing_else_is(full, rows, wrong, figure):
    model = rows().model
    assert model.objects.filter(pk__in=list(rows().values_list("pk", flat=True))).update(**wrong) == 1
    found = differences()
    assert len(found) == 1
    assert figure in found[0]


def test_a_missing_trigger_is_named_even_when_every_figure_is_right(full):
    table = Hold._meta.db_table
    name, statement = next(guard.triggers(table, connection.vendor))
    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER {name}" + ("" if connection.vendor == "sqlite" else f" ON {table}"))
    try:
        assert [line for line in differences() if name in line] != []
    finally:
        with connection.cursor() as cursor:
            cursor.execute(statement)
    assert "No difference" in audited()


@pytest.mark.parametrize("harm", ["gone", "changed"])
def test_a_kept_file_is_opened(full, harm):
    path = path_of(File.objects.get().sha256)
    path.unlink() if harm == "gone" else path.write_bytes(b"serial,lengtH")
    found = differences()
    assert len(found) == 1
    assert "its bytes" in found[0]
