"""What one list, two straps or the sender's list tell: each planted slip named, near misses silent."""

import random
from collections.abc import Sequence

import pytest

from rack.calc.arbiter import against_list, bears_out
from rack.calc.checks import Severity
from rack.calc.lengths import Length
from rack.calc.one_strap import Read, chance_alike, equal_neighbours, inch_tape, standing_alone
from rack.calc.strapped import BothRead, Finding, Terms
from rack.calc.straps import GATE, StrapLine
from tests.calc.strapping import BASE, HUNDREDTH, changed, codes, compared, lines

TERMS = Terms(GATE, "ft", 2)
PIN = Length.parse("4 1/2 in")
#: Invented casing of range 3, hundredths of a foot: four feet from the shortest to the longest.
CASING = [3800 + (389 * n) % 419 for n in range(30)]


def reads(steps: Sequence[int | None], kind: str = "casing", **more: bool) -> list[Read]:
    return [
        Read(f"Joint {n}", None if each is None else Length(each * HUNDREDTH), kind, "one", **more)
        for n, each in enumerate(steps, start=1)
    ]


def named(found: Sequence[Finding]) -> list[tuple[str, tuple[int, ...]]]:
    return [(each.code, each.lines) for each in found]


# T05: a joint taped twice


def with_double(at: int) -> list[int]:
    return [*CASING[:at], CASING[at - 1], *CASING[at:]]


def test_a_joint_taped_twice_is_named_where_neighbours_are_seldom_alike() -> None:
    (found,) = equal_neighbours(reads(with_double(12)), TERMS)
    assert (found.code, found.lines) == ("T05", (11, 12))
    assert "Joint 12 and joint 13 both read" in found.words
    assert "Walk the rack" in found.do


def test_alike_neighbours_of_a_close_batch_are_silent() -> None:
    """New drill pipe lies within a third of a foot: neighbours alike are everyday."""
    close = [3110 + (7 * n) % 30 for n in range(40)]
    assert equal_neighbours(reads([*close[:9], close[8], *close[9:]]), TERMS) == []


def test_alike_joints_that_are_no_neighbours_are_silent() -> None:
    assert equal_neighbours(reads([*CASING, CASING[4]]), TERMS) == []


def test_neighbours_that_another_list_has_alike_too_are_two_joints() -> None:
    assert equal_neighbours(reads(with_double(12)), TERMS, vouched={11}) == []


def test_neighbours_that_a_person_confirmed_are_silent() -> None:
    assert equal_neighbours(reads(with_double(12), confirmed=True), TERMS) == []


def test_a_handful_of_joints_does_not_tell_what_is_rare() -> None:
    assert equal_neighbours(reads(with_double(12)[:14]), TERMS) == []
    assert len(equal_neighbours(reads(with_double(12)[:15]), TERMS)) == 1


def test_an_unread_line_between_them_keeps_neighbours_apart() -> None:
    steps: list[int | None] = list(with_double(12))
    steps.insert(12, None)
    assert equal_neighbours(reads(steps), TERMS) == []


def test_the_chance_of_two_alike_is_counted_from_all_pairs() -> None:
    draw = random.Random(5)
    spread = [Length((3800 + draw.randrange(400)) * HUNDREDTH) for _ in range(200)]
    chance = chance_alike(spread, "ft", 2)
    assert 1 / 500 < chance < 1 / 320  # 1 in 400
    assert chance_alike(spread[:1], "ft", 2) == 1


# T07 and its slips: judged by the whole list


def test_the_first_reading_of_a_strap_is_judged_by_what_came_after() -> None:
    steps = list(CASING)
    steps[0] = 1390
    (found,) = standing_alone(reads(steps), TERMS)
    assert found.lines == (0,)
    assert found.words.startswith("Joint 1: 13.90 ft is ")


@pytest.mark.parametrize("reading, code", [(4888, "T07"), (3100, "T02"), (3444, "T07")])
def test_a_reading_like_nothing_in_its_batch_is_asked_about(reading: int, code: str) -> None:
    steps = [4000 + (17 * n) % 60 for n in range(30)]
    steps[9] = reading
    assert named(standing_alone(reads(steps), TERMS)) == [(code, (9,))]
    assert standing_alone(reads(steps, confirmed=True), TERMS) == []


def test_two_of_a_kind_vouch_for_each_other() -> None:
    steps = [4000 + (17 * n) % 60 for n in range(30)]
    steps[3], steps[9] = 2010, 2031
    assert standing_alone(reads(steps), TERMS) == []


def test_a_list_in_which_every_joint_stands_alone_is_no_batch() -> None:
    assert standing_alone(reads([1000 + 90 * n for n in range(60)], kind=""), TERMS) == []


# T19: inches written as tenths


@pytest.mark.parametrize("figures", [(1, 6, 11, 3, 9), (10, 60, 90, 30, 0)])
def test_an_inch_tape_is_known_by_its_figures(figures: tuple[int, ...]) -> None:
    steps = [100 * (30 + n % 3) + figures[n % 5] for n in range(10)]
    found = inch_tape(reads(steps), TERMS)
    assert found is not None
    assert found.code == "T19"
    assert "Ask which tape was used" in found.do


@pytest.mark.parametrize(
    "steps",
    [
        [100 * (30 + n % 3) + 6 for n in range(9)],  # nine readings are too few
        [3101 + n for n in range(10)],  # a close batch whose lengths truly are 31.01 to 31.10
        [100 * (30 + n % 3) + (6, 12)[n == 4] for n in range(10)],  # no inch is the twelfth
        [100 * (30 + n % 3) + (60, 61)[n == 4] for n in range(10)],  # one reading has two figures
    ],
)
def test_figures_that_may_be_true_are_no_inch_tape(steps: list[int]) -> None:
    assert inch_tape(reads(steps), TERMS) is None


def test_metres_and_lengths_typed_in_inches_are_no_inch_tape() -> None:
    steps = [100 * (30 + n % 3) + 6 for n in range(12)]
    assert inch_tape(reads(steps), TERMS._replace(unit="m")) is None
    feet_and_inches = [Length.parse(f"{30 + n % 3} ft {n % 12} in") for n in range(12)]
    assert inch_tape([Read("x", length) for length in feet_and_inches], TERMS) is None


# T21: a protector left on


def test_many_joints_longer_by_a_protector_have_no_protector_on() -> None:
    two = compared(changed(j3=BASE[2] + 23, j9=BASE[8] + 31))
    assert codes(two) == ["T21", "T21"]
    five = compared(changed(**{f"j{n}": BASE[n - 1] + 23 + n % 7 for n in (3, 9, 13, 21, 30)}))
    assert set(codes(five)) == {""}


def test_a_protector_shows_against_the_mill_list_too() -> None:
    (found,) = against_list(lines(BASE), lines(changed(j7=BASE[6] + 28)), unit="ft", digits=2)
    assert (found.code, found.lines) == ("T21", (6,))
    assert f"sender's list {BASE[6] / 100:.2f}, strap " in found.words


# T23: joints longer than the tape

LONG = [*BASE[:20], 4210, 4335, 4128]


def test_whole_feet_on_the_longest_joints_only_are_the_tape() -> None:
    second = [*BASE[:20], 4310, 4335, 4328]
    (found,) = compared(second, LONG).findings
    assert (found.code, found.lines) == ("T23", (20, 22))
    assert "joint 21 1 foot (42.10 and 43.10), joint 23 2 feet (41.28 and 43.28)" in found.words


def test_one_long_joint_several_feet_off_is_the_tape_and_one_foot_the_mark() -> None:
    assert codes(compared([*BASE[:20], 4510, 4335, 4128], LONG)) == ["T23"]
    assert codes(compared([*BASE[:20], 4310, 4335, 4128], LONG)) == ["T02"]


def test_whole_feet_on_ordinary_joints_are_not_the_tape() -> None:
    assert codes(compared(changed(j3=BASE[2] + 100, j9=BASE[8] + 200))) == ["T02", ""]
    assert codes(compared([*changed(j3=BASE[2] + 100)[:20], 4310, 4335, 4128], LONG)) == ["T02", "T02"]


# The third list


@pytest.mark.parametrize(
    "listed, words",
    [
        (3127, "bears out the first strap (31.26), not the second strap (31.62)."),
        (3160, "bears out the second strap (31.62), not the first strap (31.26)."),
        (3144, "bears out neither strap."),
        (3132, "bears out neither strap."),
        (None, "The list has no length for it."),
    ],
)
def test_the_list_says_which_strap_it_bears_out_and_changes_none(listed: int | None, words: str) -> None:
    pair = BothRead(6, "Joint 7", Length(3126 * HUNDREDTH), Length(3162 * HUNDREDTH))
    found = bears_out(pair, None if listed is None else Length(listed * HUNDREDTH), TERMS)
    assert found.words.lower().endswith(words.lower())
    assert found.severity is Severity.NOTE
    assert found.do.startswith("Tape it again")


def test_a_list_near_to_both_straps_settles_nothing() -> None:
    pair = BothRead(6, "Joint 7", Length(3126 * HUNDREDTH), Length(3129 * HUNDREDTH))
    assert "settles nothing" in bears_out(pair, Length(3125 * HUNDREDTH), TERMS).words


def test_the_list_is_held_against_one_strap_joint_by_joint() -> None:
    strap: list[int | None] = list(changed(j4=BASE[3] + 100, j9=BASE[8] + 10))
    strap[1] = None
    found = against_list(lines(BASE), lines(strap), unit="ft", digits=2)
    assert named(found) == [("T02", (3,))]  # a tenth is what lists made elsewhere may be off
    assert found[0].words.startswith("Joint 4: sender's list ")


def test_a_pin_counted_by_the_whole_list_is_one_finding() -> None:
    found = against_list(lines([each + 38 for each in BASE], pin=PIN), lines(BASE), unit="ft", digits=2)
    assert [each.code for each in found] == ["T13"]
    assert found[0].words.startswith("The sender's list is longer than the strap by the pin")


def test_a_joint_that_neither_list_tells_of_is_left_aside() -> None:
    nothing = [StrapLine(str(n), None) for n in range(4)]
    assert against_list(nothing, nothing, unit="ft", digits=2) == []
