"""The published values beside this file, each row with its source and its tolerance."""

import csv
from pathlib import Path

from rack.calc.lookup import number, rows

_DATA = Path(__file__).with_name("data")


def published(name: str) -> list[dict[str, str]]:
    """Return every row of one published table; a blank tolerance marks a misprint or an exception."""
    with (_DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def toleranced(name: str) -> list[dict[str, str]]:
    """Return the rows that the program must reproduce."""
    return [row for row in published(name) if row["tolerance"].strip()]


def exceptions(name: str) -> list[dict[str, str]]:
    """Return the rows that the program must not be bent to."""
    return [row for row in published(name) if not row["tolerance"].strip()]


def pipe(size: str, weight: str) -> tuple[float, float]:
    """Return OD and wall in inches of the drill pipe that a published row names by size and weight."""
    for row in rows("drill_pipe"):
        if row["size"] == size and number(row["nominal_weight_lb_ft"]) == number(weight):
            return float(row["od_in"]), float(row["wall_in"])
    raise LookupError(f"no drill pipe {size} {weight}")


def grade_psi(grade: str) -> float:
    """Return the minimum yield in psi of a drill-pipe grade."""
    return next(float(row["min_yield_psi"]) for row in rows("grades") if row["grade"] == grade)
