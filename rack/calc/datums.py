"""The datum of a well: the height that every depth is counted from, and whether it may be trusted."""

from dataclasses import dataclass
from datetime import date

from rack.calc.checks import Problem, asks, note
from rack.calc.lengths import Length

#: What the height of a datum is counted from.
OVER = {"ground": "above ground", "sea": "above mean sea level"}


@dataclass(frozen=True)
class Datum:
    """One measurement of a datum: its name ("RKB"), its height over ground or sea, and the day.

    `water` is the depth of water below mean sea level, `shoulder` the distance from the datum down to the
    landing shoulder; None for not known.
    """

    name: str
    height: Length
    over: str
    measured_on: date
    water: Length | None = None
    shoulder: Length | None = None

    @property
    def to_bottom(self) -> Length | None:
        """From the datum to ground or to the sea bed; None where the depth of water is not known."""
        if self.over == "ground":
            return self.height
        return None if self.water is None else self.height + self.water


def datum_problems(datum: Datum | None, rig_from: date | None, today: date) -> list[Problem]:
    """Return what is to be said of a well's datum: that there is none, or that it was taken on another rig.

    `datum` is the newest measurement, None for none; `rig_from` the day on which this rig came on the well
    (None: not said); `today` the day at the site. The datum hangs on the well and changes with every move of
    the rig. Raises nothing. Source: trade guide 12, common practice.
    """
    if datum is None:
        return [asks("No datum has been measured on this well: no depth can be counted from it yet.",
                     code="datum")]  # fmt: skip
    found = []
    if rig_from and datum.measured_on < rig_from:
        found.append(asks(
            f"The datum was measured on {datum.measured_on}, before the rig came on the well on {rig_from}. "
            "It changes with every move of the rig: measure it again.",
            code="datum", measured=str(datum.measured_on), limit=str(rig_from),
            source="trade guide 12, common practice"))  # fmt: skip
    if datum.measured_on > today:
        found.append(asks(f"The datum is said to be measured on {datum.measured_on}, which is yet to come.",
                          code="datum"))  # fmt: skip
    if datum.shoulder is None:
        found.append(note("The distance from the datum to the landing shoulder is not known.",
                          code="shoulder"))  # fmt: skip
    if datum.over == "sea" and datum.water is None:
        found.append(note("The depth of water is not known.", code="datum"))
    return found


def shoulder_problem(typed: Length | None, measured: Length | None, *, unit: str, digits: int
                     ) -> Problem | None:  # fmt: skip
    """Return the question where a plan lands its string elsewhere than in the well's shoulder, else None.

    `typed` is what the plan says, `measured` what the well's datum says, both from the datum down (None: not
    said); shown in `unit` with `digits` figures. A liner is not to be asked about. Raises nothing.
    Source: trade guide 12, common practice.
    """
    if typed is None or measured is None or typed == measured:
        return None
    said, known = (f"{length.shown(unit, digits)} {unit}" for length in (typed, measured))
    return asks(f"The plan lands at {said}, the landing shoulder of the well was measured at {known}: say "
                "which it is. A liner has a liner hanger in its plan.", code="datum", measured=said,
                limit=known, source="trade guide 12, common practice")  # fmt: skip
