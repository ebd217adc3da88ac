"""What the rules are told of the hole and the programme; what is None was not said (law 8)."""

from collections.abc import Mapping
from dataclasses import dataclass, field

#: Whose word a limit is, the weakest first; only the first may never stop anybody (law 9).
AUTHORITIES = ("default", "company", "contract", "maker", "law")


@dataclass(frozen=True)
class Above:
    """Casing that stands above the hole: its name and its drift and bore in nm, None where not known."""

    name: str
    drift_nm: int | None = None
    bore_nm: int | None = None


@dataclass(frozen=True)
class Passing:
    """What must pass through the string: its name and its largest diameter in nm.

    `down_to` is the ident or tag of the piece on which it lands, "" for "as far down as the first
    motor, measuring tool or bit".
    """

    name: str
    size_nm: int
    down_to: str = ""


@dataclass(frozen=True)
class Clock:
    """One counter of a piece: hours since its mark of zero, None when they are not known, and its limit."""

    name: str
    used_h: float | None
    limit_h: float
    by: str = "default"


@dataclass(frozen=True)
class Plan:
    """The facts of the hole and of the programme that a string is judged by.

    Sizes in nm, mud in ppg, weight in lb, hours in h, inclination in degrees; None where nobody said.
    `class_wanted` is the least class and `class_by` whose minimum that is ("default", "company",
    "contract", "law"), `class_scheme` the scheme it is a class of, "" for any. `rock` is "soft", "hard" or
    "", `assembly` "packed", "pendulum" or "". `planned` is False for a string in the hole or racked.
    `clocks` are the counters by key of the piece (`Link.key`), None while nobody keeps them. `catches_nm`
    are the diameters for which a fishing tool is on site, None while nobody listed them. `shoe_track` is
    the number of joints between shoe and collar. `ratio_standard` names the standard whose bending
    strength ratios are wanted (`connections.ratio_standards`), "" for the usual range.
    """

    hole_nm: int | None = None
    above: tuple[Above, ...] | None = None
    mud_ppg: float | None = None
    weight_on_bit_lb: float | None = None
    hours: float | None = None
    inclination_deg: float = 0
    bit_factor: float = 1.15
    class_wanted: str = "premium"
    class_by: str = "default"
    class_scheme: str = ""
    rock: str = ""
    assembly: str = ""
    sour: bool = False
    float_wanted: bool = False
    stress_relief_wanted: bool = False
    non_magnetic_nm: int | None = None
    passes: tuple[Passing, ...] = ()
    washover_nm: int | None = None
    catches_nm: tuple[int, ...] | None = None
    clocks: Mapping[int, tuple[Clock, ...]] | None = field(default=None, hash=False)
    planned: bool = True
    shoe_track: int | None = None
    ratio_standard: str = ""
    neutral_margin: float = 0.10
