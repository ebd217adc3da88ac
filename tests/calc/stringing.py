"""Strings to try rules and loads with: an 8-1/2 in hole drilled with 5 in pipe; every name is invented."""

import json
from dataclasses import replace
from fractions import Fraction

from rack.calc.chain import Link
from rack.calc.lengths import Length
from rack.calc.rules import Above, Plan, check
from rack.calc.specs import SpecFacts


def nm(size):
    """A size in inches, "6-1/2" or 6.5, in nanometres."""
    if isinstance(size, str):
        whole, _, part = size.rpartition("-") if "/" in size else (size, "", "0")
        size = Fraction(whole or 0) + Fraction(part)
    return int(Fraction(str(size)) * 25_400_000)


def ft(length):
    return Length(int(Fraction(str(length)) * 304_800_000))


def spec(kind, od=0, bore=0, up="NC50", down="NC50", *, genders=("box", "pin"), weight=0, grade="",
         tj=(0, 0), **facts):  # fmt: skip
    return SpecFacts(kind, nm(od), nm(bore), weight_mlb_ft=int(weight * 1000), grade=grade, up_conn=up,
                     up_gender=genders[0] if up else "", down_conn=down,
                     down_gender=genders[1] if down else "", tj_od_nm=nm(tj[0]), tj_bore_nm=nm(tj[1]),
                     facts=json.dumps(facts, sort_keys=True, separators=(",", ":")))  # fmt: skip


NECK = {"neck_od_nm": str(nm("6-1/2")), "neck_nm": str(nm(36)), "relief": "yes", "bored_back": "yes"}


def bit(ident="B1", od="8-1/2", **more):
    return Link(ident, spec("bit", od, 0, "4-1/2 REG", "", genders=("pin", "")), ft(1), **more)


def bit_sub(ident="BS1", **more):
    made = spec("bit_sub", "6-3/4", "2-13/16", "NC50", "4-1/2 REG", genders=("box", "box"))
    return Link(ident, made, ft(3), facts=NECK, **more)


def collar(ident, od="6-3/4", bore="2-13/16", conn="NC50", length=31, own=None, **more):
    made = spec("collar", od, bore, conn, conn)
    return Link(ident, made, ft(length), facts={**NECK, **(own or {})}, **more)


def jar(ident="J1", od="6-1/2", **more):
    given = {"stands": "closed", "opened": ft("31.5"), "closed": ft(30), "length": ft(30), **more}
    length = given.pop("length")
    return Link(ident, spec("jar", od, "2-3/4", action="hydraulic"), length, facts=NECK, **given)


def heavy(ident, **more):
    return Link(ident, spec("heavy_weight", 5, 3, tj=("6-1/2", "3-1/16")), ft(30),
                facts={"relief": "yes", "bored_back": "yes"}, **more)  # fmt: skip


def pipe(ident, grade="G105", weight=19.5, pipe_class="Premium", length="31.5", tj=("6-3/8", "3-3/4"),
         **more):  # fmt: skip
    made = spec("drill_pipe", 5, 0, weight=weight, grade=grade, tj=tj)
    return Link(ident, made, None if length is None else ft(length), pipe_class=pipe_class, **more)


def tool(kind, ident, od="6-1/2", bore="2-13/16", length=10, genders=("box", "pin"), conns=("NC50", "NC50"),
         own=None, **more):  # fmt: skip
    made = spec(kind, od, bore, *conns, genders=genders)
    return Link(ident, made, ft(length), facts={**NECK, **(own or {})}, **more)


def saver(ident="SS1"):
    return tool("saver_sub", ident, length=2)


def casing(ident, kind="casing", conn="BTC", **more):
    one = ("box", "") if kind in ("float_shoe", "guide_shoe") else ("box", "pin")
    weight = 47 if kind == "casing" else 0
    made = spec(kind, "9-5/8", 0, conn, conn if one[1] else "", genders=one, weight=weight, grade="L80")
    return Link(ident, made, ft(40), **more)


PLAN = Plan(hole_nm=nm("8-1/2"), above=(Above("9-5/8 in casing", nm("8-1/2"), nm("8.681")),), mud_ppg=10.0,
            weight_on_bit_lb=20_000, hours=100, rock="soft", washover_nm=nm(1))  # fmt: skip


def good():
    """A string in which no rule finds anything: 21 collars or heavy-weight, a jar among them, 20 joints."""
    return [bit(), bit_sub(), *(collar(f"C{n}", key=n) for n in range(1, 10)),
            *(heavy(f"H{n}", key=100 + n) for n in range(1, 9)), jar(),
            *(heavy(f"H{n}", key=100 + n) for n in range(9, 16)),
            *(pipe(f"P{n}", key=200 + n) for n in range(1, 21)), saver()]  # fmt: skip


def found(links, plan=PLAN, **changed):
    return check(links, replace(plan, **changed))


def codes(links, plan=PLAN, **changed):
    return [one.code for one in found(links, plan, **changed)]


def of(code, links, plan=PLAN, **changed):
    return [one for one in found(links, plan, **changed) if one.code == code]
