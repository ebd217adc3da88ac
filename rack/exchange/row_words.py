"""What a row was read as, in the words that stand beside the typed cells."""

from rack.calc.item_parts import inches
from rack.calc.kinds import KINDS
from rack.calc.outliers import shown_digits
from rack.calc.receiving import OWN_ROLES, ReadRow
from rack.calc.specs import SpecFacts


def kind_that_fits(length_kind: str, spec: SpecFacts | None) -> str:
    """Return the kind of length when this kind of piece can be measured so, else "" (its usual kind)."""
    return length_kind if spec is None or length_kind in KINDS[spec.kind].lengths else ""


def read_of(row: ReadRow) -> dict[str, str]:
    """Return what a row was read as, in the words that stand beside the typed cells."""
    read = {
        "serial": row.serial,
        "owner_no": row.owner_no,
        "painted": row.painted,
        "pipe_class": row.pipe_class,
        "place": row.place,
    }
    if row.length is not None:
        read["length"] = (
            f"{row.length.shown(row.length_unit, shown_digits(row.length_unit))} {row.length_unit}"
        )
    spec = row.spec
    if spec:
        read |= {
            "kind": KINDS[spec.kind].name,
            "grade": spec.grade,
            "range": spec.range,
            "up_conn": f"{spec.up_conn} {spec.up_gender}".strip(),
            "down_conn": f"{spec.down_conn} {spec.down_gender}".strip(),
            "weight": f"{spec.weight_mlb_ft / 1000:.2f} lb/ft" if spec.weight_mlb_ft else "",
        }
        for role in ("od", "bore", "wall", "tj_od", "tj_bore"):
            value = getattr(spec, f"{role}_nm")
            read[role] = f"{inches(value)} in" if value else ""
    shown = {fact.name: fact.shown for fact in row.facts}
    read |= {role: shown[name] for role, (_, name) in OWN_ROLES.items() if name in shown}
    return {role: text for role, text in read.items() if text}
