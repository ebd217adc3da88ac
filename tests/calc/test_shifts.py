"""A skipped row shifts a list, a joint left out does not; lists are laid beside each other to see which."""

import random

import pytest

from rack.calc.lengths import Length
from rack.calc.straps import StrapLine, compare
from tests.calc.strapping import BASE, HUNDREDTH, changed, codes, compared, lines


@pytest.mark.parametrize("skipped", [1, 2, 17, 38, 39])
def test_a_row_skipped_by_the_second_strap_is_found(skipped: int) -> None:
    short = BASE[: skipped - 1] + BASE[skipped:]
    for second in (short, [*short, None]):
        found = compared(second)
        assert codes(found) == ["T04"]
        assert found.findings[0].lines == (skipped - 1,)
        read = Length(BASE[skipped - 1] * HUNDREDTH)
        assert f"Joint {skipped} ({read.shown('ft', 2)} in the first strap) is not" in found.findings[0].words
        assert (found.findings[0].first, found.findings[0].second) == (read, None)
        assert (found.count_first, found.count_second) == (40, 39)


@pytest.mark.parametrize("skipped", [1, 2, 17, 39])
def test_a_row_skipped_by_the_first_strap_is_found(skipped: int) -> None:
    found = compared(BASE, BASE[: skipped - 1] + BASE[skipped:])
    assert codes(found) == ["T04"]
    assert f"a reading more at joint {skipped} " in found.findings[0].words
    assert "taped a joint twice" not in found.findings[0].words
    assert found.findings[0].second == Length(BASE[skipped - 1] * HUNDREDTH)


def test_a_skip_made_good_further_down_is_found_although_the_counts_agree() -> None:
    second = BASE[:9] + BASE[10:25] + [BASE[24]] + BASE[25:]
    found = compared(second)
    assert found.count_first == found.count_second
    assert codes(found) == ["T04", "T04"]
    assert found.findings[0].lines == (9,)
    assert "taped a joint twice" in found.findings[1].words


def test_a_slip_behind_a_skipped_row_is_still_named() -> None:
    second = BASE[:9] + BASE[10:]
    second[29] += 100  # joint 31, one line higher than it belongs
    found = compared(second)
    assert codes(found) == ["T04", "T02"]
    assert found.findings[1].words.startswith("Joint 31: ")


def test_two_slips_are_no_shifted_list() -> None:
    assert "T04" not in codes(compared(changed(j10=BASE[9] + 31, j11=BASE[10] - 53, j12=BASE[11] + 29)))


def test_a_joint_that_one_strap_left_out_is_named_without_a_shift() -> None:
    found = compared([None if place == 16 else reading for place, reading in enumerate(BASE)])
    assert codes(found) == ["T04"]
    assert "The second strap has no reading for joint 17," in found.findings[0].words
    assert (found.findings[0].first, found.findings[0].second) == (Length(BASE[16] * HUNDREDTH), None)
    assert found.differing == ()


def test_a_joint_that_the_first_strap_left_out_is_named_too() -> None:
    found = compared(BASE, [None if place == 16 else reading for place, reading in enumerate(BASE)])
    assert codes(found) == ["T04"]
    assert "The first strap has no reading for joint 17," in found.findings[0].words
    assert (found.findings[0].first, found.findings[0].second) == (None, Length(BASE[16] * HUNDREDTH))


def test_many_unread_joints_are_one_finding() -> None:
    found = compared(BASE[:20] + [None] * 20)
    assert codes(found) == ["T04"]
    assert "joint 30 and 10 more" in found.findings[0].words
    assert found.findings[0].lines == tuple(range(20, 40))
    assert found.findings[0].first is None
    ten = compared(BASE[:30] + [None] * 10).findings[0].words
    assert "joint 39, joint 40, the other" in ten


@pytest.mark.parametrize("second", [[], [None] * 40])
def test_a_strap_that_has_not_begun_is_no_error(second: list[None]) -> None:
    found = compared(second)
    assert found.findings == ()
    assert found.mean_nm is None
    assert found.words == "No joint was read twice."
    assert not found.cancels


def test_numbers_painted_twice_are_no_way_to_pair_the_lines() -> None:
    first = [StrapLine("7", Length(reading * HUNDREDTH)) for reading in BASE]
    second = [StrapLine(str(n), line.length) for n, line in enumerate(first)]
    assert compare(first, second, unit="ft", digits=2).findings == ()


def test_a_list_in_which_one_line_has_no_number_is_paired_by_place() -> None:
    first = lines(BASE)
    second = [StrapLine("" if line.painted == "17" else line.painted, line.length) for line in first]
    assert compare(first, second, unit="ft", digits=2).findings == ()


def test_lists_numbered_quite_otherwise_are_paired_by_place() -> None:
    first = lines(BASE)
    second = [StrapLine(f"A{line.painted}", line.length) for line in first]
    assert compare(first, second, unit="ft", digits=2).findings == ()


def test_lists_with_other_numbers_are_paired_by_the_painted_number() -> None:
    first = lines(BASE)
    second = [line for line in first if line.painted != "17"]
    second.insert(20, StrapLine("21A", Length(3055 * HUNDREDTH)))
    found = compare(first, second, unit="ft", digits=2)
    assert found.differing == ()
    assert codes(found) == ["T04", "T04"]
    assert "joint 17" in found.findings[0].words
    assert "joint 21A" in found.findings[1].words


def test_a_fleet_of_joints_is_compared_quickly_enough_to_be_looked_at() -> None:
    """2,000 joints with a row skipped in the middle; the alignment looks only a little sideways."""
    chance = random.Random(5)
    many = [chance.randint(3000, 3300) for _ in range(2000)]
    assert codes(compared(many[:1000] + many[1001:], many)) == ["T04"]
