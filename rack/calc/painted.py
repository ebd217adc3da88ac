"""Painted numbers are text: 36, 36A, R-7; the next one is worked out from the last."""

import re


def number_after(painted: str) -> str:
    """Return the painted number that follows `painted`: "36" -> "37", "36A" -> "37", "R-09" -> "R-10".

    Takes the text of the last line, "" for none, and returns text; after a text without any digit
    the count starts at "1". Raises nothing. Source: common practice.
    """
    match = re.match(r"^(.*?)(\d+)\D*$", painted)
    if not match:
        return "1"
    head, digits = match.groups()
    return f"{head}{int(digits) + 1:0{len(digits)}d}"
