"""A delivery list from its bytes to its rows, totals and problems: a pure function of what it is given."""

import hashlib
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from rack.calc.checks import Problem, Severity, asks, note
from rack.calc.kinds import KINDS, LENGTH_KINDS
from rack.calc.lengths import Length
from rack.calc.outliers import length_problems, shown_digits
from rack.calc.receiving import (
    DeliveryList,
    Mapping,
    ReadRow,
    SheetMapping,
    Total,
    counted,
    known_problem,
    name_problems,
    settled,
    stopped_problems,
    total_problem,
    with_problems,
)
from rack.errors import UnreadableFile
from rack.exchange.proposing import preamble_of, propose
from rack.exchange.rows import Cell, RowReader, column_letters
from rack.exchange.sums import (
    SumRow,
    count_said,
    figure_in,
    is_heading_again,
    looks_like_sum,
    sum_label,
    total_of,
)
from rack.exchange.workbook import Sheet, read_table

#: NOTEs of these codes are the same for every row, so the list says them once with a count.
_SAID_ONCE = frozenset({"metric", "weight", "item", "mark", "rounded"})


@dataclass
class _Read:
    """What has been read of one sheet so far."""

    sheet: Sheet
    mapped: SheetMapping
    reader: RowReader
    rows: list[ReadRow] = field(default_factory=list)
    sums: list[SumRow] = field(default_factory=list)
    counts: list[tuple[int, str, str]] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)
    digits: int = 0
    blank_rows: int = 0
    text_rows: int = 0
    sum_rows: int = 0


def read_delivery(
    data: bytes,
    name: str,
    *,
    mapping: Mapping | None = None,
    length_unit: str | None = None,
    length_kind: str | None = None,
    default_item: str = "",
    left_out: frozenset[tuple[str, int]] = frozenset(),
    known_serials: Callable[[list[str]], set[str]] | None = None,
) -> DeliveryList:
    """Return the list in `data`, judged; the same arguments always give the same list.

    `mapping` is how a person says the columns are (None = as they seem). `length_unit` counts where
    neither the heading nor the lines above name a unit; `length_kind` and `default_item` are the
    person's word and count before what the list says. `left_out` holds (sheet, row) of rows to leave
    out. `known_serials` returns those of the given serials that pieces at the site bear already.
    Raises UnreadableFile with one sentence for a file that is no such list.
    """
    sheets = read_table(data, name)
    problems: list[Problem] = []
    if mapping is None:
        proposal = propose(sheets, name)
        mapping, problems = proposal.mapping, list(proposal.problems)
        if length_unit and (mapping.length_unit or not _all_named(mapping)) and not _named_above(problems):
            problems = [each for each in problems if each.code != "unit"]
            mapping = replace(mapping, length_unit=length_unit)
    mapping = replace(
        mapping,
        length_kind=length_kind or mapping.length_kind,
        default_item=default_item or mapping.default_item,
    )
    by_name = {sheet.name: sheet for sheet in sheets}
    if not mapping.sheets or any(mapped.sheet not in by_name for mapped in mapping.sheets):
        raise UnreadableFile(f"The columns that were set belong to another file than {name}.")
    read = [_read_sheet(by_name[mapped.sheet], mapped, mapping) for mapped in mapping.sheets]
    if not any(each.rows for each in read):
        raise UnreadableFile(f"{name} has headings and not one row of a piece below them.")
    rows = _judged([row for each in read for row in each.rows], left_out, known_serials)
    rows, said_once = _said_once(rows)
    totals = [total for each in read for total in _totals(each)]
    problems += [problem for each in read for problem in (*each.notes, *_count_problems(each))]
    problems += [*said_once, *_kind_of_length(rows, mapping), *stopped_problems(rows)]
    problems += [total_problem(total) for total in totals if not total.agrees]
    return DeliveryList(
        rows=tuple(rows),
        totals=tuple(totals),
        counted=counted(
            rows,
            sum_rows=sum(each.sum_rows for each in read),
            blank_rows=sum(each.blank_rows for each in read),
            text_rows=sum(each.text_rows for each in read),
        ),
        mapping=mapping,
        problems=tuple(problems),
        digest=hashlib.sha256(data).hexdigest(),
        sheet_names=tuple(sheet.name for sheet in sheets),
        preamble=tuple(line for each in read for line in preamble_of(each.sheet, each.mapped)),
    )


def _all_named(mapping: Mapping) -> bool:
    return all(column.unit for mapped in mapping.sheets if (column := mapped.column("length")))


def _named_above(problems: Sequence[Problem]) -> bool:
    return any(each.code == "unit" and each.severity is Severity.NOTE for each in problems)


def _read_sheet(sheet: Sheet, mapped: SheetMapping, mapping: Mapping) -> _Read:
    read = _Read(sheet, mapped, RowReader(sheet, mapped, mapping))
    last = max((at for at, row in enumerate(sheet.rows) if any(cell.strip() for cell in row)), default=-1)
    for at in range(last + 1):
        if sheet.lines[at] < mapped.heading_row:
            _read_above(read, at)
        elif sheet.lines[at] > mapped.last_heading_row:
            _read_below(read, at, mapping)
    if not read.reader.has_length:
        read.notes.append(
            note(
                "The list has no column of lengths; the pieces are accepted without and strapped later.",
                code="no length",
            )
        )
    return read


def _read_above(read: _Read, at: int) -> None:
    """Keep a total or a count that stands above the headings: it speaks of all rows."""
    for index, cell in enumerate(read.sheet.rows[at]):
        count = count_said(cell)
        if count is not None:
            read.counts.append((count, cell.strip(), _where(read, at, index)))
        label = sum_label(cell)
        if label:
            right = next((each for each in read.sheet.rows[at][index + 1 :] if each.strip()), "")
            _add_sum(read, at, index, cell, "grand", figure_in(cell) or right, rows_before=-1)


def _read_below(read: _Read, at: int, mapping: Mapping) -> None:
    row = read.sheet.rows[at]
    if not any(cell.strip() for cell in row):
        read.blank_rows += 1
        return
    if is_heading_again(row, read.mapped):
        read.text_rows += 1
        return
    cells = read.reader.cells(at)
    length, _, _ = read.reader.length_of(cells)
    if _is_sum(read, at, cells):
        read.sum_rows += 1
    elif read.reader.is_piece(cells, length):
        made = read.reader.row(at, cells, mapping.length_kind)
        read.rows.append(made)
        read.digits = max(read.digits, _figures(cells))
    else:
        read.text_rows += 1
        text = " ".join(cell.strip() for cell in row if cell.strip())
        count = count_said(text)
        if count is not None:
            read.counts.append((count, text, _where(read, at, 0)))
        read.notes.append(
            note(f"Row {read.sheet.lines[at]} is no piece and is not read: “{text[:80]}”.", code="text")
        )


def _figures(cells: dict[str, Cell]) -> int:
    """Return the figures after the mark of a length as typed: the file's own digits."""
    text = cells["length"].text if "length" in cells else ""
    _, mark, after = text.replace(",", ".").rpartition(".")
    return len(after) if mark and after.isdigit() and len(after) <= 5 else 0


def _where(read: _Read, at: int, index: int) -> str:
    cell = f"{column_letters(index)}{read.sheet.lines[at]}"
    return f"{read.sheet.name} {cell}" if read.sheet.name else cell


def _is_sum(read: _Read, at: int, cells: dict[str, Cell]) -> bool:
    """Say whether a row is a sum, and keep it: a word such as "Summe", or a figure alone that no piece has."""
    names = [cells[role].text for role in ("serial", "owner_no", "painted", "item") if role in cells]
    labels = [(cell, label) for cell in cells.values() if (label := sum_label(cell.text))]
    own_names = [name for name in names if not sum_label(name)]
    in_length = cells.get("length")
    if labels and (not own_names or not any(character.isdigit() for name in own_names for character in name)):
        cell, (level, _) = labels[0]
        count = count_said(" ".join(each.text for each in cells.values()))
        if count is not None:
            read.counts.append((count, cell.text, _where(read, at, cell.column.index)))
        figure = in_length or _figure_right_of(cells, cell)
        text = figure.text if figure else figure_in(cell.text)
        if text and not (count is not None and text == str(count)):
            index = figure.column.index if figure else cell.column.index
            _add_sum(read, at, index, cell.text, level, text, is_number=bool(figure and figure.is_number))
        return True
    if in_length and not names and set(cells) <= {"length", "number", "length_again"} and len(cells) <= 2:
        length = _sum_length(read, in_length.text, is_number=in_length.is_number)
        if looks_like_sum(length, [row.length for row in read.rows if row.length is not None]):
            _add_sum(
                read,
                at,
                in_length.column.index,
                "Sum without a word",
                "",
                in_length.text,
                is_number=in_length.is_number,
            )
            return True
    return False


def _figure_right_of(cells: dict[str, Cell], label: Cell) -> Cell | None:
    right = [
        cell
        for cell in cells.values()
        if cell.column.index > label.column.index and any(map(str.isdigit, cell.text))
    ]
    decimals = [cell for cell in right if "." in cell.text or "," in cell.text]
    return next(iter(decimals or right), None)


def _sum_length(read: _Read, text: str, *, is_number: bool) -> Length | None:
    unit = _unit(read)
    for decimal in ["."] if is_number else [read.reader.mapping.decimal, ""]:
        try:
            return Length.parse(text, unit, decimal=decimal)
        except ValueError:
            continue
    try:
        return Length.parse(f"{float(text):.5f}", unit, decimal=".") if is_number else None
    except ValueError:
        return None


def _unit(read: _Read) -> str:
    column = read.mapped.column("length")
    return (column.unit if column else "") or read.reader.mapping.length_unit or "ft"


def _add_sum(
    read: _Read,
    at: int,
    index: int,
    label: str,
    level: str,
    text: str,
    *,
    is_number: bool = False,
    rows_before: int | None = None,
) -> None:
    if not any(map(str.isdigit, text)):
        return
    length = _sum_length(read, text, is_number=is_number)
    before = len(read.rows) if rows_before is None else rows_before
    read.sums.append(SumRow(_where(read, at, index), label.strip()[:60], level, length, _unit(read), before))


def _totals(read: _Read) -> list[Total]:
    totals = []
    sums = [replace(each, rows_before=len(read.rows)) if each.rows_before < 0 else each for each in read.sums]
    for at, found in enumerate(sums):
        digits = read.digits or shown_digits(found.unit)
        totals.append(total_of(found, read.rows, sums[:at], digits))
    return totals


def _count_problems(read: _Read) -> list[Problem]:
    """Ask about a number of joints in the file that is not the number of rows."""
    rows = len(read.rows)
    return [
        asks(
            f"The file says {count} pieces (“{text[:60]}”), and {rows} rows were read.",
            code="T04",
            where=where,
        )
        for count, text, where in read.counts[-1:]
        if count != rows
    ]


def _judged(
    rows: Sequence[ReadRow],
    left_out: frozenset[tuple[str, int]],
    known_serials: Callable[[list[str]], set[str]] | None,
) -> list[ReadRow]:
    """Return the rows with the questions that they raise together, and their fates."""
    out = [(row.sheet, row.row) in left_out for row in rows]
    kept = [row for row, gone in zip(rows, out, strict=True) if not gone]
    by_names, by_lengths = name_problems(kept), length_problems(kept)
    known = known_serials([row.serial for row in kept if row.serial]) if known_serials else set()
    judged = iter(
        with_problems(
            row,
            [
                *by_names.get(at, ()),
                *([known_problem(row)] if row.serial in known else []),
                *(replace(each, where=row.where) for each in by_lengths.get(at, ())),
            ],
        )
        for at, row in enumerate(kept)
    )
    return [
        settled(row if gone else next(judged), left_out=gone) for row, gone in zip(rows, out, strict=True)
    ]


def _said_once(rows: Sequence[ReadRow]) -> tuple[list[ReadRow], list[Problem]]:
    """Move what is the same for every row (how a metric weight was read) to the list, with a count."""
    counts: Counter[tuple[str, str]] = Counter()
    made = []
    for row in rows:
        own = [
            each for each in row.problems if each.severity is not Severity.NOTE or each.code not in _SAID_ONCE
        ]
        counts.update((each.code, each.text) for each in row.problems if each not in own)
        made.append(row if len(own) == len(row.problems) else replace(row, problems=tuple(own)))
    return made, [note(f"{text} ({_rows(count)})", code=code) for (code, text), count in counts.items()]


def _rows(count: int) -> str:
    return "one row" if count == 1 else f"{count} rows"


def _kind_of_length(rows: Sequence[ReadRow], mapping: Mapping) -> list[Problem]:
    """Say how lengths are taken to have been measured where the list does not say it."""
    if mapping.length_kind or not any(row.length for row in rows):
        return []
    kinds = sorted({row.spec.kind for row in rows if row.spec and row.length})
    taken = sorted({KINDS[kind].lengths[0] for kind in kinds})
    verb = "is" if len(taken) == 1 else "are"
    words = " and ".join(f"{each} ({LENGTH_KINDS[each]})" for each in taken)
    return (
        [note(f"The list does not say how lengths were taken; {words} {verb} assumed.", code="length kind")]
        if taken
        else []
    )


def as_json(delivery: DeliveryList) -> dict[str, Any]:
    """Return the object that `receive FILE --check --json` prints for a list."""
    return {
        "refused": None,
        "rows": [_row_json(row) for row in delivery.rows],
        "totals": [
            {
                "where": total.where,
                "in_file_nm": total.in_file.nanometres if total.in_file else None,
                "computed_nm": total.computed.nanometres,
                "text": total.text,
                "agrees": total.agrees,
            }
            for total in delivery.totals
        ],
        "counted": {
            "read": delivery.counted.read,
            "accepted": delivery.counted.accepted,
            "left_out": delivery.counted.left_out,
            "sum_rows": delivery.counted.sum_rows,
            "blank_rows": delivery.counted.blank_rows,
            "stopped": delivery.counted.stopped,
            "text_rows": delivery.counted.text_rows,
        },
        "problems": _problems_json(delivery.problems),
    }


def refused_as_json(sentence: str) -> dict[str, Any]:
    """Return the object that `receive FILE --check --json` prints for a file that is no list."""
    empty = {
        "read": 0,
        "accepted": 0,
        "left_out": 0,
        "sum_rows": 0,
        "blank_rows": 0,
        "stopped": 0,
        "text_rows": 0,
    }
    return {"refused": sentence, "rows": [], "totals": [], "counted": empty, "problems": []}


def _row_json(row: ReadRow) -> dict[str, Any]:
    spec = row.spec
    threads = list(dict.fromkeys(each for each in (spec.up_conn, spec.down_conn) if each)) if spec else []
    return {
        "row": row.row,
        "sheet": row.sheet,
        "number": row.number,
        "serial": row.serial,
        "owner_no": row.owner_no,
        "painted": row.painted,
        "item": row.item,
        "kind": KINDS[spec.kind].name if spec else "",
        "grade": spec.grade if spec else "",
        "connection": " x ".join(threads),
        "pipe_class": row.pipe_class,
        "length_nm": row.length.nanometres if row.length else None,
        "place": row.place,
        "fate": row.fate,
        "typed": row.typed,
        "read": row.read,
        "problems": _problems_json(row.problems),
    }


def _problems_json(problems: Sequence[Problem]) -> list[dict[str, str]]:
    return [{"severity": str(each.severity), "text": each.text} for each in problems]
