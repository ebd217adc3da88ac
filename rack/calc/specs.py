"""What a piece is made to: the facts of a specification and the one text that is its key."""

import json
from dataclasses import asdict, dataclass, fields
from decimal import Decimal
from functools import lru_cache
from math import gcd

from rack.calc.kinds import kind_of

#: Thread families whose gender at an end is a fact of its own.
GENDERS = ("box", "pin", "")


@dataclass(frozen=True)
class SpecFacts:
    """The facts that make two pieces "the same thing".

    Lengths are whole nanometres, `weight_mlb_ft` is the label weight in 1/1000 lb/ft; 0 or ""
    means not known. `facts` is canonical JSON text of what only this kind has ("{}" for none).
    """

    kind: str
    od_nm: int = 0
    bore_nm: int = 0
    wall_nm: int = 0
    weight_mlb_ft: int = 0
    grade: str = ""
    range: str = ""
    up_conn: str = ""
    up_gender: str = ""
    down_conn: str = ""
    down_gender: str = ""
    tj_od_nm: int = 0
    tj_bore_nm: int = 0
    pin_nm: int = 0
    box_nm: int = 0
    facts: str = "{}"

    @property
    def key(self) -> str:
        """The canonical text of all facts; equal keys are equal specifications."""
        values = asdict(self)
        values["facts"] = json.loads(self.facts)
        return json.dumps(values, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


@lru_cache(maxsize=4096)  # a page of a thousand pieces is of few specifications, and they never change
def spec_from_key(key: str) -> SpecFacts:
    """Return the facts that `key` was made from. Raises ValueError when the text is no such key.

    Source: house style.
    """
    values = json.loads(key)
    names = {field.name for field in fields(SpecFacts)}
    if set(values) != names:
        raise ValueError("not a specification key: " + key[:80])
    values["facts"] = json.dumps(values["facts"], sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return SpecFacts(**values)


_NM_PER_64TH = 396_875


def inches(nanometres: int) -> str:
    """Return a length as the trade writes a size: "5", "4-1/2", "9-5/8", "6.25" only when no 64th fits.

    `nanometres` is a whole number, 0 or more. Raises nothing. Source: common practice.
    """
    sixty_fourths, rest = divmod(nanometres, _NM_PER_64TH)
    if rest:
        return f"{nanometres / 25_400_000:.3f}".rstrip("0").rstrip(".")
    whole, part = divmod(sixty_fourths, 64)
    if not part:
        return str(whole)
    divisor = gcd(part, 64)
    fraction = f"{part // divisor}/{64 // divisor}"
    return f"{whole}-{fraction}" if whole else fraction


def weight_label(weight_mlb_ft: int) -> str:
    """Return the label weight in lb/ft with two figures after the point, "" when not known (0).

    `weight_mlb_ft` is in 1/1000 lb/ft. Raises nothing. Source: common practice.
    """
    return f"{Decimal(weight_mlb_ft) / 1000:.2f}" if weight_mlb_ft else ""


def size_label(spec: SpecFacts) -> str:
    """Return the size as it is asked for: "5 in 19.50", "8 x 2-13/16 in", "12-1/4 in".

    `spec` is any specification; raises nothing. Source: common practice.
    """
    if not spec.od_nm:
        return ""
    if spec.weight_mlb_ft:
        return f"{inches(spec.od_nm)} in {weight_label(spec.weight_mlb_ft)}"
    if spec.bore_nm:
        return f"{inches(spec.od_nm)} x {inches(spec.bore_nm)} in"
    return f"{inches(spec.od_nm)} in"


def connection_label(spec: SpecFacts) -> str:
    """Return the connections in words: "NC50", or "NC50 box x 6-5/8 REG pin" where the ends differ.

    `spec` is any specification; raises nothing. Source: common practice.
    """
    up, down = spec.up_conn, spec.down_conn
    if not up or not down or up == down:
        return up or down
    return f"{up} {spec.up_gender} x {down} {spec.down_gender}".replace("  ", " ").strip()


@lru_cache(maxsize=4096)
def describe(spec: SpecFacts) -> str:
    """Return the whole description in one line: "5 in 19.50 S-135 NC50 R2 drill pipe".

    What only this kind has comes before its name: "non-magnetic spiral drill collar", "60 ft core barrel".
    `spec` is any specification; raises ValueError for an unknown kind. Source: common practice.
    """
    parts = [size_label(spec), spec.grade, connection_label(spec), spec.range, *_named(spec)]
    return " ".join(part for part in parts if part)


def trimmed(nanometres: int) -> str:
    """Return a length in feet with no more figures than it needs: "60", "30.5"; `nanometres` whole.

    Rounded to 0.01 ft. Raises nothing. Source: common practice.
    """
    hundredths = (2 * nanometres * 100 + 304_800_000) // (2 * 304_800_000)
    return f"{Decimal(hundredths) / 100:.2f}".rstrip("0").rstrip(".")


def _named(spec: SpecFacts) -> list[str]:
    """The name of the kind with the facts that belong to it; a free name stands for that of the kind."""
    kind = kind_of(spec.kind)
    there = json.loads(spec.facts) if spec.facts != "{}" else {}
    if there.get("name"):
        return [str(there["name"])]
    words = []
    for fact in kind.facts:
        value = there.get(fact.name)
        if fact.in_name and value:
            feet = f"{trimmed(int(value))} ft" if fact.sort == "length" else str(value)
            words.append(fact.label.lower() if value is True else feet)
    # "MWD tool", not "MWD MWD/LWD tool"
    return [*words, "tool"] if kind.code == "mwd" and words[:1] in (["MWD"], ["LWD"]) else [*words, kind.name]
