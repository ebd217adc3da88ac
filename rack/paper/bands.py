"""The painted bands of a class as they read in black: a piece of pipe, each colour its own pattern."""

from functools import lru_cache

#: White is left open, yellow hatched one way, orange both ways, red full, green ruled along the pipe.
PATTERNS = ("white", "yellow", "orange", "red", "green")


@lru_cache(maxsize=64)
def _shape(count: int, colour: str) -> str:
    """The path text in a box of 12 x 3 units, its origin at the lower left corner."""
    parts = ["0.16 w 0 G 0 g", "0 0.3 m 12 0.3 l S 0 2.7 m 12 2.7 l S"]
    for n in range(count):
        x = 6 - (count * 2.1 - 0.7) / 2 + n * 2.1
        box = f"{x:.2f} 0 1.4 3 re"
        parts.append(f"{box} f" if colour == "red" else f"1 g {box} B 0 g")
        parts += _hatch(x, colour)
    return " ".join(parts)


def _hatch(x: float, colour: str) -> list[str]:
    end = x + 1.4
    up = [f"{x:.2f} {y:.2f} m {end:.2f} {y + 0.75:.2f} l S" for y in (0.0, 0.75, 1.5, 2.25)]
    down = [f"{x:.2f} {y + 0.75:.2f} m {end:.2f} {y:.2f} l S" for y in (0.0, 0.75, 1.5, 2.25)]
    along = [f"{x:.2f} {y:.2f} m {end:.2f} {y:.2f} l S" for y in (0.75, 1.5, 2.25)]
    return {"yellow": up, "orange": up + down, "green": along}.get(colour, [])


def drawn(count: int, colour: str, x: float, y: float, wide: float, high: float) -> str:
    """Return the PDF text that draws the bands with the lower left corner at x, y (all in points).

    The box keeps its shape, 12 to 3, and goes into wide x high.
    """
    unit = min(wide / 12, high / 3)
    return f"q {unit:.4f} 0 0 {unit:.4f} {x:.3f} {y:.3f} cm {_shape(count, colour)} Q"
