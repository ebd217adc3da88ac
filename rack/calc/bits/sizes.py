"""What goes by the size of a bit: gauge tolerance when new, pin, make-up torque, nozzles."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import pi

from rack.calc import connections
from rack.calc.figures import figure
from rack.calc.given import number_in, one_of
from rack.calc.lookup import Catalogue, Row, number
from rack.calc.losses import SHIPPED
from rack.calc.worked import Worked

#: The two families of bits; everything by size differs between them.
BIT_TYPES = ("roller cone", "fixed cutter")
_SMALLEST_IN, _LARGEST_IN = 1.5, 60.0
_NM_PER_INCH = 25_400_000


@dataclass(frozen=True)
class GaugeTolerance:
    """How far a new bit may be under and over its nominal size, inches, both positive; exact fractions."""

    under_in: Fraction
    over_in: Fraction
    source: str
    conf: str
    note: str


@dataclass(frozen=True)
class Pin:
    """The pins that bits of a size carry: several where the size leaves a choice or sources differ."""

    threads: tuple[str, ...]
    sources_differ: bool
    source: str
    conf: str
    note: str


@dataclass(frozen=True)
class BitTorque:
    """Make-up torque of a fixed-cutter bit in ft-lb: least, normal, most."""

    least: float
    normal: float
    most: float
    source: str
    conf: str
    note: str


def _family(name: str, bit_type: str) -> str:
    return f"{name}_{one_of('bit_type', bit_type, BIT_TYPES).replace(' ', '_')}"


def _band(kind: str, size: float, catalogue: Catalogue) -> Row:
    """The row whose band of nominal sizes holds `size`, the office's first; other bands do not touch."""
    bands = [row for row in catalogue.rows("bits") if row["kind"] == kind]
    for row in bands:
        low, high = number(row["key"]), number(row["sub"])
        if (low is None or low <= size) and (high is None or size <= high):
            return row
    words = "; ".join(f"{row['key'] or 'smaller'} to {row['sub'] or 'larger'}" for row in bands)
    raise ValueError(f"size_in: {size:g} in lies in none of the bands of the table; allowed are {words} in")


def gauge_tolerance(bit_type: str, size_in: float, *, catalogue: Catalogue = SHIPPED) -> GaugeTolerance:
    """Return how far a new bit of nominal `size_in` inches may be off its gauge.

    `bit_type` is "roller cone" (never under) or "fixed cutter" (never over); `size_in` 1.5 to 60 in and in
    a band of the table; `catalogue` holds the office's own rows. Raises ValueError naming the argument, its
    value and what is allowed. Source: table "bits", gauge_tolerance rows.
    """
    kind = _family("gauge_tolerance", bit_type)
    row = _band(kind, number_in("size_in", size_in, "in", _SMALLEST_IN, _LARGEST_IN), catalogue)
    under, over = (number(part.lstrip("+-")) or Fraction(0) for part in row["value"].split(" / "))
    return GaugeTolerance(under, over, row["source"], row["conf"], row["note"])


def in_gauge(bit_type: str, size_nm: int, measured_nm: int, *, catalogue: Catalogue = SHIPPED) -> bool:
    """Return whether a new bit that measures `measured_nm` is within the tolerance of its nominal `size_nm`.

    `bit_type` "roller cone" or "fixed cutter"; both sizes in whole nanometres, compared exactly;
    `catalogue` holds the office's own rows. Raises ValueError as `gauge_tolerance`. Source: table "bits".
    """
    allowed = gauge_tolerance(bit_type, size_nm / _NM_PER_INCH, catalogue=catalogue)
    return -allowed.under_in * _NM_PER_INCH <= measured_nm - size_nm <= allowed.over_in * _NM_PER_INCH


def pin_by_size(bit_type: str, size_in: float, *, catalogue: Catalogue = SHIPPED) -> Pin:
    """Return the pin that bits of nominal `size_in` inches usually carry; the pin itself decides.

    `bit_type` "roller cone" or "fixed cutter"; `size_in` 1.5 to 60 in and in a band of the table. Where
    sources differ both threads come back; `catalogue` holds the office's own rows. Raises ValueError as
    `gauge_tolerance`. Source: table "bits".
    """
    kind = _family("pin_by_size", bit_type)
    row = _band(kind, number_in("size_in", size_in, "in", _SMALLEST_IN, _LARGEST_IN), catalogue)
    threads = tuple(connections.canonical(name) for name in re.findall(r"\d-\d/\d REG", row["value"]))
    return Pin(threads, row["value"].startswith("CONFLICT"), row["source"], row["conf"], row["note"])


def fixed_cutter_torque(thread: str, sub_od_in: float, *, catalogue: Catalogue = SHIPPED) -> BitTorque:
    """Return the torque to make up a fixed-cutter bit on a bit sub, ft-lb; the maker's sheet governs.

    `thread` any spelling, `sub_od_in` the bit sub's OD in inches; between two rows the smaller OD holds, so
    that torque is never too high; `catalogue` holds the office's own rows. Raises ValueError naming the
    argument, its value and the allowed range, or the thread that is not in the table.
    Source: table "bits", one vendor's page.
    """
    name = connections.canonical(thread, catalogue)
    found: list[tuple[float, bool, Row]] = []
    for row in reversed(catalogue.rows("bits")):  # of two rows of one OD the office's comes last and holds
        od = re.match(r"bit sub OD ([\d /]+?)(?: and larger.*)? (?:in|and larger|\()", row["sub"] + " in")
        if row["kind"] == "makeup_torque_fixed_cutter" and row["key"] == name and od:
            found.append((float(number(od[1]) or 0), "and larger" in row["sub"], row))
    if not found:
        raise ValueError(f"thread: {name} has no make-up torque of a fixed-cutter bit in the table")
    found.sort(key=lambda one: one[0])
    widest, is_open, _ = found[-1]
    largest = _LARGEST_IN if is_open else widest
    od_in = number_in("sub_od_in", sub_od_in, f"in for {name}", found[0][0], largest)
    row = [row for od_from, _, row in found if od_from <= od_in][-1]
    least, normal, most = (float(part) for part in row["value"].split(" / "))
    return BitTorque(least, normal, most, row["source"], row["conf"], row["note"])


def total_flow_area_in2_worked(nozzles_32nds: Sequence[int]) -> Worked:
    """Return the total flow area in in2 of nozzles given in 32nds of an inch: sum of pi/4*(n/32)^2.

    `nozzles_32nds` whole numbers 1 to 64, one for each nozzle, at least one. Raises ValueError naming the
    nozzle and the allowed range. Source: geometry; equals table "bits" nozzle_area to its four figures.
    """
    if not nozzles_32nds:
        raise ValueError("nozzles_32nds: there is no nozzle; allowed is one or more")
    for size in nozzles_32nds:
        if number_in("nozzles_32nds", size, "32nds", 1, 64) != int(size):
            raise ValueError(f"nozzles_32nds: {size} is no whole number of 32nds; allowed is 1 to 64")
    each = [pi / 4 * (size / 32) ** 2 for size in nozzles_32nds]
    steps = tuple(f"{size}/32: {figure(area, 5)} in2" for size, area in zip(nozzles_32nds, each, strict=True))
    return Worked(sum(each), "in2", "TFA = sum of pi/4 * (n/32)^2",
                  {"nozzles": ", ".join(map(str, nozzles_32nds)) + " 32nds"},
                  (*steps, f"TFA = {figure(sum(each), 5)} in2"), "geometry")


def total_flow_area_in2(nozzles_32nds: Sequence[int]) -> float:
    """Return the total flow area of `nozzles_32nds`, in2, one whole number of 32nds of an inch a nozzle.

    Raises ValueError as `total_flow_area_in2_worked`, which shows the steps. Source: geometry.
    """
    return float(total_flow_area_in2_worked(nozzles_32nds).value)


def read_nozzles(text: str) -> tuple[int, ...]:
    """Return the nozzles, in 32nds of an inch, that `text` lists: "3x16 2x18", "3 x 16, 18", "16-16-16".

    Raises ValueError naming what is not understood. Source: common practice.
    """
    found: list[int] = []
    plain = re.sub(r"\s*[x×*]\s*", "x", text.strip().lower())
    for part in re.split(r"[\s,;+/-]+", plain.removesuffix("32nds").strip()):
        counted = re.fullmatch(r"(?:(\d{1,2})x)?(\d{1,2})", part)
        if not counted or int(counted[2]) == 0 or counted[1] == "0":
            raise ValueError(f"text: {part!r} in {text!r} is no nozzle like 16 or 3x16")
        found += [int(counted[2])] * int(counted[1] or 1)
    return tuple(found)


def common_sizes(*, catalogue: Catalogue = SHIPPED) -> tuple[str, ...]:
    """Return sizes to suggest, as the trade writes them; any other size is as good.

    `catalogue` holds the office's own rows. Raises nothing. Source: table "bits", from memory.
    """
    return tuple(row["key"] for row in catalogue.rows("bits") if row["kind"] == "common_size")
