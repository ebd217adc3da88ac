"""The parts that the drawings of pieces are put together from: tubes, cones, pins, boxes, blades.

The box is 160 wide and 40 high, its middle line at 20, y downward. The shapes say what the piece is, not
how large it is: nothing is to scale. `drawings` makes the picture for page and paper of the same shapes.
"""

from dataclasses import dataclass

WIDTH, HEIGHT, MIDDLE = 160, 40, 20

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Shape:
    """A line through points, closed to a face where `closed`; `fill` blackens the face."""

    points: Points
    closed: bool = False
    fill: bool = False
    thin: bool = False


Shapes = tuple[Shape, ...]


def line(*points: tuple[float, float], thin: bool = False) -> Shape:
    return Shape(points, thin=thin)


def face(*points: tuple[float, float], fill: bool = False) -> Shape:
    return Shape(points, closed=True, fill=fill)


def tube(left: float, right: float, half: float, *, fill: bool = False) -> Shape:
    top, foot = MIDDLE - half, MIDDLE + half
    return face((left, top), (right, top), (right, foot), (left, foot), fill=fill)


def cone(left: float, right: float, half: float, other: float, *, fill: bool = False) -> Shape:
    return face((left, MIDDLE - half), (right, MIDDLE - other), (right, MIDDLE + other),
                 (left, MIDDLE + half), fill=fill)  # fmt: skip


def pin(at: float, half: float) -> Shapes:
    """A pin with its threads, standing out to the right of its shoulder."""
    threads = tuple(
        line((at + x, MIDDLE - half + 1 + x / 5), (at + x, MIDDLE + half - 1 - x / 5), thin=True)
        for x in (3, 6)
    )
    return (cone(at, at + 10, half * 0.75, half * 0.5), *threads)


def box(at: float, half: float) -> Shapes:
    """The cone inside a box, seen through its wall."""
    return (line((at, MIDDLE - half * 0.7), (at + 11, MIDDLE - half * 0.45),
                  (at + 11, MIDDLE + half * 0.45), (at, MIDDLE + half * 0.7), thin=True),)  # fmt: skip


def between(left: float, right: float, half: float) -> Shapes:
    """A body with a box to the left and a pin to the right."""
    return (tube(left, right, half), *box(left, half), *pin(right, half))


def slots(left: float, right: float, half: float, step: float, lean: float) -> Shapes:
    """Slanted lines across a body: a spiral."""
    found, at = [], left
    while at + lean <= right:
        found.append(line((at, MIDDLE + half), (at + lean, MIDDLE - half), thin=True))
        at += step
    return tuple(found)


def blades(left: float, right: float, half: float, by: float) -> Shapes:
    """Two blades standing out of a body, above and below."""
    return tuple(
        face((left, MIDDLE + side * half), (left + 4, MIDDLE + side * (half + by)),
              (right - 4, MIDDLE + side * (half + by)), (right, MIDDLE + side * half), fill=True)
        for side in (-1, 1)
    )  # fmt: skip


def disc(x: float, y: float, radius: float, *, fill: bool = False) -> Shape:
    turn = ((1, 0), (0.71, 0.71), (0, 1), (-0.71, 0.71), (-1, 0), (-0.71, -0.71), (0, -1), (0.71, -0.71))
    return Shape(tuple((x + radius * a, y + radius * b) for a, b in turn), closed=True, fill=fill)
