"""What lies on a rack and what it weighs, layer by layer, against the rack's own rating.

The rating is the rig's figure for this very rack; there is no usual one, and none is ever assumed.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from rack.calc.checks import Problem, asks, note
from rack.calc.units import FACTORS, NM
from rack.calc.weights import collar_weight_lb_ft

#: By which weight a foot was reckoned.
LABEL = "label weight"
GEOMETRY = "from OD and bore"

KG_A_LB = FACTORS["mass"]["lb"]
_SOURCE = "trade guide 5.1, common practice: joints x length x lb/ft"

#: What every sum by label weight must say: it is below the truth for pipe with tool joints.
LABEL_WORDS = (
    "Reckoned by label weight. The label of casing and tubing counts the couplings; drill pipe with its "
    "tool joints is heavier than its label, often by a tenth."
)


@dataclass(frozen=True)
class Lying:
    """One piece on a layer: what it is called, its length in nm and its weight in 1/1000 lb/ft.

    `nm` is None and `mlb_ft` is 0 where it is not known. `basis` says where the weight comes from.
    """

    name: str
    layer: int
    nm: int | None
    mlb_ft: int
    basis: str = LABEL

    @property
    def lb(self) -> Fraction | None:
        """What it weighs in lb, exactly; None when length or weight is not known."""
        return weight_lb(self.nm, self.mlb_ft)


@dataclass(frozen=True)
class LayerLoad:
    """A layer, or a whole rack (`layer` 0): pieces, their lengths in nm, their weight in lb and kg.

    Weights are exact fractions of what is in the sum. `no_length` and `no_weight` name the pieces that
    are not in it; a piece that lacks both stands in both.
    """

    layer: int
    count: int
    nm: int
    lb: Fraction
    kg: Fraction
    no_length: tuple[str, ...]
    no_weight: tuple[str, ...]
    by_label: int

    @property
    def not_in_sum(self) -> tuple[str, ...]:
        """The names of the pieces that the weight leaves out, each once."""
        return tuple(dict.fromkeys(self.no_length + self.no_weight))


@dataclass(frozen=True)
class RackLoad:
    """The layers of a rack from the bottom up, and all of them together."""

    layers: tuple[LayerLoad, ...]
    whole: LayerLoad


def weight_lb(nm: int | None, mlb_ft: int) -> Fraction | None:
    """Return what a length weighs in lb, exactly; None when either is not known.

    `nm` is whole nanometres, `mlb_ft` 1/1000 lb/ft (0 = not known). Raises nothing. Source: common
    practice, length x weight a foot.
    """
    return None if nm is None or not mlb_ft else Fraction(nm, NM["ft"]) * Fraction(mlb_ft, 1000)


def weight_a_foot(kind: str, weight_mlb_ft: int, od_nm: int, bore_nm: int) -> tuple[int, str]:
    """Return the weight of a piece in 1/1000 lb/ft and where it comes from; 0 where it is not known.

    The label comes first; a drill collar without one is reckoned from OD and bore (whole nm, 0 = not
    known), rounded to 1/1000 lb/ft. Raises nothing. Source: the label, or geometry with steel at 489.5
    lb/ft3.
    `kind` is a code, `weight_mlb_ft` the label in 1/1000 lb/ft (0 = not known), `od_nm` and `bore_nm` are
    whole nanometres.
    """
    if weight_mlb_ft or kind != "collar" or not 0 < bore_nm < od_nm:
        return weight_mlb_ft, LABEL
    try:
        return round(collar_weight_lb_ft(od_nm / NM["in"], bore_nm / NM["in"]) * 1000), GEOMETRY
    except ValueError:
        return 0, LABEL


def load_of(pieces: Iterable[Lying], layers: Iterable[int] = ()) -> RackLoad:
    """Return the load of a rack by layer. `layers` names those that are shown although they are empty.

    `pieces` in any order. Raises nothing. Source: trade guide 5.1, common practice.
    """
    by_layer: dict[int, list[Lying]] = {layer: [] for layer in layers}
    for piece in pieces:
        by_layer.setdefault(piece.layer, []).append(piece)
    each = tuple(_load(layer, by_layer[layer]) for layer in sorted(by_layer))
    return RackLoad(each, _load(0, [piece for layer in sorted(by_layer) for piece in by_layer[layer]]))


def _load(layer: int, pieces: list[Lying]) -> LayerLoad:
    lb = sum((piece.lb or Fraction(0) for piece in pieces), Fraction(0))
    return LayerLoad(
        layer=layer,
        count=len(pieces),
        nm=sum(piece.nm or 0 for piece in pieces),
        lb=lb,
        kg=lb * KG_A_LB,
        no_length=tuple(piece.name for piece in pieces if piece.nm is None),
        no_weight=tuple(piece.name for piece in pieces if not piece.mlb_ft),
        by_label=sum(1 for piece in pieces if piece.basis == LABEL and piece.lb is not None),
    )


def load_problems(rack: str, load: LayerLoad, rated_kg: int | None) -> list[Problem]:
    """Return what the load of a whole rack says against its own rating, in kg.

    Over the rating ASKS, by exact comparison: 5,000 kg on a rack rated 5,000 kg is not over. Pieces that
    are not in the sum are a NOTE wherever there is a rating to hold it to. Without a rating (None)
    nothing is said, for none is ever assumed. Raises nothing. Source: trade guide 5.1, common practice.
    `rack` is what it is called, `load` all that would lie on it, `rated_kg` its own rating.
    """
    if rated_kg is None:
        return []
    problems = []
    if load.kg > rated_kg:
        problems.append(asks(
            f"{rack} would carry {shown(load.kg)} kg; its own rating is {rated_kg:,} kg.", code="rack load",
            where=rack, measured=shown(load.kg), limit=f"{rated_kg:,}", unit="kg", source=_SOURCE,
        ))  # fmt: skip
    if load.not_in_sum:
        problems.append(note(left_out_words(load), code="rack load", source=_SOURCE))
    return problems


def left_out_words(load: LayerLoad, most: int = 5) -> str:
    """Return the sentence that names the pieces a sum leaves out, "" when it leaves out none.

    `most` is how many are named before the rest is counted. Raises nothing. Source: common practice.
    `load` is a layer or a whole rack.
    """
    names = load.not_in_sum
    if not names:
        return ""
    some = ", ".join(names[:most]) + (f" and {len(names) - most} more" if len(names) > most else "")
    lacking = (("length", load.no_length), ("weight", load.no_weight))
    why = " and ".join(word for word, rows in lacking if rows)
    count = "1 piece is" if len(names) == 1 else f"{len(names)} pieces are"
    return f"{count} not in the sum, for want of {why}: {some}."


def shown(weight: Fraction) -> str:
    """Return a weight as it is read: whole kg or lb, rounded once, half up, with thousands marks.

    `weight` is any exact weight, 0 or more. Raises nothing. Source: common practice.
    """
    return f"{(weight + Fraction(1, 2)).__floor__():,}"
