"""An invented BHA sheet as it is typed: whole and without a fault, to plant faults in."""

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal

from openpyxl import Workbook

Row = dict[str, str]
COLUMNS = (
    "No", "Qty", "Item", "Serial", "Owner", "OD in", "ID in", "Gauge in", "FN OD", "FN lgth ft", "Conn. down",
    "Conn. up", "Length ft", "Cum. ft", "lb/ft", "Weight lb", "Hrs since insp.", "This run", "Total", "Clock",
    "Last insp.", "Remarks",
)  # fmt: skip
MUD_SHARE = 1 - Decimal("10.2") / Decimal("65.5")


@dataclass
class Sheet:
    """Head cells, rows from the bit upward, foot cells; `text()` writes them as a CSV file."""

    head: list[list[str]]
    rows: list[Row]
    foot: list[list[str]]
    columns: list[str] = field(default_factory=lambda: list(COLUMNS))

    def row(self, number: int | str) -> Row:
        return next(row for row in self.rows if row["No"] == str(number))

    def named(self, word: str) -> Row:
        return next(row for row in self.rows if row["Item"].startswith(word))

    def set_head(self, label: str, text: str) -> None:
        for row in self.head:
            if label in row:
                row[row.index(label) + 1] = text

    def swap_head(self, old: str, new: str) -> None:
        self.head = [[new if cell == old else cell for cell in row] for row in self.head]

    def set_foot(self, label: str, text: str) -> None:
        self.foot = [[label, text] if row and row[0] == label else row for row in self.foot]

    def number(self) -> None:
        for n, row in enumerate(self.rows, 1):
            row["No"] = str(n)

    def total_up(self, *, foot: bool = True) -> None:
        """Work weights, cumulative lengths and the foot out again from lengths and lb/ft."""
        cum = air = Decimal(0)
        below = None
        for row in self.rows:
            if row["Item"].startswith("Hydraulic jar") and below is None:
                below = air
            cum += Decimal(row["Length ft"])
            weight = (Decimal(row["lb/ft"]) * Decimal(row["Length ft"])).quantize(Decimal(1))
            air += weight
            row |= {"Cum. ft": f"{cum:.2f}", "Weight lb": f"{weight}"}
        if foot:
            self.set_foot("BHA length", f"{cum:.2f} ft")
            self.set_foot("Weight in air", f"{air:,} lb")
            self.set_foot("Weight in mud", f"{(air * MUD_SHARE).quantize(Decimal(1)):,} lb")
            self.set_foot(
                "Weight below jar", f"{((below or Decimal(0)) * MUD_SHARE).quantize(Decimal(1)):,} lb in mud"
            )

    def table(self) -> list[list[str]]:
        rows = [[row.get(column, "") for column in COLUMNS] for row in self.rows]
        return [*self.head, [], self.columns, *rows, [], *self.foot]

    def data(self, delimiter: str = ",", encoding: str = "utf-8") -> bytes:
        sink = io.StringIO()
        csv.writer(sink, lineterminator="\r\n", delimiter=delimiter).writerows(self.table())
        return sink.getvalue().encode(encoding)

    def workbook(self) -> bytes:
        """The same as XLSX, whole numbers and decimals as the figures they are."""
        book = Workbook()
        for row in self.table():
            book.active.append([_figure(cell) for cell in row])
        sink = io.BytesIO()
        book.save(sink)
        return sink.getvalue()


def _figure(cell: str) -> str | float | int:
    try:
        return float(cell) if "." in cell else int(cell)
    except ValueError:
        return cell


Planted = Callable[[Sheet], object]


def sheet() -> Sheet:
    """Bit, motor, float sub, stabilizer, MWD, crossovers, collars, jar and heavy-weight: 20 pieces."""
    head = [
        [
            "BHA / STRING SHEET (invented)",
            "",
            "Rig",
            "Sandholm 3",
            "Well",
            "SD-14",
            "BHA No.",
            "7",
            "Bit No.",
            "5",
            "Hole",
            "8 1/2 in",
        ],
        [
            "Depth in",
            "7412",
            "Depth out",
            "8655",
            "Hours this run",
            "rotating 41.00",
            "sliding 14.25",
            "on bottom 51.75",
            "circ. 58.50",
            "below rotary 86.00",
            "jar hits 0",
        ],
        [
            "Mud",
            "10.2 ppg",
            "Casing",
            "9 5/8 47# shoe 7388",
            "Lengths ft, pins not counted",
            "Numbered from the bit",
            "Survey sensor to bit",
            "52.40 ft",
        ],
    ]
    rows = [
        _row(
            "Bit, PDC M323, 3x16 2x18",
            "7031442",
            "8 1/2",
            "",
            ("", "4 1/2 REG PIN"),
            "1.10",
            "110.0",
            "on btm",
            "0",
            "51.75",
            gauge="8 1/2",
            remarks="TFA 1.086",
            insp="new",
        ),
        _row(
            "Motor 6 3/4, 1.50 deg",
            "M675-118",
            "6 3/4",
            "5 1/4",
            ("4 1/2 REG BOX", "4 1/2 IF BOX"),
            "27.85",
            "77.0",
            "circ",
            "12.50",
            "58.50",
            gauge="8 3/8",
            neck=("6 1/2", "1.60"),
        ),
        _row("Float sub", "FS-204", "6 3/4", "2 13/16", ("NC50 PIN", "NC50 BOX"), "2.55", "98.0", "rot"),
        _row(
            "String stabilizer",
            "ST-61",
            "6 3/4",
            "2 13/16",
            ("NC50 PIN", "NC50 BOX"),
            "5.60",
            "101.0",
            "rot",
            gauge="8 3/8",
        ),
        _row(
            "MWD collar, non-mag",
            "MW-7741",
            "6 3/4",
            "3 1/4",
            ("NC50 PIN", "NC50 BOX"),
            "30.71",
            "97.0",
            "circ",
            "66.50",
            "58.50",
            remarks="survey, gamma",
        ),
        _row("NMDC", "NM-3310", "6 3/4", "2 13/16", ("NC50 PIN", "NC50 BOX"), "30.55", "100.8", "rot"),
        _row("XO", "XO-18", "6 3/4", "2 13/16", ("NC50 PIN", "NC46 BOX"), "2.60", "98.0", "rot"),
    ]
    rows += [
        _row(
            "DC 6 1/2 spiral",
            f"DC-55{n}",
            "6 1/2",
            "2 13/16",
            ("NC46 PIN", "4 IF BOX"),
            f"30.{n}",
            "88.0",
            "rot",
            "160.75",
        )
        for n in range(12, 16)
    ]
    rows.append(
        _row(
            "Hydraulic jar",
            "JR-902",
            "6 1/2",
            "2 1/4",
            ("NC46 PIN", "NC46 BOX"),
            "31.45",
            "92.0",
            "rot",
            remarks="open 31.45, closed 29.95, clamp on",
        )
    )
    rows.append(
        _row(
            "DC 6 1/2 spiral", "DC-5516", "6 1/2", "2 13/16", ("NC46 PIN", "NC46 BOX"), "30.16", "88.0", "rot"
        )
    )
    rows.append(_row("XO", "XO-19", "6 1/2", "2 13/16", ("NC46 PIN", "NC50 BOX"), "2.45", "88.0", "rot"))
    rows += [
        _row("HWDP 5 in", f"HW-{n}", "5", "3", ("NC50 PIN", "NC50 BOX"), f"30.{n}", "49.3", "rot", neck=())
        for n in range(41, 47)
    ]
    made = Sheet(
        head,
        rows,
        [
            ["BHA length", ""],
            ["Weight in air", ""],
            ["Weight in mud", ""],
            ["Weight below jar", ""],
            ["Directional driller", "K. Aune"],
            ["Toolpusher", "S. Moe"],
        ],
    )
    made.number()
    made.total_up()
    return made


def _row(item: str, serial: str, od: str, bore: str, ends: tuple[str, str], length: str, lb_ft: str,
         clock: str,
         since: str = "30.00", run: str = "41.00", *, gauge: str = "", neck: tuple[str, ...] | None = None,
         remarks: str = "", insp: str = "28-Jan-26") -> Row:  # fmt: skip
    usual = ("", "") if item.startswith("Bit") else (od, "2.10")
    neck_od, neck_length = usual if neck is None else neck or ("", "")
    return {
        "No": "", "Qty": "1", "Item": item, "Serial": serial, "Owner": "rental", "OD in": od, "ID in": bore,
        "Gauge in": gauge, "FN OD": neck_od, "FN lgth ft": neck_length, "Conn. down": ends[0],
        "Conn. up": ends[1], "Length ft": length, "Cum. ft": "", "lb/ft": lb_ft, "Weight lb": "",
        "Hrs since insp.": since, "This run": run, "Total": f"{Decimal(since) + Decimal(run):.2f}",
        "Clock": clock, "Last insp.": insp, "Remarks": remarks,
    }  # fmt: skip
