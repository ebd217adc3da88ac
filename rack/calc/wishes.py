"""What is asked of a planned string: one canonical text, and the programme that its rules are judged by."""

import json
from dataclasses import asdict, dataclass, fields

from rack.calc.rules.plan import AUTHORITIES, Above, Passing, Plan

#: Whose minimum a class is, in words.
WHOSE = {"default": "our own habit", "company": "the company", "contract": "the contract", "law": "the law"}
CLASSES = ("new", "premium", "class 2", "class 3")
ROCKS = ("", "soft", "hard")
ASSEMBLIES = ("", "packed", "pendulum")


@dataclass(frozen=True)
class Wishes:
    """What somebody wants of a string: lengths in whole nm, mud in 1/1000 ppg, weight in whole lb, whole h.

    None or "" where nobody said. `reserve_nm` is pipe wanted over the depth, `pull_lb` the overpull that
    must be left, `passes_nm` the largest thing that must pass through.
    """

    depth_nm: int | None = None
    reserve_nm: int = 0
    mud_mppg: int | None = None
    bit_weight_lb: int | None = None
    pull_lb: int | None = None
    hours: int | None = None
    inclination_deg: int = 0
    class_wanted: str = "premium"
    class_by: str = "default"
    rock: str = ""
    assembly: str = ""
    sour: bool = False
    float_wanted: bool = False
    stress_relief_wanted: bool = False
    passes_nm: int | None = None

    def to_text(self) -> str:
        """Return the canonical JSON of what was said. Raises nothing. Source: this project."""
        said = {name: value for name, value in asdict(self).items() if value != _BLANK[name]}
        return json.dumps(said, sort_keys=True, separators=(",", ":"))


_BLANK = {field.name: field.default for field in fields(Wishes)}


def wishes_from(text: str) -> Wishes:
    """Return the wishes that `text` holds.

    Raises ValueError for a text that is none, or for a class or an authority that there is not.
    Source: this project.
    """
    try:
        wishes = Wishes(**json.loads(text))
    except (TypeError, json.JSONDecodeError):
        raise ValueError(f"not the wishes of a plan: {text[:60]!r}") from None
    if wishes.class_wanted not in CLASSES or wishes.class_by not in AUTHORITIES:
        raise ValueError(f"class_wanted: {wishes.class_wanted!r} by {wishes.class_by!r} is unknown")
    return wishes


def programme(
    wishes: Wishes, *, hole_nm: int | None, mud_mppg: int | None, casing: str, drift_nm: int | None,
    planned: bool = True,
) -> Plan:  # fmt: skip
    """Return the programme by which the rules judge a string, from what was wished and what the hole is.

    `hole_nm` and `drift_nm` in nm and `mud_mppg` in 1/1000 ppg are those of the section, None where nobody
    said; a mud of the `wishes` governs over it. `casing` names what stands above, "" for not said. `planned`
    is False for a string in the hole. Raises nothing. Source: this project.
    """
    mud = wishes.mud_mppg if wishes.mud_mppg is not None else mud_mppg
    above = (Above(casing or "the casing above", drift_nm),) if casing or drift_nm else None
    passing = (Passing("what must pass", wishes.passes_nm),) if wishes.passes_nm else ()
    return Plan(
        hole_nm=hole_nm, above=above, mud_ppg=None if mud is None else mud / 1000,
        weight_on_bit_lb=wishes.bit_weight_lb, hours=wishes.hours, inclination_deg=wishes.inclination_deg,
        class_wanted=wishes.class_wanted, class_by=wishes.class_by, rock=wishes.rock,
        assembly=wishes.assembly, sour=wishes.sour, float_wanted=wishes.float_wanted,
        stress_relief_wanted=wishes.stress_relief_wanted, passes=passing, planned=planned,
    )  # fmt: skip
