"""Rows of a list that are no pieces: sums, lines of text, headings again; and sums held to the rows."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from rack.calc.lengths import ZERO, Length
from rack.calc.list_sums import total_line
from rack.calc.receiving import ReadRow, SheetMapping, Total, and_words
from rack.calc.units import NM
from rack.exchange.headings import folded, score

#: The words of a sum, accents and case taken off: English, German, French, Spanish, Norwegian.
_CARRIED = (
    r"ubertrag|uebertrag|carried (?:forward|over|fwd)|c/f|brought forward|b/f|a reporter|"
    r"report(?= ?\d*$)|suma y sigue|"
    r"suma anterior|overfort|running (?:total|sum)|cumulative(?: total)?|cum total|total cumule|"
    r"total acumulado|kumuliert|laufende summe"
)
_GRAND = (
    r"grand total|overall total|total general|total geral|gesamt(?:summe|lange|laenge)?|endsumme|totalsum|"
    r"total sum|sum totalt|sluttsum|end total"
)
_PAGE = (
    r"page (?:no )?\d* ?(?:sub ?)?total|total (?:of |for )?(?:the )?page|seiten?(?: nr)? ?\d* ?summe|"
    r"summe (?:der )?seite|total (?:de la )?(?:page|pagina)|pagina \d* ?total|side ?sum|sum side|"
    r"seitensumme|page \d* sum"
)
_SUB = (
    r"(?:column|block|layer|row|lage|spalten?|kolonne|col|bundle|bund) ?\d* ?(?:total|summe?|sum)|sub ?total|"
    r"sous ?total|zwischensumme|spaltensumme|blocksumme|total (?:colonne|columna|column)|sum kolonne|delsum|"
    r"total parcial"
)
_PLAIN = r"totals?|totalt|totaal|total(?:lange|laenge|length)|sums?|summen?|somme|suma|σ"
_LEVELS = [
    (level, re.compile(rf"(?P<word>{words})(?!\w)"))
    for level, words in (
        ("carried", _CARRIED),
        ("grand", _GRAND),
        ("page", _PAGE),
        ("sub", _SUB),
        ("", _PLAIN),
    )
]
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
    if not text or len(text) > 60:
        return None
    form = folded(text)
    for level, pattern in _LEVELS:
        found = pattern.match(form)
        if found:
            return level, found["word"]
    return None


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
    """Return the sum of the file beside the sum of the rows that it stands for: settled by what agrees.

    A grand or carried total should stand for all rows so far, one of a page for those since the last
    page, one of a column for those since the last sum. Where that does not agree the other spans are
    tried; where none does, the one that its word names is shown, for a plain sum the nearest.
    """
    so_far = rows[: found.rows_before]
    totals = [
        total_line(found.where, found.label, found.in_file, so_far[start:], found.unit, digits)
        for start in _starts(found, earlier)
    ]
    if found.in_file is None:
        return totals[0]
    agreeing = next((total for total in totals if total.agrees), None)
    if agreeing or found.level:
        return agreeing or totals[0]
    in_file = found.in_file
    return min(totals, key=lambda total: abs(total.computed - in_file))


def _starts(found: SumRow, earlier: Sequence[SumRow]) -> list[int]:
    """Return the rows at which the span of a sum may begin, the likeliest first."""
    ends = {
        "sub": {"sub", "", "page", "grand"},
        "": {"", "page", "grand"},
        "page": {"page", "grand"},
    }.get(found.level, set())
    before = [each for each in earlier if each.rows_before < found.rows_before]
    own = [each.rows_before for each in before if each.level in ends]
    pages = [each.rows_before for each in before if each.level in ("page", "grand")]
    any_end = [each.rows_before for each in before]
    likely = [max(own, default=0), max(pages, default=0), 0, max(any_end, default=0)]
    if found.level in ("grand", "carried"):
        likely = [0, max(pages, default=0)]
    if found.level == "":
        likely = [0, *likely]
    return list(dict.fromkeys(likely))


def chained(found: SumRow, total: Total, sums: Sequence[SumRow], totals: Sequence[Total]) -> Total:
    """Return a sum that the rows do not give with what the sums above it say of it.

    `sums` and `totals` are those before it. A page that is the sum of its columns carries their slip
    on; one whose columns all agree was added wrongly itself.
    """
    lower = {"grand": ("page",), "page": ("sub", ""), "carried": ("page",)}.get(found.level, ())
    parts = [
        (each, done)
        for each, done in zip(sums, totals, strict=True)
        if each.level in lower and each.in_file is not None and _within(each, found, sums)
    ]
    if total.agrees or found.in_file is None or len(parts) < 2:
        return total
    added = sum((each.in_file for each, _ in parts if each.in_file), ZERO)
    wrong = [done.where for _, done in parts if not done.agrees]
    if added == found.in_file and wrong:
        text = f" It is the sum of the totals above it, so it carries on the slip of {and_words(wrong)}."
    elif not wrong:
        text = f" The {len(parts)} totals that it adds agree with their rows: the slip is in this adding."
    else:
        return total
    return replace(total, text=total.text + text)


def _within(part: SumRow, found: SumRow, sums: Sequence[SumRow]) -> bool:
    """Say whether a sum lies in the span that a higher one adds: a page, or everything so far."""
    if found.level != "page":
        return True
    pages = [each.rows_before for each in sums if each.level in ("page", "grand")]
    return part.rows_before > max(pages, default=0)


def looks_like_sum(length: Length | None, lengths: Sequence[Length]) -> bool:
    """Say whether a figure alone in the length column is a sum: longer than any piece or any two so far."""
    if length is None or len(lengths) < 2:
        return False
    return length.nanometres > 100 * NM["ft"] or length > 2 * max(lengths)
