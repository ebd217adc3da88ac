"""What the crew calls a joint of a string: its stand, counted from the bit, and the letter of the single."""

from collections.abc import Sequence

#: The singles of a stand from the bottom up.
LETTERS: dict[int, tuple[str, ...]] = {1: ("",), 2: ("B", "T"), 3: ("B", "M", "T"), 4: ("B", "L", "U", "T")}

#: Kinds that are made up into stands; what is below them is the bottom assembly, piece by piece.
IN_STANDS = ("drill_pipe", "heavy_weight", "collar", "tubing")


def stand_names(kinds: Sequence[str], joints: int) -> tuple[str, ...]:
    """Return the stand and letter of each piece, "3 M"; "" for a piece that belongs to no stand.

    `kinds` are codes of kinds from the bit upward, `joints` how many make a stand, 1 to 4. A stand never
    runs on over a piece of another sort. Raises ValueError for another number of joints.
    Source: trade guide 12, singles of a stand are lettered B, M, T; the letters of four are common practice.
    """
    if joints not in LETTERS:
        raise ValueError(f"joints is {joints}; a stand is of 1 to 4")
    names, stand, place = [], 0, joints
    before = ""
    for kind in kinds:
        if kind not in IN_STANDS:
            names.append("")
            place = joints
        else:
            if place >= joints or kind != before:
                stand, place = stand + 1, 0
            names.append(f"{stand} {LETTERS[joints][place]}".strip())
            place += 1
        before = kind
    return tuple(names)
