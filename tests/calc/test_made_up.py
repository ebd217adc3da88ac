"""The length of a tally made up, with a working that a reader can redo."""

from hypothesis import given
from hypothesis import strategies as st

from rack.calc.lengths import Length
from rack.calc.made_up import made_up_worked
from rack.calc.sheets import SheetLoss

LOSSES = st.lists(
    st.builds(
        SheetLoss, what=st.just("casing"), loss_nm=st.integers(0, 10**9), source=st.just("table"),
        conf=st.just("B"), pins=st.integers(1, 400),
    ),
    max_size=5,
)  # fmt: skip


@given(st.integers(0, 10**14), LOSSES)
def test_each_loss_comes_off_once_a_pin_and_nothing_is_lost_to_rounding(total, losses):
    worked = made_up_worked(Length(total), losses, unit="ft", digits=2)
    assert worked.value.nanometres + sum(loss.loss_nm * loss.pins for loss in losses) == total
    assert f"{worked.value.nanometres:,} nm" in worked.steps[-1]


def test_the_working_names_every_loss_its_pins_and_its_source_once():
    losses = [
        SheetLoss("9 5/8 in casing", Length.parse("4.8125 in").nanometres, "table of threads", "B", 30),
        SheetLoss("pup joint", Length.parse("4.5 in").nanometres, "table of threads", "B", 1),
        SheetLoss("landing joint", Length.parse("0.31 ft").nanometres, "measured pin", "", 1),
    ]
    worked = made_up_worked(Length.parse("1228.90"), losses, unit="ft", digits=2)
    assert worked.value.shown("ft", 2) == "1,216.18"
    assert worked.inputs["loss 1"] == "0.401 ft a pin, 30 pins, 9 5/8 in casing"
    assert worked.inputs["loss 2"] == "0.375 ft a pin, 1 pin, pup joint"
    assert worked.steps[0] == "loss 1 = 30 x 0.401 ft = 12.031 ft"
    assert worked.source == "table of threads (confidence B); measured pin"


def test_where_nothing_comes_off_the_length_is_the_total_and_the_source_says_why():
    worked = made_up_worked(Length.parse("62.54"), [], unit="ft", digits=2)
    assert worked.value == Length.parse("62.54") and "nothing comes off" in worked.source
