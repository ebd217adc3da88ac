"""Joints for a string: whole layers from the top, what must stay out put aside with its reason."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.choosing import Lying, Want, alternatives, choose, class_problem, unloading_order
from rack.calc.lengths import Length

FT = 304_800_000


def joint(key: int, layer: int = 1, along: int | None = None, **more) -> Lying:
    facts = {"lot": "5 in", "rack": "R1", "length": Length(31 * FT), "pipe_class": "premium", **more}
    return Lying(
        key, f"KD{key}", facts.pop("lot"), facts.pop("rack"), layer, key if along is None else along, **facts
    )


def names(rows) -> list[str]:
    return [row.lying.name for row in rows]


def test_the_top_layer_comes_off_first_from_the_catwalk_side():
    rack = [joint(1, 1), joint(2, 2), joint(3, 2), joint(4, 3)]
    assert [one.key for one in unloading_order(rack)] == [4, 2, 3, 1]


def test_whole_joints_are_taken_until_the_length_is_reached():
    found = choose([joint(n) for n in range(1, 9)], Want("5 in", Length(100 * FT)))
    assert names(found.taken) == ["KD1", "KD2", "KD3", "KD4"]
    assert (found.length, found.short) == (Length(124 * FT), Length(0))
    assert (found.left_n, found.left_length) == (4, Length(124 * FT))


@pytest.mark.parametrize("wanted, taken", [(92, 3), (93, 3), (94, 4)])
def test_the_length_is_reached_at_it_below_it_and_one_foot_above(wanted, taken):
    assert len(choose([joint(n) for n in range(9)], Want("5 in", Length(wanted * FT))).taken) == taken


@pytest.mark.parametrize("more, why", [
    ({"held": ("slip cut",)}, "held: slip cut"),
    ({"length": None}, "its length is not known"),
    ({"pipe_class": "class 2"}, "it is class 2, premium is asked for"),
    ({"pipe_class": ""}, "its class is not known, premium is asked for"),
    ({"elsewhere": "plan 3"}, "it is in plan 3"),
    ({"left": 39}, "due in 39 h, 40 h are planned"),
    ({"lot": "5-7/8 in"}, "another lot"),
])  # fmt: skip
def test_a_joint_that_must_stay_out_is_put_aside_with_the_reason(more, why):
    rack = [joint(1), joint(2, **more), joint(3)]
    found = choose(rack, Want("5 in", Length(60 * FT), class_wanted="premium", hours=40))
    assert names(found.taken) == ["KD1", "KD3"]
    assert [(row.lying.name, row.why) for row in found.aside] == [("KD2", why)]


@pytest.mark.parametrize(
    "more", [{"left": 40}, {"left": None}, {"pipe_class": "new"}, {"pipe_class": "Premium"}]
)
def test_a_joint_at_the_limit_or_better_goes(more):
    found = choose([joint(1, **more)], Want("5 in", count=1, class_wanted="premium", hours=40))
    assert names(found.taken) == ["KD1"]


def test_what_lies_below_the_last_one_taken_is_not_handled():
    rack = [joint(1, 2), joint(2, 2, held=("bent",)), joint(3, 1)]
    found = choose(rack, Want("5 in", Length(31 * FT)))
    assert names(found.rows) == ["KD1"]


def test_what_is_short_is_said():
    found = choose([joint(1)], Want("5 in", Length(100 * FT), count=5))
    assert (found.short, found.missing) == (Length(69 * FT), 4)


def test_a_want_of_nothing_and_a_class_that_is_none_are_refused():
    with pytest.raises(ValueError, match="want"):
        choose([joint(1)], Want("5 in"))
    with pytest.raises(ValueError, match="wanted"):
        class_problem("premium", "golden")


def test_alternatives_come_with_the_fewest_put_aside_first():
    rack = [joint(n, held=("x",) if n % 2 else ()) for n in range(1, 9)]
    rack += [joint(n, lot="5 in G-105", rack="R2") for n in range(11, 19)]
    found = alternatives(rack, Want("none", Length(60 * FT)))
    assert [one.want.lot for one in found] == ["5 in G-105", "5 in"]
    assert alternatives(rack, Want("5 in", Length(60 * FT)))[0].want.lot == "5 in", "what is preferred"


JOINTS = st.lists(st.builds(
    joint, st.integers(1, 60), st.integers(1, 3), lot=st.sampled_from(["5 in", "4 in"]),
    length=st.one_of(st.none(), st.integers(20, 45).map(lambda n: Length(n * FT))),
    pipe_class=st.sampled_from(["", "new", "premium", "class 2"]), held=st.sampled_from([(), ("bent",)]),
), unique_by=lambda one: one.key, max_size=40)  # fmt: skip


@given(JOINTS, st.integers(1, 400))
def test_laws_of_choosing(rack, feet):
    want = Want("5 in", Length(feet * FT), class_wanted="premium")
    found = choose(rack, want)
    taken = [row.lying for row in found.taken]
    assert found.length == sum((one.length for one in taken), Length(0))
    assert all(one.lot == "5 in" and not one.held and one.pipe_class in ("new", "premium") for one in taken)
    assert [row.n for row in found.rows] == list(range(1, len(found.rows) + 1))
    if not found.short.nanometres and taken:
        assert found.length - taken[-1].length < want.length, "no joint more than needed"
    assert len(taken) + found.left_n == sum(
        one.lot == "5 in" and not one.held and one.length is not None and one.pipe_class in ("new", "premium")
        for one in rack
    )


def test_ten_thousand_joints_are_chosen_from_at_once():
    rack = [joint(n, layer=n % 9, held=("x",) if n % 50 == 0 else ()) for n in range(10_000)]
    began = time.perf_counter()
    assert len(choose(rack, Want("5 in", Length(10_000 * FT))).taken) == 323
    assert time.perf_counter() - began < 5, "a guard against something quadratic; the bench measures it"
