"""The closed tally as a workbook: joints, sums by column, stands and what was found; from its text alone."""

from rack.calc.lengths import Length
from rack.calc.sheets import SheetContent, SheetFinding, SheetLine
from rack.calc.tally import pages
from rack.exchange.book import Cell, Figure, Table, length, workbook
from rack.exchange.sheet_csv import head_rows


def write(content: SheetContent, address: str) -> bytes:
    """Return the workbook of a closed tally; `address` is where its paper's code leads.

    Lengths are exact decimals of the tally's unit, shown with its digits; totals stand as values.
    """
    tables = [_joints(content, address), _head(content, address), _sums(content), _stands(content),
              _differences(content), _found(content), _withdrawn(content)]  # fmt: skip
    return workbook(table for table in tables if table.rows or table.head)


def _top(content: SheetContent, address: str) -> list[tuple[Cell, ...]]:
    """What says which paper this is, over every table that could be printed alone."""
    title = f"{content.tally_no}: {content.title}" if content.title else str(content.tally_no)
    return [
        ("Site", f"{content.site_name} ({content.site_code})"), ("Tally", title),
        ("Revision", f"{content.revision}, sheet {content.code}"), ("Live page", address),
        ("Closed", f"{content.closed_at} by {content.closed_by}"),
    ]  # fmt: skip


def _joints(content: SheetContent, address: str) -> Table:
    unit = content.unit
    headings = ("Line", "Painted", "Serial", "Tag", "Item", f"Length ({unit})", f"Running total ({unit})",
                f"First strap ({unit})", f"Second strap ({unit})", f"Make-up loss ({unit})", "Loss source",
                "Loss confidence", "Note", "Exact length (nm)")  # fmt: skip
    running, rows = 0, []
    for line in content.lines:
        running += line.nm
        rows.append(_joint(content, line, running))
    first, second = content.strap_sums
    off = _shown(content, content.loss_sum_nm, 1) if content.losses else None
    total: tuple[Cell, ...] = (
        "Total", content.count, "", "", "", _shown(content, content.sum_nm), _shown(content, content.sum_nm),
        _shown(content, first), _shown(content, second), off, "", "", "", content.sum_nm,
    )  # fmt: skip
    return Table("Joints", _top(content, address), headings, rows, [total])


def _joint(content: SheetContent, line: SheetLine, running: int) -> tuple[Cell, ...]:
    return (
        line.n, line.painted, line.serial, line.tag, line.item, _shown(content, line.nm),
        _shown(content, running), _shown(content, line.first_nm), _shown(content, line.second_nm),
        _shown(content, line.loss_nm, 1), line.loss_source, line.loss_conf, line.note, line.nm,
    )  # fmt: skip


def _head(content: SheetContent, address: str) -> Table:
    """All that the head of the CSV says, then the totals as figures, then what can hurt."""
    rows: list[tuple[Cell, ...]] = [*head_rows(content)]
    rows.insert(3, ("Live page", address))
    rows += [
        ("Joints", content.count), (f"Total ({content.unit})", _shown(content, content.sum_nm)),
        (f"Shortest ({content.unit})", _shown(content, content.shortest_nm)),
        (f"Longest ({content.unit})", _shown(content, content.longest_nm)),
        (f"Made up ({content.unit})", _shown(content, content.made_up_nm)),
    ]  # fmt: skip
    cautions = (content.mind, *content.cautions) if content.mind else content.cautions
    rows += [("Caution", text) for text in cautions]
    return Table("Head", rows)


def _sums(content: SheetContent) -> Table:
    """The sums of columns and pages as the paper has them."""
    unit = content.unit
    headings = ("Page", "From line", "To line", "Joints", f"Column ({unit})", f"Running total ({unit})",
                f"Page ({unit})")  # fmt: skip
    rows: list[tuple[Cell, ...]] = []
    lengths = [Length(line.nm) for line in content.lines]
    for page in pages(lengths, column=content.column_length, page=content.page_length):
        for column in page.columns:
            last = column is page.columns[-1]
            rows.append((
                page.number, column.first, column.first + len(column.entries) - 1, column.count,
                _shown(content, column.total.nanometres), _shown(content, column.running.nanometres),
                _shown(content, page.total.nanometres) if last else None,
            ))  # fmt: skip
    return Table("Sums", (), headings, rows)


def _stands(content: SheetContent) -> Table:
    unit = content.unit
    headings = ("Stand", "From line", "To line", f"Sum of its joints ({unit})", f"Read ({unit})",
                f"Read less sum ({unit})")  # fmt: skip
    rows = [
        (one.number, one.lines[0], one.lines[-1], _shown(content, one.joints_nm),
         _shown(content, one.read_nm), _shown(content, one.read_nm - one.joints_nm))
        for one in content.stands
    ]  # fmt: skip
    accepted = content.correction
    total = ("Accepted correction of the depth", "", "", None, None,
             _shown(content, accepted.nm) if accepted else None)  # fmt: skip
    return Table("Stands", (), headings, rows, [total] if accepted else [])


def _differences(content: SheetContent) -> Table:
    unit = content.unit
    headings = ("Line", "Joint", f"First ({unit})", f"Second ({unit})", f"Second less first ({unit})")
    rows = [
        (line.n, line.name, _shown(content, line.first_nm), _shown(content, line.second_nm),
         _shown(content, apart))
        for line, apart in content.differences
    ]  # fmt: skip
    return Table("Straps apart", (), headings, rows)


def _found(content: SheetContent) -> Table:
    """What comparing the straps, the checks and the sender's list said."""
    kinds = (("Comparing the straps", content.findings), ("Check", content.checks),
             ("Sender's list", content.third))  # fmt: skip
    rows = [
        (what, one.code, _names(content, one), one.words, one.do) for what, found in kinds for one in found
    ]
    return Table("Findings", (), ("From", "Code", "Joints", "What", "What to do"), rows)


def _withdrawn(content: SheetContent) -> Table:
    return Table("Withdrawn", (), ("Joint", "Serial", "Reason"), [tuple(one) for one in content.withdrawn])


def _names(content: SheetContent, found: SheetFinding) -> str:
    return ", ".join(content.lines[n - 1].name for n in found.lines if 0 < n <= content.count)


def _shown(content: SheetContent, nm: int | None, more: int = 0) -> Figure | None:
    return length(nm, content.unit, content.digits + more)
