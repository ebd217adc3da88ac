"""What a check says: every problem at once, with what was measured and the limit beside it."""

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How hard a problem bites. STOPS cannot be overridden, ASKS wants a stored yes, NOTE only informs."""

    STOPS = "STOPS"
    ASKS = "ASKS"
    NOTE = "NOTE"


@dataclass(frozen=True)
class Problem:
    """One thing that a check found.

    `text` is the whole sentence the user reads. `measured`, `limit` and `unit` are the figures
    behind it, as text already rounded for reading; `source` names where the limit comes from.
    `code` is the check's short name ("T01"), `where` the place ("joint 31", "row 17").
    """

    severity: Severity
    text: str
    code: str = ""
    where: str = ""
    measured: str = ""
    limit: str = ""
    unit: str = ""
    source: str = ""


def stops(text: str, **more: str) -> Problem:
    """Return a problem that cannot be overridden.

    `text` is a full sentence, `more` the other fields of `Problem`. Raises nothing. Source: law 9 of the
    house.
    """
    return Problem(Severity.STOPS, text, **more)


def asks(text: str, **more: str) -> Problem:
    """Return a problem that goes on after a stored confirmation.

    `text` is a full sentence, `more` the other fields of `Problem`. Raises nothing. Source: law 9 of the
    house.
    """
    return Problem(Severity.ASKS, text, **more)


def note(text: str, **more: str) -> Problem:
    """Return a problem that only informs.

    `text` is a full sentence, `more` the other fields of `Problem`. Raises nothing. Source: law 9 of the
    house.
    """
    return Problem(Severity.NOTE, text, **more)
