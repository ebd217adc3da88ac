"""Depths beforehand, and the string against the driller: sums that the crew checks by hand."""

import pytest

from rack.calc.ahead import against_driller, depths_ahead
from rack.calc.kelly import kelly_downs, stand_downs
from rack.calc.lengths import Length
from rack.calc.running import hanging


def ft(text: str) -> Length:
    return Length.parse(text, "ft")


def test_each_joint_adds_its_length_and_the_kelly_its_own():
    rows = depths_ahead(
        ft("7000"), [("KD1", ft("31.20")), ("KD2", ft("30.98"))], stick_up=ft("0"), kelly=ft("41.50")
    )
    assert [row.depth.shown("ft", 2) for row in rows] == ["7,031.20", "7,062.18"]
    assert [row.kelly_down.shown("ft", 2) for row in rows] == ["7,072.70", "7,103.68"]


def test_after_a_joint_of_unknown_length_no_depth_is_told():
    rows = depths_ahead(ft("100"), [("KD1", None), ("KD2", ft("31"))], stick_up=ft("0"))
    assert [row.depth for row in rows] == [None, None]
    assert rows[1].kelly_down is None


def test_the_stick_up_counts_at_a_connection_and_not_with_the_kelly_down():
    """The worked columns of kelly and top drive stand beside each other: one string, one joint more."""
    (row,) = depths_ahead(ft("7000"), [("KD1", ft("31.20"))], stick_up=ft("3.28"), kelly=ft("41.50"))
    assert row.depth == ft("7027.92") == stand_downs(ft("7000"), [ft("31.20")], ft("3.28"))[0]
    assert row.kelly_down == ft("7072.70") == kelly_downs(ft("7000"), [ft("31.20")], [ft("41.50")])[0]


def test_a_correction_moves_both_depths():
    up = ft("0") - ft("1.10")
    (row,) = depths_ahead(
        ft("7000"), [("KD1", ft("31.20"))], stick_up=ft("3.28"), kelly=ft("41.50"), correction=up
    )
    assert (row.depth, row.kelly_down) == (ft("7026.82"), ft("7071.60"))


@pytest.mark.parametrize("lengths, stick_up, bit, unknown", [
    ([], "3", "0", 0), (["31.20"], "0", "31.20", 0), (["31.20", "30.98"], "3.20", "58.98", 0),
    (["2.00"], "3.20", "0", 0), (["3.20"], "3.20", "0", 0), (["3.21"], "3.20", "0.01", 0),
    (["31.20", None], "0", "31.20", 1),
])  # fmt: skip
def test_the_bit_is_below_the_table_by_what_is_made_up_less_what_stands_above(
    lengths, stick_up, bit, unknown
):
    found = hanging([None if one is None else ft(one) for one in lengths], stick_up=ft(stick_up))
    assert (found.bit, found.unknown) == (ft(bit), unknown)


JOINTS = [ft("31.20"), ft("30.98"), ft("32.05"), ft("2.00")]
CONSTANTS = {"the stick-up": ft("3.20"), "the kelly": ft("41.50"), "nothing at all": ft("0")}


@pytest.mark.parametrize("driller, looks", [
    ("9000.00", "nothing"), ("9000.05", "nothing"), ("9000.06", "nothing"), ("8999.95", "nothing"),
    ("9009.00", "nothing"), ("9009.01", "a constant"), ("8991.00", "nothing"), ("9025.00", "a constant"),
    ("9031.20", "a joint"), ("8969.02", "a joint"), ("9032.08", "a joint"), ("9033.56", "a constant"),
    ("9033.55", "a joint"), ("9029.47", "a constant"), ("9062.82", "a joint"), ("9094.23", "a joint"),
    ("8905.77", "a joint"), ("9125.64", "a joint"), ("9157.05", "a constant"), ("9003.28", "a constant"),
    ("8996.80", "a constant"), ("9003.40", "nothing"), ("9041.50", "a constant"),
])  # fmt: skip
def test_the_difference_is_told_for_what_it_looks_like(driller, looks):
    found = against_driller(ft("9000"), ft(driller), JOINTS, near=ft("0.05"), constants=CONSTANTS)
    assert found.looks == looks
    assert found.apart == ft(driller) - ft("9000")


def test_a_driller_who_is_deeper_counts_one_too_many():
    assert "counts one joint" in against_driller(ft("9000"), ft("9031.20"), JOINTS, near=ft("0.05")).words
    assert "misses one joint" in against_driller(ft("9000"), ft("8969.02"), JOINTS, near=ft("0.05")).words


def test_without_joints_nothing_is_a_joint():
    assert against_driller(ft("10"), ft("41"), [], near=ft("0.05")).looks == "a constant"


@pytest.mark.parametrize("driller, words", [
    ("9003.25", "as long as the stick-up"),
    ("8958.50", "as long as the kelly, taken differently, or left out"),
    ("9094.00", "It looks like 3 joints: the driller counts 3 joints that"),
    ("8967.00", "It looks like one joint: the driller misses one joint"),
    ("9004.00", "no more than one part in 1,000"),
])  # fmt: skip
def test_what_a_difference_looks_like_is_said_in_words(driller, words):
    found = against_driller(ft("9000"), ft(driller), JOINTS, near=ft("0.05"), constants=CONSTANTS)
    assert words in found.words


def test_a_sub_is_no_joint():
    """Else every difference of a foot or two would look like a bit."""
    assert against_driller(ft("9000"), ft("9012"), [ft("12")] * 3, near=ft("0.05")).looks == "a constant"


def test_a_correction_never_lifts_the_bit_above_the_table():
    """Pulled out, a string is shorter than its correction: its bit is at the table, not above."""
    found = hanging([ft("4.00")], stick_up=ft("3.00"), correction=ft("0") - ft("2.50"))
    assert (found.bit, found.whole) == (ft("0"), ft("4.00"))
    up = ft("0") - ft("9")
    (row,) = depths_ahead(ft("1"), [("KD1", ft("1"))], stick_up=ft("0"), kelly=ft("0.25"), correction=up)
    assert (row.depth, row.kelly_down) == (ft("0"), ft("0"))
