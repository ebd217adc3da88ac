"""The pages of a long string: plain values that say what the members say, and no question for each piece."""

from typing import Any

import pytest
from django import forms
from django.db import connection
from django.forms.renderers import DjangoTemplates
from django.test import Client
from django.test.utils import CaptureQueriesContext

from rack.actions import pieces as on_pieces
from rack.actions import plans, running, unlisted
from rack.actions.doing import Said
from rack.models import Member, Place, String
from rack.models.running import hanging_of, members_of
from rack.models.string_lines import lines_of
from rack.views.strings import rows_of
from tests import runs, stock
from tests.rack.tally_desk import signed_in, text_of

pytestmark = pytest.mark.django_db

FEW, MANY = 4, 40


@pytest.fixture
def mixed(ola, layer) -> String:
    """Joints in the hole and the derrick, one held, one never taped, one without a serial; four by count."""
    string = runs.string(ola, layer)
    joints = stock.pieces(layer, 7, lengths=["31.24", "30.98", "31.02", "31.10", "31.31", "31.05", "30.77"])
    new = stock.pieces(layer, 1, first=5001)
    running.join(stock.asks(ola), string, joints[:2])
    unlisted.put_in_by_count(stock.asks(ola), string, stock.spec(), 4)
    running.join(stock.asks(ola), string, [*joints[2:4], *new, *joints[4:]])
    type(joints[1]).objects.filter(pk=joints[1].pk).update(serial="")
    on_pieces.put_hold(stock.asks(ola), joints[2], "washed at the pin")
    running.rack_back(stock.asks(ola), string, joints[5:], "A", 1)
    return string


def said_of(row: Any) -> tuple[Any, ...]:
    if not isinstance(row, Member):
        return ("", "", False, row.spec.kind, str(row.spec), row.length_nm, False, "", row.count_n, row.pk)
    piece = row.component
    place = str(piece.place) if row.racked else ""
    return (piece.tag, str(piece), piece.holds_n > 0, piece.spec.kind, str(piece.spec), row.length_nm,
            row.racked, place, 1, 0)  # fmt: skip


def test_the_lines_of_a_string_say_what_its_members_say(mixed):
    members, lines = members_of(mixed), lines_of(mixed)
    said = [tuple(getattr(line, name) for name in line.__slots__) for line in lines]
    assert said == [said_of(row) for row in members]
    assert hanging_of(mixed, lines) == hanging_of(mixed, members)
    assert {line.racked for line in lines} == {line.counted > 0 for line in lines} == {True, False}


def test_a_row_says_where_its_piece_is_and_nothing_above_what_was_never_taped(mixed):
    rows = rows_of(mixed, lines_of(mixed))
    assert [row.n for row in rows] == [str(n) for n in range(1, 10)]
    assert [row.from_bit for row in rows] == ["31.24", "62.22", *["–"] * 7]
    assert [row.length for row in rows][2:6] == ["–", "31.02", "31.10", "–"]
    assert [row.where for row in rows] == ["in the hole"] * 7 + ["derrick A, row 1"] * 2
    by_count = rows[2]
    assert (by_count.piece, by_count.at, by_count.stand) == ("list to follow", "", "–")
    assert by_count.item.startswith("4 x 5 in")
    assert rows[1].piece.startswith("no serial, tag ") and rows[3].held


def test_the_address_of_each_row_is_the_page_of_its_piece(mixed):
    client = signed_in("ines", "office", mixed.site)
    piece = mixed.members.from_the_bit().first().component
    row = rows_of(mixed, lines_of(mixed))[0]
    assert row.at == f"/piece/{piece.tag}/"
    assert "KD4101" in text_of(client.get(row.at))


def asked_by(client: Client, address: str) -> int:
    client.get(address)  # what is read once for the whole program is not this page's
    with CaptureQueriesContext(connection) as asked:
        assert client.get(address).status_code == 200, address
    return len(asked)


@pytest.mark.parametrize("page", ["", "driller/", "depths/", "handover.pdf"])
def test_a_long_string_asks_no_more_than_a_short_one(page: str, ola, layer: Place):
    """A question for each piece would make the page of a string of 700 pieces wait for 700 of them."""
    client, counts = signed_in("ines", "office", layer.site), []
    for first, many in ((4101, FEW), (5101, MANY)):
        joints = stock.pieces(layer, 2 * many, first=first, lengths=["31.00"] * 2 * many)
        plan = plans.begin_plan(
            stock.asks(ola), layer.site, plans.PlanHead(f"{many}"), [plans.Put(piece) for piece in joints]
        )
        string = runs.string(ola, layer, f"SD-{many}")
        String.objects.filter(pk=string.pk).update(plan=plan)
        string.refresh_from_db()
        running.join(stock.asks(ola), string, joints[:many], Said(reason="as planned"))
        running.rack_back(stock.asks(ola), string, joints[many - 2 : many], "A", first // 1000)
        counts.append(asked_by(client, f"/strings/{string.number}/{page}"))
    assert counts[0] == counts[1] < 45, counts


def test_a_long_run_asks_no_more_than_a_short_one(ola, layer: Place):
    client, counts = signed_in("ines", "office", layer.site), []
    for first, many in ((4101, FEW), (5101, MANY)):
        string = runs.string(ola, layer, f"SD-{many}")
        runs.join(ola, string, stock.pieces(layer, many, first=first, lengths=["31.00"] * many), 0)
        run = runs.run(ola, string)
        runs.post_legs(stock.asks(ola), run, [runs.leg(1, 3)], "as the sheet says")
        counts.append(asked_by(client, f"/runs/{run.pk}/"))
        assert f"KD{first}" in text_of(client.get(f"/runs/{run.pk}/"))
    assert counts[0] == counts[1] < 30, counts


class Choosing(forms.Form):
    """A choice of every sort: with groups, with one chosen, with what must be escaped."""

    plain = forms.ChoiceField(choices=[("", "none"), ("a", "A & <b>"), ("c", "C")], initial="a")
    grouped = forms.ChoiceField(choices=[("one", [("1", "I"), ("2", "II")]), ("3", "III")], initial="2")
    many = forms.MultipleChoiceField(choices=[("x", "X"), ("y", "Y")], initial=["x", "y"], required=False)
    number = forms.TypedChoiceField(coerce=int, choices=[(n, f"{n:,}") for n in (1, 2500)], initial=2500)
    said = forms.NullBooleanField()


@pytest.mark.parametrize("name", list(Choosing.base_fields))
def test_a_choice_is_drawn_as_django_draws_it(name: str):
    def drawn(**more: Any) -> str:
        return "".join(line.strip() for line in str(Choosing(**more)[name]).splitlines())

    assert drawn() == drawn(renderer=DjangoTemplates())
    assert "selected" in drawn()
