"""A part of a reference page: figures that open, and sentences where the tables have none."""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from rack.calc.lookup import CONFIDENCE, SOURCES, Row, caution, documents, number
from rack.calc.worked import Worked

_VERIFY, _REPRODUCED = caution({"conf": "D"}), caution({"conf": "C"})


@dataclass(frozen=True)
class Opened:
    """One figure: what it is called and its working. `mark` is the caution that must stand beside it,
    `aside` what is merely said of it; "" for nothing."""

    label: str
    worked: Worked
    mark: str = ""
    aside: str = ""


@dataclass(frozen=True)
class Part:
    """A titled group of figures; `sentences` say what could not be worked out, and why; `mark` is what
    must stand beside all of them."""

    title: str
    figures: tuple[Opened, ...] = ()
    sentences: tuple[str, ...] = ()
    mark: str = ""


def marks(*rows_or_marks: Row | str) -> str:
    """Return what must stand beside a figure worked out from these rows, each mark once.

    Each of `rows_or_marks` is a row of a table or a mark as text (no unit). Raises ValueError for an
    unknown letter of confidence. Source: the confidence of each row.
    """
    said = [one if isinstance(one, str) else caution(one) for one in rows_or_marks]
    found = list(dict.fromkeys(mark for text in said for mark in text.split("; ") if mark))
    if _VERIFY in found and _REPRODUCED in found:
        found.remove(_REPRODUCED)  # the weaker row is the one to look up
    return "; ".join(found)


def shared(figures: tuple[Opened, ...]) -> tuple[tuple[Opened, ...], str]:
    """Return the figures without the marks that all of them bear, and those marks, to be said once.

    `figures` are those of one part (no unit). Raises nothing. Source: their marks.
    """
    borne = [one.mark.split("; ") for one in figures]
    common = [mark for mark in borne[0] if mark and all(mark in each for each in borne)] if borne else []
    left = tuple(replace(one, mark="; ".join(mark for mark in each if mark not in common))
                 for one, each in zip(figures, borne, strict=True))
    return left, "; ".join(common)


def named(source: str) -> str:
    """Return the text of a source with the codes of documents spelled out, each title once.

    `source` is text like "dimensions of NC50: API72;SC-NC" (no unit). What is no code stays as it is;
    raises nothing. Source: `lookup.documents`.
    """
    found: list[str] = []
    for segment in source.split(";"):
        head, colon, rest = segment.strip().rpartition(": ")
        words = head + colon + _spelled(rest)
        if words and not any(one.endswith(words) for one in found):
            found.append(words)
    return "; ".join(found)


def _spelled(rest: str) -> str:
    codes = documents()
    words = rest.replace(",", " ").split()
    if words and all(word in codes for word in words):
        return "; ".join(dict.fromkeys(codes[word].title for word in words))
    with_more = re.fullmatch(r"([\w-]+)\s*(\(.*\))", rest)
    if with_more and with_more[1] in codes:
        return f"{codes[with_more[1]].title} {with_more[2]}"
    return rest


def words_of(row: Row) -> str:
    """Return the source of `row` of a table in words, with its confidence (no unit).

    Raises ValueError for an unknown letter of confidence. Source: the row's own.
    """
    caution(row)
    return f"{named(row['source'])} ({CONFIDENCE[row['conf']]})"


def from_row(table: str, row: Row, column: str, unit: str) -> Worked:
    """Return a figure as it stands in a table, opened: which table, which row, on whose word.

    `table` is one of `lookup.TABLES`, `row` one of its rows, `column` one of its columns, `unit` the unit
    of that column as text. The value is a float where the cell is a figure, else its text. Raises
    ValueError naming the column when the cell is blank. Source: the "source" of the row.
    """
    cell = row[column].strip()
    if not cell:
        raise ValueError(f"the source of this row of table {table} does not say")
    try:
        value: float | str = float(number(cell) or 0)
    except ValueError:
        value = cell
    keys = {name.replace("_", " "): row[name] for name in SOURCES[table].key if row[name]}
    steps = [f"{cell} {unit}".strip(), row["note"]]
    formula = f"as it stands in table {table}"
    return Worked(value, unit, formula, keys, tuple(step for step in steps if step), words_of(row))


def with_step(worked: Worked, *steps: str) -> Worked:
    """Return `worked` with more lines under its arithmetic.

    `steps` are lines of text, units in them. Raises nothing. Source: that of `worked`.
    """
    return replace(worked, steps=(*worked.steps, *steps))


class Gathering:
    """Figures of one part as they are worked out; one that cannot be becomes a sentence."""

    def __init__(self, title: str, mark: str = "") -> None:
        """Begin a part; `title` is its heading, `mark` stands beside every figure of it.

        Raises nothing. Source: each figure's own.
        """
        self._title, self._mark = title, mark
        self._figures: list[Opened] = []
        self._sentences: list[str] = []

    def add(self, label: str, work: Callable[[], Worked], mark: str = "") -> None:
        """Add what `work` gives under `label`, with `mark` beside it; its ValueError becomes a sentence.

        No unit of its own; raises nothing. Source: that of the figure.
        """
        try:
            self.put(label, work(), mark)
        except ValueError as wrong:
            self._sentences.append(f"{label}: {wrong}.")

    def put(self, label: str, worked: Worked, mark: str = "", aside: str = "") -> None:
        """Add `worked` under `label`, with the caution `mark` and the words `aside` beside it.

        No unit of its own; raises nothing. Source: that of the figure.
        """
        self._figures.append(Opened(label, worked, marks(self._mark, mark), aside))

    def cell(self, label: str, table: str, row: Row, column: str, unit: str) -> None:
        """Add the figure in `column` of `row` of `table` under `label`, in `unit`, with the row's mark.

        Raises nothing: a blank cell becomes a sentence. Source: the "source" of the row.
        """
        self.add(label, lambda: from_row(table, row, column, unit), caution(row))

    def say(self, sentence: str) -> None:
        """Add `sentence` (text). Raises nothing. Source: its own words."""
        self._sentences.append(sentence)

    def part(self) -> Part:
        """Return what was gathered. Raises nothing. Source: each figure's own."""
        figures, mark = shared(tuple(self._figures))
        return Part(self._title, figures, tuple(self._sentences), mark)
