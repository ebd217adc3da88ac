"""An invented casing sheet as it is typed: whole and without a fault, to plant faults in."""

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal

Row = dict[str, str]
COLUMNS = ("Run", "Jt", "Wt", "Gr", "Mill ft", "Strap 1", "Strap 2", "Eff. ft", "Total ft", "Drift", "Cent.",
           "Time", "Remarks")


@dataclass
class Paper:
    """Head cells, rows and foot cells; `text()` writes them as a CSV file."""

    head: list[list[str]]
    rows: list[Row]
    foot: list[list[str]]
    columns: list[str] = field(default_factory=lambda: list(COLUMNS))

    def row(self, joint: str) -> Row:
        return next(row for row in self.rows if row["Jt"] == joint)

    def without(self, joint: str) -> None:
        self.rows.remove(self.row(joint))

    def set_foot(self, label: str, *cells: str) -> None:
        self.foot = [[label, *cells] if row[0] == label else row for row in self.foot]

    def set_head(self, label: str, text: str) -> None:
        for row in self.head:
            if label in row:
                row[row.index(label) + 1] = text

    def total_up(self, start: int = 0) -> None:
        """Work the running totals, the run order and the foot out again from the effective lengths."""
        total = Decimal(self.rows[start - 1]["Total ft"]) if start else Decimal(0)
        for n, row in enumerate(self.rows[start:], start=start + 1):
            total += Decimal(row["Eff. ft"] or "0")
            row |= {"Run": str(n), "Total ft": f"{total:.2f}"}
        self.set_foot("Total", f"{total:.2f}")
        self.set_foot("Shoe", f"{total + Decimal('24.60'):.2f}")

    def data(self) -> bytes:
        sink = io.StringIO()
        out = csv.writer(sink, lineterminator="\r\n")
        out.writerows([*self.head, [], self.columns])
        out.writerows([row.get(column, "") for column in COLUMNS] for row in self.rows)
        out.writerows([[], *self.foot])
        return sink.getvalue().encode()


def paper(joints: int = 20, marker_after: int = 12) -> Paper:
    """A sheet of `joints` run, two spare and one left out, with shoe, float collar, marker."""
    head = [
        ["CASING RUNNING TALLY (invented)", "", "Rig", "Sandholm 3", "Well", "SD-14", "String",
         "9 5/8 in 47 lb/ft L-80 BTC R3", "Rev.", "1"],
        ["Hole TD", "900.00", "Received", f"{joints + 3} jts", "Shoe track", "1 jt, thread-locked", "Marker",
         f"after jt {marker_after}", "M/U loss", "0.40 ft"],
        ["Datum", "RKB to landing shoulder 24.60 ft (measured 02-Mar-26)", "Strap 1", "K. Aune, tape T-07",
         "Strap 2", "S. Moe, tape T-11", "Lengths", "threads on, ft"],
    ]
    rows = [_row("FS", "1.85", "0", remarks="float shoe, TL")]
    for n in range(1, joints + 1):
        length = Decimal("38.20") + Decimal(n * 37 % 211) / 100
        rows.append(_row(str(n), f"{length:.2f}", "0.40", remarks="TL" if n == 1 else "", cent="1"))
        if n == 1:
            rows.append(_row("FC", "1.92", "0.40", remarks="float collar, TL"))
        if n == marker_after:
            rows.append(_row("MK", "10.15", "0.40", remarks="marker"))
    for n, row in enumerate(rows):
        minutes = 21 * 60 + 49 + 7 * n
        row["Time"] = f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"
    made = Paper(head, rows, [
        ["To run", str(joints)], ["Spare", f"2: {joints + 1}, {joints + 2}"],
        ["Left out", f"1: {joints + 3} (thread hit)"],
        ["On rack when landed", f"3: {joints + 1}, {joints + 2}, {joints + 3}"],
        ["Total", ""], ["Shoe", ""], ["Landing joint", "38.10"], ["Stick-up", "13.50"],
        ["Centralizers", str(joints)], ["Signed", "A. Fenn"],
    ])
    made.total_up()
    return made


def _row(name: str, length: str, loss: str, *, remarks: str = "", cent: str = "") -> Row:
    joint = name.isdigit()
    eff = Decimal(length) - Decimal(loss)
    return {
        "Jt": name, "Wt": ("47" if name == "1" else '"') if joint else "",
        "Gr": ("L80" if name == "1" else '"') if joint else "",
        "Mill ft": f"{Decimal(length) + Decimal('0.01'):.2f}" if joint else "", "Strap 1": length,
        "Strap 2": length, "Eff. ft": f"{eff:.2f}", "Drift": "ok" if joint else "", "Cent.": cent,
        "Remarks": remarks,
    }


Planted = Callable[[Paper], None]
