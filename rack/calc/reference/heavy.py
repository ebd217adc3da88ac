"""Heavy-weight pipe: what the tables say of it. The maker's sheet, entered by the office, governs."""

from rack.calc.lookup import Catalogue, Row, key_text
from rack.calc.reference.parts import Gathering, Part


def heavy_parts(row: Row, catalogue: Catalogue) -> tuple[Part, ...]:
    """Return what the tables say of a heavy-weight pipe; the maker's sheet, entered by the office, governs.

    `row` is one of table "heavyweight", `catalogue` the rows in force (in, lb/ft, lb, ft-lb). Raises
    nothing. Source: tables "heavyweight" and "heavyweight_joints", nearly all from memory.
    """
    found = Gathering("Heavy-weight pipe, Range 2")
    for label, column, unit in (
        ("Outside diameter", "od_in", "in"), ("Bore of the tube", "tube_id_in", "in"),
        ("Weight with tool joints", "approx_weight_lb_ft_with_joints", "lb/ft"),
        ("Connection", "connection", ""), ("Tool joint, outside diameter", "tool_joint_od", "in"),
        ("Tool joint, bore", "tool_joint_id", "in"), ("Tension of the tube", "tube_tensile_lb_55ksi", "lb"),
        ("Torsion of the tube", "tube_torsion_ft_lb_55ksi", "ft-lb"),
    ):  # fmt: skip
        found.cell(label, "heavyweight", row, column, unit)
    more = Gathering("Tool joint and upsets")
    for one in catalogue.rows("heavyweight_joints"):
        if key_text("heavyweight", one) == key_text("heavyweight", row):
            label = one["quantity"].replace("_od_id", "_OD_x_bore").replace("_od", "_OD").replace("_", " ")
            label = label[:1].upper() + label[1:]
            more.cell(label, "heavyweight_joints", one, "value", one["unit"].replace("lbf", "lb"))
    return found.part(), more.part()
