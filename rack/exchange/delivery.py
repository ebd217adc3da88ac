"""A delivery list from its bytes to its rows, totals and problems: a pure function of what it is given."""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import replace

from rack.calc.checks import Problem, Severity, note
from rack.calc.kinds import KINDS, LENGTH_KINDS
from rack.calc.list_lengths import equal_neighbours, inch_tape
from rack.calc.list_names import known_problem, name_problems
from rack.calc.list_sums import total_problem
from rack.calc.outliers import length_problems
from rack.calc.receiving import (
    DeliveryList,
    Mapping,
    ReadRow,
    counted,
    settled,
    stopped_problems,
    with_problems,
)
from rack.calc.serial_slips import serial_questions
from rack.errors import UnreadableFile
from rack.exchange.blocks import unfolded
from rack.exchange.delivery_json import as_json, refused_as_json
from rack.exchange.proposing import preamble_of, propose
from rack.exchange.reading import count_problems, read_sheet, totals_of
from rack.exchange.said_once import said_once
from rack.exchange.workbook import read_table

#: Returns which of the given serials pieces at the site bear already, and what is painted on those.
KnownSerials = Callable[[list[str]], dict[str, str]]

__all__ = ["as_json", "read_delivery", "refused_as_json"]


def read_delivery(
    data: bytes,
    name: str,
    *,
    mapping: Mapping | None = None,
    length_unit: str | None = None,
    length_kind: str | None = None,
    default_item: str = "",
    left_out: frozenset[tuple[str, int]] = frozenset(),
    known_serials: KnownSerials | None = None,
) -> DeliveryList:
    """Return the list in `data`, judged; the same arguments always give the same list.

    `mapping` is how a person says the columns are (None = as they seem). `length_unit` counts where
    neither the heading nor the lines above name a unit; `length_kind` and `default_item` are the
    person's word and count before what the list says. `left_out` holds (`part`, `row`) of rows to leave
    out. `known_serials` returns those of the given serials that pieces at the site bear already, each with
    the number painted on it.
    Raises UnreadableFile with one sentence for a file that is no such list.
    """
    sheets = [unfolded(sheet, name) for sheet in read_table(data, name)]
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
    read = [read_sheet(by_name[mapped.sheet], mapped, mapping) for mapped in mapping.sheets]
    if not any(each.rows for each in read):
        raise UnreadableFile(f"{name} has headings and not one row of a piece below them.")
    rows = _judged([row for each in read for row in each.rows], left_out, known_serials)
    rows, once = said_once(rows)
    totals = [total for each in read for total in totals_of(each)]
    problems += [problem for each in read for problem in (*each.notes, *count_problems(each))]
    kept = [row for row in rows if row.fate != "left out"]
    problems += [*once, *inch_tape(kept), *_kind_of_length(rows, mapping), *stopped_problems(rows)]
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


def _judged(
    rows: Sequence[ReadRow],
    left_out: frozenset[tuple[str, int]],
    known_serials: KnownSerials | None,
) -> list[ReadRow]:
    """Return the rows with the questions that they raise together, and their fates."""
    out = [(row.part, row.row) in left_out for row in rows]
    kept = [row for row, gone in zip(rows, out, strict=True) if not gone]
    by_names, by_lengths = name_problems(kept), length_problems(kept)
    damaged, equal = serial_questions(kept), equal_neighbours(kept)
    known = known_serials([row.serial for row in kept if row.serial]) if known_serials else {}
    judged = iter(
        with_problems(
            row,
            [
                *damaged.get(at, ()),
                *by_names.get(at, ()),
                *([known_problem(row, known[row.serial])] if row.serial in known else []),
                *(replace(each, where=row.where) for each in by_lengths.get(at, ())),
                *equal.get(at, ()),
            ],
        )
        for at, row in enumerate(kept)
    )
    return [
        settled(row if gone else next(judged), left_out=gone) for row, gone in zip(rows, out, strict=True)
    ]


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
