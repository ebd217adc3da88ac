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


def order_of(painted: str) -> tuple[tuple[int, str], ...]:
    """Return a key that puts painted numbers in the order of counting: 2 before 10, 36A behind 36.

    `painted` is any text. Raises nothing. Source: trade guide 5.2, the number is text.
    """
    parts = re.split(r"(\d+)", painted.upper())
    return tuple((int(part), "") if part.isdecimal() else (0, part) for part in parts if part)


def same_number(one: str, other: str) -> bool:
    """Say whether `one` and `other` are the same number as painted: noughts before it, blanks and small
    letters are no difference. Raises nothing. Source: common practice.
    """
    return order_of(re.sub(r"[\s.#-]", "", one)) == order_of(re.sub(r"[\s.#-]", "", other))
