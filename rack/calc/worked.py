"""A number that can be opened: its formula, what went in, the steps and the source."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Worked:
    """A result with everything that a reader needs to redo it by hand.

    `inputs` maps each symbol or name to the value with its unit as text; `steps` are lines of
    arithmetic in order; `source` names the document, or says "common practice" or "from memory".
    """

    value: Any
    unit: str
    formula: str
    inputs: Mapping[str, str]
    steps: tuple[str, ...]
    source: str
