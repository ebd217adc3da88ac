"""How remarks write the facts of one piece, and how lists write a day. Spellings are common practice."""

import re
from datetime import date

_NOZZLE = r"(?:\d{1,2}\s*[x×]\s*)?\d{1,2}(?:\s*/\s*32(?:nds?)?)?"
_NOZZLES = rf"{_NOZZLE}(?:\s*[-,+/&]?\s*{_NOZZLE})*"
_DAY = r"\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[.\s-]+[a-z]{3,9}[.\s-]+\d{4}|\d{1,2}[./]\d{1,2}[./]\d{4}"


def _beside(*patterns: str) -> re.Pattern[str]:
    return re.compile("|".join(patterns), re.IGNORECASE)


#: name of the fact -> the words beside a figure, and the figure as the first group that is filled.
BESIDE = {
    "nozzles": _beside(
        rf"\b(?:nozzles?|nzls?|jets?|düsen|duses?|boquillas|dyser)\b\s*(?:fitted|are)?\s*[:=]?\s*({_NOZZLES})(?![\d.])",
        rf"(?<![\d.])(\d{{1,2}}\s*[x×]\s*\d{{1,2}}(?:[\s,+&]+{_NOZZLES})?)\s*(?:nozzles?|nzls?|jets?|düsen)\b",
    ),
    "bend": _beside(
        r"\b(?:bend|bent(?: housing| sub)?|knick(?:winkel)?|akg|akh)\b\s*(?:setting|set)?\s*(?:to|at|of)?"
        r"\s*[:=]?\s*(\d{1,2}(?:[.,]\d{1,2})?)(?![.,]?\d|/)",
        r"(?<![\d.])(\d[.,]\d{1,2}\s*(?:°|deg(?:rees?)?\b))",
    ),
    "stator_on": _beside(
        rf"\bstator\b\s*(?:date|datum|relined?|changed|fitted|new|neu)?\s*(?:on|from|of|vom)?\s*[:=]?\s*({_DAY})",
        rf"\brelined?\s*(?:on)?\s*[:=]?\s*({_DAY})",
    ),
    "gauge_measured_nm": _beside(
        r"\b(?:gauge|gage)\s+(?:as\s+)?measured\s*[:=]?\s*(\d+(?:[ -]\d+/\d+|[.,]\d+)?)",
        r"\bmeasured\s+gauge\s*[:=]?\s*(\d+(?:[ -]\d+/\d+|[.,]\d+)?)",
    ),
    "clamp": _beside(r"\bclamp\s*(?:is)?\s*[:=]?\s*(on|off)\b"),
    "float": _beside(r"\bfloat\s*[:=]\s*(plain|ported|none)\b", r"\b(plain|ported)\s+float\b"),
    "action": _beside(r"\b(hydraulic|mechanical|hydro-?mechanical)\b"),
    "lobes": _beside(
        r"\b(\d/\d\s*(?:lobes?)?,?\s*\d+(?:\.\d)?\s*stages?)\b",
        r"\blobes?\s*[:=]?\s*(\d/\d)\b",
    ),
}

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def day_of(text: str) -> str:
    """Return the day that `text` says as 2026-05-01; what may be two days comes back as it was typed.

    "01.05.2026" is day first, as everybody with points writes it; "05/01/2026" is not told apart, while
    "25/05/2026" can only be one day. Raises nothing. Source: common practice.
    """
    form = re.sub(r"[ T]\d{1,2}:\d{2}(?::\d{2})?$", "", text.strip())
    words = re.fullmatch(r"(\d{1,2})[.\s-]+([A-Za-z]{3})[a-z]*[.\s-]+(\d{4})", form)
    if words and words[2].lower() in _MONTHS:
        return _iso(words[3], _MONTHS.index(words[2].lower()) + 1, words[1]) or text
    found = re.fullmatch(r"(\d{1,2})([./])(\d{1,2})\2(\d{4})", form)
    if not found:
        return form
    first, second = int(found[1]), int(found[3])
    if found[2] == "." or first > 12 or first == second:
        return _iso(found[4], second, first) or text
    return (_iso(found[4], first, second) or text) if second > 12 else text


def _iso(year: str | int, month: str | int, day: str | int) -> str:
    try:
        return date(int(year), int(month), int(day)).isoformat()
    except ValueError:
        return ""
