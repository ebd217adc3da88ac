"""The BHA sheet as CSV and as XLSX, drawn from its content alone; nothing in it is a formula.

The columns are those of the paper sheet, so that what is written here can be read back by `bha_sheet`.
"""

import csv
import io
from collections.abc import Sequence
from decimal import Decimal

from rack.calc.bha import BhaContent, known_weight
from rack.calc.bha_lines import BhaLine
from rack.calc.lengths import Length
from rack.calc.specs import inches
from rack.exchange.book import Cell, Figure, Table, as_shown, workbook
from rack.exchange.sheet_csv import text_cell


def write_csv(content: BhaContent) -> str:
    """Return the CSV text of a BHA sheet: commas, lines ended by CR LF, byte order mark first.

    A cell of text that a spreadsheet would take for a formula is written with an apostrophe before it.
    """
    sink = io.StringIO()
    sink.write("\ufeff")
    out = csv.writer(sink, lineterminator="\r\n")
    body = (headings(content), *(_row(content, line) for line in content.lines))
    for row in (*head_rows(content), (), *body, (), *foot_rows(content)):
        out.writerow([_text(cell) for cell in row])
    return sink.getvalue()


def write_xlsx(content: BhaContent, address: str = "") -> bytes:
    """Return a workbook of the sheet: figures as figures, text as text, whatever it begins with.

    `address` is where the code on the paper leads.
    """
    rows = [_row(content, line) for line in content.lines]
    head = head_rows(content)
    if address:
        head.append(("Live page", address))
    return workbook([Table("BHA", head, headings(content), rows, foot_rows(content))])


def _text(cell: Cell) -> str:
    if isinstance(cell, Figure):
        return f"{cell.value:.{cell.digits}f}"
    return "" if cell is None else text_cell(cell) if isinstance(cell, str) else str(cell)


def head_rows(content: BhaContent) -> list[tuple[Cell, ...]]:
    """What stands over the rows, label and text in pairs."""
    head, unit = content.head, content.unit
    depths = (("Depth in", head.depth_in_nm), ("Depth out", head.depth_out_nm))
    rows: list[tuple[Cell, ...]] = [
        ("BHA sheet", head.title),
        ("Site", f"{head.site_name} ({head.site_code})"), ("Well", head.well),
        ("BHA No.", head.bha_no), ("Bit No.", head.bit_no), ("Run No.", head.run_no),
        ("Hole", f"{inches(head.hole_nm)} in" if head.hole_nm else ""),
        *((label, f"{_plain(content, nm)} {unit}" if nm is not None else "") for label, nm in depths),
        ("Mud", "" if head.mud_mppg is None else f"{head.mud_mppg / 1000:g} ppg"), ("Casing", head.casing),
        *((clock, hours) for clock, hours in head.hours),
        ("Lengths", f"{unit}, {head.lengths}"), ("Numbered", "from the bit"),
        ("Revision", f"{content.revision}, sheet {content.code}"), ("Made", f"{content.made_at} by "
                                                                    f"{content.made_by}"),
    ]  # fmt: skip
    sensors = [line.sensor_nm for line in content.lines if line.sensor_nm is not None]
    if sensors:
        rows.append(("Survey sensor to bit", f"{_plain(content, sensors[0])} {unit}"))
    return [row for row in rows if row[1]]


def headings(content: BhaContent) -> tuple[str, ...]:
    """The headings of the columns."""
    unit = content.unit
    return (
        "No", "Qty", "Item", "Serial", "Tag", "OD in", "ID in", "TJ ID in", "Gauge in", "FN OD", f"FN lgth "
        f"{unit}",
        "Conn. down", "Conn. up", f"Length {unit}", f"Cum. {unit}", "lb/ft", "Weight lb", "Weight from",
        f"Sensor from bit {unit}", "Remarks", "Exact length (nm)",
    )  # fmt: skip


def _row(content: BhaContent, line: BhaLine) -> tuple[Cell, ...]:
    down, up = line.connections
    told = [f"bend {line.bend} deg" if line.bend else "", f"stands {line.stands}" if line.stands else ""]
    told += [f"{word} {_plain(content, nm)}" for word, nm in (("open", line.opened_nm), ("closed",
                                                                                         line.closed_nm))
             if nm is not None]  # fmt: skip
    joint = line.least_bore_nm if line.least_bore_nm != line.bore_nm else 0
    return (
        line.n, line.count, line.item, line.serial or ("see list" if line.count > 1 else ""), line.tag,
        *(inches(nm) if nm else "" for nm in (line.od_nm, line.bore_nm, joint, line.gauge_nm,
                                              line.neck_od_nm)),
        _figure(content, line.neck_nm or None), down, up, _figure(content, line.nm), _figure(content,
                                                                                             line.cum_nm),
        Figure(Decimal(line.mlb_ft) / 1000, 2) if line.mlb_ft else None, _pounds(line.mlb), line.weight_from,
        _figure(content, line.sensor_nm), ", ".join(part for part in (*told, line.remark) if part), line.nm,
    )  # fmt: skip


def foot_rows(content: BhaContent) -> list[tuple[Cell, ...]]:
    """What the rows come to, and what is printed under them."""
    rows: list[tuple[Cell, ...]] = [("BHA length", _unit(content, content.length_nm))]
    air, mud = _weights(content, content.air_mlb, content.mud_mlb, content.lines)
    rows += [("Weight in air", air), ("Weight in mud", mud)]
    for jar in content.below_jars:
        below = [line for line in content.lines if line.n < jar.n]
        air, mud = _weights(content, jar.air_mlb, jar.mud_mlb, below)
        rows.append(("Weight below jar", f"{mud} in mud", f"{air} in air", f"no. {jar.n}"))
    if content.no_weight:
        rows.append(("Without a weight", ", ".join(f"no. {n}" for n in content.no_weight)))
    least = "not known"
    if content.least_bore_nm:
        least = f"{inches(content.least_bore_nm)} in, no. {content.least_bore_n}"
    return [*rows, ("Least bore", least), *(("Accepted", note) for note in content.notes)]


def _weights(
    content: BhaContent, air: int | None, mud: int | None, lines: Sequence[BhaLine]
) -> tuple[str, str]:
    """A weight in air and in mud; where a piece has none, what the others weigh as "at least"."""
    if air is not None:
        return _lb(air), _lb(mud)
    air, mud = known_weight(lines, content.head.mud_mppg)
    return (f"at least {_lb(air)}" if air else "not known"), (f"at least {_lb(mud)}" if mud else "not known")


def _figure(content: BhaContent, nm: int | None) -> Figure | None:
    """A length as it is shown."""
    return as_shown(nm, content.unit, content.digits)


def _plain(content: BhaContent, nm: int) -> str:
    return Length(nm).shown(content.unit, content.digits).replace(",", "")


def _unit(content: BhaContent, nm: int | None) -> str:
    return "not known" if nm is None else f"{_plain(content, nm)} {content.unit}"


def _pounds(mlb: int | None) -> int | None:
    return None if mlb is None else (2 * mlb + 1000) // 2000


def _lb(mlb: int | None) -> str:
    return "not known" if mlb is None else f"{_pounds(mlb)} lb"

