"""Casing and tubing: what passes through, what it withstands, what its thread carries, how long it comes."""

from rack.calc.casing.drift import Drift, alternate_drift, drift, drift_products, drift_worked
from rack.calc.casing.ranges import LengthRange, length_range, range_products, ranges_of
from rack.calc.casing.strength import (
    BodyStrengths,
    BodyStrengthsWorked,
    body_strengths,
    body_strengths_worked,
    grade,
    joint_strength_lb,
    joint_strength_lb_worked,
)

__all__ = [
    "BodyStrengths", "BodyStrengthsWorked", "Drift", "LengthRange", "alternate_drift", "body_strengths",
    "body_strengths_worked", "drift", "drift_products", "drift_worked", "grade", "joint_strength_lb",
    "joint_strength_lb_worked", "length_range", "range_products", "ranges_of",
]
