"""What the handbook says of one pick, part by part, every figure with its working.

Pipe, connections, casing and tubing, bits; and what the specification of a piece implies.
"""

from rack.calc.reference.implied import Column, Implied, implied
from rack.calc.reference.parts import Opened, Part, from_row

__all__ = ["Column", "Implied", "Opened", "Part", "from_row", "implied"]
