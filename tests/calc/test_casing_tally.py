"""A string laid out from the bottom up: exact whatever its order, its losses counted by pins."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.casing_parts import PARTS, part_kind
from rack.calc.casing_tally import CasingItem, counts, landing, lay_out, shoe_worked
from rack.calc.lengths import ZERO, Length
from rack.calc.units import NM

FT = NM["ft"]


def feet(text: str) -> Length:
    return Length.parse(text, "ft")


def joint(name: str, length: str = "39.48", **more: object) -> CasingItem:
    return CasingItem(name, length=feet(length), loss=feet("0.40"), line=name, **more)  # type: ignore[arg-type]


def part(kind: str, length: str, **more: object) -> CasingItem:
    entry = part_kind(kind)
    return CasingItem(entry.mark, kind, length=feet(length), loss=feet("0.40"), pins=entry.pins, **more)  # type: ignore[arg-type]


STRING = [part("shoe", "1.85"), joint("1"), part("collar", "1.92"), joint("2", "38.76"), joint("3", "40.27")]

NM_LENGTHS = st.integers(FT, 50 * FT).map(Length)
LOSSES = st.integers(0, FT // 2).map(Length)
ITEMS = st.lists(
    st.builds(
        lambda kind, length, loss: CasingItem(
            kind, kind, length=length, loss=loss, pins=1 if kind == "joint" else PARTS[kind].pins),
        st.sampled_from(["joint", "shoe", "collar", "marker", "stage", "pup", "hanger", "slips"]), NM_LENGTHS,
        LOSSES,
    ), min_size=1, max_size=40)


def test_the_running_total_is_that_of_a_sheet_written_by_hand() -> None:
    layout = lay_out(STRING, feet("24.60"))
    assert [one.total.shown("ft", 2) for one in layout.stood if one.total] == [
        "1.85", "40.93", "42.45", "80.81", "120.68"]
    assert layout.shoe == feet("145.28")
    assert (layout.stood[0].bottom, layout.stood[-1].top) == (feet("145.28"), feet("24.60"))
    assert [one.joint_n for one in layout.stood] == [0, 1, 1, 2, 3]


def test_a_box_up_shoe_loses_nothing_and_the_first_joint_loses_its_pin_in_it() -> None:
    layout = lay_out(STRING[:2], None)
    assert layout.pins == 1
    assert [one.effective for one in layout.stood] == [feet("1.85"), feet("39.08")]


def test_losses_are_counted_by_pins_and_never_by_joints_less_one() -> None:
    layout = lay_out(STRING, None)
    assert layout.pins == 4
    assert layout.losses == feet("1.60")


@given(ITEMS, st.integers(0, 500 * FT).map(Length))
def test_in_any_order_the_parts_make_the_total_and_depths_follow_from_the_shoe(
    items: list[CasingItem], anchor: Length
) -> None:
    layout = lay_out(items, anchor)
    assert layout.total is not None and layout.shoe is not None and layout.gross is not None
    by_line = sum((one.effective for one in layout.stood if one.effective is not None), ZERO)
    assert layout.total == by_line == layout.gross - sum((item.off or ZERO for item in items), ZERO)
    assert layout.losses == sum((item.loss * item.pins for item in items if item.loss is not None), ZERO)
    below = ZERO
    for one in layout.stood:
        assert one.bottom == layout.shoe - below
        below += one.effective or ZERO
        assert one.top == layout.shoe - below
        assert one.total == below
    assert layout.stood[-1].top == anchor


@given(ITEMS, st.randoms(use_true_random=False))
def test_another_order_of_the_same_parts_has_the_same_length(items: list[CasingItem], dice: object) -> None:
    other = list(items)
    dice.shuffle(other)  # type: ignore[attr-defined]
    assert lay_out(items, ZERO).total == lay_out(other, ZERO).total


@pytest.mark.parametrize("broken", [
    CasingItem("9", length=None, loss=ZERO), CasingItem("9", length=Length(FT), loss=None)])
def test_what_is_not_known_is_never_taken_for_zero(broken: CasingItem) -> None:
    layout = lay_out([*STRING, broken, joint("4")], feet("24.60"))
    assert (layout.total, layout.shoe) == (None, None)
    assert layout.unknown == ("9",)
    assert layout.stood[4].total == feet("120.68")
    assert layout.stood[5].total is None and layout.stood[6].total is None
    assert shoe_worked(layout, datum="RKB", unit="ft", digits=2) is None


def test_an_unknown_loss_of_a_part_without_a_pin_does_no_harm() -> None:
    shoe = CasingItem("FS", "shoe", length=feet("1.85"), loss=None, pins=0)
    assert lay_out([shoe], None).total == feet("1.85")


def test_spare_and_left_out_joints_add_nothing() -> None:
    extra = [joint("8", role="spare"), joint("9", role="out", reason="thread hit")]
    assert lay_out([*STRING, *extra], None).total == lay_out(STRING, None).total


def test_a_cut_off_above_slips_takes_its_length_from_the_string() -> None:
    slips = part("slips", "0", cut_off=feet("12.30"))
    layout = lay_out([*STRING, slips], feet("24.60"))
    assert layout.total == feet("108.38")
    assert layout.stood[-1].top == feet("24.60")
    assert layout.shoe == feet("132.98")


def test_the_landing_joint_gives_the_stick_up_and_no_depth() -> None:
    layout = lay_out([*STRING, part("hanger", "1.20"), part("landing", "38.10")], feet("24.60"))
    assert layout.total == feet("121.48")
    assert layout.stick_up == feet("13.10")


def test_the_three_counts_and_the_numbers_that_must_lie_on_the_rack() -> None:
    items = [*STRING, joint("4", role="spare"), joint("5", role="out", reason="bent"),
             joint("6", role="out", reason="drift", away=True)]
    found = counts(items, 6)
    assert (found.received, found.to_run, found.spare, found.left_out, found.away) == (6, 3, 1, 2, 1)
    assert found.on_rack == ("4", "5")


def test_a_joint_that_was_found_is_counted_as_received() -> None:
    assert counts([*STRING, CasingItem("36A", length=feet("39"))], 3).received == 4


def test_landing_says_what_is_missing_and_how_many_joints_that_is() -> None:
    layout = lay_out(STRING, feet("24.60"))
    needs = landing(layout, feet("250"), feet("10"))
    assert (needs.off_bottom, needs.space_out, needs.joints) == (feet("104.72"), feet("94.72"), 2)
    assert landing(layout, None, feet("10")).space_out is None
    assert landing(lay_out(STRING, None), feet("250"), feet("10")).off_bottom is None


def test_the_shoe_depth_is_worked_out_step_by_step() -> None:
    worked = shoe_worked(lay_out(STRING, feet("24.60")), datum="RKB", unit="ft", digits=2)
    assert worked is not None
    assert worked.value == feet("145.28")
    assert worked.steps[0] == "below the shoulder = 122.28 ft - 1.600 ft = 120.68 ft"
    assert worked.inputs["losses"] == "1.600 ft, 4 pins"


def test_another_part_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="no part called 'boat'"):
        part_kind("boat")
