"""What stays below: casing has its limit by days from that moment, and loses it when that is taken back."""

import uuid

import pytest
from django.test import override_settings

from inspection.audits import standings
from rack.actions import running, taking_back
from rack.actions.doing import Said
from rack.actions.pieces import change_state
from rack.calc.standing import NEVER
from rack.models import Component, Journal
from tests import runs, stock

WHY = "cemented"


@pytest.fixture
def string(here, layer, ola):
    return runs.string(ola, layer)


@pytest.fixture
def casing(layer, string, ola):
    pieces = stock.pieces(layer, 2, facts=stock.CASING, first=7001, lengths=["40.00", "41.00"])
    runs.join(ola, string, pieces, hours=0)
    return pieces


def now(piece: Component) -> Component:
    return Component.objects.get(pk=piece.pk)


def left(ola, string, pieces, state: str = "left_in_well") -> Journal:
    said = Said(runs.at(2), None, WHY)
    return running.leave_behind(stock.asks(ola), string, pieces, state, said)[0].journal


def test_casing_left_in_the_well_is_due_by_days_before_anything_turns_inside_it(ola, string, casing):
    left(ola, string, casing)
    assert [now(piece).day_due_on == NEVER for piece in casing] == [False, False]
    assert "30 days" in now(casing[0]).due_why
    assert list(standings("default")) == []


def test_taken_back_it_has_no_such_limit_any_more(ola, string, casing):
    done = left(ola, string, casing)
    taking_back.take_back(stock.asks(ola), string, done)
    assert [now(piece).state for piece in casing] == ["in_string"] * 2
    assert [now(piece).day_due_on for piece in casing] == [NEVER] * 2
    assert list(standings("default")) == []


def test_casing_that_was_pulled_from_the_well_has_no_such_limit_any_more(ola, string, casing):
    left(ola, string, casing)
    change_state(stock.asks(ola), casing[0], "received")
    assert [now(piece).day_due_on == NEVER for piece in casing] == [True, False]
    assert list(standings("default")) == []


def test_what_is_lost_in_the_hole_is_settled_and_settled_again_when_that_was_a_slip(ola, string, casing):
    done = left(ola, string, casing[1:], "lost_in_hole")
    assert now(casing[1]).day_due_on == NEVER
    assert list(standings("default")) == []
    taking_back.take_back(stock.asks(ola), string, done)
    assert list(standings("default")) == []


def told(line: Journal, what: object, ids: list[int]) -> None:
    """A follower: the journal's sentence keeps whom it was told of."""
    TOLD.append((line.verb, ids) if what is None else ("another", ids))


TOLD: list[tuple[str, list[int]]] = []


def test_a_follower_is_told_once_of_what_stays_and_of_nothing_else(ola, string, casing, layer):
    TOLD.clear()
    with override_settings(NEIGHBOURS={"happened": [f"{__name__}.told"]}):
        running.lay_down(stock.asks(ola), string, casing[1:], layer, Said(runs.at(1), None, WHY))
        key = uuid.uuid4()
        for _ in range(2):
            running.leave_behind(
                stock.asks(ola, key), string, casing[:1], "left_in_well", Said(runs.at(2), None, WHY)
            )
        taking_back.take_back(stock.asks(ola), string, Journal.objects.get(key=key))
    assert [("leave behind", [casing[0].pk]), ("take back change", [casing[0].pk])] == TOLD
