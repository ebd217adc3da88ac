"""An interval is set while pieces are recorded or received: each ends with the new limit. PostgreSQL."""

from datetime import date

import pytest
from django.db import transaction

from inspection.actions.found import Found, Head, Read
from inspection.actions.limits import set_first
from inspection.actions.policies import set_interval, take_back_interval
from inspection.actions.recording import record
from inspection.audits import standings
from inspection.calc.readings import Look
from inspection.calc.rules import Rule
from inspection.models import Inspector, IntervalRule
from rack.actions.journal import open_line
from rack.actions.making import NewPiece, make_pieces
from rack.models import Clock, Component
from tests import stock
from tests.hands import at_once, refused
from tests.inspection.pieces import LOOKS, good, pipe
from tests.rack.test_audit import audited

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]
HOUR, THEIRS = 3600, 1000 * 3600
FULL = (*LOOKS, *(Look(method, "nothing to reject") for method in ("ODG", "UTW", "DIM2")))
HANDS = 4


@pytest.fixture
def here(db):
    return stock.site()


@pytest.fixture
def layer(here):
    return stock.rack(here)


@pytest.fixture
def office(here):
    return stock.person("office", "office", here)


@pytest.fixture
def boss(here):
    return stock.person("ola", "supervisor", here)


def rule(due: int = THEIRS) -> Rule:
    return Rule("drill_pipe", "rotating_s", "full", due=due, authority="contract", from_on=date(2026, 1, 1),
                source="Contract 14")  # fmt: skip


def limits() -> set[int | None]:
    rows = Clock.objects.filter(clock="rotating_s", basis="full")
    return set(rows.values_list("due", flat=True))


def test_a_rule_set_while_pieces_are_recorded_holds_of_every_one_of_them(here, layer, office, boss):
    joints = stock.pieces(layer, 3 * HANDS, facts=pipe())
    inspector = Inspector.objects.create(site=here, name="R. Vik", level="Level II")
    head = Head(joints[0].received_on, "full", inspector=inspector)
    reads = tuple(Read(one) for one in good())

    def records(some):
        found = [Found(one, FULL, reads, "Premium") for one in some]
        return lambda: record(stock.asks(boss), here, head, found, reason="race")

    acts = [records(joints[at : at + 3]) for at in range(0, len(joints), 3)]
    acts.insert(1, lambda: set_interval(stock.asks(office), here, rule()))
    assert refused(at_once(acts)) == []
    assert Clock.objects.filter(clock="rotating_s", basis="full").count() == len(joints)
    assert limits() == {THEIRS}
    assert list(standings("default")) == [] and "No difference" in audited()


def test_a_rule_set_while_pieces_are_received_holds_of_those_too(here, layer, office):
    stock.pieces(layer, 2, facts=pipe())
    spec = stock.spec(pipe())

    def receives(first: int):
        def act() -> None:
            new = [NewPiece(spec=spec, serial=f"NR{first + n}", painted=str(first + n), length=None,
                            length_kind="pins off", word_of="list a.csv") for n in range(3)]  # fmt: skip
            with transaction.atomic():
                line, _ = open_line(stock.asks(None), "stock", here, "Received in a race", {"first": first})
                made = make_pieces(line, here, layer, new)
                set_first(line, [piece.pk for piece in made])

        return act

    acts = [receives(100 * n) for n in range(1, HANDS + 1)]
    acts.insert(1, lambda: set_interval(stock.asks(office), here, rule()))
    assert refused(at_once(acts)) == []
    assert Component.objects.filter(serial__startswith="NR").count() == 3 * HANDS
    assert list(standings("default")) == [], "a piece kept the limits of before"


def test_a_rule_taken_back_while_pieces_are_recorded_holds_of_none(here, layer, office, boss):
    joints = stock.pieces(layer, HANDS, facts=pipe())
    inspector = Inspector.objects.create(site=here, name="R. Vik", level="Level II")
    head = Head(joints[0].received_on, "full", inspector=inspector)
    reads = tuple(Read(one) for one in good())
    set_interval(stock.asks(office), here, rule())
    row = IntervalRule.objects.get()
    said = [[Found(one, FULL, reads, "Premium")] for one in joints]
    acts = [lambda found=found: record(stock.asks(boss), here, head, found, reason="race") for found in said]
    acts.insert(1, lambda: take_back_interval(stock.asks(office), row, "another contract"))
    assert refused(at_once(acts)) == []
    assert limits() == {2500 * HOUR}
    assert list(standings("default")) == []
