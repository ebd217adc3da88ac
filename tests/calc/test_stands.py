"""Strap out of the hole: a joint too many is named, a constant told from it, and honest stands are silent."""

import random

import pytest

from rack.calc.lengths import Length
from rack.calc.stands import Judgement, StandRead, judge
from tests.calc.strapping import BASE, HUNDREDTH


def stands(apart: dict[int, int] | list[int], count: int = 10) -> list[StandRead]:
    """Stands of three joints whose readings are so many hundredths off."""
    made = []
    for n in range(count):
        joints = tuple(Length(each * HUNDREDTH) for each in BASE[3 * n : 3 * n + 3])
        off = apart[n] if isinstance(apart, list) else apart.get(n, 0)
        read = Length(sum(each.nanometres for each in joints) + off * HUNDREDTH)
        made.append(StandRead(n + 1, f"Stand {n + 1}", joints, read))
    return made


def judged(apart: dict[int, int] | list[int]) -> Judgement:
    return judge(stands(apart), "ft", 2)


def test_honest_stands_look_like_nothing() -> None:
    found = judged([0, 3, -4, 6, -6, 1, 0, 2, -2, 5])
    assert found.looks == "nothing"
    assert found.findings == ()
    assert found.apart == Length(5 * HUNDREDTH)
    assert "+0.05, within the 0.1 %" in found.words


@pytest.mark.parametrize(
    "sign, words", [(1, "one is missing on the list"), (-1, "one on the list is not in it")]
)
def test_a_stand_with_a_joint_too_many_or_too_few_is_named(sign: int, words: str) -> None:
    found = judged({3: sign * 3140})
    assert found.looks == "one joint"
    assert [(each.code, each.lines) for each in found.findings] == [("T15", (3,))]
    assert words in found.findings[0].words
    assert "more than the 0.1 %" in found.words


def test_less_than_a_joint_by_two_feet_is_no_joint() -> None:
    found = judged({3: 2800})
    assert found.looks == "scattered"
    assert found.findings == ()
    assert "28.00 ft at stand 4" in found.words


def test_nearly_the_same_on_every_stand_is_a_constant() -> None:
    found = judged([12, 11, 14, 12, 10, 13, 12, 12, 15, 12])
    assert found.looks == "constant"
    assert "about 0.123 ft longer than its joints, nearly the same on 10 of 10 stands" in found.words
    assert judged([-20] * 10).words.startswith("Each stand reads about 0.200 ft shorter")


@pytest.mark.parametrize("by, looks", [(6, "nothing"), (7, "constant")])
def test_two_hundredths_a_joint_are_what_good_tapes_differ_by(by: int, looks: str) -> None:
    assert judged([by] * 10).looks == looks


def test_a_constant_on_too_few_stands_is_none() -> None:
    assert judge(stands([12, 12], 2), "ft", 2).looks == "scattered"
    assert judged([12] * 7 + [40, 60, 80]).looks == "scattered"


def test_a_slip_of_the_hand_on_one_stand_is_named() -> None:
    found = judged({2: 100})
    assert [(each.code, each.lines) for each in found.findings] == [("T02", (2,))]
    assert "one or ten whole feet apart" in found.findings[0].words
    summed = stands({})[4].summed.in_shown_units("ft", 2)
    swapped = int(f"{summed}"[:-2] + f"{summed}"[-1] + f"{summed}"[-2])
    assert [each.code for each in judged({4: swapped - summed}).findings] == ["T01"]


def test_no_stand_yet_is_said() -> None:
    found = judge([], "ft", 2)
    assert (found.looks, found.words, found.apart) == ("nothing", "No stand was read yet.", Length(0))


def test_true_stands_are_hardly_ever_questioned() -> None:
    draw = random.Random(8)
    asked = read = 0
    for _ in range(300):
        found = judged([round(draw.gauss(0, 2)) for _ in range(10)])
        read, asked = read + 10, asked + len(found.findings)
        assert found.looks in ("nothing", "scattered")
    assert asked * 100 < 2 * read
