"""What a piece of a BHA sheet is in words, and what it weighs a foot."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from rack.calc.given import Number
from rack.calc.kinds import kind_of
from rack.calc.lookup import number as figure_of
from rack.calc.lookup import rows
from rack.calc.specs import SpecFacts, describe
from rack.calc.units import NM
from rack.calc.weights import collar_weight_lb_ft, spiral_collar_weight_lb_ft

#: Where a weight a foot comes from.
GIVEN, TABLE, GEOMETRY = "as given", "table, from memory", "from OD and bore, steel"
_MANY = 1000


def item_words(spec: SpecFacts) -> str:
    """Return what a piece is in words: a tool by its OD and bore, pipe by its label weight.

    `spec` is any specification. Raises ValueError for a kind that is none. Source: common practice.
    """
    pipe = spec.kind in ("drill_pipe", "heavy_weight", "casing", "tubing")
    return describe(spec if pipe else replace(spec, weight_mlb_ft=0, up_conn="", down_conn=""))


def weight_a_foot(spec: SpecFacts, facts: Mapping[str, str]) -> tuple[int, str]:
    """Return the weight of a piece in 1/1000 lb/ft and where it comes from; (0, "") where it is not known.

    The weight that the specification `spec` gives comes first; heavy-weight pipe has a table (from memory);
    what has OD and bore is reckoned as steel, a spiral collar with 4 % less (`facts` say the surface). A
    bit has no bore and so no weight of its own. Raises nothing. Source: geometry with steel at 489.5 lb/ft3.
    """
    if spec.weight_mlb_ft:
        return spec.weight_mlb_ft, GIVEN
    if spec.kind == "heavy_weight":
        for row in rows("heavyweight"):
            if figure_of(row["od_in"]) == Fraction(spec.od_nm, NM["in"]):
                weight: Number = figure_of(row["approx_weight_lb_ft_with_joints"]) or 0
                return round(Fraction(weight) * _MANY), TABLE
    if (
        not 0 < spec.bore_nm < spec.od_nm
        or kind_of(spec.kind).family != "shouldered"
        or spec.kind == "drill_pipe"
    ):
        return 0, ""
    formula = spiral_collar_weight_lb_ft if facts.get("surface") == "spiral" else collar_weight_lb_ft
    try:
        return round(formula(spec.od_nm / NM["in"], spec.bore_nm / NM["in"]) * _MANY), GEOMETRY
    except ValueError:
        return 0, ""
