"""What stands under the book of a closed tally, one function a part, in the order of the paper."""

from collections.abc import Callable

from rack.calc.lengths import Length, shown_steps
from rack.calc.lookup import CONFIDENCE
from rack.calc.sheets import NOTHING_OFF
from rack.calc.tally import average_shown, summary
from rack.paper import fonts, sheet_more
from rack.paper.flow import Col, Flow
from rack.paper.surface import HAIR, MARGIN, RULE
from rack.paper.tally_grid import DAGGER, Book, has_note

_SIGNERS = ("Tape", "Reader", "Writer", "Supervisor")


def total(flow: Flow, book: Book) -> None:
    """Count, total, average, shortest, longest; and where the shown lines do not add up, that."""
    content, on = book.content, flow.on
    lengths = [Length(line.nm) for line in content.lines]
    told = summary(lengths)
    flow.heading("What it adds up to", 24)
    figures = (
        ("Joints", str(content.count)),
        (f"Total, {content.unit}", ("" if book.lines_add_up else DAGGER) + book.shown(content.sum_nm)),
        (f"Average, {content.unit}", average_shown(told.average, content.unit, content.digits) or "–"),
        (_where(book, "Shortest", content.shortest_nm), book.shown(content.shortest_nm) or "–"),
        (_where(book, "Longest", content.longest_nm), book.shown(content.longest_nm) or "–"),
    )
    wide = on.room / len(figures)
    for place, (label, shown) in enumerate(figures):
        x = MARGIN + place * wide
        on.fitted(x, flow.y + 3.4, label, wide - 2, 7)
        on.fitted(x, flow.y + 9, shown, wide - 2, 13, fonts.BOLD_FIGURES)
    flow.gap(11)
    flow.paragraph(content.rounding, 7.5)
    if not book.lines_add_up:
        flow.warning(_rounded_apart(book))


def _where(book: Book, word: str, nm: int | None) -> str:
    """The joint that is meant: "Shortest, joint 9"; more than one are counted."""
    names = [line.name for line in book.content.lines if line.nm == nm]
    if not names:
        return word
    return f"{word}, joint {names[0]}" + (f" and {len(names) - 1} more" if len(names) > 1 else "")


def _rounded_apart(book: Book) -> str:
    content = book.content
    steps = sum(Length(line.nm).in_shown_units(content.unit, content.digits) for line in content.lines)
    return (
        f"The lines as shown add up to {shown_steps(steps, content.digits)} {content.unit}. The total is "
        f"{book.shown(content.sum_nm)} {content.unit}, rounded once from the exact length."
    )


def made_up(flow: Flow, book: Book) -> None:
    """The length in the hole: every loss with its pins, source and confidence."""
    content = book.content
    unit = content.unit
    flow.heading("Length made up", 22)
    if content.losses:
        wide = flow.on.room
        columns = (
            Col("What", wide * 0.29), Col(f"Loss, {unit}", wide * 0.09, "right", fonts.FIGURES),
            Col("Pins", wide * 0.07, "right", fonts.FIGURES),
            Col(f"Off, {unit}", wide * 0.11, "right", fonts.FIGURES),
            Col("Source", wide * 0.28), Col("How sure", wide * 0.16),
        )
        flow.table(columns, [
            (loss.what, Length(loss.loss_nm).shown(unit, content.digits + 1), str(loss.pins),
             book.shown(loss.loss_nm * loss.pins), loss.source, _how_sure(loss.conf))
            for loss in content.losses
        ])
        flow.gap(1)
    flow.paragraph(_made_up_words(book), 9, fonts.BOLD)


def _how_sure(conf: str) -> str:
    return f"{conf}: {CONFIDENCE[conf]}" if conf in CONFIDENCE else conf


def _made_up_words(book: Book) -> str:
    content = book.content
    if content.made_up_nm is None:
        names = ", ".join(line.name for line in content.lines if line.loss_nm is None)
        return f"Not known: no make-up loss for joint {names}. Nothing is assumed."
    shown = f"Made up {book.shown(content.made_up_nm)} {content.unit}"
    if not content.losses and content.length_kind in NOTHING_OFF:
        return f"{shown}: the lengths are {content.length_kind}, nothing comes off."
    return (
        f"{shown}: {book.shown(content.sum_nm)} less {book.shown(content.loss_sum_nm)}. "
        "Losses are counted by pins that stand in a box."
    )


def straps(flow: Flow, book: Book) -> None:
    """The two straps against each other, and every finding in words with what to do."""
    content = book.content
    if not book.two and not content.findings:
        return
    flow.heading("First strap against second", 20)
    first, second = content.strap_sums
    if first is not None and second is not None:
        flow.paragraph(
            f"First {book.shown(first)}, second {book.shown(second)}, second less first "
            f"{sheet_more.signed(book, second - first)} {content.unit}. "
            + _differ_words(book)
        )
    once = [line.name for line in content.lines if (line.first_nm is None) != (line.second_nm is None)]
    if once:
        flow.paragraph(f"Read by one strap only: joint {', '.join(once)}.")
    if content.cancels:
        flow.warning(
            "Errors that cancel: the totals agree and joints do not. A total that agrees clears no joint."
        )
    _differences(flow, book)
    for finding in content.findings:
        sheet_more.finding(flow, book, finding)


def _differ_words(book: Book) -> str:
    content = book.content
    differ, outside = len(content.differences), len(content.outside)
    if not differ:
        return "Every joint reads the same."
    if not content.gate_nm:
        return f"{differ} of {content.count} joints read differently."
    gate = f"{Length(content.gate_nm).shown(content.unit, content.digits + 1)} {content.unit}"
    return f"{outside} of {content.count} joints read further apart than {gate}, {differ - outside} less far."


def _differences(flow: Flow, book: Book) -> None:
    """The joints further apart than the gate, in three columns of joint, first, second, difference."""
    apart = [(line.name, book.shown(line.first_nm), book.shown(line.second_nm), sheet_more.signed(book, nm))
             for line, nm in book.content.outside]
    if not apart:
        return
    rows = -(-len(apart) // 3)
    wide = flow.on.room / 3
    figures = fonts.FIGURES
    one = (
        Col("Joint", wide * 0.22, font=fonts.BOLD), Col("First", wide * 0.24, "right", figures),
        Col("Second", wide * 0.24, "right", figures), Col("Difference", wide * 0.3, "right", figures),
    )
    blank = ("", "", "", "")
    cells = [apart[row + part * rows] if row + part * rows < len(apart) else blank
             for row in range(rows) for part in range(3)]
    flow.table(one * 3, [cells[row] + cells[row + 1] + cells[row + 2] for row in range(0, len(cells), 3)])


def notes(flow: Flow, book: Book) -> None:
    """Joints marked with a star in the book: another item than the head's, or a confirmed reading."""
    content = book.content
    noted = [line for line in content.lines if has_note(content, line)]
    if not noted:
        return
    flow.heading("* Joints with a note", 20)
    wide = flow.on.room
    columns = (
        Col("Line", wide * 0.07, "right", fonts.FIGURES), Col("Joint", wide * 0.1, font=fonts.BOLD),
        Col("Serial", wide * 0.2), Col("Item", wide * 0.33), Col("Note", wide * 0.3),
    )
    flow.table(columns, [
        (str(line.n), line.name, line.serial, line.item if line.item != content.item else "", line.note)
        for line in noted
    ])


def withdrawn(flow: Flow, book: Book) -> None:
    """Lines struck off before closing, each with its reason."""
    if not book.content.withdrawn:
        return
    flow.heading("Withdrawn, not counted above", 20)
    wide = flow.on.room
    columns = (
        Col("Joint", wide * 0.12, font=fonts.BOLD), Col("Serial", wide * 0.28), Col("Reason", wide * 0.6),
    )
    flow.table(columns, book.content.withdrawn)


def reason(flow: Flow, book: Book) -> None:
    """Why fewer straps than wanted, or differences, were accepted."""
    content = book.content
    fewer = content.straps_taken < content.straps_wanted
    if not content.reason and not fewer:
        return
    flow.heading("Closed with a reason", 16)
    if fewer:
        flow.paragraph(f"{content.straps_wanted} straps were wanted, {content.straps_taken} taken.", 8)
    flow.paragraph(f"{content.closed_by}: {content.reason}" if content.reason else "No reason was given.", 8)


def cautions(flow: Flow, book: Book) -> None:
    """What can hurt, and before it what this purpose must not forget."""
    content = book.content
    texts = (content.mind, *content.cautions) if content.mind else content.cautions
    if texts:
        flow.heading("Mind", 20)
        flow.points(texts)


def signatures(flow: Flow, book: Book) -> None:
    """Four lines to sign on, kept together."""
    high = 12.5 if flow.tight else 16.0
    flow.need(high + (8.5 if flow.tight else 10))
    on = flow.on
    wide = on.room / len(_SIGNERS)
    for place, signer in enumerate(_SIGNERS):
        x = MARGIN + place * wide
        on.rule(x, flow.y + high, x + wide - 4, flow.y + high, RULE)
        on.text(x, flow.y + high + 3.6, f"{signer}: name, signature, date", 7)
    flow.gap(high + 5)
    on.rule(MARGIN, flow.y, on.right, flow.y, HAIR)
    flow.paragraph(f"Printed from the closed sheet {book.content.code} by {book.content.program}.", 6.5)


PARTS: tuple[Callable[[Flow, Book], None], ...] = (
    total, made_up, sheet_more.stands, straps, sheet_more.third, sheet_more.checks, sheet_more.sample, reason,
    notes, withdrawn, cautions, signatures,
)
