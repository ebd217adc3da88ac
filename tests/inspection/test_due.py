"""When a piece is due: rules, authorities, clocks, days and events, and what is not known."""

from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspection.calc.due import LONGEST_WHY, add_months, amount, day_limit, limits_for, short, standing
from inspection.calc.events import after_event, due_by_event, event_codes
from inspection.calc.rules import SERVICES, Rule, default_rules, governing, soon_of
from rack.calc.kinds import KINDS
from rack.calc.standing import EVER, NEVER

TODAY = date(2026, 3, 1)
HOUR = 3600
FRESH = dict.fromkeys(("new", "rental", "service", "visual", "connections", "tube", "full"), date(2026, 2, 1))


def clock_of(kind, service="typical", **more):
    found = limits_for(kind, FRESH, on=TODAY, service=service, **more).clocks
    return {(limit.clock, limit.basis): limit for limit in found}


@pytest.mark.parametrize("kind, clock, basis, hours", [
    ("collar", "rotating_s", "connections", (150, 250, 400)),
    ("heavy_weight", "rotating_s", "connections", (250, 500, 1000)),
    ("drill_pipe", "rotating_s", "full", (1500, 2500, 3500)),
    ("jar", "rotating_s", "service", (150, 250, 400)),
    ("shock_sub", "rotating_s", "service", (150, 250, 300)),
    ("motor", "circulating_s", "service", (80, 150, 250)),
    ("mwd", "circulating_s", "service", (100, 200, 300)),
    ("stabilizer", "rotating_s", "connections", (150, 250, 400)),
])  # fmt: skip
def test_low_typical_and_high_are_three_choices_of_the_due_limit(kind, clock, basis, hours):
    more = {"circumstances": ["steel"]} if kind == "collar" else {}
    for service, expected in zip(SERVICES, hours, strict=True):
        limit = clock_of(kind, service, **more)[clock, basis]
        assert limit.due == expected * HOUR
        assert limit.soon == limit.due * 9 // 10
        assert limit.over == limit.due


def test_a_non_magnetic_collar_has_its_own_interval():
    assert clock_of("collar", circumstances=["non-magnetic"])["rotating_s", "connections"].due == 200 * HOUR


def test_every_default_of_ours_is_only_a_note_and_law_stops():
    for rule in default_rules():
        assert rule.severity == ("NOTE" if rule.authority == "default" else "STOPS")
        assert rule.source
    assert {rule.authority for rule in default_rules()} == {"default", "law"}


def rule(due, authority="maker", **more):
    return Rule(**{"kind": "jar", "clock": "rotating_s", "basis": "service", "due": due * HOUR,
                   "authority": authority, "source": "sheet 7", **more})  # fmt: skip


@pytest.mark.parametrize("more, due, authority", [
    ((), 250, "default"), ((rule(300),), 300, "maker"), ((rule(200),), 200, "maker"),
    ((rule(300), rule(200, "contract")), 200, "contract"), ((rule(300), rule(400, "contract")), 300, "maker"),
    ((rule(200, "contract"),), 200, "contract"), ((rule(400, "contract"),), 250, "default"),
    ((rule(100, "law"), rule(200, "contract"), rule(300)), 100, "law"),
    ((rule(300), rule(300, "law")), 300, "law"),
    ((rule(150, "company"), rule(200, "contract")), 150, "company"),
])  # fmt: skip
def test_maker_over_default_and_contract_or_law_where_stricter(more, due, authority):
    held = governing((*default_rules(), *more), "jar", "typical", TODAY)
    found = next(one for one in held if one.clock == "rotating_s" and one.basis == "service")
    assert (found.due, found.authority) == (due * HOUR, authority)


def test_a_rule_holds_from_its_day_and_supersedes_the_earlier_one():
    rules = (rule(300, from_on=date(2026, 1, 1)), rule(200, from_on=date(2026, 3, 1)),
             rule(90, from_on=date(2027, 1, 1)))
    for on, due in ((date(2026, 2, 28), 300), (date(2026, 3, 1), 200), (date(2027, 6, 1), 90)):
        assert governing(rules, "jar", "typical", on)[0].due == due * HOUR


def test_a_rule_for_the_kind_outweighs_a_rule_for_any():
    rules = (rule(100, kind="", from_on=date(2026, 2, 1)), rule(300))
    assert governing(rules, "jar", "typical", TODAY)[0].due == 300 * HOUR


@pytest.mark.parametrize("more", [{"due": 0}, {"clock": "years"}, {"basis": "paint"}, {"authority": "rumour"},
                                  {"soon": 999 * HOUR}, {"over": 1}, {"kind": "spaceship"},
                                  {"service": "warp"}])  # fmt: skip
def test_a_rule_that_makes_no_sense_is_refused(more):
    with pytest.raises(ValueError, match=next(iter(more))):
        Rule(**{"kind": "jar", "clock": "rotating_s", "basis": "service", "due": HOUR, **more})


@pytest.mark.parametrize("due, margin, soon",
                         [(10, "1/10", 9), (9, "1/10", 9), (19, "1/10", 18), (100, "1/4", 75),
                                               (1, "1/10", 1), (7, "0", 7), (7, "1", 0)])  # fmt: skip
def test_soon_is_due_less_the_margin_in_whole_numbers(due, margin, soon):
    assert soon_of(Rule("jar", "runs_n", "service", due), Fraction(margin)) == soon


def test_thirty_days_of_30_cfr_250_722():
    zeros = {**FRESH, "service": date(2026, 2, 1)}
    due = limits_for("casing", zeros, on=TODAY, circumstances=["drilled inside"])
    limit = next(one for one in due.days if "250.722" in one.source)
    assert limit.due_on == limit.over_on == date(2026, 3, 3)
    assert (limit.authority, limit.severity) == ("law", "STOPS")
    assert limits_for("casing", zeros, on=TODAY).days == ()


def test_six_months_for_lifting_accessories():
    due = limits_for("lift_sub", {**FRESH, "full": date(2026, 3, 31)}, on=TODAY)
    limit = next(one for one in due.days if one.authority == "law")
    assert limit.due_on == date(2026, 9, 30)
    assert limit.soon_on == date(2026, 9, 30) - timedelta(days=18)
    assert limit.severity == "STOPS"


@pytest.mark.parametrize("day, months, later",
                         [("2026-08-31", 6, "2027-02-28"), ("2023-08-31", 6, "2024-02-29"),
                                                ("2026-01-15", 12, "2027-01-15"),
                                                ("9999-08-01", 6, "9999-12-31")])  # fmt: skip
def test_months_are_counted_by_the_calendar(day, months, later):
    assert add_months(date.fromisoformat(day), months) == date.fromisoformat(later)


def test_days_beyond_the_calendar_are_no_limit():
    rule = Rule("jar", "days", "full", 10_000_000)
    assert day_limit(rule, TODAY).due_on == NEVER


def test_a_piece_without_a_report_is_due_and_not_yet_over():
    due = limits_for("drill_pipe", {}, on=TODAY)
    assert (due.soon_on, due.due_on, due.over_on) == (EVER, EVER, NEVER)
    assert due.why.startswith("no report known")
    assert not any(limit.known for limit in due.clocks)
    assert standing(due, {}, TODAY)[0] == "due"


def test_a_rental_with_a_fresh_report_and_unknown_life_is_fit():
    zeros = {**FRESH, "new": None, "rental": None}
    due = limits_for("drill_pipe", zeros, on=TODAY)
    amounts = {(limit.clock, limit.basis): 0 for limit in due.clocks}
    assert standing(due, amounts, TODAY)[0] == "fine"


def test_run_since_by_an_unknown_time_is_due():
    due = limits_for("jar", FRESH, on=TODAY)
    assert standing(due, {}, TODAY)[0] == "due"


@pytest.mark.parametrize("hours, state",
                         [(0, "fine"), (224, "fine"), (225, "soon"), (249, "soon"), (250, "overdue")])
def test_the_clock_says_soon_and_over_at_its_limits(hours, state):
    due = limits_for("jar", FRESH, on=TODAY)
    assert standing(due, {("rotating_s", "service"): hours * HOUR}, TODAY)[0] == state


def test_over_may_be_later_than_due():
    due = limits_for("jar", FRESH, on=TODAY, rules=[rule(100, over=120 * HOUR)])
    found = [standing(due, {("rotating_s", "service"): h * HOUR}, TODAY)[0] for h in (99, 100, 119, 120)]
    assert found == ["soon", "due", "due", "overdue"]


def test_a_kind_without_a_rule_is_fine():
    due = limits_for("float_shoe", {}, on=TODAY)
    assert (due.due_on, standing(due, {}, TODAY)[0]) == (NEVER, "fine")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("service", SERVICES)
def test_every_kind_has_limits_with_reasons_that_fit_the_register(kind, service):
    for zeros in (FRESH, {}):
        due = limits_for(kind, zeros, on=TODAY, service=service,
                         circumstances=["steel", "stored", "drilled inside"])
        for limit in (*due.clocks, *due.days):
            assert 0 < len(limit.why) <= LONGEST_WHY
            assert limit.source
        assert len(due.why) <= LONGEST_WHY
        assert due.soon_on <= due.due_on <= due.over_on


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(sorted(KINDS)), st.integers(0, 5000), st.integers(0, 5000), st.integers(0, 900))
def test_more_hours_and_more_days_never_make_due_later(kind, hours, more, days):
    due = limits_for(kind, FRESH, on=TODAY, circumstances=["steel"])
    order = ("fine", "soon", "due", "overdue")

    def state(amount, today):
        return order.index(standing(due, {(c.clock, c.basis): amount * HOUR for c in due.clocks}, today)[0])

    assert state(hours + more, TODAY) >= state(hours, TODAY)
    assert state(hours, TODAY + timedelta(days=days)) >= state(hours, TODAY)


@pytest.mark.parametrize("clock, value, words",
                         [("rotating_s", 900_000, "250 h rotating"), ("runs_n", 3, "3 runs"),
                                                 ("runs_n", 1, "1 run"),
                                                 ("footage_nm", 304_800_000 * 1500, "1,500 ft"),
                                                 ("days", 30, "30 days")])  # fmt: skip
def test_an_amount_is_said_in_the_words_of_its_clock(clock, value, words):
    assert amount(clock, value) == words


def test_a_reason_is_cut_between_words():
    assert short("drop " * 40).endswith("drop…")
    assert len(short("drop " * 40)) <= LONGEST_WHY


# Events


def test_the_events_of_the_trade_are_there():
    assert {"jarring", "overpull", "twist_off", "washout", "string_shot", "h2s", "dropped",
            "refaced"} <= set(event_codes())


@pytest.mark.parametrize("event, kind, scopes", [
    ("jarring", "jar", {"service", "connections"}), ("jarring", "collar", {"connections"}),
    ("overpull", "drill_pipe", {"tube", "connections"}), ("overpull", "collar", set()),
    ("dropped", "drill_pipe", {"visual", "tube"}), ("dropped", "collar", {"visual"}),
    ("h2s", "drill_pipe", {"full"}), ("unknown_hours", "motor", {"full"}),
])  # fmt: skip
def test_an_event_makes_scopes_due(event, kind, scopes):
    assert {scope for one in after_event(event, kind) for scope in one.scopes} == scopes


def test_an_event_makes_due_that_day():
    events = due_by_event("jarring", "collar", date(2026, 2, 10))
    before = limits_for("collar", FRESH, on=TODAY, circumstances=["steel"], by_events=events)
    assert before.due_on == date(2026, 2, 10)
    assert "jarring on 2026-02-10" in before.why


def test_an_unknown_event_is_refused():
    with pytest.raises(ValueError, match="earthquake"):
        after_event("earthquake", "jar")
