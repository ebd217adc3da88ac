"""The casing detail: what hangs in the well, from the top down, with the depth of each part."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.casing_content import CasingContent, CasingRow
from rack.calc.casing_tally import Stood
from rack.calc.lengths import ZERO, Length
from rack.paper import casing_page, fonts
from rack.paper.flow import Col, Flow


@dataclass(frozen=True)
class Group:
    """Joints alike that stand one upon another, or one part. `first` is the uppermost."""

    what: str
    names: str
    count: int
    length: Length
    top: Length | None
    bottom: Length | None
    remarks: str


def groups(content: CasingContent) -> list[Group]:
    """Return the string from the top down, runs of joints in one line, every part in its own."""
    layout = content.layout()
    run = [row for row in content.rows if row.role == "run" and not row.item().above]
    pairs = list(zip(reversed(layout.stood), reversed(run), strict=True))
    made: list[list[tuple[Stood, CasingRow]]] = []
    for one, row in pairs:
        last = made[-1][-1][1] if made else None
        alike = last is not None and row.kind == last.kind == "joint" and (row.words, row.locked) == (
            last.words, last.locked)
        if alike:
            made[-1].append((one, row))
        else:
            made.append([(one, row)])
    return [_group(each) for each in made]


def _group(each: Sequence[tuple[Stood, CasingRow]]) -> Group:
    row = each[0][1]
    names = row.name if len(each) == 1 else f"{row.name} down to {each[-1][1].name}"
    worn = sum(one.centralizers_n for _, one in each)
    remarks = ["thread-locked"] if row.locked else []
    remarks += [f"{worn} centralizer{'' if worn == 1 else 's'}"] if worn else []
    if row.cut_off_nm:
        remarks.append("rest cut off above")
    return Group(
        what=row.words or "joint", names=names, count=len(each),
        length=sum((one.effective or ZERO for one, _ in each), ZERO), top=each[0][0].top,
        bottom=each[-1][0].bottom, remarks="; ".join(remarks),
    )


def pdf(content: CasingContent, *, size: str = "A4", address: str) -> bytes:
    """Return the PDF on "A4" or "Letter"; `address` is what its code opens. Same content, same bytes.

    Raises ValueError for another paper.
    """
    return casing_page.drawn(content, "Casing detail", lambda flow: _parts(flow, content), size=size,
                             address=address)


def _parts(flow: Flow, content: CasingContent) -> None:
    casing_page.facts(flow, content)
    casing_page.landed(flow, content)
    flow.heading(f"In the well, from the top down ({content.unit} below {content.datum})", 24)
    flow.table(_columns(flow.on.room), [
        (str(group.count), group.what, group.names, content.shown(group.length), content.shown(group.top),
         content.shown(group.bottom), group.remarks)
        for group in groups(content)
    ])
    casing_page.counted(flow, content)
    worn = [row for row in content.rows if row.role == "run" and row.centralizers]
    if worn:
        flow.heading("Centralizers, from the bottom up", 18)
        flow.paragraph("; ".join(f"{row.name}: {row.centralizers}" for row in worn) + ".", 8)
    casing_page.close(flow, content)


def _columns(room: float) -> tuple[Col, ...]:
    return (
        Col("Count", room * 0.07, "right", fonts.FIGURES), Col("What", room * 0.3),
        Col("Number", room * 0.15), Col("Length", room * 0.12, "right", fonts.FIGURES),
        Col("Top", room * 0.12, "right", fonts.FIGURES), Col("Bottom", room * 0.12, "right", fonts.FIGURES),
        Col("Remarks", room * 0.12),
    )
