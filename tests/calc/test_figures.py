"""Figures in a worked example: grouped, never in powers of ten, whole numbers never cut."""

import pytest

from rack.calc.figures import figure


@pytest.mark.parametrize(
    "value, text",
    [(0, "0"), (712_070.4377, "712,070"), (46_950_000, "46,950,000"), (0.0867123, "0.0867123"), (5.0, "5"),
     (11.41536, "11.4154"), (-0.5, "-0.5"), (1.23456789e-7, "0.000000123457"), (999_999.7, "1,000,000"),
     (100, "100"), (0.8, "0.8")],
)  # fmt: skip
def test_a_figure_reads_as_the_trade_writes_it(value, text):
    assert figure(value) == text


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -float("inf")])
def test_what_is_not_finite_is_refused(bad):
    with pytest.raises(ValueError, match="^value: "):
        figure(bad)
