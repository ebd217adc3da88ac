"""The head and the foot of a casing sheet: labels, each with what stands beside it."""

import re
from collections.abc import Sequence

from rack.calc.checks import Problem, stops
from rack.calc.lengths import Length
from rack.calc.names import key_of

Labels = dict[str, str]

_KNOWN: dict[str, tuple[str, ...]] = {
    "hole": ("HOLETD", "TD", "HOLEDEPTH", "HOLE"),
    "received": ("RECEIVED", "JOINTSRECEIVED", "DELIVERED"),
    "track": ("SHOETRACK", "SHOETRACKJOINTS"),
    "marker": ("MARKER", "MARKERJOINT", "MARKERJT", "MARKERPLACE"),
    "loss": ("MULOSS", "MAKEUPLOSS", "LOSS"),
    "datum": ("DATUM", "RKBTOLANDINGSHOULDER", "DATUMTOLANDINGSHOULDER"),
    "lengths": ("LENGTHS", "KINDOFLENGTH", "LENGTHKIND"),
    "string": ("STRING", "CASING", "CASINGSTRING"),
    "to run": ("TORUN", "JOINTSTORUN", "JOINTSRUN", "RUN", "RAN"),
    "spare": ("SPARE", "SPARES", "SPAREJOINTS"),
    "left out": ("LEFTOUT", "LEFTOUTWITHREASON", "LAIDOUT", "LO", "REJECTED"),
    "on rack": ("ONRACKWHENLANDED", "ONTHERACKWHENLANDED", "COUNTONTHERACKWHENLANDED", "LEFTONRACK", "ONRACK",
                "COUNTONRACKWHENLANDED", "MUSTBELEFTONRACK", "LEFTONRACKWHENLANDED", "ONTHERACK"),
    "total": ("TOTAL", "TOTALLENGTH", "GRANDTOTAL", "TOTALBELOWLANDINGSHOULDER"),
    "shoe": ("SHOE", "SHOEDEPTH", "SHOEAT"),
    "stick-up": ("STICKUP", "STICKUPOFTHELANDINGJOINT", "STICKUPOFLANDINGJOINT", "LANDINGJOINTSTICKUP"),
    "landing": ("LANDINGJOINT", "LANDINGJT", "LANDINGJOINTLENGTH"),
    "centralizers": ("CENTRALIZERS", "CENTRALISERS", "CENTRALIZER", "CENTR"),
}  # fmt: skip
_LABEL = {key: label for label, keys in _KNOWN.items() for key in keys}
_NUMBER = re.compile(r"(?<![\w.,])\d[\d.,]*(?:\s*(?:ft|feet|m|metres|meters|in)\b)?", re.I)
_NAME = re.compile(r"(?<![\w.,/])[A-Za-z]{0,2}\d{1,4}[A-Za-z]?(?![\w.,/]*\d)(?!\s*(?:x|off|jts|joints)\b)")
_JOINT = re.compile(r"\b(?:jts?|joints?)\.?\s*(?:no\.?\s*)?([A-Za-z]?\d{1,4}[A-Za-z]?)\b", re.I)


def labels_of(rows: Sequence[Sequence[str]]) -> Labels:
    """Return what stands beside each label that is known, in the next filled cells or behind a colon."""
    found: Labels = {}
    for cells in rows:
        label = ""
        for cell in cells:
            text = " ".join(cell.split())
            if not text:
                continue
            before, colon, after = text.partition(":")
            name = _LABEL.get(key_of(before if colon else _bare(text)), "")
            if name:
                label = name
                found.setdefault(label, after.strip() if colon else "")
            elif _looks_like_label(text):
                label = ""
            elif label:
                found[label] = f"{found[label]}; {text}" if found[label] else text
    return found


def _bare(text: str) -> str:
    """A label without the unit in brackets behind it."""
    return re.sub(r"\(.*?\)|\b(ft|m)\b", "", text)


def _looks_like_label(text: str) -> bool:
    """Whether it is the label of something that is not asked here: "Strap 1", "Rig"."""
    return key_of(text) in {"RIG", "WELL", "REV", "REVISION", "STRAP1", "STRAP2", "SIGNED", "SIGNATURES",
                            "SUPERVISOR", "TALLYBY", "CHECKEDBY", "TAPE", "DATE"}  # fmt: skip


def first_length(text: str, unit: str, label: str, problems: list[Problem]) -> Length | None:
    """Return the first length written in `text`, None where there is none; what cannot be read is named."""
    found = _NUMBER.search(text)
    if found is None:
        return None
    try:
        return Length.parse(found[0].rstrip(".,"), unit)
    except ValueError as wrong:
        problems.append(stops(f"The {label}: {wrong}", code="unread", where=label))
        return None


def whole_number(text: str) -> int | None:
    """Return the first whole number in `text`: "64 jts" is 64."""
    found = re.search(r"(?<![\w.,])(\d{1,5})(?![\d]|[.,]\d)", text, re.ASCII)
    return int(found[1]) if found else None


def names_in(text: str, *, listed: bool = False) -> tuple[str, ...]:
    """Return the painted numbers in `text`: those after "jt", or in a list behind its count.

    "after jt 41" gives 41; listed: "4: 61, 62, 36A" and "2 (jts 14, 20)" give all but the count.
    """
    rest = text
    if listed:
        counted = re.match(r"\s*\d{1,5}\s*(?:jts?|joints?|off|no)?\s*(?=[:;(,]|on\b|jts?\b)", text, re.I)
        if counted is None and re.fullmatch(r"\s*\d{1,5}\s*(?:jts?|joints?|off)?\.?\s*", text, re.I):
            return ()
        rest = text[counted.end() :] if counted else text
        if counted is None:
            return _after_joint(text)
    if not listed:
        return _after_joint(text) or tuple(_NAME.findall(text))[:1]
    return tuple(dict.fromkeys(_NAME.findall(_without_words(rest))))[:500]


def _after_joint(text: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(_JOINT.findall(text)))


def _without_words(text: str) -> str:
    """The list without what is said in words about each: "14 (thread damaged)" keeps 14."""
    return re.sub(r"[A-Za-zÀ-ÿ]{3,}", " ", text)
