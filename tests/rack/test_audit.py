"""The audit finds what a hand in the database did, and finds nothing where nobody did."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection, transaction

from rack.actions import closing, pieces, straps
from rack.actions.files import keep_bytes, path_of
from rack.actions.journal import open_line
from rack.calc.sheets import digest_of
from rack.models import Component, File, Hold, Line, Mark, Move, Place, Sheet, Spec, Strap, Tally, guard
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
    "a tally shut by hand": (lambda: Tally.objects.all(), {"open": False}, "open"),
}  # fmt: skip


@pytest.mark.parametrize(("rows", "wrong", "figure"), SLIPS.values(), ids=SLIPS.keys())
def test_a_figure_that_was_changed_by_hand_is_named_and_nothing_else_is(full, rows, wrong, figure):
    model = rows().model
    assert model.objects.filter(pk__in=list(rows().values_list("pk", flat=True))).update(**wrong) == 1
    found = differences()
    assert len(found) == 1
    assert figure in found[0]


@pytest.fixture
def closed():
    """A tally of two pieces that was closed, opened again and closed again."""
    site = stock.site()
    boss = stock.person("ola", "supervisor", site)
    tally = stock.tally(boss, site, stock.pieces(stock.rack(site), 2))
    for row, typed in zip(tally.lines.in_order(), ("31.24", "30.98"), strict=True):
        straps.read(stock.asks(boss), straps.Reading(tally, typed, line=row))
    closing.close(stock.asks(boss), tally, reason="one strap was wanted")
    closing.revise(stock.asks(boss), tally, "36 was read twice")
    closing.close(stock.asks(boss), tally, reason="one strap was wanted")
    return tally


def by_hand(model, statement: str, values: list) -> None:
    """Write into a ledger past its triggers, as nothing but a hand in the database can."""
    table = model._meta.db_table
    off = [f"DROP TRIGGER {name}" for name, _ in guard.triggers(table, connection.vendor)]
    if connection.vendor == "postgresql":
        off = [f"ALTER TABLE {table} DISABLE TRIGGER USER"]
    with connection.cursor() as cursor:
        for each in off:
            cursor.execute(each)
        cursor.execute(statement.format(table=table), values)
        if connection.vendor == "postgresql":
            cursor.execute(f"ALTER TABLE {table} ENABLE TRIGGER USER")
    guard.install()


def test_a_tally_that_was_revised_and_closed_again_has_no_difference(closed):
    assert "No difference: 2 pieces" in audited()


def test_a_revised_tally_that_a_hand_shut_is_named(closed):
    closing.revise(stock.asks(stock.person("ben", "supervisor", closed.site)), closed, "36 once more")
    assert "No difference" in audited()
    Tally.objects.update(open=False)
    assert [line for line in differences() if "open" in line] != []


@pytest.mark.parametrize("harm", ["digest kept", "digest made to fit"])
def test_a_sheet_whose_total_was_changed_is_named_whatever_its_digest_says(closed, harm):
    sheet = Sheet.objects.latest("id")
    content = sheet.content.replace('"sum_nm":', '"sum_nm":1')
    digest = sheet.digest if harm == "digest kept" else digest_of(content)
    by_hand(Sheet, "UPDATE {table} SET content = %s, digest = %s WHERE id = %s", [content, digest, sheet.pk])
    found = differences()
    assert [line for line in found if "The total on the sheet is" in line] != []
    assert len([line for line in found if "digest" in line]) == (harm == "digest kept")


@pytest.mark.parametrize(
    "model, statement, figure",
    [
        (Hold, "UPDATE {table} SET what = 'put', of_id = NULL WHERE what = 'release'", "holds_n"),
        (Move, "UPDATE {table} SET to_state = 'scrapped' WHERE id = (SELECT max(id) FROM {table})", "state"),
        (Strap, "UPDATE {table} SET nm = nm + 1 WHERE id = (SELECT max(id) FROM {table})", "length_nm"),
    ],
    ids=["hold", "move", "strap"],
)
def test_a_ledger_that_was_changed_by_hand_no_longer_gives_what_was_kept(full, model, statement, figure):
    by_hand(model, statement, [])
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
