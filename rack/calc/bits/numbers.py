"""The number of a bit in the reports: "5", and "5RR1" when the same bit goes in again."""

import re
from dataclasses import dataclass

_NUMBER = re.compile(r"(?:no\.? ?|nr\.? ?|# ?|bit ?)*(\d{1,4})(?:[ -]?rr[ -]?(\d{0,2}))?", re.IGNORECASE)


@dataclass(frozen=True, order=True)
class BitNumber:
    """A bit's number in the well, and how often it was run again: 5RR1 is bit 5 on its second run."""

    number: int
    reruns: int = 0

    def __str__(self) -> str:
        return f"{self.number}RR{self.reruns}" if self.reruns else str(self.number)

    @property
    def run(self) -> int:
        """Which run of this bit it is, 1 for the first."""
        return self.reruns + 1


def read_bit_number(text: str) -> BitNumber:
    """Return the bit number written in `text`: "5", "5RR1", "5 rr", "#12-RR2"; RR alone is the first rerun.

    Raises ValueError with a sentence for what is no bit number; bits are counted from 1, reruns too.
    Source: report keys of the trade, common practice.
    """
    plain = " ".join(str(text).split())
    found = _NUMBER.fullmatch(plain) if plain.isascii() else None
    if found is None or int(found[1]) == 0 or found[2] in ("0", "00"):
        shown = "".join(letter for letter in plain[:40] if letter.isprintable())
        raise ValueError(f"“{shown}” is no bit number: write 5, or 5RR1 for its first rerun.")
    reruns = 0 if found[2] is None else int(found[2] or 1)
    return BitNumber(int(found[1]), reruns)
