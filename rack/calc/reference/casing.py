"""Casing and tubing: what passes through, what it withstands, what its thread carries and loses."""

from dataclasses import dataclass
from fractions import Fraction

from rack.calc import casing
from rack.calc.figures import figure
from rack.calc.lookup import Catalogue, Row, number
from rack.calc.losses import Loss, make_up_loss
from rack.calc.reference.parts import Gathering, Part, from_row, marks, words_of
from rack.calc.worked import Worked

PRODUCTS = ("casing", "tubing")
#: product -> the threads it is made with.
THREADS = {"casing": ("STC", "LTC", "BTC"), "tubing": ("EUE", "NUE")}


@dataclass(frozen=True)
class Pipe:
    """One size and weight: `size` as written, diameters in inches, weight in lb/ft, its row."""

    product: str
    size: str
    od_in: float
    weight_lb_ft: float
    wall_in: float
    table: str
    row: Row

    @property
    def bore_in(self) -> float:
        """Nominal bore, in."""
        return self.od_in - 2 * self.wall_in

    @property
    def label(self) -> str:
        """How it is asked for: "9-5/8 in 47 lb/ft"."""
        return f"{self.size} in {figure(self.weight_lb_ft)} lb/ft"


def pipes(product: str, catalogue: Catalogue) -> tuple[Pipe, ...]:
    """Return every size and weight that the tables have a wall for, smallest first.

    `product` is "casing" or "tubing", `catalogue` the rows in force (in, lb/ft). Of several rows of one
    size and weight the first stands, the office's before the shipped. Raises nothing. Source: tables
    "casing", "casing_small_seen" and "tubing".
    """
    found: dict[tuple[float, float], Pipe] = {}
    tables = ("casing", "casing_small_seen") if product == "casing" else ("tubing",)
    for table in tables:
        for row in catalogue.rows(table):
            one = _pipe(product, table, row)
            if one:
                found.setdefault((one.od_in, one.weight_lb_ft), one)
    return tuple(found[key] for key in sorted(found))


def _pipe(product: str, table: str, row: Row) -> Pipe | None:
    heavy = "weight_eue_lb_ft" if product == "tubing" else "weight_lb_ft"
    od, weight = number(row["od_in"]), number(row[heavy])
    bore = number(row["id_in"])
    wall = number(row.get("wall_in", "")) or ((od - bore) / 2 if od and bore else None)
    if not od or not weight or not wall:
        return None
    return Pipe(product, row.get("size") or _size(od), float(od), float(weight), float(wall), table, row)


def _size(od: Fraction) -> str:
    whole, part = divmod(od, 1)
    return f"{whole}-{part}" if whole and part else f"{whole or part}"


@dataclass(frozen=True)
class CasingPick:
    """A pipe, the row of its grade, its thread and the name of its range ("" = not asked)."""

    pipe: Pipe
    grade: Row
    thread: str
    range_name: str = ""


def casing_parts(pick: CasingPick, catalogue: Catalogue) -> tuple[Part, ...]:
    """Return everything that can be said of a casing or tubing, part by part.

    `pick` is what was picked, `catalogue` the rows in force (in, lb/ft, psi). Raises nothing: what the
    tables do not have becomes a sentence. Source: tables "drift", "casing_grades", "makeup_loss",
    "ranges"; API 5C3.
    """
    return _through(pick.pipe, catalogue), _body(pick), _joint(pick, catalogue), _range(pick, catalogue)


def _through(pipe: Pipe, catalogue: Catalogue) -> Part:
    found = Gathering("Dimensions and drift", marks(pipe.row))
    found.cell("Outside diameter", pipe.table, pipe.row, "od_in", "in")
    found.put("Wall", wall_worked(pipe))
    found.cell("Bore", pipe.table, pipe.row, "id_in", "in")
    given = (pipe.product, pipe.od_in, pipe.bore_in)
    found.add("Drift", lambda: casing.drift_worked(*given, catalogue=catalogue))
    found.add("Length of the mandrel", lambda: mandrel_worked(pipe, catalogue))
    wider = casing.alternate_drift(pipe.size, pipe.weight_lb_ft, catalogue=catalogue)
    if wider is not None and pipe.product == "casing":
        found.cell("Wider drift that may be ordered", "alternate_drift", wider, "alternate_drift_in", "in")
    return found.part()


def wall_worked(pipe: Pipe) -> Worked:
    """Return the nominal wall of `pipe` in inches: of its row, or half of what its bore leaves.

    Raises nothing. Source: the row's own.
    """
    if pipe.row.get("wall_in"):
        return from_row(pipe.table, pipe.row, "wall_in", "in")
    bore = from_row(pipe.table, pipe.row, "id_in", "in")
    step = f"({figure(pipe.od_in)} - {figure(bore.value)}) / 2 = {figure(pipe.wall_in)} in"
    inputs = {"D": f"{figure(pipe.od_in)} in", "d": f"{figure(bore.value)} in"}
    return Worked(pipe.wall_in, "in", "(D - d) / 2", inputs, (step,), bore.source)


def mandrel_worked(pipe: Pipe, catalogue: Catalogue) -> Worked:
    """Return the length of the drift mandrel of `pipe`, in inches.

    `catalogue` holds the rows in force. Raises ValueError when the source does not say. Source: table
    "drift".
    """
    one = casing.drift(pipe.product, pipe.od_in, pipe.bore_in, catalogue=catalogue)
    if one.mandrel_length_in is None:
        raise ValueError("the source of the drift does not say")
    inputs = {"product": pipe.product, "OD": f"{figure(pipe.od_in)} in"}
    return Worked(one.mandrel_length_in, "in", "as it stands in table drift", inputs,
                  (f"{one.mandrel_length_in:g} in",), words_of({"source": one.source, "conf": one.conf}))


def _body(pick: CasingPick) -> Part:
    pipe = pick.pipe
    found = Gathering(f"Body, {pick.grade['grade']}", marks(pipe.row, pick.grade))
    found.cell("Minimum yield", "casing_grades", pick.grade, "min_yield_psi", "psi")
    try:
        yield_psi = float(number(pick.grade["min_yield_psi"]) or 0)
        worked = casing.body_strengths_worked(pipe.od_in, pipe.wall_in, yield_psi)
    except ValueError as wrong:
        found.say(f"Strength of the body: {wrong}.")
        return found.part()
    found.put("Collapse", worked.collapse_psi)
    found.put("Burst", worked.burst_psi)
    found.put("Tension of the body at yield", worked.body_lb)
    return found.part()


def loss_of(pipe: Pipe, thread: str, catalogue: Catalogue) -> Loss:
    """Return what `pipe` loses when it is made up with `thread`, exact.

    `catalogue` holds the rows in force, the office's first. Raises ValueError when no table
    has it, or the thread is not of casing or tubing. Source: "makeup_loss".
    """
    found = make_up_loss(kind_family="coupled", product=pipe.product, size=pipe.size, thread=thread,
                         weight=str(pipe.weight_lb_ft), catalogue=catalogue)
    if found is None:
        raise ValueError(f"no table has {thread} for {pipe.size} in {pipe.product}")
    return found


def loss_worked(loss: Loss) -> Worked:
    """Return `loss` of a coupled thread in inches with its arithmetic. Raises nothing. Source: its row's."""
    row = loss.row
    inches = float(Fraction(loss.length.nanometres, 25_400_000))
    inputs = {"NL": f"{row['coupling_length_NL_in']} in, coupling",
              "J": f"{row['J_power_tight_in']} in, gap at its centre"}
    step = f"{row['coupling_length_NL_in']}/2 - {row['J_power_tight_in']} = {figure(inches)} in"
    return Worked(inches, "in", "NL/2 - J", inputs, (step,),
                  words_of(row))


def _joint(pick: CasingPick, catalogue: Catalogue) -> Part:
    pipe = pick.pipe
    found = Gathering(f"Joint, {pick.thread}", marks(pipe.row, pick.grade))

    def strength() -> Worked:
        low, high = (float(number(pick.grade[name]) or 0) for name in ("min_yield_psi", "min_tensile_psi"))
        return casing.joint_strength_lb_worked(pick.thread, pipe.od_in, pipe.wall_in, low, high,
                                               weight_lb_ft=pipe.weight_lb_ft, catalogue=catalogue)

    found.add("Joint strength", strength, "formula from memory, reproduced against the tables")
    try:
        loss = loss_of(pipe, pick.thread, catalogue)
        found.put("Make-up loss", loss_worked(loss), loss.mark)
    except ValueError as wrong:
        found.say(f"Make-up loss: {wrong}.")
    return found.part()


def _range(pick: CasingPick, catalogue: Catalogue) -> Part:
    if not pick.range_name:
        return Part("Range", (), ())
    return range_part(pick.pipe.product, pick.range_name, catalogue)


def range_part(product: str, name: str, catalogue: Catalogue) -> Part:
    """Return the shortest and longest joint of a range, in ft.

    `product` and `name` as `casing.length_range`, `catalogue` the rows in force. Raises nothing. Source:
    table "ranges".
    """
    found = Gathering(f"Range {name.removeprefix('R')} of {product}")
    try:
        one = casing.length_range(product, name, catalogue=catalogue)
    except ValueError as wrong:
        found.say(f"{str(wrong).partition(': ')[2].capitalize()}.")
        return found.part()
    source = words_of({"source": one.source, "conf": one.conf})
    for label, length in (("Shortest joint", one.shortest), ("Longest joint", one.longest),
                          ("Most that one carload may differ", one.variation)):  # fmt: skip
        if length is not None:
            feet = float(length.feet)
            found.put(label, Worked(
                feet, "ft", "as it stands in table ranges", {"product": product, "range": one.name},
                (f"{feet:g} ft", *([one.note] if one.note else [])), source), marks({"conf": one.conf}))
    return found.part()
