"""Bits: gauge, pin, torque and nozzles by size; number, classification and dull grade, read and checked."""

from rack.calc.bits.codes import SCHEMES, BitCode, CodePart, read_code
from rack.calc.bits.dull import COLUMNS, DullColumn, DullGrade, gauge_16ths, read_dull
from rack.calc.bits.numbers import BitNumber, read_bit_number
from rack.calc.bits.sizes import (
    BIT_TYPES,
    BitTorque,
    GaugeTolerance,
    Pin,
    common_sizes,
    fixed_cutter_torque,
    gauge_tolerance,
    in_gauge,
    pin_by_size,
    read_nozzles,
    total_flow_area_in2,
    total_flow_area_in2_worked,
)

__all__ = [
    "BIT_TYPES", "COLUMNS", "SCHEMES", "BitCode", "BitNumber", "BitTorque", "CodePart", "DullColumn",
    "DullGrade", "GaugeTolerance", "Pin", "common_sizes", "fixed_cutter_torque", "gauge_16ths",
    "gauge_tolerance", "in_gauge", "pin_by_size", "read_bit_number", "read_code", "read_dull",
    "read_nozzles", "total_flow_area_in2", "total_flow_area_in2_worked",
]
