"""The intervals of the law and the laws of due, through everything: facts, limits, the dates of the board."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.db import transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from inspection.actions.limits import set_first, settle
from inspection.audits import standings
from inspection.calc.decide import Decided, Looked, PieceFacts, Terms, decide
from inspection.calc.rules import AUTHORITIES, SERVICES, Rule, default_rules
from inspection.models import Inspection
from inspection.models.facts import since_of
from rack.actions.journal import open_line
from rack.calc.specs import SpecFacts
from rack.calc.standing import EVER, NEVER, STANDINGS, Clock, Days, standing
from rack.models import Component, Journal
from tests import stock
from tests.inspection.pieces import INCH, pipe

TODAY = date(2026, 11, 20)
HOUR = 3600
QUICK = settings(max_examples=120, deadline=None)
LIFT_SUB = SpecFacts(kind="lift_sub", od_nm=5 * INCH, down_conn="NC50", down_gender="pin")
SHIPPED = default_rules()


def looked(piece: Component, on: date, resets: str, line: Journal) -> None:
    """An inspection that is there already: only its day and the clocks that it winds back count here."""
    Inspection.objects.create(journal=line, seq=piece.pk, at=line.at, component=piece, on=on, scope="full",
                              since=since_of(on, None, piece.site), scheme=piece.scheme,
                              edition="2009", resets=resets)  # fmt: skip


def settled(pieces: list[Component], looks: dict[int, tuple[date, str]] | None = None) -> list[Component]:
    """The pieces as they stand when they came and were looked at."""
    with transaction.atomic():
        line, _ = open_line(stock.asks(None), "stock", pieces[0].site, "For a test", {})
        set_first(line, [piece.pk for piece in pieces])
        for piece in Component.objects.filter(pk__in=[piece.pk for piece in pieces]):
            if looks and piece.pk in looks:
                looked(piece, *looks[piece.pk], line)
        settle(line, [piece.pk for piece in pieces], anew=True)
    return list(Component.objects.filter(pk__in=[piece.pk for piece in pieces]).order_by("pk"))


def test_six_months_for_lifting_accessories_stand_on_the_board_as_law(layer):
    """Thorough examination every six months: LOLER regulation 9(3)."""
    seen, unseen = stock.pieces(layer, 2, facts=LIFT_SUB)
    seen, unseen = settled([seen, unseen], {seen.pk: (date(2026, 8, 31), "full")})
    assert (seen.day_due_on, seen.day_over_on) == (date(2027, 2, 28), date(2027, 2, 28))
    assert (seen.day_hard_on, seen.day_hard_by) == (date(2027, 2, 28), "law")
    assert (unseen.due_on, unseen.over_on, unseen.day_hard_on) == (EVER, EVER, EVER), "nobody proved it"
    assert list(standings("default")) == []


def test_thirty_days_inside_casing_that_is_drilled_inside_stand_on_the_board_as_law(layer):
    """Pressure test or evaluation after 30 days of prolonged operations: 30 CFR 250.722."""
    [well] = stock.pieces(layer, 1, facts=stock.CASING)
    [rack] = stock.pieces(layer, 1, facts=stock.CASING, first=800)
    Component.objects.filter(pk=well.pk).update(state="left_in_well")
    tested = date(2026, 11, 2)
    well, rack = settled([well, rack], {well.pk: (tested, "service"), rack.pk: (tested, "service")})
    assert (well.due_on, well.day_hard_by) == (tested + timedelta(30), "law")
    assert (rack.due_on, rack.day_hard_on) == (NEVER, NEVER)
    assert list(standings("default")) == []


def facts(kind: str = "drill_pipe", looks=(), **more) -> PieceFacts:
    spec = pipe() if kind == "drill_pipe" else replace(stock.JAR, kind=kind)
    scheme = "api_rp7g2_2009" if kind == "drill_pipe" else "api_rp7g2_2009_components"
    return PieceFacts(spec, date(2026, 1, 5), scheme, looks=tuple(looks), **more)


def look(on: date, *resets: str) -> Looked:
    return Looked(on, "api_rp7g2_2009", "Premium", resets=frozenset(resets))


def clocks(one: Decided, run: int) -> list[Clock]:
    """The clocks as the register keeps them when everything ran so much since its mark."""
    return [
        Clock(each.clock, each.basis, run, known=each.known, soon=each.soon, due=each.due, over=each.over)
        for each in one.due.clocks
    ]


def state(one: Decided, run: int, on: date) -> str:
    return standing(clocks(one, run), Days(*one.days), on).state


def test_a_piece_of_unknown_history_is_due_and_a_rental_with_a_fresh_report_is_fit():
    terms = Terms(SHIPPED, TODAY)
    assert state(decide(facts(), terms), 0, TODAY) == "due"
    fresh = decide(facts(looks=[look(TODAY, "visual", "connections", "tube", "full")]), terms)
    assert fresh.zeros["new"] is None, "nobody knows its life hours"
    assert state(fresh, 0, TODAY) == "fine"
    assert state(fresh, 2500 * HOUR, TODAY) == "overdue"


@pytest.mark.parametrize("rules, due, authority", [
    ((), 2500, "default"), ((("maker", 4000),), 4000, "maker"), ((("maker", 900),), 900, "maker"),
    ((("maker", 4000), ("law", 3000)), 3000, "law"), ((("maker", 2000), ("law", 3000)), 2000, "maker"),
    ((("contract", 2600),), 2500, "default"), ((("contract", 2400),), 2400, "contract"),
    ((("company", 2000), ("contract", 2100), ("law", 2200)), 2000, "company"),
])  # fmt: skip
def test_whose_word_holds(rules, due, authority):
    own = [Rule("drill_pipe", "rotating_s", "full", h * HOUR, authority=by) for by, h in rules]
    found = decide(facts(looks=[look(TODAY, "full")]), Terms((*SHIPPED, *own), TODAY)).due.clocks
    limit = next(one for one in found if (one.clock, one.basis) == ("rotating_s", "full"))
    assert (limit.due, limit.authority, limit.soon) == (due * HOUR, authority, due * HOUR * 9 // 10)


KINDS = st.sampled_from(["drill_pipe", "collar", "jar", "motor", "stabilizer", "heavy_weight", "lift_sub"])
RULES = st.lists(st.builds(
    Rule, st.just(""), st.sampled_from(["rotating_s", "circulating_s", "days", "months"]),
    st.sampled_from(["full", "connections", "service", "visual", "rental"]), st.integers(1, 500_000),
    authority=st.sampled_from(AUTHORITIES),
), max_size=4)  # fmt: skip
LOOKS = st.lists(st.tuples(
    st.integers(0, 400), st.sets(st.sampled_from(["visual", "connections", "tube", "full", "service"]))
), max_size=3)  # fmt: skip


def decided(kind: str, rules: list[Rule], looks, service: str) -> Decided:
    scheme = "api_rp7g2_2009" if kind == "drill_pipe" else "api_rp7g2_2009_components"
    seen = [Looked(TODAY - timedelta(ago), scheme, resets=frozenset(what))
            for ago, what in sorted(looks, key=lambda one: -one[0])]  # fmt: skip
    return decide(facts(kind, seen), Terms((*SHIPPED, *rules), TODAY, service))


@QUICK
@given(KINDS, RULES, LOOKS, st.sampled_from(list(SERVICES)), st.integers(0, 10**7), st.integers(0, 10**7),
       st.integers(0, 800))  # fmt: skip
def test_more_hours_and_more_days_never_make_due_later(kind, rules, looks, service, run, more, days):
    one = decided(kind, rules, looks, service)
    on = TODAY + timedelta(days)
    before, after = (STANDINGS.index(state(one, ran, on)) for ran in (run, run + more))
    assert after <= before
    assert STANDINGS.index(state(one, run, on + timedelta(30))) <= before
    early, late = (standing(clocks(one, ran), Days(*one.days), on) for ran in (run, run + more))
    assert (late.soon_on, late.due_on, late.over_on) <= (early.soon_on, early.due_on, early.over_on)


@QUICK
@given(KINDS, RULES, LOOKS, st.sampled_from(list(SERVICES)), st.integers(0, 10**7))
def test_unknown_never_passes(kind, rules, looks, service, run):
    """What has a limit and no known mark of zero is due, whatever the clock says and whoever set it."""
    one = decided(kind, rules, looks, service)
    limits = [*one.due.clocks, *one.due.days]
    if any(one.zeros[limit.basis] is None for limit in limits):
        assert state(one, run, TODAY) in ("due", "overdue")
    if state(one, run, TODAY) == "fine":
        assert all(one.zeros[limit.basis] is not None for limit in limits)


@QUICK
@given(KINDS, RULES, LOOKS, st.sampled_from(list(SERVICES)), st.integers(0, 10**7))
def test_what_an_unknown_time_ran_is_due_where_there_is_a_limit(kind, rules, looks, service, run):
    one = decided(kind, rules, looks, service)
    gaps = [replace(clock, known=False) for clock in clocks(one, run)]
    if gaps:
        assert standing(gaps, Days(*one.days), TODAY).state in ("due", "overdue")


@QUICK
@given(KINDS, RULES, LOOKS, st.sampled_from(list(SERVICES)), st.integers(0, 10**7), st.data())
def test_one_more_rule_of_law_never_makes_due_later(kind, rules, looks, service, run, data):
    law = replace(data.draw(RULES.filter(bool))[0], authority="law")
    rest = [rule for rule in rules if rule.authority != "law" or rule.family != law.family]
    without, there = decided(kind, rest, looks, service), decided(kind, [*rest, law], looks, service)
    if not any(rule.authority == "law" and rule.family == law.family for rule in SHIPPED):
        assert STANDINGS.index(state(there, run, TODAY)) <= STANDINGS.index(state(without, run, TODAY))


def test_a_default_of_ours_stops_nothing_however_late_it_is():
    seen = Looked(date(2020, 1, 1), "api_rp7g2_2009_components", "Accept",
                  resets=frozenset({"connections", "visual"}))  # fmt: skip
    one = decide(facts("collar", [seen]), Terms(SHIPPED, TODAY))
    assert one.hard == (NEVER, "") and {limit.authority for limit in one.due.clocks} == {"default"}
    assert state(one, 10**9, TODAY) == "overdue"
