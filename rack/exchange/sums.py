"""Rows of a list that are no pieces: sums, lines of text, headings again; and sums held to the rows."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.lengths import Length
from rack.calc.list_sums import total_line
from rack.calc.receiving import ReadRow, SheetMapping, Total
from rack.calc.units import NM
from rack.exchange.headings import folded, score

_SUM = re.compile(
    r"^(?P<level>page|seiten?|grand|sub|sous|zwischen|gesamt|column|block|running|overall|end|layer|lage)?\s*(?:no\s*)?\d*\s*"
    r"(?P<word>totals?\b|totalt\b|totaal\b|total(?:lange|laenge|length)\b|sums?\b|summen?\b|somme\b|suma\b|subtotal\b|"
    r"gesamt\b|"
    r"gesamt(?:summe|lange|laenge)\b|zwischensumme\b|seitensumme\b|ubertrag\b|uebertrag\b|"
    r"carried (?:forward|over|fwd)|"
    r"c/f|brought forward|b/f|"
    r"a reporter|overfort\b|σ)"
)
_PIECES = r"(?:joints?|jts?|pcs|pieces|stuck|stueck|stk|rohre|tubes|lengths|piezas|ror)"
_COUNT = re.compile(
    rf"(?:grand |page )?(?:total|sum|summe|gesamt|received|delivered)?(?: of)?\s*(\d{{1,5}})\s*{_PIECES}"
    r"(?: received| delivered| in all| total)?"
    rf"|(?:total |number of |no of |total no of )?(?:{_PIECES}|stuckzahl|anzahl|count)"
    r"(?: received| delivered| total)?\s*(\d{1,5})"
)
_FIGURE = re.compile(r"(\d[\d.,]*)\s*(ft|feet|m|mtr|metres|meters|meter|fuss)?\s*$", re.IGNORECASE)


@dataclass(frozen=True)
class SumRow:
    """A sum as it stands: in which cell, its label, level and figure, and how many rows came before."""

    where: str
    label: str
    level: str
    in_file: Length | None
    unit: str
    rows_before: int


def sum_label(text: str) -> tuple[str, str] | None:
    """Return the level ("page", "grand", "sub", "carried", "") and word of a label of a sum, else None."""
    found = _SUM.match(folded(text))
    if not found or len(text) > 60:
        return None
    word, level = found["word"], found["level"] or ""
    if re.match(r"ubertrag|uebertrag|carried|brought|c/f|b/f|a reporter|overfort", word):
        level = "carried"
    elif level in ("grand", "overall", "gesamt", "end") or word.startswith("gesamt"):
        level = "grand"
    elif level in ("page", "seite", "seiten") or word == "seitensumme":
        level = "page"
    elif level or word in ("subtotal", "zwischensumme"):
        level = "sub"
    return level, word


def count_said(text: str) -> int | None:
    """Return the number of joints that a text gives ("60 joints", "Anzahl: 60"), None when it gives none."""
    found = _COUNT.fullmatch(folded(text))
    return int(found[1] or found[2]) if found else None


def figure_in(text: str) -> str:
    """Return the figure at the end of a label ("Total length: 561,047 m"), "" when there is none."""
    found = _FIGURE.search(text.strip())
    return found[0].strip() if found else ""


def label_alone(text: str) -> str:
    """Return a label without the figure that stands behind it: "Total length: 93.50 ft" is "Total length"."""
    alone = re.sub(
        r"[\s:=]+\d[\d.,]*\s*(?:ft|feet|m|mtr|metres|meters|meter|fuss)?\s*$",
        "",
        text.strip(),
        flags=re.IGNORECASE,
    )
    return (alone or text.strip()).rstrip(" :")[:60]


def is_heading_again(cells: Sequence[str], mapped: SheetMapping) -> bool:
    """Say whether a row repeats the headings, as every new page of a print does."""
    first = {folded(column.heading) for column in mapped.columns if column.heading.strip()}
    again = [folded(cell) for cell in cells if cell.strip()]
    return len(again) > 1 and (all(form in first for form in again) or score(tuple(cells)) >= 3)


def total_of(found: SumRow, rows: Sequence[ReadRow], earlier: Sequence[SumRow], digits: int) -> Total:
    """Return the sum of the file beside the sum of the rows that it stands for.

    A grand or carried total stands for all rows so far; a page or sub total for those since the last
    of its kind; a plain one for whichever agrees, or else for the nearer of the two.
    """
    so_far = rows[: found.rows_before]
    starts = [
        each.rows_before for each in earlier if _ends(each, found) and each.rows_before < found.rows_before
    ]
    since = so_far[starts[-1] if starts else 0 :]
    choices = (
        [so_far]
        if found.level in ("grand", "carried")
        else [since]
        if found.level in ("page", "sub")
        else [so_far, since]
    )
    totals = [
        total_line(found.where, found.label, found.in_file, choice, found.unit, digits) for choice in choices
    ]
    if found.in_file is None:
        return totals[0]
    in_file = found.in_file
    return min(totals, key=lambda total: (not total.agrees, abs(total.computed - in_file)))


def _ends(earlier: SumRow, found: SumRow) -> bool:
    """Say whether an earlier sum ends what a later one counts: the same level or a higher one."""
    rank = {"sub": 0, "": 1, "page": 1, "carried": 2, "grand": 3}
    return rank[earlier.level] >= rank[found.level] and earlier.level != "carried"


def looks_like_sum(length: Length | None, lengths: Sequence[Length]) -> bool:
    """Say whether a figure alone in the length column is a sum: longer than any piece or any two so far."""
    if length is None or len(lengths) < 2:
        return False
    return length.nanometres > 100 * NM["ft"] or length > 2 * max(lengths)
