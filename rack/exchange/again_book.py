"""The joints to be taped again as a workbook to type into: no reading stands in it, as on its paper."""

from collections.abc import Sequence

from rack.exchange.book import Cell, Table, workbook

#: Line, painted number, serial.
Joint = tuple[int, str, str]


def write(head: Sequence[tuple[str, str]], joints: Sequence[Joint], unit: str) -> bytes:
    """Return the workbook: what list it is, then one row a joint with an empty cell for the new reading."""
    headings = ("Line", "Painted", "Serial", f"New reading ({unit})", "Tape", "Remark")
    rows: list[tuple[Cell, ...]] = [(*joint, None, "", "") for joint in joints]
    return workbook([Table("To tape again", [*head], headings, rows, [("Joints", len(joints))])])
