"""How a figure stands in a worked example: grouped, with the figures that matter, no powers of ten."""

from math import floor, isfinite, log10


def figure(value: float, digits: int = 6) -> str:
    """Return `value` as text with `digits` significant figures: "712,070", "0.0867", "11.4154".

    `value` is a finite number in any unit; `digits` counts figures (whole numbers are never cut).
    Raises ValueError for what is not finite. Source: common practice.
    """
    if not isfinite(value):
        raise ValueError(f"value: {value} cannot be shown; allowed is any finite number")
    if value == 0:
        return "0"
    places = max(0, digits - 1 - floor(log10(abs(value))))
    text = f"{value:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
