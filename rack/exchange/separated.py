"""Lines of separated values, cut as people type them: quotes, inch marks and ditto marks."""

from collections import Counter
from collections.abc import Iterator, Sequence

#: A quoted cell may go on over this many lines; a quote that closes later is a sign, not a quote.
_MOST_LINES = 8


def split_lines(lines: Sequence[str], delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Yield (place of the first line, cells) for each record of `lines` cut at `delimiter`."""
    usual = Counter(line.count(delimiter) for line in lines if line.strip()).most_common(1)
    whole = 2 * max(usual[0][0] if usual else 0, 1)
    at = 0
    while at < len(lines):
        start, line = at, lines[at]
        at += 1
        if '"' not in line:
            yield start, line.split(delimiter)
            continue
        if not _has_only_marks(line, delimiter):
            taken = 0
            cells = _cut(line, delimiter)
            while cells is None and taken < _MOST_LINES and at + taken < len(lines):
                taken += 1
                cells = _cut("\n".join(lines[start : at + taken]), delimiter)
            # Two whole rows inside one pair of quotes are two rows with a stray quote each.
            if cells is not None and (
                not taken or sum(each.count(delimiter) for each in lines[start : at + taken]) < whole
            ):
                at += taken
                yield start, cells
                continue
        yield start, line.split(delimiter)


def _has_only_marks(line: str, delimiter: str) -> bool:
    """Say whether every quote of the line is a ditto mark alone in its cell or an inch mark."""
    pieces = [piece.strip() for piece in line.split(delimiter)]
    return all(
        piece in ('"', '-"-', "''") or '"' not in piece or not piece.startswith('"') for piece in pieces
    )


def _cut(text: str, delimiter: str) -> list[str] | None:
    """Cut one record; a cell is quoted when it begins with a quote. None when a quote stays open."""
    cells, at, end = [], 0, len(text)
    while True:
        start = at
        while start < end and text[start] == " ":
            start += 1
        if start < end and text[start] == '"':
            quoted = _quoted(text, start + 1, delimiter)
            if quoted is None:
                return None
            cell, at = quoted
            cells.append(cell)
        else:
            stop = text.find(delimiter, at)
            stop = end if stop < 0 else stop
            cells.append(text[at:stop])
            at = stop
        if at >= end:
            return cells
        at += len(delimiter)


def _quoted(text: str, at: int, delimiter: str) -> tuple[str, int] | None:
    """Return the cell after an opening quote and where the cell ends; a doubled quote is a quote."""
    made = []
    while True:
        stop = text.find('"', at)
        if stop < 0:
            return None
        made.append(text[at:stop])
        if text.startswith('""', stop):
            made.append('"')
            at = stop + 2
            continue
        rest = text.find(delimiter, stop)
        rest = len(text) if rest < 0 else rest
        made.append(text[stop + 1 : rest].rstrip())
        return "".join(made), rest
