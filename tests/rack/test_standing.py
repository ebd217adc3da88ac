"""Class and limits are written by one action; the database and the pure rule give the same three dates."""

from datetime import date, timedelta

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rack.actions import standing
from rack.actions.journal import open_line
from rack.actions.standing import Limits, Standing
from rack.calc.standing import EVER, NEVER, NO_LIMIT, dates, left
from rack.errors import Refused
from rack.models import Clock, Component
from rack.models.clocks import as_calc, clocks_of, days_of, totals_of
from tests import stock

pytestmark = pytest.mark.django_db

DAY = date(2027, 3, 1)


@pytest.fixture
def pieces(layer):
    return stock.pieces(layer, 4)


def write(standings):
    with transaction.atomic():
        asked = stock.asks(None)
        line, _ = open_line(asked, "inspect", None, "An inspection for a test", {"key": str(asked.key)})
        standing.write(line, standings)


def test_the_class_and_the_limits_stand_on_the_piece_as_they_were_given(pieces):
    write({pieces[0].pk: Standing(
        "pipe", "2020", "premium", "premium", "class 2", DAY,
        {("rotating_s", "full"): (0, 80, 100, 120)}, (DAY, DAY + timedelta(9), NEVER), why="six months",
    )})  # fmt: skip
    piece = Component.objects.get(pk=pieces[0].pk)
    assert (piece.scheme, piece.edition, piece.pipe_class, piece.joint_class) == (
        "pipe", "2020", "premium", "class 2")  # fmt: skip
    assert (piece.soon_on, piece.due_on, piece.over_on) == (DAY, DAY + timedelta(9), NEVER)
    assert piece.due_why == "six months"
    clock = Clock.objects.get(component=piece)
    assert (clock.soon, clock.due, clock.over, clock.left, clock.known) == (80, 100, 120, 100, True)


def test_a_mark_that_is_not_known_is_due_where_there_is_a_limit_and_fit_where_there_is_none(pieces):
    """Law 8: unknown is not zero; a hire with a fresh report and unknown life hours is fit."""
    write({
        pieces[0].pk: Standing(clocks={("rotating_s", "new"): (None, 80, 100, 120)}),
        pieces[1].pk: Standing(clocks={("rotating_s", "new"): (None, None, None, None)}),
    })  # fmt: skip
    due, fit = (Component.objects.get(pk=piece.pk) for piece in pieces[:2])
    assert (due.soon_on, due.due_on, due.over_on) == (EVER, EVER, NEVER)
    assert Clock.objects.get(component=due).left == 0
    assert (fit.soon_on, fit.due_on, fit.over_on) == (NEVER, NEVER, NEVER)
    assert Clock.objects.get(component=fit).left == NO_LIMIT


def test_a_clock_that_is_not_named_again_loses_its_limits_and_keeps_what_it_ran(pieces):
    write({pieces[0].pk: Standing(clocks={("rotating_s", "full"): (0, 0, 0, 0)})})
    Clock.objects.update(total=50)
    assert Component.objects.get(pk=pieces[0].pk).over_on == EVER
    write({pieces[0].pk: Standing()})
    clock = Clock.objects.get(component=pieces[0])
    assert (clock.total, clock.soon, clock.due, clock.over, clock.left) == (50, None, None, None, NO_LIMIT)
    assert Component.objects.get(pk=pieces[0].pk).due_on == NEVER
    assert totals_of([pieces[0].pk]) == {(pieces[0].pk, "rotating_s"): 50}


def test_limits_that_only_change_keep_the_mark_of_zero(pieces):
    write({pieces[0].pk: Standing(clocks={("rotating_s", "full"): (30, None, 100, None)})})
    write({pieces[0].pk: Standing(clocks={("rotating_s", "full"): Limits(0, None, 70, None, anew=False)})})
    clock = Clock.objects.get(component=pieces[0])
    assert (clock.zero, clock.due, clock.left) == (30, 70, 100)


def test_many_alike_are_written_in_few_statements(pieces, django_assert_max_num_queries):
    one = Standing("pipe", "2020", "premium", clocks={("rotating_s", "full"): (0, 80, 100, 120)})
    with django_assert_max_num_queries(20):
        write({piece.pk: one for piece in pieces})
    assert Clock.objects.filter(left=100).count() == 4


def test_a_piece_that_is_not_in_the_register_is_refused(pieces):
    with pytest.raises(Refused, match="not in the register"):
        write({pieces[0].pk: Standing(), 999_999: Standing()})


def test_a_clock_or_a_mark_that_does_not_exist_is_refused(pieces):
    with pytest.raises(ValueError, match="no such clock"):
        write({pieces[0].pk: Standing(clocks={("sliding_s", "full"): (0, 1, 2, 3)})})
    with pytest.raises(ValueError, match="no such clock"):
        write({pieces[0].pk: Standing(clocks={("rotating_s", "moon"): (0, 1, 2, 3)})})


amounts = st.integers(-3, 8)
limit = st.none() | st.integers(0, 6)
a_day = st.sampled_from([EVER, DAY, DAY + timedelta(1), NEVER])
a_clock = st.tuples(st.none() | st.integers(0, 4), limit, limit, limit)
keys = st.tuples(
    st.sampled_from(["rotating_s", "circulating_s", "runs_n"]), st.sampled_from(["new", "full", "service"])
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    clocks=st.dictionaries(keys, a_clock, max_size=4), days=st.tuples(a_day, a_day, a_day),
    totals=st.lists(amounts, min_size=4, max_size=4),
)  # fmt: skip
def test_the_database_and_the_pure_rule_give_the_same_standing(pieces, clocks, days, totals):
    write({pieces[0].pk: Standing(clocks=clocks, days=days)})
    for row, total in zip(Clock.objects.filter(component=pieces[0]).order_by("pk"), totals, strict=False):
        Clock.objects.filter(pk=row.pk).update(total=total)
    standing.settle([pieces[0].pk])
    piece = Component.objects.get(pk=pieces[0].pk)
    rows = clocks_of([piece.pk])[piece.pk]
    pure = [as_calc(row) for row in rows]
    assert [row.left for row in rows] == [left(clock) for clock in pure]
    assert (piece.soon_on, piece.due_on, piece.over_on) == dates(pure, days_of(piece))
