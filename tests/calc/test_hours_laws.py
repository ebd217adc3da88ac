"""The laws of sharing, for any line and any stays: nothing is lost, nothing is earned twice."""

from datetime import datetime, timedelta
from fractions import Fraction
from itertools import pairwise
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from rack.calc.hours import (
    BY_JOINT,
    LINE_CLOCKS,
    WHOLE_RUN,
    Leg,
    Membership,
    balance,
    parts,
    share,
    share_of,
    share_run,
)

BEGINS = datetime(2026, 2, 10, tzinfo=ZoneInfo("Europe/Oslo"))

amounts = st.none() | st.integers(0, 90_000)
depths = st.integers(0, 5_000).map(lambda metres: metres * 10**9)


@st.composite
def legs(draw):
    begins = BEGINS + timedelta(minutes=draw(st.integers(0, 5_000)))
    ends = begins + timedelta(seconds=draw(st.integers(0, 90_000)))
    timed = draw(st.sampled_from([(begins, ends), (begins, None), (None, ends), (None, None)]))
    return Leg(*timed, draw(st.none() | depths), draw(st.none() | depths), *(draw(amounts) for _ in range(5)))


@st.composite
def stays(draw):
    def when():
        minutes = draw(st.none() | st.integers(-500, 6_000))
        return None if minutes is None else BEGINS + timedelta(minutes=minutes)

    return Membership(
        draw(st.integers(1, 5)), draw(st.sampled_from(["drill_pipe", "collar", "bit", "motor", "jar"])),
        when(), when(), draw(st.none() | depths), draw(st.none() | depths), draw(st.integers(0, 9)),
        draw(st.booleans()),
    )  # fmt: skip


EVERY = dict.fromkeys(("drill_pipe", "collar", "bit", "motor", "jar"), BY_JOINT)


@given(legs(), st.lists(stays(), max_size=6))
def test_the_parts_of_a_line_add_up_to_it_exactly(leg, members):
    cut = parts(leg, members)
    for clock in LINE_CLOCKS:
        whole = getattr(leg, clock)
        found = [part.amounts[clock] for part in cut]
        assert (set(found) == {None}) if whole is None else (sum(found) == whole)
    assert (cut[0].begins, cut[-1].ends) == (0, 1)
    assert all(one.ends == other.begins for one, other in pairwise(cut))


@given(legs(), st.lists(stays(), max_size=6), st.randoms(use_true_random=False))
def test_the_order_of_memberships_does_not_matter(leg, members, chance):
    turned = list(members)
    chance.shuffle(turned)
    one = {each.piece: each.amounts for each in share(leg, members, EVERY)}
    kinds = {each.piece: each.kind for each in share(leg, members, EVERY)}
    other = {each.piece: each.amounts for each in share(leg, turned, EVERY)}
    assert one == other
    assert kinds == {each.piece: each.kind for each in share(leg, turned, EVERY)}


@given(legs(), st.lists(stays(), max_size=6))
def test_no_piece_earns_more_than_the_line_and_by_joint_is_never_more_than_the_whole_run(leg, members):
    whole = {one.piece: one for one in share(leg, members, dict.fromkeys(EVERY, WHOLE_RUN))}
    for one in share(leg, members, EVERY):
        for clock, amount in one.amounts.items():
            most = whole[one.piece].amounts[clock]
            assert amount is None or amount == 0 or most is None or 0 <= amount <= most


@given(legs(), st.booleans())
def test_a_piece_present_throughout_earns_the_line(leg, below):
    stay = [Membership(1, "collar", below_motor=below)]
    assert share(leg, stay, EVERY)[0].amounts == share(leg, stay)[0].amounts


@given(st.lists(legs(), max_size=5), st.lists(stays(), max_size=6), st.booleans())
def test_every_run_balances(lines, members, by_joint):
    shares = share_run(lines, members, EVERY if by_joint else None)
    assert balance(lines, members, shares) == ()


@given(st.integers(0, 10**9), st.lists(st.fractions(0, 1), max_size=8))
def test_cumulative_rounding_loses_nothing(amount, places):
    cut = sorted({Fraction(0), Fraction(1), *places})
    found = [share_of(amount, last) - share_of(amount, first) for first, last in pairwise(cut)]
    assert sum(found) == amount
    assert all(part >= 0 for part in found)
