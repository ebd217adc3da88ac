"""Drill pipe: what the tables and the formulas say of one pick."""

from rack.calc import connections, tubes, walls, weights
from rack.calc.casing import drift_worked
from rack.calc.figures import figure
from rack.calc.lookup import Catalogue
from rack.calc.reference.parts import Gathering, Part, from_row, marks, with_step
from rack.calc.reference.picked import Joint, PipePick, cell
from rack.calc.worked import Worked

#: The threads whose new tool joints are torqued with a limited shoulder (found from RP 7G table 10).
LIMITED_WHEN_NEW = ("NC31", "NC38")
#: What stands beside a figure whose formula or rule is from memory only.
MEMORY = "from memory: verify against your standard"
#: Length that weights are shown for when none is given, ft.
USUAL_LENGTH_FT = 1000.0


def pipe_parts(pick: PipePick, catalogue: Catalogue) -> tuple[Part, ...]:
    """Return everything that can be said of a drill pipe, part by part.

    `pick` is what was picked, `catalogue` the rows in force (in, lb/ft, psi). A figure out of range becomes
    a sentence; raises ValueError only when the picked row lacks its diameter or wall. Source: tables
    "drill_pipe", "grades", "tool_joint_weights"; RP 7G, API 5C3.
    """
    return (
        _tube(pick), _limits(pick), _strengths(pick), _weights(pick, catalogue),
        *joint_parts(pick.joint, pick),
    )  # fmt: skip


def _tube(pick: PipePick) -> Part:
    found = Gathering("Tube")
    for label, column, unit in (
        ("Outside diameter", "od_in", "in"), ("Wall", "wall_in", "in"), ("Bore", "id_in", "in"),
        ("Plain-end weight", "plain_end_weight_lb_ft", "lb/ft"),
    ):  # fmt: skip
        found.cell(label, "drill_pipe", pick.pipe, column, unit)
    worked = tubes.geometry_worked(pick.od_in, pick.wall_in, pick.pipe_class, wall_left=pick.wall_left)
    mark = marks(pick.pipe)
    if worked.wall_in.value != pick.wall_in:
        found.put(f"Outside diameter, {pick.in_words}", worked.od_in, mark)
        found.put(f"Wall, {pick.in_words}", worked.wall_in, mark)
    found.put("Steel in the section", worked.area_in2, mark)
    found.put("Section modulus", worked.section_modulus_in3, mark)
    return found.part()


def limit_worked(wall_in: float, pipe_class: str) -> Worked:
    """Return the smallest wall of a class in inches, its last line the figure that may be printed for it.

    `wall_in` is the nominal wall in inches, `pipe_class` "new", "premium" or "class 2"; ValueError for
    others. Source: API Spec 5D, RP 7G; the rounding is common practice.
    """
    worked = walls.wall_limit_in_worked(wall_in, pipe_class)
    printed = walls.wall_limit_printed(wall_in, pipe_class)
    return with_step(worked, "a reading is compared with this figure, not rounded",
                     f"printed as {printed} in, rounded up so that a reading equal to the print passes")


def _limits(pick: PipePick) -> Part:
    found = Gathering("Smallest wall that a class allows", marks(pick.pipe))
    for name, words in (("new", "new, from the mill"), ("premium", "premium"), ("class 2", "class 2")):
        printed = f"printed as {walls.wall_limit_printed(pick.wall_in, name)} in"
        found.put(words.capitalize(), limit_worked(pick.wall_in, name), aside=printed)
    return found.part()


def _strengths(pick: PipePick) -> Part:
    found = Gathering(f"Strength of the tube, {pick.in_words}", marks(pick.pipe, pick.grade))
    given = (pick.od_in, pick.wall_in, pick.yield_psi, pick.pipe_class)
    worked = tubes.strengths_worked(*given, wall_left=pick.wall_left)
    found.cell("Minimum yield", "grades", pick.grade, "min_yield_psi", "psi")
    for label, one in (
        ("Tension", worked.tensile_lb), ("Torsion", worked.torsion_ft_lb), ("Burst", worked.burst_psi),
        ("Collapse", worked.collapse_psi), ("Regime of the collapse", worked.collapse_regime),
    ):  # fmt: skip
        found.put(label, one)
    if pick.pull_lb is not None:
        pull = pick.pull_lb
        found.add("Torsion under that pull", lambda: tubes.torsion_under_pull_ft_lb_worked(
            *given, pull, wall_left=pick.wall_left), MEMORY)
    body = (pick.od_in, pick.wall_in, pick.pipe_class)
    found.add("Torque for one turn in 1,000 ft",
              lambda: tubes.torque_turn_ft_lb_worked(*body, wall_left=pick.wall_left), "tube only, inferred")
    if pick.torque_ft_lb is not None:
        torque, length = pick.torque_ft_lb, pick.length_ft or USUAL_LENGTH_FT
        found.add("Twist at that torque", lambda: tubes.twist_turns_worked(
            *body, torque, length, wall_left=pick.wall_left), "tube only, inferred")
    return found.part()


def jointed_worked(pick: PipePick, catalogue: Catalogue) -> Worked:
    """Return the weight of new pipe with its tool joints in lb/ft: by the formula, else as a sheet gives it.

    `pick` with its joint, `catalogue` the rows in force (in, lb). Raises ValueError when the tables know
    neither the upset and the length of the tool joint nor the weight. Source: RP 7G, from memory, or the
    row of table "tool_joint_weights"; the maker's sheet governs.
    """
    joint = pick.joint
    if joint is None or joint.row is None:
        raise ValueError("no table has the length of this tool joint")
    if not joint.row["tj_length_L_in"]:
        return from_row("tool_joint_weights", joint.row, "approx_lb_ft", "lb/ft")
    weight, upset = pick.pipe["nominal_weight_lb_ft"], joint.row["upset"]
    rows = catalogue.find("upsets", size=pick.pipe["size"], nominal_weight_lb_ft=weight, upset=upset)
    if not rows:
        raise ValueError(f"no table has the upset {upset} of this pipe")
    return weights.jointed_weight_lb_ft_worked(
        cell(pick.pipe, "plain_end_weight_lb_ft"), cell(rows[0], "upset_weight_lb"),
        cell(rows[0], "elevator_od_in"), joint.od_in, joint.bore_in, cell(joint.row, "tj_length_L_in"))


def _weights(pick: PipePick, catalogue: Catalogue) -> Part:
    found = Gathering("Weight, displacement and capacity of new pipe", marks(pick.pipe))
    found.cell("Label weight", "drill_pipe", pick.pipe, "nominal_weight_lb_ft", "lb/ft")
    try:
        worked = jointed_worked(pick, catalogue)
        joint_mark = marks("the maker's sheet governs", pick.joint.mark if pick.joint else "")
        found.put("With its tool joints", worked, joint_mark)
    except ValueError as wrong:
        found.say(f"Weight with tool joints: {wrong}; the figures below are for the plain tube.")
        worked = tubes.geometry_worked(pick.od_in, pick.wall_in, "new").plain_end_lb_ft
        joint_mark = "plain tube, tool joints left out"
    per_foot, length = float(worked.value), pick.length_ft or USUAL_LENGTH_FT
    words = f"{length:,.0f} ft"
    found.add(f"{words} in air", lambda: weights.air_weight_lb_worked(per_foot, length), joint_mark)
    if pick.mud_ppg is not None:
        mud = pick.mud_ppg
        found.add("Buoyancy factor", lambda: weights.buoyancy_factor_worked(mud))
        found.add(f"{words} in that mud", lambda: weights.buoyed_weight_lb_worked(per_foot, length, mud),
                  joint_mark)
    found.add("Displacement, open end", lambda: weights.open_end_displacement_bbl_ft_worked(per_foot),
              joint_mark)
    found.add("Displacement, closed end",
              lambda: weights.closed_end_displacement_bbl_ft_worked(per_foot, pick.bore_in), joint_mark)
    found.add("Capacity of the tube", lambda: weights.capacity_bbl_ft_worked(pick.bore_in))
    return found.part()


def joint_parts(joint: Joint | None, pick: PipePick) -> tuple[Part, ...]:
    """Return what can be said of the tool joint of a pick: strength, then how far it may wear.

    `joint` with diameters in inches, or None; `pick` the pipe it is on. Raises nothing. Source: RP 7G
    appendix A.8 and table 10; table "connections".
    """
    if joint is None:
        return (Part("Tool joint", (), ("No table names a tool joint with open dimensions for this pipe: "
                                        "pick the connection, and type its diameters.",)),)
    thread, od, bore = joint.thread, joint.od_in, joint.bore_in
    found = Gathering(f"Tool joint {thread.name}, {figure(od)} x {figure(bore)} in", joint.mark)
    strengths = connections.joint_strengths_worked
    found.add("Make-up torque, new", lambda: connections.make_up_torque_ft_lb_worked(
        thread, od, bore, connections.TOOL_JOINT_MAKE_UP_PSI, limit_shoulder=thread.name in LIMITED_WHEN_NEW))
    found.add("Torsional yield", lambda: strengths(thread, od, bore).torsion_ft_lb)
    found.add("Tensile yield of the pin", lambda: strengths(thread, od, bore).tensile_lb)
    found.add("Drift", lambda: drift_worked("tool joint", od, bore), MEMORY)
    return found.part(), *(_worn_joint(joint, pick, name) for name in ("premium", "class 2"))


def _worn_joint(joint: Joint, pick: PipePick, name: str) -> Part:
    found = Gathering(f"How far its tool joint may wear, {name}", marks(joint.mark, pick.pipe, pick.grade))
    try:
        worked = connections.tool_joint_limits_worked(
            joint.thread, joint.bore_in, pick.od_in, pick.wall_in, pick.yield_psi, name)
    except ValueError as wrong:
        found.say(f"No limit can be worked out: {wrong}.")
        return found.part()
    found.put("Smallest outside diameter", worked.min_od_in)
    found.put("Thinnest box shoulder", worked.min_shoulder_in, "inferred from RP 7G table 10")
    found.put("Make-up torque at that diameter", worked.make_up_ft_lb)
    return found.part()
