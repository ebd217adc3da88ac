"""A drill pipe as it was picked: its rows in the tables, its class, its tool joint."""

from dataclasses import dataclass

from rack.calc import connections
from rack.calc.connections import Thread, thread_of
from rack.calc.figures import figure
from rack.calc.lookup import Catalogue, Row, number
from rack.calc.reference.parts import marks


@dataclass(frozen=True)
class Joint:
    """The tool joint of a pick: thread, diameters in inches, and the table's row they come from, if any."""

    thread: Thread
    od_in: float
    bore_in: float
    row: Row | None = None

    @property
    def mark(self) -> str:
        """What must stand beside a figure worked out from it, "" for nothing."""
        return marks(self.thread.mark, self.row or "")


@dataclass(frozen=True)
class PipePick:
    """What was picked: rows of tables "drill_pipe" and "grades", a class or the fraction of the wall that
    is left, the tool joint, and optionally mud in ppg, pull in lb, torque in ft-lb and length in ft."""

    pipe: Row
    grade: Row
    pipe_class: str = "new"
    wall_left: float | None = None
    joint: Joint | None = None
    mud_ppg: float | None = None
    pull_lb: float | None = None
    torque_ft_lb: float | None = None
    length_ft: float | None = None

    @property
    def od_in(self) -> float:
        """Nominal outside diameter, in."""
        return cell(self.pipe, "od_in")

    @property
    def wall_in(self) -> float:
        """Nominal wall, in."""
        return cell(self.pipe, "wall_in")

    @property
    def bore_in(self) -> float:
        """Bore of the tube, in: the diameter less both walls."""
        return self.od_in - 2 * self.wall_in

    @property
    def yield_psi(self) -> float:
        """Minimum yield of the grade, psi."""
        return cell(self.grade, "min_yield_psi")

    @property
    def in_words(self) -> str:
        """The class, or the wall that was measured, in words."""
        return self.pipe_class if self.wall_left is None else f"{figure(self.wall_left * 100)} % of wall left"


def cell(row: Row, column: str) -> float:
    """Return the figure in `column` of `row`, in the unit of the column.

    Raises ValueError when the cell is blank or no figure. Source: the row's own.
    """
    value = number(row[column])
    if value is None:
        raise ValueError(f"{column} is not in the row from {row['source']}")
    return float(value)


def grade_row(text: str, catalogue: Catalogue) -> Row:
    """Return the row of a drill-pipe grade: "S-135", "s135", or "S" where it can only be one.

    `text` any spelling, `catalogue` the rows in force (yields in psi). Raises ValueError naming the grades
    that are known. Source: table "grades".
    """
    wanted = "".join(letter for letter in text.upper() if letter.isalnum())
    rows = catalogue.rows("grades")
    same = [row for row in rows if _plain(row["grade"]) == wanted]
    begins = [row for row in rows if wanted and _plain(row["grade"]).startswith(wanted)]
    if same or len(begins) == 1:
        return (same or begins)[0]
    raise ValueError(f"grade {text!r} is in no table; known are {', '.join(row['grade'] for row in rows)}")


def _plain(text: str) -> str:
    return "".join(letter for letter in text.upper() if letter.isalnum())


def joint_rows(pipe: Row, catalogue: Catalogue) -> tuple[Row, ...]:
    """Return the rows of table "tool_joint_weights" for a pipe that name a tool joint with its size.

    `pipe` is a row of table "drill_pipe", `catalogue` the rows in force (in, lb/ft). Raises nothing.
    Source: table "tool_joint_weights".
    """
    weight = pipe["nominal_weight_lb_ft"]
    found = catalogue.find("tool_joint_weights", size=pipe["size"], nominal_weight=weight)
    return tuple(row for row in found if row["connection"] and row["tj_od"] and row["tj_id"])


def usual_joint(pipe: Row, grade: str, connection: str, catalogue: Catalogue) -> Joint | None:
    """Return the tool joint that the tables name for a pipe, or None when they name none.

    `pipe` is a row of table "drill_pipe", `grade` its grade ("S135"; a row of another grade is taken when
    there is none of this), `connection` any spelling or "" for any, `catalogue` the rows in force (in).
    Raises ValueError for an unknown `connection`. Source: table "tool_joint_weights".
    """
    rows = list(joint_rows(pipe, catalogue))
    if connection:
        name = thread_of(connection, catalogue).name
        rows = [row for row in rows if _name(row["connection"]) == name]
    rows.sort(key=lambda row: _plain(row["grade"])[:4] != _plain(grade))
    for row in rows:
        try:
            return Joint(thread_of(row["connection"], catalogue), cell(row, "tj_od"), cell(row, "tj_id"), row)
        except ValueError:
            continue  # a maker's thread, whose dimensions no open table holds
    return None


def _name(connection: str) -> str:
    try:
        return connections.canonical(connection)
    except ValueError:
        return connection
