"""Further parts under the book of a closed tally: checks, third list, sample, strap out of the hole."""

from rack.calc.lengths import Length
from rack.calc.sheets import SheetFinding
from rack.paper import fonts
from rack.paper.flow import Col, Flow
from rack.paper.tally_grid import Book


def checks(flow: Flow, book: Book) -> None:
    """What the list betrayed of itself when it was closed, and was accepted."""
    found = book.content.checks
    if not found:
        return
    flow.heading("What the checks said", 20)
    for each in found:
        finding(flow, book, each)


def third(flow: Flow, book: Book) -> None:
    """Which of two straps the sender's list bears out; it changed no reading."""
    content = book.content
    if not content.third:
        return
    flow.heading("What the sender's list bears out", 20)
    flow.paragraph(f"Held against {content.third_list}. It changed no reading.", 8)
    flow.points(each.words for each in content.third)


def sample(flow: Flow, book: Book) -> None:
    """Count times the average of twenty joints, drawn so that anybody can draw them again."""
    content, made = book.content, book.content.sample
    if made is None:
        return
    flow.heading(f"Count times the average of {len(made.lines)}", 24)
    unit, digits = content.unit, content.digits
    mean = Length(made.mean_nm).shown(unit, digits + 1)
    apart = made.expected_nm - made.sum_nm
    verdict = "within" if abs(apart) <= made.limit_nm else "outside"
    flow.paragraph(
        f"{content.count} joints times {mean} {unit} is {book.shown(made.expected_nm)} {unit}; "
        f"{made.against} is {book.shown(made.sum_nm)}. {signed(book, apart)}, {verdict} "
        f"three standard errors ({book.shown(made.limit_nm)}).", 8, fonts.BOLD,
    )
    names = ", ".join(content.lines[n - 1].name for n in made.lines if 0 < n <= len(content.lines))
    flow.paragraph(
        f"Joints {names}: the lines whose SHA-256 of \"{made.code}:line number\" is the smallest.", 7.5
    )


def stands(flow: Flow, book: Book) -> None:
    """Strap out of the hole: each stand against the sum of its joints, and the correction accepted."""
    content = book.content
    if not content.stands:
        return
    flow.heading("Strap out of the hole", 30)
    flow.paragraph(content.stands_words, 8.5, fonts.BOLD)
    flow.gap(1)
    wide, figures = flow.on.room, fonts.FIGURES
    columns = (
        Col("Stand", wide * 0.1, font=fonts.BOLD), Col("Joints", wide * 0.3),
        Col(f"Sum of its joints, {content.unit}", wide * 0.2, "right", figures),
        Col(f"Read, {content.unit}", wide * 0.2, "right", figures),
        Col("Read less sum", wide * 0.2, "right", figures),
    )
    flow.table(columns, [
        (str(each.number), _joints(book, each.lines), book.shown(each.joints_nm), book.shown(each.read_nm),
         signed(book, each.read_nm - each.joints_nm))
        for each in content.stands
    ])
    _correction(flow, book)


def _joints(book: Book, lines: tuple[int, ...]) -> str:
    names = [book.content.lines[n - 1].name for n in lines if 0 < n <= len(book.content.lines)]
    return f"{names[0]} to {names[-1]}" if len(names) > 1 else "".join(names)


def _correction(flow: Flow, book: Book) -> None:
    content, accepted = book.content, book.content.correction
    if accepted is None:
        flow.gap(1)
        flow.paragraph("No correction of the depth was accepted.", 8.5, fonts.BOLD)
        return
    flow.warning(
        f"Accepted correction of the depth: {signed(book, accepted.nm)} {content.unit}. "
        "It corrects the depth, not the joints."
    )
    flow.paragraph(f"{accepted.by}, {accepted.at.replace('T', ' ')}: {accepted.reason}", 8)


def finding(flow: Flow, book: Book, found: SheetFinding) -> None:
    """One finding: its code and joints, then its words and what to do."""
    lines = book.content.lines
    names = [lines[n - 1].name for n in found.lines if 0 < n <= len(lines)]
    joints = f"joint{'s' if len(names) > 1 else ''} {', '.join(names)}" if names else ""
    flow.need(12)
    flow.gap(1)
    head = ", ".join(part for part in (found.code or "No known slip", joints) if part)
    flow.paragraph(head, 8, fonts.BOLD)
    flow.paragraph(f"{found.words} {found.do}".strip(), 8)


def signed(book: Book, nm: int) -> str:
    return f"{'+' if nm > 0 else '−' if nm < 0 else ''}{book.shown(abs(nm))}"
