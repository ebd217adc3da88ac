"""How the columns of a list are laid out: what each is, its unit, and a mapping that people correct."""

import json
from collections.abc import Mapping as MappingOf
from dataclasses import asdict, dataclass

#: The columns that say a fact of one piece: role -> (the word that the page shows, the name of the fact).
OWN_ROLES: dict[str, tuple[str, str]] = {
    "nozzles": ("nozzles fitted", "nozzles"),
    "code": ("IADC code", "code"),
    "gauge": ("gauge", "gauge_nm"),
    "gauge_measured": ("gauge as measured", "gauge_measured_nm"),
    "blade": ("blade length", "blade_nm"),
    "neck_od": ("fishing neck OD", "neck_od_nm"),
    "neck": ("fishing neck length", "neck_nm"),
    "bend": ("bend setting", "bend"),
    "stator": ("stator fitted on", "stator_on"),
    "lobes": ("lobes and stages", "lobes"),
    "action": ("how a jar works", "action"),
    "clamp": ("mandrel clamp", "clamp"),
    "core": ("core diameter", "core_nm"),
    "barrel": ("barrel length", "barrel_nm"),
    "opens": ("opens to", "opens_nm"),
    "float": ("float fitted", "float"),
    "sensor": ("sensor from the lower shoulder", "sensor_nm"),
}

#: What a column may be, with the word that the page shows.
ROLES: dict[str, str] = {
    "": "not used (kept as typed)",
    "number": "running number",
    "serial": "serial",
    "owner_no": "owner's number",
    "painted": "painted number",
    "item": "item in words",
    "kind": "kind of piece",
    "od": "outside diameter",
    "bore": "bore",
    "wall": "wall",
    "weight": "weight a foot or metre",
    "grade": "grade",
    "range": "range",
    "connection": "connection",
    "up_conn": "connection, upper end",
    "down_conn": "connection, lower end",
    "tj_od": "tool joint OD",
    "tj_bore": "tool joint bore",
    "length": "length",
    "length_ft": "length, whole feet",
    "length_in": "length, inches over",
    "length_unit": "unit of the length",
    "length_again": "length once more, to compare",
    "pipe_class": "class",
    "place": "place",
    "quantity": "how many pieces",
    "length_open": "length open (jars and the like)",
    "length_closed": "length closed (jars and the like)",
    **{role: word for role, (word, _) in OWN_ROLES.items()},
    "remarks": "remarks",
}
#: The units that a column of this role may be in.
ROLE_UNITS: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(("length", "length_again", "length_open", "length_closed", "barrel", "sensor"),
                    ("ft", "in", "m", "cm", "mm")),
    **dict.fromkeys(("od", "bore", "wall", "tj_od", "tj_bore", "gauge", "gauge_measured", "blade", "neck_od",
                     "neck", "core", "opens"), ("in", "mm")),
    "weight": ("lb/ft", "kg/m"),
}


@dataclass(frozen=True)
class Column:
    """One column of a list: `index` from 0, the heading as typed, what it is (`ROLES`) and its unit."""

    index: int
    heading: str = ""
    role: str = ""
    unit: str = ""


@dataclass(frozen=True)
class SheetMapping:
    """Where one sheet has its headings (rows from 1, the last one when there are two) and its columns."""

    sheet: str
    heading_row: int
    last_heading_row: int
    columns: tuple[Column, ...]

    def column(self, role: str) -> Column | None:
        """Return the first column of this role, None when the sheet has none.

        `role` is one of `ROLES`. Raises nothing. Source: house style.
        """
        return next((column for column in self.columns if column.role == role), None)


@dataclass(frozen=True)
class Mapping:
    """How a file is read; a person may correct it and read the file again.

    `length_unit` is the unit of lengths that name none, `length_kind` how they were taken, `decimal`
    the decimal mark ("." or ",", "" = each figure by itself), `default_item` what the pieces are
    where a row does not say it. "" always means "not said".
    """

    sheets: tuple[SheetMapping, ...] = ()
    length_unit: str = ""
    length_kind: str = ""
    decimal: str = ""
    default_item: str = ""

    def to_json(self) -> str:
        """Return the mapping as canonical JSON text: equal mappings give equal texts.

        Raises nothing. Source: house style.
        """
        return json.dumps(asdict(self), sort_keys=True, ensure_ascii=False, separators=(",", ":"))

    @classmethod
    def from_json(cls, text: str) -> "Mapping":
        """Return the mapping that `to_json` wrote. Raises ValueError naming what is wrong with it.

        `text` is any text. Source: house style.
        """
        try:
            made = _mapping_of(json.loads(text))
        except (TypeError, KeyError, AttributeError, RecursionError) as error:
            raise ValueError(f"this is no mapping of columns: {error}") from None
        for sheet in made.sheets:
            for column in sheet.columns:
                _check_column(column)
        if made.decimal not in ("", ".", ","):
            raise ValueError(f"the decimal mark is a point or a comma, not {made.decimal!r}")
        if made.length_unit and made.length_unit not in ROLE_UNITS["length"]:
            raise ValueError(f"{made.length_unit!r} is no unit of length")
        return made


def _mapping_of(given: MappingOf[str, object]) -> Mapping:
    sheets = []
    for sheet in _list(given["sheets"]):
        columns = tuple(
            Column(int(each["index"]), str(each["heading"]), str(each["role"]), str(each["unit"]))
            for each in _list(sheet["columns"])
        )
        first, last = int(sheet["heading_row"]), int(sheet["last_heading_row"])
        sheets.append(SheetMapping(str(sheet["sheet"]), first, last, columns))
    words = {name: str(given[name]) for name in ("length_unit", "length_kind", "decimal", "default_item")}
    return Mapping(tuple(sheets), **words)


def _list(value: object) -> list[dict[str, str]]:
    if not isinstance(value, list):
        raise TypeError("a list was expected")
    return value


def _check_column(column: Column) -> None:
    if column.role not in ROLES:
        raise ValueError(f"a column cannot be {column.role!r}")
    if column.index < 0:
        raise ValueError("columns are counted from 0")
    if column.unit and column.unit not in ROLE_UNITS.get(column.role, ()):
        raise ValueError(f"the column {column.heading!r} cannot be in {column.unit!r}")
