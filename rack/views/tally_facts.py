"""What the page of a tally shows: its columns and its figures, live or as its sheet has them."""

from dataclasses import dataclass, field

from rack.actions.closing import losses_of, sheet_lines_of
from rack.calc.lengths import Length
from rack.calc.made_up import made_up_worked
from rack.calc.sheets import NOTHING_OFF, SheetContent, SheetLine, SheetLoss, totals_of
from rack.calc.straps import GATE, Comparison
from rack.calc.tally import average_shown, shown_lines_add_up, summary
from rack.calc.worked import Worked
from rack.models import Line, Tally
from rack.models.comparing import compared, held_nm, length_of, lines_of
from rack.views.columns import Row, ShownPage, shown_pages


@dataclass(frozen=True)
class Facts:
    """Columns, figures and what is said beside them."""

    pages: list[ShownPage]
    figures: list[tuple[str, str]]
    worked: Worked | None = None
    notes: list[str] = field(default_factory=list)
    comparison: Comparison | None = None


def live_facts(tally: Tally, lines: list[Line]) -> Facts:
    """An open tally as it stands. While it is blind nothing of the first strap is read here (law 13)."""
    if tally.is_blind:
        return _blind_facts(tally, lines)
    both = tally.heads.filter(strap_n=2, finished_at__isnull=False).exists()
    comparison = compared(tally, lines) if both else None
    differing = set(comparison.differing) if comparison else set()
    rows = [
        Row(
            name=name_of(line, n), length=length_of(held_nm(tally, line)),
            mark="differs" if n in differing else "asked" if line.questions_n else "",
            tag=line.component.tag if line.component else "", serial=serial_of(line),
        )
        for n, line in enumerate(lines)
    ]
    read = [line for line in lines if held_nm(tally, line) is not None]
    return _facts(
        rows, sheet_lines_of(tally, read), losses_of(tally, read), unit=tally.unit, digits=tally.digits,
        kind=tally.kind, comparison=comparison, cut={"column": tally.column_n, "page": tally.page_n},
    )


def outside(content: SheetContent) -> list[tuple[SheetLine, int]]:
    """The joints of a closed tally whose straps are further apart than the gate, second less first in nm.

    Sheets from before the gate was kept were closed with the usual one.
    """
    gate = content.gate_nm or GATE.nanometres
    return [(line, apart) for line, apart in content.differences if abs(apart) > gate]


def sheet_facts(content: SheetContent) -> Facts:
    """A closed tally, from its one text alone."""
    differing = {line.n for line, _ in outside(content)}
    rows = [
        Row(
            name=line.name, length=Length(line.nm), serial=line.serial, tag=line.tag,
            mark="differs" if line.n in differing else "confirmed" if "confirmed" in line.note else "",
        )
        for line in content.lines
    ]
    return _facts(
        rows, content.lines, content.losses, unit=content.unit, digits=content.digits,
        kind=content.length_kind, cut={"column": content.column_length, "page": content.page_length},
    )


def _facts(
    rows: list[Row], lines: tuple[SheetLine, ...], losses: tuple[SheetLoss, ...], *, unit: str, digits: int,
    kind: str, cut: dict[str, int], comparison: Comparison | None = None,
) -> Facts:
    lengths = [row.length for row in rows]
    whole, totals = summary(lengths), totals_of(lines, losses, kind)
    notes = []
    if not shown_lines_add_up(lengths, unit, digits):
        notes.append("The lines as shown do not add up to the total as shown: each is rounded once, from the "
                     "exact length.")
    worked = None
    if totals["made_up_nm"] is not None and whole.count:
        worked = made_up_worked(whole.total, losses, unit=unit, digits=digits)
    elif whole.count:
        unknown = sum(line.loss_nm is None for line in lines)
        notes.append(f"The length made up is not known: no table says what comes off {unknown} of "
                     f"{whole.count} joints.")

    def shown(length: Length | None) -> str:
        return "–" if length is None else f"{length.shown(unit, digits)} {unit}"

    count = f"{whole.count:,}" if whole.count == len(rows) else f"{whole.count:,} of {len(rows):,}"
    average = average_shown(whole.average, unit, digits)
    figures = [
        ("Joints", count), ("Total length", shown(whole.total)),
        ("Average", f"{average} {unit}" if average else "–"),
        ("Shortest", shown(whole.shortest)), ("Longest", shown(whole.longest)),
    ]
    if worked and kind not in NOTHING_OFF:
        figures.append(("Length made up", shown(worked.value)))
    return Facts(shown_pages(rows, unit, digits, **cut), figures, worked, notes, comparison)


def _blind_facts(tally: Tally, lines: list[Line]) -> Facts:
    rows = [
        Row(name=name_of(line, n), words="read" if line.second_nm is not None else "not read", mark="skipped",
            serial=serial_of(line), tag=line.component.tag if line.component else "")
        for n, line in enumerate(lines)
    ]
    done = sum(line.second_nm is not None for line in lines)
    return Facts(
        shown_pages(rows, tally.unit, tally.digits, column=tally.column_n, page=tally.page_n),
        [("Joints", f"{len(lines):,}"), ("Read by the second strap", f"{done:,} of {len(lines):,}")],
    )


def serial_of(line: Line) -> str:
    return line.component.serial if line.component else line.serial_typed


def name_of(line: Line, n: int) -> str:
    """What a joint is called: its painted number, else its place on the list."""
    return line.painted or str(n + 1)


__all__ = ["Facts", "lines_of", "live_facts", "sheet_facts"]
