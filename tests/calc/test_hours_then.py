"""The string as it was: how deep by then, when a depth was first reached, who had joined."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.hours import Leg, drilled_at, had_joined, reached_at
from rack.calc.hours.totals import Amount, add_up

DAY = datetime(2026, 3, 2, tzinfo=UTC)


def at(hours: float) -> datetime:
    return DAY + timedelta(hours=hours)


LEGS = [
    Leg(at(0), at(10), 8000, 8300),
    Leg(at(10), at(11)),  # circulated: no depth
    Leg(at(20), at(22), 8300, 8400),
]


@pytest.mark.parametrize(("hours", "nm"), [
    (-1, None), (0, 8000), (5, 8150), (10, 8300), (15, 8300), (21, 8350), (99, 8400)])  # fmt: skip
def test_how_deep_the_lines_had_come(hours, nm):
    assert drilled_at(LEGS, at(hours)) == nm


@pytest.mark.parametrize(("nm", "hours"), [(8000, 0), (8150, 5), (8300, 10), (8400, 22)])
def test_when_a_depth_was_first_reached(nm, hours):
    found = reached_at(LEGS[::-1], nm)
    assert found is not None and found[1] == at(hours)


def test_a_depth_that_no_line_came_to_and_a_line_without_times():
    assert reached_at(LEGS, 9000) is None
    assert reached_at([Leg(None, None, 1, 5)], 3) == (Leg(None, None, 1, 5), None)


@given(st.integers(8000, 8300))
def test_the_depth_and_its_moment_belong_together(nm):
    found = reached_at(LEGS, nm)
    assert found is not None and found[1] is not None
    back = drilled_at(LEGS, found[1])
    assert back is not None and nm - 1 <= back <= nm


@pytest.mark.parametrize(("entered", "noted", "nm", "joined"), [
    (1, 1, None, True),
    (9, 1, None, True),  # written down late, with its time
    (1, 9, None, False),
    (1, None, 8100, True),
    (9, None, 8100, True),  # written down late, with its depth, which was drilled by then
    (9, None, 8200, False),
    (9, None, 2000, False),  # run in on a later trip, above where this run began
    (9, None, None, False),
])  # fmt: skip
def test_who_had_joined_by_time_where_noted_else_by_depth(entered, noted, nm, joined):
    given_at = None if noted is None else at(noted)
    assert had_joined(at(entered), given_at, nm, at=at(5), in_nm=8000, drilled_nm=8150) is joined


AMOUNTS = st.builds(Amount, st.integers(-(10**12), 10**12), st.booleans())
ROWS = st.lists(st.dictionaries(st.sampled_from(["rotating_s", "footage_nm", "runs_n"]), AMOUNTS))


@given(ROWS, st.randoms(use_true_random=False))
def test_any_grouping_adds_up_to_the_whole(rows, random):
    groups: dict[int, list[dict[str, Amount]]] = {}
    for row in rows:
        groups.setdefault(random.randrange(4), []).append(row)
    assert add_up(add_up(group) for group in groups.values()) == add_up(rows)
