"""The laws over the whole path: readings, verdict, class that holds, limits, standing in the register."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from inspection.calc.classify import classify
from inspection.calc.decide import Decided, Looked, PieceFacts, Terms, decide
from inspection.calc.due import standing as standing_of
from inspection.calc.effects import Effect, Ends, effect_of, effective
from inspection.calc.methods import scopes_reset
from inspection.calc.readings import Look
from inspection.calc.rules import default_rules
from rack.calc.standing import STANDINGS
from tests.inspection.pieces import INCH, LOOKS, good
from tests.inspection.test_properties import ONE, PIPE, READINGS, SIZES, ends, rank, tubes

QUICK = settings(max_examples=120, deadline=None)
HOUR = 3600
DAY = date(2026, 3, 2)
TERMS = Terms(default_rules(), date(2026, 6, 1))
FULL = (*LOOKS, *(Look(code, "nothing to reject") for code in ("ODG", "UTW", "MPI-D", "DIM2")))
CLASSES = ("Premium", "Class 2", "Class 3", "Scrap")
GIVEN = st.sampled_from(["", *CLASSES])
#: What was found before: at least one look, so that there is a class to rise from.
BEFORE = st.lists(st.sampled_from(CLASSES), min_size=1, max_size=2)
ALL = frozenset({"visual", "connections", "tube", "full"})


def at_noon(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 12, tzinfo=UTC)


def path(readings, given="", *, looks=FULL, before=("Premium",), repaired=False) -> tuple[Effect, Decided]:
    """What an inspection comes to, and what holds of the piece with it."""
    read = effective((one, "found") for one in readings)
    effect = effect_of(classify(read, PIPE, ONE.code, looks=looks, scope="full"), given, Ends())
    days = [DAY + timedelta(days=n) for n in range(len(before) + 1)]
    old = [Looked(day, ONE.code, name, resets=ALL, since=at_noon(day))
           for day, name in zip(days, before, strict=False)]  # fmt: skip
    resets, mended = scopes_reset(looks, "drill_pipe"), frozenset(("tube", "joint") if repaired else ())
    new = Looked(days[-1], ONE.code, effect.held, effect.tube, effect.joint, resets, mended,
                 at_noon(days[-1]))  # fmt: skip
    facts = PieceFacts(PIPE, DAY, ONE.code, looks=(*old, new), has_run=True)
    return effect, decide(facts, TERMS)


@QUICK
@given(READINGS, GIVEN, BEFORE, st.booleans(), st.data())
def test_a_worse_reading_never_gives_the_piece_a_better_class(readings, word, before, repaired, data):
    sized = [n for n, one in enumerate(readings) if one.nm is not None]
    if not sized:
        return
    n = data.draw(st.sampled_from(sized))
    one, step = readings[n], data.draw(st.integers(0, INCH // 5))
    smaller = SIZES.get(one.what, True) if one.what != "lead" else False
    worse = replace(one, nm=max(one.nm - step, 1) if smaller else one.nm + step)
    (first, holds), (second, then) = (
        path(read, word, before=before, repaired=repaired)
        for read in (readings, [*readings[:n], worse, *readings[n + 1 :]])
    )
    assert rank(then.pipe_class) >= rank(holds.pipe_class)
    assert rank(then.tube_class) >= rank(holds.tube_class) or not then.tube_class
    assert rank(then.joint_class) >= rank(holds.joint_class) or not then.joint_class
    assert second.hold or not first.hold


@QUICK
@given(READINGS, st.one_of(tubes(), ends()), GIVEN, BEFORE)
def test_one_more_reading_raises_no_class_and_frees_no_held_piece(readings, more, word, before):
    first, holds = path(readings, word, before=before)
    second, then = path([*readings, more], word, before=before)
    assert rank(then.pipe_class) >= rank(holds.pipe_class)
    assert second.hold or not first.hold


@QUICK
@given(READINGS, GIVEN, BEFORE)
def test_without_a_repair_no_readings_and_no_word_raise_a_class(readings, word, before):
    worst = max(before, key=rank)
    assert rank(path(readings, word, before=before)[1].pipe_class) >= rank(worst)


@QUICK
@given(st.integers(0, 5000), st.integers(0, 5000), st.integers(0, 900), st.integers(0, 900))
def test_more_hours_and_later_days_never_make_a_looked_at_piece_less_due(hours, more, days, later):
    _, holds = path(good(), "Premium")

    def state(ran: int, after: int) -> int:
        amounts = {(one.clock, one.basis): ran * HOUR for one in holds.due.clocks}
        return -STANDINGS.index(standing_of(holds.due, amounts, DAY + timedelta(days=after))[0])

    assert state(hours + more, days + later) >= state(hours, days)


@QUICK
@given(st.sets(st.sampled_from(sorted(look.method for look in FULL)), min_size=1), st.integers(0, 900))
def test_what_was_not_looked_at_winds_no_clock_back(left_out, days):
    """Of two looks the one with fewer methods done never leaves the piece less due, on any day."""
    fewer = tuple(replace(look, result="") if look.method in left_out else look for look in FULL)
    (_, whole), (_, part) = (path(good(), "Premium", looks=looks) for looks in (FULL, fewer))
    on = DAY + timedelta(days=days)
    amounts = {(one.clock, one.basis): 0 for one in whole.due.clocks}
    states = [STANDINGS.index(standing_of(one.due, amounts, on)[0]) for one in (part, whole)]
    assert states[0] <= states[1]
    assert all(part.zeros[basis] is not None for basis in ALL)
    gone = {basis for basis in ALL if part.zeros[basis] != whole.zeros[basis]}
    assert not gone or all(part.zeros[basis] == DAY for basis in gone), "the mark of the look before stays"


@QUICK
@given(st.sets(st.sampled_from(["VT-T", "VT-C", "EMI"])), st.sets(st.sampled_from([0, 1, 2, 3])))
def test_what_is_not_known_makes_no_class_and_is_due(not_done, blank):
    """Nobody gave a class and something is missing: the piece keeps none, and without hours it is due.

    Without the methods that measure: there a blank figure is not looked at.
    """
    looks = tuple(replace(look, result="") if look.method in not_done else look for look in LOOKS)
    readings = [one for n, one in enumerate(good()) if n not in blank]
    effect, holds = path(readings, looks=looks, before=())
    known = not not_done and not blank
    assert (effect.computed == "Premium") == known
    assert holds.pipe_class == ("Premium" if known else "")
    state, _ = standing_of(holds.due, dict.fromkeys((one.clock, one.basis) for one in holds.due.clocks), DAY)
    assert state in ("due", "overdue")
