"""Each of the thirty-one rules with a string that keeps it and one that breaks it, side by side.

The near misses and what is not known stand in the other files of rules. No rule may lack its pair.
"""

from dataclasses import dataclass, field
from typing import Any

import pytest

from rack.calc.chain import Link
from rack.calc.rules import RULES, Clock, Passing
from tests.calc.stringing import (
    bit,
    bit_sub,
    casing,
    collar,
    ft,
    good,
    heavy,
    jar,
    nm,
    of,
    pipe,
    saver,
    spec,
    tool,
)


@dataclass(frozen=True)
class Pair:
    """A string that keeps a rule, one that breaks it, and what of the programme both are judged by."""

    kept: list[Link]
    broken: list[Link]
    plan: dict[str, Any] = field(default_factory=dict)


def measured(**own: str) -> Link:
    return tool("mwd", "MWD1", length=30, own={"senses": "MWD", **own})


def stabilizer(gauge: str) -> Link:
    return tool("stabilizer", "ST1", own={"gauge_nm": str(nm(gauge)), "place": "near-bit"})


def barrel(length: int) -> Link:
    return tool("core_barrel", "CB1", length=length, own={"barrel_nm": str(ft(length).nanometres)})


def floated(fitted: str) -> list[Link]:
    return [bit(), bit_sub(), tool("float_sub", "F1", own={"float": fitted}), collar("C1")]


MOTOR = tool("motor", "M1", conns=("NC50", "4-1/2 REG"), genders=("box", "box"), length=28)
SENSOR = {"sensor_nm": str(ft(15).nanometres), "non_magnetic": "yes"}
SURVEYED = [collar("C1", own={"non_magnetic": "yes"}), measured(**SENSOR),
            collar("C2", own={"non_magnetic": "yes"})]  # fmt: skip
CORE_BIT = Link("K1", spec("core_bit", "8-1/2", 0, "NC50", "", genders=("pin", "")), ft(1))
NOT_BORED = {"bored_back": "no"}
SHOE, FLOAT = casing("F1", "float_shoe"), casing("FC1", "float_collar")

PAIRS = {
    "R01": Pair(good(), good()[1:]),
    "R02": Pair([collar("C1"), collar("C2")], [collar("C1"), collar("C2", conn="NC46")]),
    "R03": Pair([bit(), bit_sub()], [bit(), collar("C1", conn="4-1/2 REG")]),
    "R04": Pair([bit(), MOTOR, collar("C1")], [bit(), bit_sub(), collar("C1"), MOTOR]),
    "R05": Pair(SURVEYED, [collar("C1"), measured(sensor_nm=SENSOR["sensor_nm"]), collar("C2")]),
    "R06": Pair([bit(), MOTOR, measured(**SENSOR)], [bit(), measured(**SENSOR), MOTOR]),
    "R07": Pair(good(), [bit(), collar("C1"), jar(), heavy("H1"), heavy("H2")]),
    "R08": Pair(good(), [bit(), jar(), stabilizer("8-1/2"), collar("C1")]),
    "R09": Pair([collar("C1", od="6-1/2"), jar()], [collar("C1", od=8), jar()]),
    "R10": Pair(floated("plain"), floated("none"), {"float_wanted": True}),
    "R11": Pair([bit(), stabilizer("8-1/2")], [bit(), stabilizer("8-1/4")], {"assembly": "packed"}),
    "R12": Pair([bit(), collar("C1", "6-1/2", "2-1/4"), heavy("H1")],
                [bit(), collar("C1", 8, "2-13/16"), heavy("H1")], {"rock": "hard"}),
    "R13": Pair([collar("C1"), heavy("H1"), pipe("P1")], [heavy("H1"), collar("C1")]),
    "R14": Pair([pipe("P1", grade="E75"), pipe("P2", grade="S135")],
                [pipe("P1", grade="S135"), pipe("P2", grade="E75")]),
    "R15": Pair([pipe("P1", pipe_class="Premium")], [pipe("P1", pipe_class="Class 2")],
                {"class_by": "contract"}),
    "R16": Pair([collar("C1")], [collar("C1", holds=("washed pin",))]),
    "R17": Pair([bit(), collar("C1", od="7-1/2")], [bit(), collar("C1", od="7-9/16")]),
    "R18": Pair([bit(), collar("C1", bore="2-13/16")], [bit(), collar("C1", bore=2)],
                {"passes": (Passing("Ball", nm("2-1/4")),)}),
    "R19": Pair(good(), [bit(), bit_sub(), collar("C1", own=NOT_BORED)], {"stress_relief_wanted": True}),
    "R20": Pair([pipe("P1", key=7), pipe("P2", key=8)], [pipe("P1", key=7), pipe("P1", key=7)]),
    "R21": Pair([pipe(f"P{n}") for n in range(9)],
                [pipe(f"P{n}", pipe_class="Class 2" if n == 5 else "Premium") for n in range(9)]),
    "R22": Pair([bit(od="8-1/2"), bit_sub()], [bit(od="8-3/8"), bit_sub()]),
    "R23": Pair([CORE_BIT, barrel(60)], [CORE_BIT, barrel(20)]),
    "R24": Pair([collar("C1")], [collar("C1", od=8)]),
    "R25": Pair([collar("C1", key=7)], [collar("C1", key=8)],
                {"clocks": {7: (Clock("rotating", 50, 150),), 8: (Clock("rotating", 51, 150),)}}),
    "R26": Pair(good(), good()[:6]),
    "R27": Pair(good(), good()[:-1]),
    "R28": Pair([SHOE, casing("K1"), FLOAT, casing("K2")], [casing("K1"), FLOAT, casing("K2")]),
    "R29": Pair([bit(), bit_sub(), collar("C1"), saver()], [bit(), bit_sub(), collar("C1", bore=0), saver()]),
    "R30": Pair([bit(), jar()], [bit(), jar(stands="")]),
    "R31": Pair([bit(), measured(**SENSOR)], [bit(), measured()]),
}  # fmt: skip


def test_no_rule_lacks_its_pair() -> None:
    assert list(PAIRS) == list(RULES)


@pytest.mark.parametrize("code", RULES)
def test_a_string_that_keeps_the_rule_and_one_that_breaks_it(code: str) -> None:
    pair = PAIRS[code]
    assert of(code, pair.kept, **pair.plan) == []
    broken = of(code, pair.broken, **pair.plan)
    assert broken, f"{code} passes what breaks it"
    for one in broken:
        assert one.source and one.text.endswith("."), f"{code} has no source or no sentence"


#: What it asks for is that something is known: what breaks it is what is not.
ABOUT_KNOWING = ("R31",)


@pytest.mark.parametrize("code", [code for code in RULES if code not in ABOUT_KNOWING])
def test_what_breaks_a_rule_is_found_wrong_and_not_only_not_known(code: str) -> None:
    pair = PAIRS[code]
    assert any(not one.rules for one in of(code, pair.broken, **pair.plan))
