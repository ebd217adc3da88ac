"""An inspection company's report read from any bytes: head, two rows of headings, one row a joint, foot.

Returns what stands there and every fault that it betrays; stores nothing. What is no such report is
refused in one sentence.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from inspection.calc.class_words import read_class
from inspection.calc.criteria import scheme as scheme_of
from inspection.calc.report_mapping import ReportMapping, propose
from inspection.calc.report_names import LotJoint
from inspection.calc.report_typed import ReportHead, TypedEnd, TypedJoint, TypedReport
from inspection.calc.report_whole import report_problems
from inspection.exchange.report_cells import is_blank, percent, size
from inspection.exchange.report_head import foot_of, head_of, head_texts
from rack.calc.checks import Problem, asks, note
from rack.errors import UnreadableFile
from rack.exchange.cells import DITTO, is_unworked
from rack.exchange.workbook import Sheet, read_table

#: The largest lot a report may have.
MOST_ROWS = 3000
_DASHES = ("-", "–", "—", "--")
_END_SIZES = ("od", "shoulder", "counterbore", "tong", "bore", "lead")
_END_WORDS = ("hardband", "seal", "threads", "cond")


@dataclass(frozen=True)
class ReadReport:
    """What was read: the report, its faults, the mapping it was read by, the sheet it stood on, and what the
    head says by the names of `HEAD_NAMES`."""

    report: TypedReport
    problems: tuple[Problem, ...]
    mapping: ReportMapping
    sheet: str
    others: tuple[str, ...] = ()
    texts: Mapping[str, str] = field(default_factory=dict)


def read_report(
    data: bytes,
    name: str,
    *,
    mapping: ReportMapping | None = None,
    sheet: str = "",
    lot: Sequence[LotJoint] = (),
    aliases: Mapping[str, str] | None = None,
    said: Mapping[str, str] | None = None,
    scheme: str = "",
    judged: bool = True,
) -> ReadReport:
    """Return the inspection report in `data` (bytes of a CSV or workbook) with every fault it betrays.

    `name` is the file's name, `mapping` a remembered or corrected one (proposed when None), `sheet` which
    sheet of a workbook ("" the first that is a report), `lot` what the register holds of the lot, `aliases`
    class words settled for this company, `said` what a person put right in the head by the names of
    `HEAD_NAMES`, `scheme` the one to read classes by where the report names none. With `judged`
    False nothing is held against anything. Raises UnreadableFile
    with one sentence for what is no report. Source: paper samples.
    """  # fmt: skip
    found = [(one, propose(one.rows)) for one in read_table(data, name)]
    reports = [(one, known) for one, known in found if known is not None] or [
        (one, mapping) for one, _ in found if mapping and mapping.heading_row < len(one.rows)
    ]
    chosen = [pair for pair in reports if pair[0].name == sheet] or ([] if sheet else reports)
    if not chosen:
        raise UnreadableFile(
            "There is no inspection report in it: no row of headings names a joint or a serial together with "
            "a wall, a class or a tool joint."
        )
    one, known = chosen[0]
    known = mapping or known
    assert known is not None
    others = tuple(other.name for other, _ in reports if other is not one)
    return _read(one, known, others, lot, aliases or {}, said or {}, scheme, judged=judged)


def _read(
    one: Sheet, mapping: ReportMapping, others: tuple[str, ...], lot: Sequence[LotJoint],
    aliases: Mapping[str, str], said: Mapping[str, str], scheme: str, *,
    judged: bool,
) -> ReadReport:  # fmt: skip
    problems: list[Problem] = []
    head = head_of(one.rows[: mapping.heading_row], problems, said=said)
    usual = scheme if scheme and _serves(scheme, head) else ""
    if usual and said.get("scheme"):
        head = replace(head, scheme=usual)
    body: list[TypedJoint] = []
    foot: list[Sequence[str]] = []
    above: dict[str, str] = {}
    for cells, line in zip(
        one.rows[mapping.heading_row + 1 :], one.lines[mapping.heading_row + 1 :], strict=False
    ):
        if not any(cell.strip() for cell in cells) or _is_heading(cells, mapping):
            continue
        if _is_row(cells, mapping):
            body.append(_joint((cells, line), mapping, one, above, problems))
        else:
            foot.append(cells)
    if len(body) > MOST_ROWS:
        raise UnreadableFile(f"There are more than {MOST_ROWS:,} rows in it; no lot has so many joints.")
    if not body:
        raise UnreadableFile("There is the heading of an inspection report in it and no row under it.")
    report = TypedReport(
        head, tuple(body), foot_of(foot), frozenset(c.role for c in mapping.columns if c.role),
        usual=usual,
    )
    report = replace(report, aliases=_settled(aliases, report))
    if others:
        problems.append(
            note(
                f"The workbook has further reports: {', '.join(others)}; each is read by itself.",
                code="sheets",
            )
        )
    if judged:
        problems += report_problems(report, lot)
    return ReadReport(report, tuple(problems), mapping, one.name, others,
                      head_texts(one.rows[: mapping.heading_row]))  # fmt: skip


def _cell(cells: Sequence[str], mapping: ReportMapping, role: str) -> str:
    index = mapping.index_of(role)
    return cells[index].strip() if index is not None and index < len(cells) else ""


def _is_heading(cells: Sequence[str], mapping: ReportMapping) -> bool:
    """The headings again, at the top of the next page."""
    there = {one.index: one.heading for one in mapping.columns}
    same = sum(index < len(cells) and cells[index].strip() == text for index, text in there.items())
    return 2 * same > len(there)


def _is_row(cells: Sequence[str], mapping: ReportMapping) -> bool:
    """A joint has a name, and something said of it; a line of the foot has words where figures stand."""
    names = [_cell(cells, mapping, role) for role in ("jt", "serial", "painted")]
    number = names[0]
    if number and not any(sign.isdigit() for sign in number) and number.lower() not in DITTO:
        return False
    roles = ("tube_wall", "tube_rem", "tube_od", "tube_cl", "box_od", "pin_od", "class", "tube_emi",
             "box_cond", "remarks", "length")  # fmt: skip
    said = [text for role in roles if (text := _cell(cells, mapping, role))]
    figures = any(any(sign.isdigit() for sign in text) for text in said)
    return any(names) and (len(said) >= 2 or (bool(number) and (figures or bool(said))))


def _joint(
    row: tuple[Sequence[str], int], mapping: ReportMapping, one: Sheet, above: dict[str, str],
    problems: list[Problem],
) -> TypedJoint:  # fmt: skip
    cells, line = row
    texts, dittos = _texts(cells, mapping, above)
    where, name = f"row {line}", texts.get("jt") or texts.get("serial") or texts.get("painted") or ""
    said = f"joint {name}" if name else where

    def length(role: str, usual: str = "in") -> object:
        return size(texts.get(role, ""), role, mapping.unit_of(role) or usual, where, said, problems)

    def end(name: str) -> TypedEnd:
        sizes = {key: length(f"{name}_{key}") for key in _END_SIZES}
        words = {key: texts.get(f"{name}_{key}", "") for key in _END_WORDS}
        return TypedEnd(**sizes, **words)  # type: ignore[arg-type]

    for role, text in texts.items():
        if is_unworked(text):
            problems.append(
                asks(
                    f"{said[:1].upper()}{said[1:]}, {role.replace('_', ' ')}: “{text[:20]}” is a formula "
                    "without its value.",
                    code="unread",
                    where=where,
                )
            )
    return TypedJoint(
        row=line, jt=texts.get("jt", "")[:20], serial=texts.get("serial", "")[:60],
        painted=texts.get("painted", "")[:40], length=length("length", "ft"), od=length("tube_od"),  # type: ignore[arg-type]
        wall=length("tube_wall"), rem=percent(texts.get("tube_rem", ""), where, said, problems),  # type: ignore[arg-type]
        emi=texts.get("tube_emi", ""), slip=texts.get("tube_slip", ""),
        straight=texts.get("tube_straight", ""), coating=texts.get("tube_coating", ""),
        defect=texts.get("tube_defect", ""),
        cl=texts.get("tube_cl", ""), box=end("box"), pin=end("pin"),
        final=texts.get("class", ""), bands=texts.get("bands", ""),
        stencil=texts.get("stencil", ""), remarks=texts.get("remarks", ""), dittos=dittos,
    )  # fmt: skip


def _settled(aliases: Mapping[str, str], report: TypedReport) -> tuple[tuple[str, str], ...]:
    """Each spelling with its class in the scheme of this report; what is none of it is left to be asked."""
    by = report.by
    found = {text: name if name in by.names else read_class(name, by)[0] for text, name in aliases.items()}
    return tuple(sorted((text, name) for text, name in found.items() if name))


def _serves(code: str, head: ReportHead) -> bool:
    kinds = scheme_of(code).kinds
    return not kinds or (head.spec.kind if head.spec else "drill_pipe") in kinds


def _texts(
    cells: Sequence[str], mapping: ReportMapping, above: dict[str, str]
) -> tuple[dict[str, str], tuple[str, ...]]:
    """Each role's text with ditto marks replaced by what they repeat; blanks are empty."""
    texts, dittos = {}, []
    for column in mapping.columns:
        if not column.role:
            continue
        text = " ".join(cells[column.index].split())[:300] if column.index < len(cells) else ""
        if text.lower() in DITTO and above.get(column.role):
            dittos.append(column.role)
            text = above[column.role]
        elif text in _DASHES or (is_blank(text) and column.role not in ("serial", "tube_emi", "tube_slip")):
            text = ""
        texts[column.role] = text
        above[column.role] = text
    return texts, tuple(dittos)
