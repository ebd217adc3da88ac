"""What steel weighs in air and in mud, and how much mud it moves.

Weights are lb and lb/ft, volumes bbl a foot of pipe (one barrel is 42 US gallons of 231 in3).
"""

from math import pi

from rack.calc.collapse import LARGEST_OD_IN
from rack.calc.figures import figure
from rack.calc.given import number_in
from rack.calc.worked import Worked

#: lb in one cubic foot of steel, as RP 7G has it.
STEEL_LB_FT3 = 489.5
#: Weight of the mud in ppg at which steel floats, as RP 7G rounds it.
STEEL_PPG = 65.5
#: Heaviest mud in ppg that is taken for a mud here.
HEAVIEST_MUD_PPG = 30
#: A spiral collar weighs about 4 % less than a plain one (one source).
SPIRAL_SHARE = 0.96

_IN3_A_BBL = 42 * 231
_FT_WITHOUT_JOINT = 29.4
_RP7G = "RP 7G"


def _mud(mud_ppg: float) -> float:
    return number_in("mud_ppg", mud_ppg, "ppg", 0, HEAVIEST_MUD_PPG)


def _tube(od_in: float, bore_in: float) -> tuple[float, float]:
    od = number_in("od_in", od_in, "in", 0, LARGEST_OD_IN, above=True)
    return od, number_in("bore_in", bore_in, "in", 0, od, below=True)


def _per_foot(weight_lb_ft: float) -> float:
    return number_in("weight_lb_ft", weight_lb_ft, "lb/ft", 0, 10_000)


def buoyancy_factor(mud_ppg: float) -> float:
    """Return the share of its weight in air that steel has in mud, no unit.

    `mud_ppg` is the mud weight in ppg, 0 (air) to 30; a ValueError names it outside. Source: RP 7G,
    1 - ppg/65.5; the short rule 1 - 0.015 x ppg would be 0.005 high at 20 ppg.
    """
    return float(buoyancy_factor_worked(mud_ppg).value)


def buoyancy_factor_worked(mud_ppg: float) -> Worked:
    """Return `buoyancy_factor` with formula, inputs and steps.

    `mud_ppg` in ppg, 0 to 30, else ValueError. Source: RP 7G.
    """
    mud = _mud(mud_ppg)
    share = 1 - mud / STEEL_PPG
    step = f"1 - {figure(mud)} / 65.5 = {figure(share)}"
    return Worked(share, "", "1 - mud / 65.5", {"mud": f"{figure(mud)} ppg"}, (step,), _RP7G)


def collar_weight_lb_ft(od_in: float, bore_in: float) -> float:
    """Return the weight in air of a plain drill collar in lb/ft.

    `od_in` (over 0, to 60) and `bore_in` (0 to less than the OD) are in inches; a ValueError names what
    is out of range. Source: geometry with steel at 489.5 lb/ft3; two published tables differ by up to
    3 lb/ft (Lyons table 4-73, reprints of Spec 7).
    """
    return float(collar_weight_lb_ft_worked(od_in, bore_in).value)


def collar_weight_lb_ft_worked(od_in: float, bore_in: float) -> Worked:
    """Return `collar_weight_lb_ft` with formula, inputs and steps.

    `od_in`, `bore_in` in inches, ranges and ValueError as in `collar_weight_lb_ft`. Source: geometry.
    """
    od, bore = _tube(od_in, bore_in)
    area = pi / 4 * (od**2 - bore**2)
    weight = STEEL_LB_FT3 / 144 * area
    steps = (f"A = pi/4 x (D^2 - d^2) = {figure(area)} in2", f"489.5 / 144 x A = {figure(weight)} lb/ft")
    inputs = {"D": f"{figure(od)} in", "d": f"{figure(bore)} in"}
    return Worked(weight, "lb/ft", "489.5/144 x pi/4 x (D^2 - d^2)", inputs, steps,
                  "geometry, steel at 489.5 lb/ft3 (RP 7G)")  # fmt: skip


def spiral_collar_weight_lb_ft(od_in: float, bore_in: float) -> float:
    """Return the weight in air of a spiral drill collar in lb/ft, about 4 % less than a plain one.

    `od_in`, `bore_in` in inches, ranges and ValueError as in `collar_weight_lb_ft`. Source: one vendor
    page for the 4 %; the maker's figure governs.
    """
    return float(spiral_collar_weight_lb_ft_worked(od_in, bore_in).value)


def spiral_collar_weight_lb_ft_worked(od_in: float, bore_in: float) -> Worked:
    """Return `spiral_collar_weight_lb_ft` with formula, inputs and steps.

    `od_in`, `bore_in` in inches, ranges and ValueError as in `collar_weight_lb_ft`. Source: one page.
    """
    plain = collar_weight_lb_ft_worked(od_in, bore_in)
    weight = SPIRAL_SHARE * plain.value
    steps = (*plain.steps, f"0.96 x {figure(plain.value)} = {figure(weight)} lb/ft")
    return Worked(weight, "lb/ft", f"0.96 x {plain.formula}", plain.inputs, steps,
                  "one source for the 4 %; the maker's figure governs")  # fmt: skip


def air_weight_lb(weight_lb_ft: float, length_ft: float) -> float:
    """Return the weight in air of a length of pipe in lb.

    `weight_lb_ft` in lb/ft, 0 to 10,000; `length_ft` in ft, 0 to 60,000; a ValueError names what is out
    of range. Source: arithmetic.
    """
    return float(air_weight_lb_worked(weight_lb_ft, length_ft).value)


def air_weight_lb_worked(weight_lb_ft: float, length_ft: float) -> Worked:
    """Return `air_weight_lb` with formula, inputs and steps.

    `weight_lb_ft` in lb/ft, `length_ft` in ft, ranges and ValueError as in `air_weight_lb`.
    Source: arithmetic.
    """
    per_foot = _per_foot(weight_lb_ft)
    length = number_in("length_ft", length_ft, "ft", 0, 60_000)
    weight = per_foot * length
    inputs = {"w": f"{figure(per_foot)} lb/ft", "L": f"{figure(length)} ft"}
    return Worked(weight, "lb", "w x L", inputs, (f"w x L = {figure(weight)} lb",), "arithmetic")


def buoyed_weight_lb(weight_lb_ft: float, length_ft: float, mud_ppg: float) -> float:
    """Return the weight in mud of a length of steel pipe, full and surrounded, in lb.

    `weight_lb_ft` in lb/ft and `length_ft` in ft as in `air_weight_lb`, `mud_ppg` in ppg, 0 to 30; a
    ValueError names what is out of range. Source: RP 7G.
    """
    return float(buoyed_weight_lb_worked(weight_lb_ft, length_ft, mud_ppg).value)


def buoyed_weight_lb_worked(weight_lb_ft: float, length_ft: float, mud_ppg: float) -> Worked:
    """Return `buoyed_weight_lb` with formula, inputs and steps.

    `weight_lb_ft` in lb/ft, `length_ft` in ft, `mud_ppg` in ppg, ranges and ValueError as in
    `buoyed_weight_lb`. Source: RP 7G.
    """
    air = air_weight_lb_worked(weight_lb_ft, length_ft)
    factor = buoyancy_factor_worked(mud_ppg)
    weight = air.value * factor.value
    steps = (*air.steps, *factor.steps, f"{figure(air.value)} x {figure(factor.value)} = {figure(weight)} lb")
    return Worked(weight, "lb", "w x L x (1 - mud / 65.5)", {**air.inputs, **factor.inputs}, steps, _RP7G)


def jointed_weight_lb_ft(
    plain_end_lb_ft: float, upset_lb: float, elevator_od_in: float,
    joint_od_in: float, joint_bore_in: float, joint_length_in: float,
) -> float:  # fmt: skip
    """Return the weight in air of drill pipe with its tool joint in lb/ft, over a pipe of 29.4 ft.

    `plain_end_lb_ft` is the tube in lb/ft (0 to 200); `upset_lb` what the upsets add a joint in lb (0 to
    100); `elevator_od_in` the diameter at the elevator upset, `joint_od_in` and `joint_bore_in` the tool
    joint's, `joint_length_in` the combined length of pin and box without the thread, all in inches (length
    to 100). A ValueError names what is out of range. The pipe on the rack can be 7 % heavier (long tong
    spaces, coating): the maker's sheet governs. Source: RP 7G, from memory, reproduces 17 weights.
    """
    given = (plain_end_lb_ft, upset_lb, elevator_od_in, joint_od_in, joint_bore_in, joint_length_in)
    return float(jointed_weight_lb_ft_worked(*given).value)


def jointed_weight_lb_ft_worked(
    plain_end_lb_ft: float, upset_lb: float, elevator_od_in: float,
    joint_od_in: float, joint_bore_in: float, joint_length_in: float,
) -> Worked:  # fmt: skip
    """Return `jointed_weight_lb_ft` with formula, inputs and steps.

    `plain_end_lb_ft` in lb/ft, `upset_lb` in lb, `elevator_od_in`, `joint_od_in`, `joint_bore_in` and
    `joint_length_in` in inches, ranges and ValueError as in `jointed_weight_lb_ft`. Source: RP 7G, from
    memory.
    """
    plain = number_in("plain_end_lb_ft", plain_end_lb_ft, "lb/ft", 0, 200, above=True)
    upset = number_in("upset_lb", upset_lb, "lb", 0, 100)
    od = number_in("joint_od_in", joint_od_in, "in", 0, LARGEST_OD_IN, above=True)
    bore = number_in("joint_bore_in", joint_bore_in, "in", 0, od, below=True)
    neck = number_in("elevator_od_in", elevator_od_in, "in", bore, od, above=True)
    length = number_in("joint_length_in", joint_length_in, "in", 0, 100, above=True)
    joint = 0.222 * length * (od**2 - bore**2) + 0.167 * (od**3 - neck**3) - 0.501 * bore**2 * (od - neck)
    adjusted_ft = (length + 2.253 * (od - neck)) / 12
    tube = plain + upset / _FT_WITHOUT_JOINT
    weight = (tube * _FT_WITHOUT_JOINT + joint) / (adjusted_ft + _FT_WITHOUT_JOINT)
    steps = (
        f"tube with upsets = {figure(plain)} + {figure(upset)} / 29.4 = {figure(tube)} lb/ft",
        f"joint = 0.222 L (D^2 - d^2) + 0.167 (D^3 - De^3) - 0.501 d^2 (D - De) = {figure(joint)} lb",
        f"its length = (L + 2.253 (D - De)) / 12 = {figure(adjusted_ft)} ft",
        f"({figure(tube)} x 29.4 + {figure(joint)}) / ({figure(adjusted_ft)} + 29.4)",
        f"= {figure(weight)} lb/ft",
    )
    inputs = {"tube": f"{figure(plain)} lb/ft", "upsets": f"{figure(upset)} lb", "De": f"{figure(neck)} in",
              "D": f"{figure(od)} in", "d": f"{figure(bore)} in", "L": f"{figure(length)} in"}  # fmt: skip
    return Worked(weight, "lb/ft", "(tube x 29.4 + joint) / (joint length + 29.4)", inputs, steps,
                  "RP 7G, from memory; the maker's sheet governs")  # fmt: skip


def capacity_bbl_ft(bore_in: float) -> float:
    """Return the inside volume of a pipe in bbl/ft.

    `bore_in` in inches, 0 to 60, else ValueError. Source: geometry, 9,702 in3 a barrel.
    """
    return float(capacity_bbl_ft_worked(bore_in).value)


def capacity_bbl_ft_worked(bore_in: float) -> Worked:
    """Return `capacity_bbl_ft` with formula, inputs and steps.

    `bore_in` in inches, 0 to 60, else ValueError. Source: geometry.
    """
    bore = number_in("bore_in", bore_in, "in", 0, LARGEST_OD_IN)
    volume = pi / 4 * bore**2 * 12 / _IN3_A_BBL
    formula, inputs = "pi/4 x d^2 x 12 / 9,702", {"d": f"{figure(bore)} in"}
    step = f"pi/4 x {figure(bore)}^2 x 12 / 9,702 = {figure(volume)} bbl/ft"
    return Worked(volume, "bbl/ft", formula, inputs, (step,), "geometry")


def open_end_displacement_bbl_ft(weight_lb_ft: float) -> float:
    """Return the mud that the steel alone moves, pipe filling as it goes in, in bbl/ft.

    `weight_lb_ft` is the weight in air with joints in lb/ft, 0 to 10,000, else ValueError.
    Source: geometry, steel at 489.5 lb/ft3.
    """
    return float(open_end_displacement_bbl_ft_worked(weight_lb_ft).value)


def open_end_displacement_bbl_ft_worked(weight_lb_ft: float) -> Worked:
    """Return `open_end_displacement_bbl_ft` with formula, inputs and steps.

    `weight_lb_ft` in lb/ft, 0 to 10,000, else ValueError. Source: geometry.
    """
    weight = _per_foot(weight_lb_ft)
    volume = weight / STEEL_LB_FT3 * 1728 / _IN3_A_BBL
    step = f"{figure(weight)} / 489.5 x 1,728 / 9,702 = {figure(volume)} bbl/ft"
    return Worked(volume, "bbl/ft", "w / 489.5 x 1,728 / 9,702", {"w": f"{figure(weight)} lb/ft"}, (step,),
                  "geometry, steel at 489.5 lb/ft3 (RP 7G)")  # fmt: skip


def closed_end_displacement_bbl_ft(weight_lb_ft: float, bore_in: float) -> float:
    """Return the mud that pipe with a closed end moves, steel and bore together, in bbl/ft.

    `weight_lb_ft` in lb/ft, 0 to 10,000, and `bore_in` in inches, 0 to 60, else ValueError. The bore is
    taken as even; the smaller bore of tool joints makes it slightly too high. Source: geometry.
    """
    return float(closed_end_displacement_bbl_ft_worked(weight_lb_ft, bore_in).value)


def closed_end_displacement_bbl_ft_worked(weight_lb_ft: float, bore_in: float) -> Worked:
    """Return `closed_end_displacement_bbl_ft` with formula, inputs and steps.

    `weight_lb_ft` in lb/ft, `bore_in` in inches, ranges and ValueError as in
    `closed_end_displacement_bbl_ft`. Source: geometry.
    """
    steel, inside = open_end_displacement_bbl_ft_worked(weight_lb_ft), capacity_bbl_ft_worked(bore_in)
    volume = steel.value + inside.value
    last = f"{figure(steel.value)} + {figure(inside.value)} = {figure(volume)} bbl/ft"
    return Worked(volume, "bbl/ft", f"{steel.formula} + {inside.formula}", {**steel.inputs, **inside.inputs},
                  (*steel.steps, *inside.steps, last), steel.source)  # fmt: skip
