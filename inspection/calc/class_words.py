"""A class as papers write it: "P", "Cl. 2", "2W"; what means another thing in another house is asked."""

import re
from collections.abc import Mapping

from inspection.calc.criteria import Scheme
from rack.calc.checks import Problem, asks

_SOURCE = "conflicts of class names; common practice"
#: Spelling (letters and figures only) -> class, where every house means the same.
_PLAIN = {
    "P": "Premium", "PR": "Premium", "PREM": "Premium", "PREMIUM": "Premium", "PREMIUMCLASS": "Premium",
    "PC": "Premium", "2": "Class 2", "CL2": "Class 2", "CLASS2": "Class 2", "CLASSII": "Class 2",
    "II": "Class 2", "KLASSE2": "Class 2", "KL2": "Class 2", "3": "Class 3", "CL3": "Class 3",
    "CLASS3": "Class 3", "CLASSIII": "Class 3", "III": "Class 3", "KLASSE3": "Class 3", "KL3": "Class 3",
    "S": "Scrap", "SCRAP": "Scrap", "REJECT": "Scrap", "REJ": "Scrap", "REJECTED": "Scrap", "JUNK": "Scrap",
    "DBR": "Scrap", "NEW": "Class 1", "ULTRA": "Ultra", "CLASS4": "Class 4", "CLASS5": "Class 5",
    "CL4": "Class 4", "CL5": "Class 5", "ACCEPT": "Accept", "ACCEPTED": "Accept", "OK": "Accept",
    "REPAIR": "Repair", "CRITICALSERVICE": "Critical service",
    "PREMIUMREDUCEDTSR": "Premium, reduced torsional ratio",
}  # fmt: skip
#: Letter codes and names that stand for different classes in different houses, with the likeliest.
_ASKED = {
    "C1": "", "C2": "Class 2", "C3": "Class 3", "N": "Class 1", "1": "Class 1", "CL1": "Class 1",
    "CLASS1": "Class 1", "CLASSI": "Class 1", "I": "Class 1", "GRADE1": "Premium", "A": "", "B": "", "C": "",
    "D": "", "U": "", "R": "Scrap",
}  # fmt: skip
_BLANK = frozenset({"", "-", "--", "–", "—", "."})
_COLOURS = {
    "W": "white", "WH": "white", "WHT": "white", "WHITE": "white", "Y": "yellow", "YEL": "yellow",
    "YELLOW": "yellow", "O": "orange", "OR": "orange", "ORG": "orange", "ORANGE": "orange", "R": "red",
    "RED": "red", "G": "green", "GR": "green", "GRN": "green", "GREEN": "green", "B": "blue", "BL": "blue",
    "BLUE": "blue",
}  # fmt: skip
_NUMBERS = {"ONE": "1", "TWO": "2", "THREE": "3", "DOUBLE": "2", "SINGLE": "1"}
_BANDS = re.compile(r"(\d|ONE|TWO|THREE|SINGLE|DOUBLE)?X?([A-Z]+?)(?:BANDS?|STRIPES?)?", re.I)


def key(text: str) -> str:
    """Return `text` in capitals, letters and figures only (no unit). Raises nothing. Source: none needed."""
    return "".join(sign for sign in text.upper() if sign.isalnum())


def read_bands(text: str) -> tuple[str, str] | None:
    """Return count and colour of paint as written: "2W" is ("2", "white"); None for what is no paint.

    `text` is a cell (no unit); a count that is not written is "". Raises nothing.
    Source: bands of the paper samples, common practice.
    """
    found = _BANDS.fullmatch(key(text))
    if not found or found[2].upper() not in _COLOURS:
        return None
    count = (found[1] or "").upper()
    return _NUMBERS.get(count, count), _COLOURS[found[2].upper()]


def by_bands(one: Scheme, count: str, colour: str) -> tuple[str, ...]:
    """Return the classes of scheme `one` that bear `count` bands of `colour` ("" count: any).

    No unit; raises nothing. Source: the scheme's table of classes.
    """
    return tuple(step.name for step in one.steps
                 if step.colour == colour and (not count or step.bands == count))


def read_class(
    text: str, one: Scheme, *, aliases: Mapping[str, str] | None = None
) -> tuple[str, tuple[Problem, ...]]:
    """Return the class of scheme `one` that `text` writes, "" with a question where it may mean another.

    `aliases` is what was settled once for this company, by the spelling's letters and figures. A colour
    is read by the scheme's own bands and asked where it is alone; nothing is guessed. Raises nothing.
    Source: classes, conflicts of class names (C1 in some houses lies between premium and class 2).
    """
    spelled = key(text)
    if not spelled:
        return "", (() if text.strip() in _BLANK else (_question(text, one, ""),))
    settled = {key(name): value for name, value in (aliases or {}).items()}.get(spelled, "")
    exact = next((name for name in one.names if key(name) == spelled), "")
    if settled in one.names and settled:
        return settled, ()
    if spelled in _ASKED and not _is_own(one, spelled):
        return "", (_question(text, one, _ASKED[spelled]),)
    name = exact or _last_as_scrap(_PLAIN.get(spelled, ""), one)
    if name in one.names:
        return name, ()
    paint = read_bands(text)
    if paint:
        found = by_bands(one, *paint)
        if len(found) == 1 and paint[0] and found[0] != "Class 1":
            return found[0], ()
        return "", (_question(text, one, found[0] if len(found) == 1 else ""),)
    return "", (_question(text, one, ""),)


def _is_own(one: Scheme, spelled: str) -> bool:
    """In lists of used casing and tubing there is no Class 1 to be mistaken."""
    return any(key(name) == spelled for name in one.names) and "Premium" not in one.names


def _last_as_scrap(name: str, one: Scheme) -> str:
    return one.last if name == "Scrap" else name


def _question(text: str, one: Scheme, guess: str) -> Problem:
    perhaps = f" {guess}, perhaps?" if guess in one.names and guess else ""
    return asks(
        f"Class “{text.strip()[:40]}” means different classes in different houses; which class of {one.said} "
        f"is it?{perhaps}", code="class", source=_SOURCE,
    )  # fmt: skip
