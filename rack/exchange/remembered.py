"""Columns as they were set for a sender before, put on a new list when its headings are the same."""

from dataclasses import replace

from rack.calc.columns import Column, Mapping, SheetMapping
from rack.exchange.headings import folded


def same_headings(one: SheetMapping, other: SheetMapping) -> bool:
    """Say whether two sheets have the same headings in the same columns, whatever rows they stand in."""
    return [folded(column.heading) for column in one.columns] == [
        folded(column.heading) for column in other.columns
    ]


def with_remembered(seen: Mapping, remembered: Mapping) -> Mapping | None:
    """Return the mapping of a new list with the columns of an earlier one, None where that changes nothing.

    Every sheet of `seen` must have the headings of a remembered one. What the new list says itself of
    its unit, its kind of length and its item stands; the decimal mark is always that of the new list.
    """
    sheets = []
    for sheet in seen.sheets:
        known = next((each for each in remembered.sheets if same_headings(sheet, each)), None)
        if known is None:
            return None
        columns = [
            Column(column.index, column.heading, before.role, column.unit or before.unit)
            if column.role == before.role
            else Column(column.index, column.heading, before.role, before.unit)
            for column, before in zip(sheet.columns, known.columns, strict=True)
        ]
        sheets.append(replace(sheet, columns=tuple(columns)))
    made = replace(
        seen,
        sheets=tuple(sheets),
        length_unit=seen.length_unit or remembered.length_unit,
        length_kind=seen.length_kind or remembered.length_kind,
        default_item=seen.default_item or remembered.default_item,
    )
    return None if made == seen else made
