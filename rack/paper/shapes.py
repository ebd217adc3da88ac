"""A small drawing of each kind of piece, as plain shapes: box end to the left, pin end to the right.

The box is 160 wide and 40 high, its middle line at 20, y downward. The shapes say what the piece is, not
how large it is: nothing is to scale. `drawings` makes the picture for page and paper of the same shapes.
"""

from collections.abc import Callable
from dataclasses import dataclass

from rack.calc.kinds import kind_of

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


def shapes_of(code: str) -> Shapes:
    """Return the shapes of the kind with this code. Raises ValueError when there is no such kind."""
    kind_of(code)
    return _DRAWN[code]()


# Parts


def _line(*points: tuple[float, float], thin: bool = False) -> Shape:
    return Shape(points, thin=thin)


def _face(*points: tuple[float, float], fill: bool = False) -> Shape:
    return Shape(points, closed=True, fill=fill)


def _tube(left: float, right: float, half: float, *, fill: bool = False) -> Shape:
    top, foot = MIDDLE - half, MIDDLE + half
    return _face((left, top), (right, top), (right, foot), (left, foot), fill=fill)


def _cone(left: float, right: float, half: float, other: float, *, fill: bool = False) -> Shape:
    return _face((left, MIDDLE - half), (right, MIDDLE - other), (right, MIDDLE + other),
                 (left, MIDDLE + half), fill=fill)  # fmt: skip


def _pin(at: float, half: float) -> Shapes:
    """A pin with its threads, standing out to the right of its shoulder."""
    threads = tuple(
        _line((at + x, MIDDLE - half + 1 + x / 5), (at + x, MIDDLE + half - 1 - x / 5), thin=True)
        for x in (3, 6)
    )
    return (_cone(at, at + 10, half * 0.75, half * 0.5), *threads)


def _box(at: float, half: float) -> Shapes:
    """The cone inside a box, seen through its wall."""
    return (_line((at, MIDDLE - half * 0.7), (at + 11, MIDDLE - half * 0.45),
                  (at + 11, MIDDLE + half * 0.45), (at, MIDDLE + half * 0.7), thin=True),)  # fmt: skip


def _between(left: float, right: float, half: float) -> Shapes:
    """A body with a box to the left and a pin to the right."""
    return (_tube(left, right, half), *_box(left, half), *_pin(right, half))


def _slots(left: float, right: float, half: float, step: float, lean: float) -> Shapes:
    """Slanted lines across a body: a spiral."""
    found, at = [], left
    while at + lean <= right:
        found.append(_line((at, MIDDLE + half), (at + lean, MIDDLE - half), thin=True))
        at += step
    return tuple(found)


def _blades(left: float, right: float, half: float, by: float) -> Shapes:
    """Two blades standing out of a body, above and below."""
    return tuple(
        _face((left, MIDDLE + side * half), (left + 4, MIDDLE + side * (half + by)),
              (right - 4, MIDDLE + side * (half + by)), (right, MIDDLE + side * half), fill=True)
        for side in (-1, 1)
    )  # fmt: skip


def _round(x: float, y: float, radius: float, *, fill: bool = False) -> Shape:
    turn = ((1, 0), (0.71, 0.71), (0, 1), (-0.71, 0.71), (-1, 0), (-0.71, -0.71), (0, -1), (0.71, -0.71))
    return Shape(tuple((x + radius * a, y + radius * b) for a, b in turn), closed=True, fill=fill)


# Kinds


def _pipe(joint: float, upset: float = 0) -> Shapes:
    middle = (_tube(70, 84, 5 + upset),) if upset else ()
    return (_tube(4, 26, joint), *_box(4, joint), _tube(26, 124, 5), *middle, _tube(124, 144, joint),
            *_pin(144, joint))  # fmt: skip


def _short(half: float = 8) -> Shapes:
    return _between(48, 106, half)


def _kelly() -> Shapes:
    return (_tube(4, 24, 9), *_box(4, 9), _tube(24, 128, 7), _line((24, 17), (128, 17)),
            _line((24, 23), (128, 23)), _tube(128, 144, 9), *_pin(144, 9))  # fmt: skip


def _saver() -> Shapes:
    return (*_short(), _tube(66, 88, 10, fill=True))


def _valve() -> Shapes:
    return (*_short(9), _round(77, MIDDLE, 6), _line((71, MIDDLE), (83, MIDDLE)))


def _crossover() -> Shapes:
    return (_tube(44, 72, 10), *_box(44, 10), _cone(72, 86, 10, 7), _tube(86, 108, 7), *_pin(108, 7))


def _bit_sub() -> Shapes:
    right = tuple(Shape(tuple((WIDTH - x, y) for x, y in part.points), thin=True) for part in _box(48, 9))
    return (_tube(48, 112, 9), *_box(48, 9), *right)


def _float_sub() -> Shapes:
    return (*_short(), _line((70, 14), (82, 20), (70, 26)), _line((82, 14), (82, 26)))


def _circulating() -> Shapes:
    return (*_short(), _line((74, 12), (66, 3)), _line((80, 12), (88, 3)), _line((74, 28), (66, 37)),
            _line((80, 28), (88, 37)))  # fmt: skip


def _lift() -> Shapes:
    return (_tube(42, 52, 10), _tube(52, 84, 6), _cone(84, 90, 6, 9), _tube(90, 112, 9), *_pin(112, 9))


def _collar() -> Shapes:
    return _between(4, 144, 9)


def _stabilizer() -> Shapes:
    return (*_between(28, 124, 6), *_blades(54, 98, 6, 10))


def _reamer() -> Shapes:
    return (*_between(28, 124, 6), _tube(56, 96, 9), _round(64, 9, 5, fill=True), _round(88, 9, 5, fill=True),
            _round(64, 31, 5, fill=True), _round(88, 31, 5, fill=True))  # fmt: skip


def _opener() -> Shapes:
    return (*_between(28, 124, 6), _cone(66, 78, 6, 17, fill=True), _tube(78, 86, 17), _cone(86, 92, 17, 6))


def _under_reamer() -> Shapes:
    arms = tuple(
        _face((60, MIDDLE + side * 7), (84, MIDDLE + side * 17), (94, MIDDLE + side * 17),
              (94, MIDDLE + side * 7), fill=True) for side in (-1, 1))  # fmt: skip
    return (*_between(28, 124, 7), *arms)


def _telescope(mark: Callable[[], Shapes]) -> Shapes:
    """An outer barrel with the mandrel drawn out of it."""
    return (_tube(4, 20, 9), *_box(4, 9), _tube(20, 44, 5), _tube(44, 144, 9), *_pin(144, 9), *mark())


def _jar() -> Shapes:
    return _telescope(lambda: (_tube(70, 78, 9, fill=True), _tube(86, 90, 9, fill=True)))


def _accelerator() -> Shapes:
    zigzag = tuple((62 + 6 * n, 14 if n % 2 else 26) for n in range(12))
    return _telescope(lambda: (_line(*zigzag),))


def _shock() -> Shapes:
    return _telescope(lambda: tuple(_line((64 + 8 * n, 12), (64 + 8 * n, 28)) for n in range(9)))


def _bumper() -> Shapes:
    return _telescope(lambda: (_line((60, MIDDLE), (128, MIDDLE)),))


def _motor() -> Shapes:
    return (_tube(4, 92, 8), *_box(4, 8), *_slots(20, 88, 8, 12, 10),
            _face((92, 12), (116, 15), (114, 31), (92, 28)),
            _face((116, 16), (136, 19), (134, 32), (114, 30)),
            _line((136, 22), (152, 25)), _line((135, 29), (150, 31)))  # fmt: skip


def _steerable() -> Shapes:
    return (*_between(20, 130, 8), *_blades(96, 116, 8, 7), _line((30, 20), (88, 20), thin=True))


def _mwd() -> Shapes:
    waves = tuple(_line((72 + 6 * n, 20 - 2 - 2 * n), (74 + 6 * n, 20), (72 + 6 * n, 22 + 2 * n))
                  for n in range(3))  # fmt: skip
    return (*_between(4, 144, 9), _tube(40, 62, 4, fill=True), *waves)


def _barrel() -> Shapes:
    return (_tube(4, 150, 10), *_box(4, 10), _tube(24, 150, 6), _line((24, 20), (150, 20), thin=True))


def _bit() -> Shapes:
    return (*_left_pin(58), _tube(58, 72, 11), _cone(72, 84, 11, 17), _round(92, 12, 8), _round(92, 28, 8),
            _round(100, 20, 7, fill=True))  # fmt: skip


def _left_pin(at: float) -> Shapes:
    return tuple(
        Shape(tuple((2 * at - x, y) for x, y in part.points), part.closed, part.fill, part.thin)
        for part in _pin(at, 10)
    )


def _core_bit() -> Shapes:
    return (*_left_pin(58), _tube(58, 92, 13), _tube(92, 104, 16), _tube(92, 104, 7),
            *(_round(104, y, 2.5, fill=True) for y in (6, 11, 29, 34)))  # fmt: skip


def _scraper() -> Shapes:
    return (*_between(28, 124, 6), *_blades(50, 68, 6, 9), *_blades(84, 102, 6, 9))


def _mill() -> Shapes:
    teeth = tuple((100 + (6 if n % 2 else 0), 4 + 4 * n) for n in range(9))
    return (_tube(44, 76, 8), *_box(44, 8), _cone(76, 88, 8, 16), _tube(88, 100, 16), _line(*teeth))


def _fishing() -> Shapes:
    return (_tube(30, 60, 8), *_box(30, 8), _cone(60, 70, 8, 14), _tube(70, 112, 14),
            _line((112, 6), (124, 3)), _line((112, 34), (124, 37)),
            *(_line((82 + 8 * n, 10), (78 + 8 * n, 30), thin=True) for n in range(4)))  # fmt: skip


def _other() -> Shapes:
    return (_tube(20, 140, 9), _line((20, 11), (140, 29), thin=True), _line((20, 29), (140, 11), thin=True))


def _coupled(left: float = 4, right: float = 150) -> Shapes:
    """A joint with a coupling on its left and a bare pin on its right."""
    return (_tube(left, left + 20, 12), _line((left + 10, 8), (left + 10, 32), thin=True),
            _tube(left + 20, right, 9),
            *(_line((right - 3 * n, 11), (right - 3 * n, 29), thin=True) for n in (1, 2, 3)))  # fmt: skip


def _tubing() -> Shapes:
    return (_tube(4, 20, 8), _tube(20, 140, 5), _tube(140, 146, 6),
            *(_line((146 + 2 * n, 15), (146 + 2 * n, 25), thin=True) for n in (1, 2, 3)))  # fmt: skip


def _marker() -> Shapes:
    return (*_coupled(44, 116), _tube(78, 92, 9, fill=True))


def _shoe(*mark: Shape) -> Shapes:
    nose = _line((110, 7), (122, 12), (128, 20), (122, 28), (110, 33))
    return (_tube(52, 110, 13), _line((52, 11), (66, 12), (66, 28), (52, 29), thin=True), nose, *mark)


_FLAP = (_line((84, 12), (94, 20), (84, 28)), _line((94, 10), (94, 30)))


def _casing_collar(*mark: Shape) -> Shapes:
    return (_tube(48, 108, 13), _line((48, 11), (62, 12), (62, 28), (48, 29), thin=True), _tube(108, 118, 9),
            *mark)  # fmt: skip


def _stage() -> Shapes:
    ports = tuple(_round(x, y, 2.5, fill=True) for x in (76, 94) for y in (10, 30))
    return _casing_collar(_tube(70, 100, 8), *ports)


def _hanger() -> Shapes:
    return (_cone(52, 74, 18, 12), _tube(74, 112, 9), _line((42, 2), (52, 2)), _line((42, 38), (52, 38)),
            *(_line((112 - 3 * n, 11), (112 - 3 * n, 29), thin=True) for n in (1, 2, 3)))  # fmt: skip


def _liner_hanger() -> Shapes:
    slips = tuple(
        _face((64, MIDDLE + side * 10), (76, MIDDLE + side * 17), (84, MIDDLE + side * 17),
              (84, MIDDLE + side * 10), fill=True) for side in (-1, 1))  # fmt: skip
    return (_line((4, 2), (156, 2)), _line((4, 38), (156, 38)), _tube(36, 128, 10), *slips)


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
    "landing_collar": lambda: _casing_collar(_tube(80, 96, 6)),
    "stage_collar": _stage,
    "hanger": _hanger,
    "liner_hanger": _liner_hanger,
}
