"""Stands count from the bit; the singles of a stand are lettered from the bottom up."""

import pytest

from rack.calc.stand_names import stand_names

BIT, DC, HW, DP, JAR = "bit", "collar", "heavy_weight", "drill_pipe", "jar"


@pytest.mark.parametrize(
    "kinds, joints, named",
    [
        ([], 3, ()),
        ([BIT, DP, DP, DP, DP], 3, ("", "1 B", "1 M", "1 T", "2 B")),
        ([DP, DP, DP], 2, ("1 B", "1 T", "2 B")),
        ([DP] * 5, 4, ("1 B", "1 L", "1 U", "1 T", "2 B")),
        ([DP, DP], 1, ("1", "2")),
        ([BIT, DC, DC, JAR, DC, DP], 3, ("", "1 B", "1 M", "", "2 B", "3 B")),
        ([HW, HW, DP, DP], 3, ("1 B", "1 M", "2 B", "2 M")),
    ],
)
def test_stands_are_numbered_from_the_bit(kinds, joints, named):
    assert stand_names(kinds, joints) == named


@pytest.mark.parametrize("joints", [0, 5, -1])
def test_no_stand_is_of_other_joints(joints):
    with pytest.raises(ValueError, match="joints is"):
        stand_names([DP], joints)


@pytest.mark.parametrize("more", range(1, 9))
def test_the_names_never_change_when_the_string_grows(more):
    kinds = [BIT, DC, DC, *[DP] * 7]
    assert stand_names(kinds + [DP] * more, 3)[: len(kinds)] == stand_names(kinds, 3)
