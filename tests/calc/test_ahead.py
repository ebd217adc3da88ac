"""Depths beforehand, and the string against the driller: sums that the crew checks by hand."""

import pytest

from rack.calc.ahead import against_driller, depths_ahead
from rack.calc.lengths import Length


def ft(text: str) -> Length:
    return Length.parse(text, "ft")


def test_each_joint_adds_its_length_and_the_kelly_its_own():
    rows = depths_ahead(ft("7000"), [("KD1", ft("31.20")), ("KD2", ft("30.98"))], kelly=ft("41.50"))
    assert [row.depth.shown("ft", 2) for row in rows] == ["7,031.20", "7,062.18"]
    assert [row.kelly_down.shown("ft", 2) for row in rows] == ["7,072.70", "7,103.68"]


def test_after_a_joint_of_unknown_length_no_depth_is_told():
    rows = depths_ahead(ft("100"), [("KD1", None), ("KD2", ft("31"))])
    assert [row.depth for row in rows] == [None, None]
    assert rows[1].kelly_down is None


JOINTS = [ft("31.20"), ft("30.98"), ft("32.05")]


@pytest.mark.parametrize("driller, looks", [
    ("9000.00", "nothing"), ("9000.05", "nothing"), ("9000.06", "a constant"), ("8999.95", "nothing"),
    ("9031.20", "a joint"), ("8969.02", "a joint"), ("9032.08", "a joint"), ("9025.00", "a constant"),
])  # fmt: skip
def test_the_difference_is_told_for_what_it_looks_like(driller, looks):
    found = against_driller(ft("9000"), ft(driller), JOINTS, near=ft("0.05"))
    assert found.looks == looks
    assert found.apart == ft(driller) - ft("9000")


def test_a_driller_who_is_deeper_counts_one_too_many():
    assert "counts one joint" in against_driller(ft("9000"), ft("9031.20"), JOINTS, near=ft("0.05")).words
    assert "misses one joint" in against_driller(ft("9000"), ft("8969.02"), JOINTS, near=ft("0.05")).words


def test_without_joints_nothing_is_a_joint():
    assert against_driller(ft("10"), ft("41"), [], near=ft("0.05")).looks == "a constant"
