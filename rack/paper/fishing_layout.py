"""How high each piece of a fishing diagram is drawn: short tools tall enough to read, long ones shortened."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.bha_lines import BhaLine

#: A piece is drawn at least so high and at most so high, in points.
LEAST, MOST = 27.0, 84.0
#: On the page there is room: so many points a piece on the average.
ON_PAGE = 46.0
#: So many joints of the same pipe in a row are drawn as one, with their count.
ALIKE = 3
#: Never drawn larger than where a usual joint of so many feet is as high as a piece may be.
_USUAL_FT = 31.0
_PIPE = ("drill_pipe", "heavy_weight")


@dataclass(frozen=True)
class Block:
    """One piece, or joints of the same pipe that follow one another, from the bit upward."""

    lines: tuple[BhaLine, ...]

    @property
    def first(self) -> BhaLine:
        return self.lines[0]

    @property
    def last(self) -> BhaLine:
        return self.lines[-1]

    @property
    def count(self) -> int:
        return sum(line.count for line in self.lines)

    @property
    def nm(self) -> int | None:
        """The length of all of them, None where one is not known."""
        known = [line.nm for line in self.lines if line.nm is not None]
        return sum(known) if len(known) == len(self.lines) else None

    @property
    def numbers(self) -> str:
        """ "7", or "15 to 20"."""
        return str(self.first.n) if len(self.lines) == 1 else f"{self.first.n} to {self.last.n}"


@dataclass(frozen=True)
class Strip:
    """A part of the string that stands on one drawing: blocks from below, each with its height in points.

    `scale` is points a foot where a block is drawn to scale; `true` says of each block whether it is.
    """

    blocks: tuple[Block, ...]
    heights: tuple[float, ...]
    true: tuple[bool, ...]
    scale: float


def blocks_of(lines: Sequence[BhaLine]) -> tuple[Block, ...]:
    """Return the pieces as they are drawn, from the bit upward; the same pipe in a row is one block."""
    found: list[list[BhaLine]] = []
    for line in lines:
        if found and _alike(found[-1][-1], line):
            found[-1].append(line)
        else:
            found.append([line])
    made: list[Block] = []
    for group in found:
        whole = len(group) >= ALIKE
        made += [Block(tuple(group))] if whole else [Block((line,)) for line in group]
    return tuple(made)


def _alike(below: BhaLine, above: BhaLine) -> bool:
    return above.kind in _PIPE and (below.kind, below.item, below.od_nm, below.bore_nm, below.up, below.down,
                                    below.gauge_nm) == (above.kind, above.item, above.od_nm, above.bore_nm,
                                                        above.up, above.down, above.gauge_nm)  # fmt: skip


def strips(lines: Sequence[BhaLine], room: float) -> tuple[Strip, ...]:
    """Return the string cut into drawings of at most `room` points of height each, from the bit upward."""
    blocks = blocks_of(lines)
    if not blocks:
        return ()
    each = max(1, int(room // LEAST))
    parts = -(-len(blocks) // each)
    size = -(-len(blocks) // parts)
    cut = [blocks[at : at + size] for at in range(0, len(blocks), size)]
    scale = min(_scale(part, room) for part in cut)
    return tuple(_strip(part, scale) for part in cut)


def _feet(block: Block) -> float:
    return (block.nm or 0) / 304_800_000


def _height(block: Block, scale: float) -> float:
    return min(MOST, max(LEAST, _feet(block) * scale))


def _scale(blocks: Sequence[Block], room: float) -> float:
    """The largest scale at which they all fit, and no larger than the longest single piece needs.

    Found by halving, for the sum only grows with it.
    """
    single = max((_feet(block) for block in blocks if block.count == 1), default=0.0)
    low, high = 0.0, MOST / max(single, _USUAL_FT)
    if sum(_height(block, high) for block in blocks) <= room:
        return high
    for _ in range(40):
        middle = (low + high) / 2
        if sum(_height(block, middle) for block in blocks) <= room:
            low = middle
        else:
            high = middle
    return low


def _strip(blocks: Sequence[Block], scale: float) -> Strip:
    heights = tuple(_height(block, scale) for block in blocks)
    true = tuple(block.nm is not None and abs(high - _feet(block) * scale) < 0.01
                 for block, high in zip(blocks, heights, strict=True))
    return Strip(tuple(blocks), heights, true, scale)
