"""What is said of a section of a well."""

from dataclasses import dataclass


@dataclass(frozen=True)
class SectionFacts:
    """What is said of a section: lengths in nanometres, mud in 1/1000 ppg, None for not known."""

    name: str
    hole_nm: int
    planned_nm: int
    mud_mppg: int | None = None
    casing: str = ""
    casing_shoe_nm: int | None = None
    drift_nm: int | None = None
