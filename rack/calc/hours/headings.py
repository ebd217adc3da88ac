"""What the columns of pasted time lines are called."""

import re
from dataclasses import dataclass

_WORDS = {
    "date": "date|day|report date|datum|tag",
    "from": "from|start|begin|time from|from time|start time|von",
    "to": "to|end|stop|time to|to time|end time|until|bis",
    "from_depth": "from depth|depth from|start depth|depth in|md from|from md|tiefe von",
    "to_depth": "to depth|depth to|end depth|depth out|md to|to md|end depth md|depth|tiefe bis",
    "rotating": "rotating|rotary|rot|rotation|rotating hours|rot hours|rotating time|drehend",
    "sliding": "sliding|slide|slid|sliding hours|slide hours|sliding time",
    "circulating": "circulating|circ|circulation|pumping|pump|circulating hours|circ hours|pump hours",
    "bottom": "bottom|on bottom|drilling|bit|on bottom hours|bottom hours|bit hours|drilling hours",
    "below_rotary": "below rotary|below rotary hours|below table|in hole|below rotary table|brt",
    "rpm": "rpm|revs|turns|rev min",
    "remark": "remark|remarks|activity|operation|comment|bemerkung",
}
_ROLES = {word: role for role, words in _WORDS.items() for word in words.split("|")}
_UNITS = {"ft": "ft", "feet": "ft", "m": "m", "mmd": "m", "min": "min", "minutes": "min"}
_PLAIN = re.compile(r"[^a-z]+")


@dataclass(frozen=True)
class TimeHeading:
    """What one column holds: `role` ("" unknown) and `unit` where the heading names it ("ft", "m", "min")."""

    role: str
    unit: str = ""


def time_heading(text: str) -> TimeHeading:
    """Return what a column headed `text` holds: "Rot. (h)" is rotating, "To depth [m]" a depth in metres.

    Raises nothing: a heading that nobody knows has the role "". Source: common practice.
    """
    words = [word for word in _PLAIN.split(text.casefold().replace("_", " ")) if word]
    unit = next((_UNITS[word] for word in words[1:] if word in _UNITS), "")
    kept = [word for word in words if word not in {"h", "hr", "hrs", *(_UNITS if len(words) > 1 else ())}]
    for form in (" ".join(kept), " ".join(word for word in kept if word not in ("hours", "time"))):
        if form in _ROLES:
            return TimeHeading(_ROLES[form], unit)
    return TimeHeading("")
