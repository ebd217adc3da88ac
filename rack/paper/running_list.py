"""The running list of a casing plan: from the bottom up, the order into the hole, with room for the time."""

from rack.calc.casing_content import CasingContent, CasingRow
from rack.calc.casing_tally import Stood
from rack.paper import casing_page, fonts
from rack.paper.flow import Col, Flow


def pdf(content: CasingContent, *, size: str = "A4", address: str) -> bytes:
    """Return the PDF on "A4" or "Letter"; `address` is what its code opens. Same content, same bytes.

    Raises ValueError for another paper.
    """
    return casing_page.drawn(content, "Running list", lambda flow: _parts(flow, content), size=size,
                             address=address)


def _parts(flow: Flow, content: CasingContent) -> None:
    casing_page.facts(flow, content)
    casing_page.counted(flow, content)
    flow.heading(f"Into the hole, from the bottom up ({content.unit})", 24)
    layout = content.layout()
    run = [row for row in content.rows if row.role == "run" and not row.item().above]
    rows = [_row(content, one, row) for one, row in zip(layout.stood, run, strict=True)]
    above = [row for row in content.rows if row.role == "run" and row.item().above]
    rows += [("", "", row.name, content.shown(row.nm), content.shown(row.item().effective), "", "", "",
              _remarks(row), "") for row in above]
    flow.table(_columns(flow.on.room), rows)
    spare = [row for row in content.rows if row.role == "spare"]
    if spare:
        flow.heading("Spare", 18)
        words = "; ".join(f"{row.name} {content.shown(row.nm)}" for row in spare)
        flow.paragraph(f"{words} ({content.unit}, {content.length_kind}).", 8.5)
    casing_page.landed(flow, content)
    casing_page.close(flow, content)


def _columns(room: float) -> tuple[Col, ...]:
    shares = ((5, "Run", "right"), (6, "Joint", "right"), (9, "Number", "left"), (9, "Length", "right"),
              (10, "Effective", "right"), (10, "Total", "right"), (10, "Bottom at", "right"),
              (6, "Drift", "left"), (27, "Remarks", "left"), (8, "Time", "left"))
    whole = sum(share for share, _, _ in shares)
    return tuple(
        Col(head, room * share / whole, align, fonts.FIGURES if align == "right" else fonts.TEXT)  # type: ignore[arg-type]
        for share, head, align in shares
    )


def _row(content: CasingContent, one: Stood, row: CasingRow) -> tuple[str, ...]:
    drift = ("ok" if row.drifted else "–") if one.item.is_joint else ""
    hung = content.shown(one.total)
    return (str(one.n), str(one.joint_n) if one.item.is_joint else "", row.name, content.shown(row.nm),
            content.shown(one.effective), hung, content.shown(one.bottom), drift, _remarks(row), "")


def _remarks(row: CasingRow) -> str:
    parts = [] if row.kind == "joint" else [row.words]
    parts += ["thread-locked"] if row.locked else []
    parts += [f"centr. {row.centralizers}"] if row.centralizers else []
    return "; ".join(parts)
