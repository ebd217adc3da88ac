"""The closed tally as a CSV file: its head, its joints, its total, drawn from the sheet alone.

The file begins with a byte order mark, because without one the usual spreadsheet reads UTF-8 names
as another encoding; Python reads it with the codec "utf-8-sig". Figures are plain ("1031.24", no
thousands marks) in the unit of the heading, and each length stands once more in exact nanometres.
"""

import csv
import io

from rack.calc.lengths import Length
from rack.calc.sheets import SheetContent, SheetLine
from rack.calc.tally import shown_lines_add_up

#: What a spreadsheet takes for the beginning of a formula, also in the wide forms of the East.
_FORMULA = tuple("=+-@\t\r＝＋－＠")


def write(content: SheetContent) -> str:
    """Return the CSV text of a closed tally: commas, lines ended by CR LF, byte order mark first.

    Lengths are rounded once, half up, to the digits of the tally. A cell of text that a spreadsheet
    would take for a formula is written with an apostrophe before it.
    """
    sink = io.StringIO()
    sink.write("\ufeff")
    out = csv.writer(sink, lineterminator="\r\n")
    for row in head_rows(content):
        out.writerow([text_cell(cell) for cell in row])
    out.writerow([])
    out.writerow(_headings(content.unit))
    for line in content.lines:
        out.writerow(_joint(content, line))
    out.writerow(_total(content))
    for withdrawn in content.withdrawn:
        cells = ("Withdrawn", withdrawn.painted, withdrawn.serial, withdrawn.reason)
        out.writerow([text_cell(cell) for cell in cells])
    return sink.getvalue()


def text_cell(text: str) -> str:
    """Return `text` as a spreadsheet shows it and never computes it."""
    return f"'{text}" if starts_formula(text) else text


def starts_formula(text: str) -> bool:
    """Return whether a spreadsheet would take a text that is typed into it for a formula."""
    return text.lstrip(" \n\xa0").startswith(_FORMULA)


def head_rows(content: SheetContent) -> list[tuple[str, str]]:
    """Return what stands over the joints: each row a label and its words."""
    rows = [
        ("Site", f"{content.site_name} ({content.site_code})"),
        ("Tally", f"{content.tally_no}: {content.title}" if content.title else str(content.tally_no)),
        ("Revision", f"{content.revision}, sheet {content.code}"),
        ("Purpose", content.purpose),
        ("Item", content.item),
        ("Kind of length", content.length_kind),
        ("Opened", content.opened_at),
        ("Closed", f"{content.closed_at} by {content.closed_by}"),
        ("Straps", f"{content.straps_taken} taken, {content.straps_wanted} wanted"),
    ]
    rows += [
        (f"Strap {hands.strap_n}", f"tape {hands.tape}, reader {hands.reader}, writer {hands.writer}")
        for hands in content.hands
    ]
    rows += [("Make-up loss", f"{_plain(content, loss.loss_nm, 1)} {content.unit} off {loss.pins} pins: "
              f"{loss.what}, {loss.source} ({loss.conf})") for loss in content.losses]
    made_up = _plain(content, content.made_up_nm)
    rows.append(("Length made up", f"{made_up} {content.unit}" if made_up else "not known"))
    if content.cancels:
        rows.append(("Mind", "Errors that cancel: the totals agree and joints do not."))
    rows += [("Finding", f"{found.code}: {found.words} {found.do}".strip()) for found in content.findings]
    rows += [("Check", f"{found.code}: {found.words} {found.do}".strip()) for found in content.checks]
    rows += [("Sender's list", found.words) for found in content.third]
    rows += _stands(content)
    if content.reason:
        rows.append(("Reason", content.reason))
    rows.append(("Rounding", content.rounding))
    if not shown_lines_add_up([Length(line.nm) for line in content.lines], content.unit, content.digits):
        rows.append(("Mind", "The lines as shown do not add up to the total; it is rounded once, exactly."))
    return rows


def _stands(content: SheetContent) -> list[tuple[str, str]]:
    """Each stand on the way out of the hole, and the correction of the depth that was accepted."""
    unit = content.unit
    rows = [
        (f"Stand {each.number}", f"lines {each.lines[0]} to {each.lines[-1]}: joints "
         f"{_plain(content, each.joints_nm)} {unit}, read {_plain(content, each.read_nm)} {unit}")
        for each in content.stands
    ]
    accepted = content.correction
    if accepted:
        rows.append(("Correction of the depth", f"{_plain(content, accepted.nm)} {unit}, accepted by "
                     f"{accepted.by} {accepted.at}: {accepted.reason}"))
    return rows


def _headings(unit: str) -> tuple[str, ...]:
    return (
        "Line", "Painted", "Serial", "Tag", "Item", f"Length ({unit})", f"First strap ({unit})",
        f"Second strap ({unit})", f"Make-up loss ({unit})", "Loss source", "Loss confidence", "Note",
        "Exact length (nm)",
    )


def _joint(content: SheetContent, line: SheetLine) -> list[str]:
    texts = [text_cell(text) for text in (line.painted, line.serial, line.tag, line.item)]
    notes = [text_cell(text) for text in (line.loss_source, line.loss_conf, line.note)]
    figures = [_plain(content, nm) for nm in (line.nm, line.first_nm, line.second_nm)]
    return [str(line.n), *texts, *figures, _plain(content, line.loss_nm, 1), *notes, str(line.nm)]


def _total(content: SheetContent) -> list[str]:
    figures = [_plain(content, nm) for nm in (content.sum_nm, *content.strap_sums)]
    off = _plain(content, content.loss_sum_nm, 1) if content.losses else ""
    return ["Total", str(content.count), "", "", "", *figures, off, "", "", "", str(content.sum_nm)]


def _plain(content: SheetContent, nm: int | None, more_digits: int = 0) -> str:
    """A length without thousands marks, "" for one that is not known."""
    return "" if nm is None else Length(nm).shown(content.unit, content.digits + more_digits).replace(",", "")
