"""What a piece is made to: the facts of a specification and the one text that is its key."""

import json
from dataclasses import asdict, dataclass, fields

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


def spec_from_key(key: str) -> SpecFacts:
    """Return the facts that `key` was made from. Raises ValueError when the text is no such key."""
    values = json.loads(key)
    names = {field.name for field in fields(SpecFacts)}
    if set(values) != names:
        raise ValueError("not a specification key: " + key[:80])
    values["facts"] = json.dumps(values["facts"], sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return SpecFacts(**values)
