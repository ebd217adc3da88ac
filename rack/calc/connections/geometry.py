"""The dimensions of one rotary shouldered thread and the areas and diameters that follow from them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import cos, floor, pi, radians, sqrt

from rack.calc.connections.names import canonical
from rack.calc.given import number_in
from rack.calc.lookup import Catalogue, caution, number, rows

#: Distance of the gauge point, where the pitch diameter C is defined, from the pin shoulder (Spec 7-2).
GAUGE_POINT_IN = 0.625
#: The pin's critical section: 3/4 in from the shoulder for torque and bending, 5/8 in for tension.
TORQUE_SECTION_IN, TENSION_SECTION_IN = 0.75, 0.625
#: The box's critical section: 3/8 in from the shoulder.
BOX_SECTION_IN = 0.375
#: Widest body the formulas are asked for, in counterbores; beyond it the joint is no joint.
_WIDEST = 3.0

_NEEDED = ("pitch_dia_C_in", "pin_length_LPC_in", "counterbore_Qc_in", "taper_in_per_ft", "H_untruncated_in",
           "root_trunc_Srn_in", "half_angle_deg", "tpi")


@dataclass(frozen=True)
class Thread:
    """A thread's dimensions, all in inches but taper (in/ft), pitch as threads per inch, angle in degrees."""

    name: str
    pitch_diameter: float
    pin_length: float
    counterbore: float
    taper: float
    height: float
    root_truncation: float
    half_angle: float
    threads_per_inch: float
    source: str
    conf: str

    @property
    def dedendum(self) -> float:
        """b_d = H/2 - Srn, in."""
        return self.height / 2 - self.root_truncation

    @property
    def box_root_at_pin_end(self) -> float:
        """b = C - taper*(LPC - 0.625)/12 + 2*b_d, in: the box's bore at the end of the pin."""
        return (self.pitch_diameter - self.taper * (self.pin_length - GAUGE_POINT_IN) / 12
                + 2 * self.dedendum)

    @property
    def pin_root(self) -> float:
        """R = C - 2*b_d - taper*(1/8)/12, in: the pin's root 3/4 in from the shoulder."""
        return self.pitch_diameter - 2 * self.dedendum - self.taper * 0.125 / 12

    @property
    def box_bore(self) -> float:
        """Qc - E, in: the box's bore 3/8 in from the shoulder, E = taper*0.375/12."""
        return self.counterbore - self.taper * BOX_SECTION_IN / 12

    def pin_root_at(self, section_in: float) -> float:
        """Return C - B, the pin's root `section_in` inches from the shoulder, in inches.

        B = H - 2*Srn + taper*(x - 0.625)/12. Raises nothing. Source: API RP 7G appendix.
        """
        return self.pitch_diameter - (
            self.height - 2 * self.root_truncation + self.taper * (section_in - GAUGE_POINT_IN) / 12)

    @property
    def mean_thread_radius(self) -> float:
        """Rt = (2C - (LPC - 0.625)*taper/12)/4, in."""
        return (2 * self.pitch_diameter - (self.pin_length - GAUGE_POINT_IN) * self.taper / 12) / 4

    @property
    def pitch(self) -> float:
        """p, in."""
        return 1 / self.threads_per_inch

    @property
    def cos_half_angle(self) -> float:
        """cos(theta), theta the half angle of the thread."""
        return cos(radians(self.half_angle))

    @property
    def mark(self) -> str:
        """What must stand beside a result worked out from this row, "" for nothing."""
        return caution({"conf": self.conf})

    @property
    def words(self) -> str:
        """The source of the row as a `Worked` gives it."""
        return f"dimensions of {self.name}: {self.source}" + (f" ({self.mark})" if self.mark else "")


def _thread(row: Mapping[str, str]) -> Thread | None:
    values = [number(row[column]) for column in _NEEDED]
    known = [float(value) for value in values if value is not None]
    if len(known) != len(_NEEDED):
        return None
    pitch_diameter, pin_length, counterbore, taper, height, root_truncation, half_angle, per_inch = known
    return Thread(row["name"], pitch_diameter, pin_length, counterbore, taper, height, root_truncation,
                  half_angle, per_inch, row["source"], row["conf"])


@cache
def _shipped(name: str) -> Thread | None:
    return next((_thread(row) for row in rows("connections") if row["name"] == name), None)


def thread_of(connection: str | Thread, catalogue: Catalogue | None = None) -> Thread:
    """Return the dimensions of the thread `connection`, given in any spelling, or the `Thread` itself.

    `catalogue` holds the office's own rows; one of them is found by the very name it was entered under, so
    that a maker's thread can be worked with too. Raises ValueError for an unknown name, and for a thread
    that is known but stands in no table with its dimensions, naming the thread. Source: table
    "connections", each row with its own.
    """
    if isinstance(connection, Thread):
        return connection
    for row in catalogue.find("connections", name=connection) if catalogue else ():
        own = _thread(row)
        if own is not None and not any(row is shipped for shipped in rows("connections")):
            return own
    name = canonical(connection)
    found = next((_thread(row) for row in catalogue.find("connections", name=name)), None) if catalogue \
        else _shipped(name)
    if found is None:
        raise ValueError(f"connection: {name} is known by name only, the tables hold no dimensions for it "
                         "and nothing can be worked out; use the maker's sheet")
    return found


def widest_od(thread: Thread) -> float:
    """Return the widest body of `thread` that the formulas are asked for, in inches: three counterbores.

    Raises nothing. Source: common practice.
    """
    return _WIDEST * thread.counterbore


def checked(connection: str | Thread, od_in: object, bore_in: object) -> tuple[Thread, float, float]:
    """Return the thread, outside diameter and bore in inches when a joint can be made of them.

    `connection` any spelling or a `Thread`. Raises ValueError naming the argument, its value and the
    allowed range: `od_in` above the counterbore up to three times it, `bore_in` above 0 and smaller than
    the pin's root. Source: geometry; three counterbores is common practice.
    """
    thread = thread_of(connection)
    unit = f"in for {thread.name}"
    od = number_in("od_in", od_in, unit, thread.counterbore, widest_od(thread), above=True)
    root = min(thread.pin_root, thread.pin_root_at(TORQUE_SECTION_IN), thread.pin_root_at(TENSION_SECTION_IN))
    readable = floor(root * 10_000) / 10_000  # as it is shown, so that what is shown is what holds
    bore = number_in("bore_in", bore_in, unit, 0, readable, above=True, below=True)
    return thread, od, bore


def pin_area(thread: Thread, bore_in: float, section_in: float) -> float:
    """Return the steel of the pin of `thread`, `section_in` from the shoulder: pi/4*((C - B)^2 - ID^2), in2.

    `bore_in` in inches, checked by the caller; raises nothing. Source: API RP 7G appendix.
    """
    return pi / 4 * (thread.pin_root_at(section_in) ** 2 - bore_in**2)


def box_area(thread: Thread, od_in: float) -> float:
    """Return the steel of the box of `thread`, 3/8 in from the shoulder: pi/4*(OD^2 - (Qc - E)^2), in2.

    `od_in` in inches, checked by the caller; raises nothing. Source: API RP 7G appendix.
    """
    return pi / 4 * (od_in**2 - thread.box_bore**2)


def balanced_od(thread: Thread, bore_in: float) -> float:
    """Return the outside diameter at which box and pin of `thread` have the same area, in inches.

    `bore_in` in inches, checked by the caller; raises nothing. Source: API RP 7G appendix.
    """
    return sqrt(4 / pi * pin_area(thread, bore_in, TORQUE_SECTION_IN) + thread.box_bore**2)
