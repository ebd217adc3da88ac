"""A small drawing of each kind of piece, as plain shapes: box end to the left, pin end to the right.

The shapes say what a piece is, not how large: nothing is to scale. `drawings` makes the picture for page
and paper of the same shapes.
"""

from collections.abc import Callable

from rack.calc.kinds import kind_of
from rack.paper.parts import (
    MIDDLE,
    WIDTH,
    Shape,
    Shapes,
    between,
    blades,
    box,
    cone,
    disc,
    face,
    line,
    pin,
    slots,
    tube,
)


def shapes_of(code: str) -> Shapes:
    """Return the shapes of the kind with this code. Raises ValueError when there is no such kind."""
    kind_of(code)
    return _DRAWN[code]()


def _pipe(joint: float, upset: float = 0) -> Shapes:
    middle = (tube(70, 84, 5 + upset),) if upset else ()
    return (tube(4, 26, joint), *box(4, joint), tube(26, 124, 5), *middle, tube(124, 144, joint),
            *pin(144, joint))  # fmt: skip


def _short(half: float = 8) -> Shapes:
    return between(48, 106, half)


def _kelly() -> Shapes:
    return (tube(4, 24, 9), *box(4, 9), tube(24, 128, 7), line((24, 17), (128, 17)),
            line((24, 23), (128, 23)), tube(128, 144, 9), *pin(144, 9))  # fmt: skip


def _saver() -> Shapes:
    return (*_short(), tube(66, 88, 10, fill=True))


def _valve() -> Shapes:
    return (*_short(9), disc(77, MIDDLE, 6), line((71, MIDDLE), (83, MIDDLE)))


def _crossover() -> Shapes:
    return (tube(44, 72, 10), *box(44, 10), cone(72, 86, 10, 7), tube(86, 108, 7), *pin(108, 7))


def _bit_sub() -> Shapes:
    right = tuple(Shape(tuple((WIDTH - x, y) for x, y in part.points), thin=True) for part in box(48, 9))
    return (tube(48, 112, 9), *box(48, 9), *right)


def _float_sub() -> Shapes:
    return (*_short(), line((70, 14), (82, 20), (70, 26)), line((82, 14), (82, 26)))


def _circulating() -> Shapes:
    return (*_short(), line((74, 12), (66, 3)), line((80, 12), (88, 3)), line((74, 28), (66, 37)),
            line((80, 28), (88, 37)))  # fmt: skip


def _lift() -> Shapes:
    return (tube(42, 52, 10), tube(52, 84, 6), cone(84, 90, 6, 9), tube(90, 112, 9), *pin(112, 9))


def _collar() -> Shapes:
    return between(4, 144, 9)


def _stabilizer() -> Shapes:
    return (*between(28, 124, 6), *blades(54, 98, 6, 10))


def _reamer() -> Shapes:
    return (*between(28, 124, 6), tube(56, 96, 9), disc(64, 9, 5, fill=True), disc(88, 9, 5, fill=True),
            disc(64, 31, 5, fill=True), disc(88, 31, 5, fill=True))  # fmt: skip


def _opener() -> Shapes:
    return (*between(28, 124, 6), cone(66, 78, 6, 17, fill=True), tube(78, 86, 17), cone(86, 92, 17, 6))


def _under_reamer() -> Shapes:
    arms = tuple(
        face((60, MIDDLE + side * 7), (84, MIDDLE + side * 17), (94, MIDDLE + side * 17),
              (94, MIDDLE + side * 7), fill=True) for side in (-1, 1))  # fmt: skip
    return (*between(28, 124, 7), *arms)


def _telescope(mark: Callable[[], Shapes]) -> Shapes:
    """An outer barrel with the mandrel drawn out of it."""
    return (tube(4, 20, 9), *box(4, 9), tube(20, 44, 5), tube(44, 144, 9), *pin(144, 9), *mark())


def _jar() -> Shapes:
    return _telescope(lambda: (tube(70, 78, 9, fill=True), tube(86, 90, 9, fill=True)))


def _accelerator() -> Shapes:
    zigzag = tuple((62 + 6 * n, 14 if n % 2 else 26) for n in range(12))
    return _telescope(lambda: (line(*zigzag),))


def _shock() -> Shapes:
    return _telescope(lambda: tuple(line((64 + 8 * n, 12), (64 + 8 * n, 28)) for n in range(9)))


def _bumper() -> Shapes:
    return _telescope(lambda: (line((60, MIDDLE), (128, MIDDLE)),))


def _motor() -> Shapes:
    return (tube(4, 92, 8), *box(4, 8), *slots(20, 88, 8, 12, 10),
            face((92, 12), (116, 15), (114, 31), (92, 28)),
            face((116, 16), (136, 19), (134, 32), (114, 30)),
            line((136, 22), (152, 25)), line((135, 29), (150, 31)))  # fmt: skip


def _steerable() -> Shapes:
    return (*between(20, 130, 8), *blades(96, 116, 8, 7), line((30, 20), (88, 20), thin=True))


def _mwd() -> Shapes:
    waves = tuple(line((72 + 6 * n, 20 - 2 - 2 * n), (74 + 6 * n, 20), (72 + 6 * n, 22 + 2 * n))
                  for n in range(3))  # fmt: skip
    return (*between(4, 144, 9), tube(40, 62, 4, fill=True), *waves)


def _barrel() -> Shapes:
    return (tube(4, 150, 10), *box(4, 10), tube(24, 150, 6), line((24, 20), (150, 20), thin=True))


def _bit() -> Shapes:
    return (*_left_pin(58), tube(58, 72, 11), cone(72, 84, 11, 17), disc(92, 12, 8), disc(92, 28, 8),
            disc(100, 20, 7, fill=True))  # fmt: skip


def _left_pin(at: float) -> Shapes:
    return tuple(
        Shape(tuple((2 * at - x, y) for x, y in part.points), part.closed, part.fill, part.thin)
        for part in pin(at, 10)
    )


def _core_bit() -> Shapes:
    return (*_left_pin(58), tube(58, 92, 13), tube(92, 104, 16), tube(92, 104, 7),
            *(disc(104, y, 2.5, fill=True) for y in (6, 11, 29, 34)))  # fmt: skip


def _scraper() -> Shapes:
    return (*between(28, 124, 6), *blades(50, 68, 6, 9), *blades(84, 102, 6, 9))


def _mill() -> Shapes:
    teeth = tuple((100 + (6 if n % 2 else 0), 4 + 4 * n) for n in range(9))
    return (tube(44, 76, 8), *box(44, 8), cone(76, 88, 8, 16), tube(88, 100, 16), line(*teeth))


def _fishing() -> Shapes:
    return (tube(30, 60, 8), *box(30, 8), cone(60, 70, 8, 14), tube(70, 112, 14),
            line((112, 6), (124, 3)), line((112, 34), (124, 37)),
            *(line((82 + 8 * n, 10), (78 + 8 * n, 30), thin=True) for n in range(4)))  # fmt: skip


def _other() -> Shapes:
    return (tube(20, 140, 9), line((20, 11), (140, 29), thin=True), line((20, 29), (140, 11), thin=True))


def _coupled(left: float = 4, right: float = 150) -> Shapes:
    """A joint with a coupling on its left and a bare pin on its right."""
    return (tube(left, left + 20, 12), line((left + 10, 8), (left + 10, 32), thin=True),
            tube(left + 20, right, 9),
            *(line((right - 3 * n, 11), (right - 3 * n, 29), thin=True) for n in (1, 2, 3)))  # fmt: skip


def _tubing() -> Shapes:
    return (tube(4, 20, 8), tube(20, 140, 5), tube(140, 146, 6),
            *(line((146 + 2 * n, 15), (146 + 2 * n, 25), thin=True) for n in (1, 2, 3)))  # fmt: skip


def _marker() -> Shapes:
    return (*_coupled(44, 116), tube(78, 92, 9, fill=True))


def _shoe(*mark: Shape) -> Shapes:
    nose = line((110, 7), (122, 12), (128, 20), (122, 28), (110, 33))
    return (tube(52, 110, 13), line((52, 11), (66, 12), (66, 28), (52, 29), thin=True), nose, *mark)


_FLAP = (line((84, 12), (94, 20), (84, 28)), line((94, 10), (94, 30)))


def _casing_collar(*mark: Shape) -> Shapes:
    return (tube(48, 108, 13), line((48, 11), (62, 12), (62, 28), (48, 29), thin=True), tube(108, 118, 9),
            *mark)  # fmt: skip


def _stage() -> Shapes:
    ports = tuple(disc(x, y, 2.5, fill=True) for x in (76, 94) for y in (10, 30))
    return _casing_collar(tube(70, 100, 8), *ports)


def _hanger() -> Shapes:
    return (cone(52, 74, 18, 12), tube(74, 112, 9), line((42, 2), (52, 2)), line((42, 38), (52, 38)),
            *(line((112 - 3 * n, 11), (112 - 3 * n, 29), thin=True) for n in (1, 2, 3)))  # fmt: skip


def _liner_hanger() -> Shapes:
    slips = tuple(
        face((64, MIDDLE + side * 10), (76, MIDDLE + side * 17), (84, MIDDLE + side * 17),
              (84, MIDDLE + side * 10), fill=True) for side in (-1, 1))  # fmt: skip
    return (line((4, 2), (156, 2)), line((4, 38), (156, 38)), tube(36, 128, 10), *slips)


_DRAWN: dict[str, Callable[[], Shapes]] = {
    "drill_pipe": lambda: _pipe(9),
    "heavy_weight": lambda: _pipe(9, 3),
    "collar": _collar,
    "kelly": _kelly,
    "saver_sub": _saver,
    "safety_valve": _valve,
    "crossover": _crossover,
    "bit_sub": _bit_sub,
    "float_sub": _float_sub,
    "circulating_sub": _circulating,
    "lift_sub": _lift,
    "sub": _short,
    "stabilizer": _stabilizer,
    "reamer": _reamer,
    "hole_opener": _opener,
    "under_reamer": _under_reamer,
    "jar": _jar,
    "accelerator": _accelerator,
    "shock_sub": _shock,
    "bumper_sub": _bumper,
    "motor": _motor,
    "rotary_steerable": _steerable,
    "mwd": _mwd,
    "core_barrel": _barrel,
    "bit": _bit,
    "core_bit": _core_bit,
    "scraper": _scraper,
    "mill": _mill,
    "fishing_tool": _fishing,
    "other": _other,
    "casing": _coupled,
    "tubing": _tubing,
    "pup_joint": lambda: _coupled(52, 108),
    "marker_joint": _marker,
    "float_shoe": lambda: _shoe(*_FLAP),
    "guide_shoe": _shoe,
    "float_collar": lambda: _casing_collar(*_FLAP),
    "landing_collar": lambda: _casing_collar(tube(80, 96, 6)),
    "stage_collar": _stage,
    "hanger": _hanger,
    "liner_hanger": _liner_hanger,
}
