"""Which column of an inspection company's report is what: proposed by its headings, put right by a person."""

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass

GROUPS = {"TUBE": "tube", "PIPE": "tube", "BODY": "tube", "BOX": "box", "BOXEND": "box", "PIN": "pin",
          "PINEND": "pin", "JOINT": "joint", "OVERALL": "joint"}  # fmt: skip
#: Role without its end -> what a heading begins with, letters and figures only. The first that fits holds.
_Begins = tuple[tuple[str, tuple[str, ...]], ...]
_JOINT: _Begins = (
    ("jt", ("JTNO", "JT", "JOINTNO", "JOINTNUMBER", "JOINT", "NO", "ITEM", "RUNNINGNO")),
    ("serial", ("SERIAL", "SERNO", "SN", "SER")),
    ("painted", ("PTDNO", "PTD", "PAINTED", "RIGNO", "PAINTNO", "PIPENO", "TALLYNO")),
    ("length", ("LGTH", "LENGTH", "LEN", "SHOULDERTOSHOULDER")),
    ("bands", ("BANDS", "BAND", "PAINTBANDS", "COLOUR", "COLOR")),
    ("stencil", ("STENCIL",)),
    ("remarks", ("REMARK", "COMMENT", "NOTE")),
)
_TUBE: _Begins = (
    ("od", ("ODMIN", "MINOD", "TUBEOD", "OD", "PIPEOD", "BODYOD")),
    ("wall", ("UTWALL", "MINWALL", "WALL", "UTMIN", "UT", "REMWALL", "WT")),
    ("rem", ("REM", "PERCENTREM", "PCTREM", "REMAINING", "RBW")),
    ("emi", ("EMI",)),
    ("slip", ("SLIPMT", "SLIP", "MTSLIP", "SEA", "MPI", "MT", "SLIPUPSET")),
    ("straight", ("STRAIGHT", "STR", "BENT")),
    ("coating", ("IPC", "COATING")),
    ("defect", ("DEFECT", "FLAW")),
    ("cl", ("CL", "CLASS", "TUBECLASS", "TUBECL", "PIPECLASS", "BODYCLASS")),
)
_END: _Begins = (
    ("od", ("OD", "TJOD")),
    ("shoulder", ("SHLDR", "SHOULDER", "SHLD")),
    ("counterbore", ("CBORE", "COUNTERBORE", "CB", "QC")),
    ("tong", ("TONG",)),
    ("bore", ("ID", "BORE", "TJID")),
    ("lead", ("LEAD", "STRETCH")),
    ("hardband", ("HB", "HARDBAND", "HARDFACING")),
    ("seal", ("SEAL", "SEALFACE")),
    ("threads", ("THD", "THREAD", "THDS")),
    ("cond", ("COND", "CONDITION", "REPAIR", "ACTION")),
)
_FINAL = ("CLASS", "FINALCLASS", "JOINTCLASS", "CL", "FINALCL")
#: Every role a column may have, with what it is called on the page.
ROLES: dict[str, str] = {
    "jt": "joint number", "serial": "serial", "painted": "painted number", "length": "length",
    "tube_od": "tube OD", "tube_wall": "wall", "tube_rem": "% remaining", "tube_emi": "EMI",
    "tube_slip": "slip and upset", "tube_straight": "straightness", "tube_coating": "coating",
    "tube_defect": "defect and place", "tube_cl": "tube class", "class": "class", "bands": "bands",
    "stencil": "stencil", "remarks": "remarks",
    **{f"{end}_{role}": f"{end} {role}" for end in ("box", "pin") for role, _ in _END},
}  # fmt: skip
_UNIT = re.compile(r"(?<![a-z])(mm|cm|ft|feet|m|in|inch|inches)(?![a-z])", re.I)


@dataclass(frozen=True)
class ColumnRole:
    """One column: its `index` from 0, its `role` ("" none), `heading` as written, `unit` said there or ""."""

    index: int
    role: str
    heading: str
    unit: str = ""


@dataclass(frozen=True)
class ReportMapping:
    """The columns of a report and the row of its headings (from 0). Remembered per company."""

    heading_row: int
    columns: tuple[ColumnRole, ...]

    def index_of(self, role: str) -> int | None:
        """Return the column of a `role`, None where there is none. Raises nothing. Source: the mapping."""
        return next((one.index for one in self.columns if one.role == role), None)

    def unit_of(self, role: str) -> str:
        """Return the unit the heading of a `role` says, "" for none. Raises nothing. Source: the report."""
        return next((one.unit for one in self.columns if one.role == role), "")

    @property
    def headings(self) -> tuple[str, ...]:
        """What the headings say, by which a company's next report is known again."""
        return tuple(one.heading for one in self.columns)

    def changed(self, roles: dict[int, str]) -> "ReportMapping":
        """Return the mapping with these `roles` by column; a role given anew leaves its old column.

        Raises ValueError for an unknown role. Source: the person who corrects it.
        """
        odd = [role for role in roles.values() if role and role not in ROLES]
        if odd:
            raise ValueError(f"role: {odd[0]!r} is none of {', '.join(ROLES)}")
        taken = {role for role in roles.values() if role}
        columns = tuple(
            ColumnRole(one.index, roles.get(one.index, "" if one.role in taken else one.role), one.heading,
                       one.unit)
            for one in self.columns
        )  # fmt: skip
        return ReportMapping(self.heading_row, columns)

    def like(self, before: "ReportMapping") -> "ReportMapping | None":
        """Return this mapping with the roles and units of an earlier one, `before`, None where the headings
        are not the same or nothing changes.

        What the headings say themselves of a unit stands. Raises nothing. Source: the person who set them.
        """
        if [(one.index, plain(one.heading)) for one in self.columns] != [
            (one.index, plain(one.heading)) for one in before.columns
        ]:
            return None
        columns = tuple(
            ColumnRole(now.index, then.role, now.heading, now.unit or then.unit)
            for now, then in zip(self.columns, before.columns, strict=True)
        )
        made = ReportMapping(self.heading_row, columns)
        return None if made == self else made

    def to_text(self) -> str:
        """Return the mapping as canonical JSON, to be remembered. Raises nothing. Source: none needed."""
        columns = [[one.index, one.role, one.heading, one.unit] for one in self.columns]
        return json.dumps({"heading_row": self.heading_row, "columns": columns}, separators=(",", ":"),
                          sort_keys=True, ensure_ascii=False)

    @classmethod
    def from_text(cls, text: str) -> "ReportMapping":
        """Return the mapping `text` was made from. Raises ValueError when it is none. Source: `to_text`."""
        try:
            said = json.loads(text)
            columns = tuple(ColumnRole(int(i), str(r), str(h), str(u)) for i, r, h, u in said["columns"])
            return cls(int(said["heading_row"]), columns)
        except (ValueError, TypeError, KeyError, AttributeError):
            raise ValueError("text: it is no mapping of a report") from None


def plain(heading: str) -> str:
    """Return a `heading` in capitals, letters and figures only. Raises nothing. Source: none needed."""
    return "".join(sign for sign in heading.upper() if sign.isalnum())


def _role(heading: str, group: str) -> str:
    """The role of one heading in its group; "box OD" says its end itself."""
    for end in ("box", "pin"):
        if re.match(rf"{end}\b", heading.strip(), re.I) and group != end:
            return _role(heading.strip()[len(end) :], end)
    spelled = plain(_UNIT.sub(" ", heading)) or plain(heading)
    if group in ("", "joint") or group == "tube":
        for role, begins in _JOINT:
            if _begins(spelled, begins):
                return role
    if group == "joint" and spelled in _FINAL:
        return "class"
    if group in ("", "tube"):
        for role, begins in _TUBE:
            if _begins(spelled, begins):
                return f"tube_{role}"
    if group in ("box", "pin"):
        for role, begins in _END:
            if _begins(spelled, begins):
                return f"{group}_{role}"
        if spelled in _FINAL:
            return "class"
    return ""


def _begins(spelled: str, begins: Sequence[str]) -> bool:
    """Short words stand alone or before figures ("LEAD .001"); long ones may go on ("REMARKS")."""
    return any(spelled == word or (len(word) > 3 and spelled.startswith(word))
               or (spelled.startswith(word) and spelled[len(word) :].isdigit()) for word in begins)


def propose(rows: Sequence[Sequence[str]], *, within: int = 80) -> ReportMapping | None:
    """Return the mapping that the headings propose, None where no row is one of headings.

    `rows` are the cells of the sheet; the headings stand in the first `within` rows, the groups (TUBE, BOX,
    PIN) in the row above or in the headings themselves. Raises nothing. Source: paper samples.
    """
    best: ReportMapping | None = None
    for at, cells in enumerate(rows[:within]):
        if not _may_be_headings(cells):
            continue
        groups = _groups(rows[at - 1]) if at else {}
        mapping = _mapped(at, cells, groups)
        roles = {one.role for one in mapping.columns if one.role}
        if {"jt", "serial", "painted"} & roles and len(roles) >= 4 and roles & {
            "tube_wall", "tube_cl", "class", "tube_rem", "box_od"
        } and (best is None or len(roles) > len([one for one in best.columns if one.role])):
            best = mapping
    return best


def _may_be_headings(cells: Sequence[str]) -> bool:
    """A row of figures is none; it is left out here because it costs the most to read."""
    filled = [cell.strip() for cell in cells if cell.strip()]
    figures = sum(text[0].isdigit() or text[0] in ".-" for text in filled)
    return len(filled) >= 4 and 3 * figures < len(filled)


def _groups(cells: Sequence[str]) -> dict[int, str]:
    """Each group label goes on to the right until the next one."""
    found, group = {}, ""
    if not any(plain(cell) in GROUPS for cell in cells):
        return {}
    for index, cell in enumerate(cells):
        if cell.strip():
            group = GROUPS.get(plain(cell), "")
        found[index] = group
    last = len(cells)
    found.update(dict.fromkeys(range(last, last + 40), group))
    return found


def _mapped(at: int, cells: Sequence[str], groups: dict[int, str]) -> ReportMapping:
    columns: list[ColumnRole] = []
    taken: set[str] = set()
    for index, cell in enumerate(cells):
        if not cell.strip():
            continue
        role = _free(_role(cell, groups.get(index, "")), cell, groups, taken)
        taken.add(role)
        unit = _UNIT.search(cell)
        said = unit[1].lower() if unit and cell.strip().lower() != unit[1].lower() else ""
        columns.append(ColumnRole(index, role, cell.strip()[:60], said.replace("inches", "in").replace(
            "inch", "in").replace("feet", "ft")))
    return ReportMapping(at, tuple(columns))


def _free(role: str, cell: str, groups: dict[int, str], taken: set[str]) -> str:
    """Without groups the same heading comes again: box first, then pin; a second class is the final one."""
    if role and role not in taken:
        return role if role or groups else _later(cell, taken)
    if role == "tube_cl":
        return "class" if "class" not in taken else ""
    if groups:
        return ""
    return _later(cell, taken)


def _later(cell: str, taken: set[str]) -> str:
    for end in ("box", "pin"):
        role = _role(cell, end)
        if role and role not in taken:
            return role
    return ""
