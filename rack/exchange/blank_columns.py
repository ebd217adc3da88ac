"""Text whose columns are set apart by blanks: of a fixed width, by two blanks or more, or by single ones."""

import re
from collections.abc import Sequence

from rack.exchange.headings import read_heading, score
from rack.exchange.table import trimmed

_WITHIN = 80
#: Share of the lines, in hundredths, that may reach over a gap between two columns (a long remark).
_OVER = 5
_UNITS = re.compile(r"[(\[]?(?:ft|feet|m|mm|cm|in|kg/m|lb/ft|lbs/ft|ppf|no|nr|id|od)[.)\]]*", re.IGNORECASE)


def by_blanks(lines: Sequence[str]) -> list[list[str]] | None:
    """Return the cells of each line, None when blanks do not set columns apart under any row of headings."""
    plain = [line.replace("\t", " ").rstrip() for line in lines]
    tries = [_by_width(plain, gap) for gap in (2, 1)]
    tries += [_by_runs(plain), _by_single(plain)]
    best = max((rows for rows in tries if rows), key=_worth, default=None)
    return best if best and _worth(best)[0] else None


def _worth(rows: list[list[str]]) -> tuple[int, int, int]:
    """Say how well lines were cut: by their headings, the rows that fill them, and what hangs over."""
    heads = [score(tuple(cells)) for cells in rows[:_WITHIN]]
    best = max(heads, default=0)
    if not best:
        return 0, 0, 0
    at = heads.index(best)
    named = {index for index, cell in enumerate(rows[at]) if cell}
    below = rows[at + 1 :]
    fitting = sum(1 for cells in below if cells and len(named & _filled(cells)) * 3 >= 2 * len(named))
    astray = sum(len(_filled(cells) - named) for cells in below)
    return best, fitting - astray, -len(named)


def _filled(cells: list[str]) -> set[int]:
    return {index for index, cell in enumerate(cells) if cell}


def _by_runs(lines: list[str]) -> list[list[str]]:
    """Cut every line at two blanks or more; an empty cell cannot be seen so."""
    return [trimmed(re.split(r" {2,}", line.strip())) if line.strip() else [] for line in lines]


def _by_single(lines: list[str]) -> list[list[str]] | None:
    """Cut at every blank, where the rows have as many words as there are headings."""
    rows = [line.split() for line in lines]
    for at, words in enumerate(rows[:_WITHIN]):
        heads = _joined(words)
        if score(tuple(heads)):
            below = [cells for cells in rows[at + 1 :] if cells]
            same = sum(len(cells) == len(heads) for cells in below)
            if below and 10 * same >= 8 * len(below):
                return [*_whole(lines[:at]), heads, *rows[at + 1 :]]
    return None


def _joined(words: list[str]) -> list[str]:
    """Put a unit, or a "no.", back to the heading before it."""
    made: list[str] = []
    for word in words:
        if made and (_UNITS.fullmatch(word) or not read_heading(made[-1]).known):
            made[-1] += f" {word}"
        else:
            made.append(word)
    return made


def _by_width(lines: list[str], gap: int) -> list[list[str]] | None:
    """Cut at the blanks that stand one below the other in all lines of the table."""
    first = _heading_at(lines)
    table = [
        line for line in lines[first:] if len(re.split(r" {2,}" if gap > 1 else " +", line.strip())) >= 3
    ]
    if len(table) < 2:
        return None
    width = min(max(map(len, table)), 2_000)
    used = [0] * (width + 1)
    for line in table:
        weight = len(table) if line == lines[first] else 1  # the headings count in full
        for at, sign in enumerate(line[:width]):
            used[at] += weight * (sign != " ")
    most = len(table) * _OVER // 100
    starts, run = [0], 0
    for at in range(width):
        if used[at] > most:
            if run >= gap and any(used[before] > most for before in range(starts[-1], at)):
                starts.append(at)
            run = 0
        else:
            run += 1
    if len(starts) < 2:
        return None
    return [*_whole(lines[:first]), *(_cut(line, starts) for line in lines[first:])]


def _whole(lines: Sequence[str]) -> list[list[str]]:
    """Return the lines above the headings as one cell each."""
    return [trimmed([line.strip()]) for line in lines]


def _heading_at(lines: list[str]) -> int:
    """Return the line that reads best as headings, cut at runs of blanks or word by word."""
    worths = [
        max(score(tuple(re.split(r" {2,}", line.strip()))), score(tuple(_joined(line.split()))))
        for line in lines[:_WITHIN]
    ]
    return worths.index(max(worths)) if worths else 0


def _cut(line: str, starts: list[int]) -> list[str]:
    """Cut a line at those of the columns before which it has a blank; a word is never cut in two."""
    cells = [""] * len(starts)
    column, begin = 0, 0
    for at, start in enumerate(starts[1:], start=1):
        if start < len(line) and line[start - 1] == " ":
            cells[column] = line[begin:start].strip()
            column, begin = at, start
    cells[column] = line[begin:].strip()
    return trimmed(cells)
