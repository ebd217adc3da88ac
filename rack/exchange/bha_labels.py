"""The words of a BHA sheet: its headings, the labels of its head and foot with what stands beside them."""

import re
from collections.abc import Sequence
from fractions import Fraction

from rack.calc.names import key_of

Labels = dict[str, str]

#: Column -> how a heading begins (key). The first column that fits holds; longer words come first.
HEADINGS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("neck_od", ("FNOD", "FISHINGNECKOD", "FISHNECKOD", "FISHINGNECKDIA")),
    ("neck", ("FNLGTH", "FNLENGTH", "FNL", "FISHINGNECKL", "FISHNECKL", "NECKLENGTH")),
    ("tj_bore", ("TJID", "TOOLJOINTID")),
    ("down", ("CONNDOWN", "CONNECTIONDOWN", "CONNDN", "BOTTOMCONN", "LOWERCONN", "CONNBOTTOM", "CONNLOWER",
              "DOWNCONN", "CONNBTM", "BTMCONN", "THREADDOWN", "DOWN")),
    ("up", ("CONNUP", "CONNECTIONUP", "TOPCONN", "UPPERCONN", "CONNTOP", "CONNUPPER", "UPCONN", "THREADUP",
            "UP")),
    ("lb_ft", ("LBFT", "PPF", "KGM", "LBSFT", "UNITWEIGHT", "UNITWT", "WEIGHTLBFT", "WTLBFT", "WEIGHTKGM",
               "WTKGM", "LINEARWEIGHT", "WTFT", "WEIGHTPERFOOT")),
    ("since", ("HRSSINCE", "HOURSSINCE", "SINCEINSP", "HSINCE", "SINCE", "PREVHRS", "PREVIOUSHOURS")),
    ("run", ("THISRUN", "HRSTHISRUN", "HOURSTHISRUN", "RUNHRS", "RUNHOURS")),
    ("total", ("TOTALHRS", "TOTALHOURS", "TOTALH", "TOTAL", "ACCUMHRS", "CUMHRS", "CUMHOURS")),
    ("cum", ("CUM", "ACCUM", "ACCLENGTH", "DISTANCEFROMBIT", "FROMBIT", "RUNNINGTOTAL", "RUNNINGLENGTH",
             "TOTALLENGTH")),
    ("clock", ("CLOCK", "KINDOFHOURS", "HOURSKIND", "HRSTYPE", "BASIS")),
    ("inspected", ("LASTINSP", "INSPDATE", "INSPECTIONDATE", "DATEINSP", "INSPECTED", "LASTINSPECTION",
                   "INSPECTION", "INSP")),
    ("number", ("NO", "NR", "POS", "ITEMNO", "JTNO", "NUMBER", "SEQ", "#")),
    ("qty", ("QTY", "QUANTITY", "PCS", "JTS", "COUNT", "JOINTS", "PIECES")),
    ("item", ("ITEM", "DESCRIPTION", "COMPONENT", "ELEMENT", "TOOL", "BHACOMPONENT")),
    ("serial", ("SERIAL", "SN", "SERNO", "SERIENNR")),
    ("owner", ("OWNER", "COMPANY", "VENDOR", "RENTAL", "SUPPLIER")),
    ("gauge", ("GAUGE", "GAGE", "BLADEOD", "MAXOD", "SLEEVEOD")),
    ("od", ("OD", "BODYOD")),
    ("bore", ("ID", "BORE", "BODYID", "MINID")),
    ("length", ("LENGTH", "LGTH", "LEN", "LENGHT")),
    ("lb", ("WEIGHT", "WT", "MASS", "AIRWEIGHT", "WEIGHTAIR")),
    ("remarks", ("REMARK", "NOTE", "COMMENT")),
)  # fmt: skip
#: Short words stand alone or before a unit; "NOTE" is no "NO".
_SHORT_TAILS = ("", "FT", "M", "IN", "INCH", "MM", "LB", "LBS", "KG", "NO", "HRS", "H", "FROMBIT", "AIR")

_VALUE = r"\s*[:=]?\s*(?P<rest>.*)$"
_HEAD: tuple[tuple[str, str], ...] = (
    ("bha_no", r"(bha|string|assembly)\s*(no\b\.?|number|nr\.?|#)"),
    ("bit_no", r"bit\s*(no\b\.?|number|nr\.?|#)"),
    ("run_no", r"run\s*(no\b\.?|number|nr\.?|#)"), ("rig", r"rig\b(?!\w)"), ("well", r"well(bore)?\b"),
    ("date", r"(date|day)\b"),
    ("shoe", r"(casing\s*)?shoe(\s*(depth|at|@))?\b"),
    ("depth_in", r"(depth\s*in|in\s*at|start\s*depth)\b"),
    ("depth_out", r"(depth\s*out|out\s*at|end\s*depth)\b"),
    ("hole", r"hole(\s*size)?\b(?!\s*opener)"),
    ("hits", r"jar\s*hits\b"), ("hours", r"hours\s*(this\s*run|of\s*the\s*run)?\b"),
    ("below rotary", r"(below\s*(the\s*)?rotary|brt)(\s*h(ou)?rs?)?\b"),
    ("on bottom", r"on[\s-]*(bottom|btm)\b\.?(\s*h(ou)?rs?)?"),
    ("circulating", r"circ(ulating|\.|\b)(\s*h(ou)?rs?)?"),
    ("sliding", r"slid(ing|e)\b(\s*h(ou)?rs?)?"),
    ("rotating", r"rot(ating|ary|\.|\b)(?!\s*steer)(\s*h(ou)?rs?)?"),
    ("mud", r"mud(\s*weight|\s*wt\.?)?\b"), ("casing", r"(last\s*)?(casing|csg)\b"),
    ("numbered", r"(numbered|numbers|counted|order|no\.?\s*1\s*(is|=))\b"),
    ("sensor",
     r"((survey|mwd|d&i|directional|dir\.?)\s*)?sensor(\s*(distance"
     r"|offset))?(\s*(to|from)\s*(the\s*)?bit)?\b"),
    ("lengths",
     r"lengths?\s*(taken|measured|in\b|are\b)?(?=\s*(ft"
     r"|m\b|feet|metres|meters|pins?|overall|:|=|$|shoulder))"),
    ("prepared", r"(prepared|made|checked|approved)\s*by\b"), ("revision", r"rev(ision)?\b\.?"),
)  # fmt: skip
_FOOT: tuple[tuple[str, str], ...] = (
    ("below_jar", r"(total\s*)?(weight|wt\.?)?\s*(of\s*)?(string\s*)?below\s*(the\s*)?jars?\b"),
    ("mud",
     r"((total|bha)\s*)?(buoyed\s*weight|(weight|wt\.?)\s*(of\s*bha\s*)?(in\s*mud|buoyed))\b"
     r"|\bin\s*mud\b"),
    ("air",
     r"((total|bha)\s*)?(weight|wt\.?)\s*(of\s*bha\s*)?(in\s*)?air\b"
     r"|\bair\s*weight\b|\btotal\s*weight\b|\bbha\s*weight\b"),
    ("length",
     r"(total\s*)?(bha|string|assembly)\s*length\b"
     r"|total\s*length\b|length\s*of\s*(the\s*)?(bha|string)\b"),
    ("signed", r"(signed|signature|signatures|directional\s*driller|driller|toolpusher|tool\s*pusher"
     r"|supervisor"
               r"|company\s*man|checked\s*by|prepared\s*by|approved\s*by|dd\b)\b"),
)  # fmt: skip
_HEAD_OF = [
    (label, re.compile(rf"^\s*{pattern}(?P<tail>\s*\([^)]*\))?{_VALUE}", re.I)) for label, pattern in _HEAD
]
_FOOT_OF = [
    (label, re.compile(rf"^\s*(?:{pattern})(?P<tail>\s*\([^)]*\))?{_VALUE}", re.I))
    for label, pattern in _FOOT
]
_NUMBER = re.compile(r"(?<![\w.,])\d[\d.,' ]*(?<=\d)")


def columns_of(cells: Sequence[str]) -> dict[str, int]:
    """Return which column each heading of a row is, the first of a kind."""
    found: dict[str, int] = {}
    for index, cell in enumerate(cells):
        key = "#" if cell.strip() == "#" else key_of(cell)
        if not key or len(key) > 30:
            continue
        for column, begins in HEADINGS:
            if column not in found and any(_begins(key, begin) for begin in begins):
                found[column] = index
                break
    return found


def _begins(key: str, begin: str) -> bool:
    if len(begin) > 5:
        return key.startswith(begin)
    return (
        key.startswith(begin)
        and key[len(begin) :].removesuffix("S") in _SHORT_TAILS
        or (len(begin) > 3 and key.startswith(begin))
    )


def head_labels(rows: Sequence[Sequence[str]]) -> Labels:
    """Return what stands beside each label of the head, in its own cell or in those that follow it."""
    return _labels(rows, _HEAD_OF)


def foot_labels(rows: Sequence[Sequence[str]]) -> Labels:
    """Return what stands beside each label of the foot."""
    return _labels(rows, _FOOT_OF)


def is_foot(cells: Sequence[str]) -> bool:
    """Say whether the first filled cell of a row is a label of the foot."""
    first = next((cell for cell in cells if cell.strip()), "")
    return any(pattern.match(first) for _, pattern in _FOOT_OF)


def _labels(rows: Sequence[Sequence[str]], known: Sequence[tuple[str, re.Pattern[str]]]) -> Labels:
    found: Labels = {}
    for cells in rows:
        label = ""
        for cell in cells:
            text = " ".join(cell.split())[:300]
            if not text:
                continue
            hit = next(((name, match) for name, pattern in known if (match := pattern.match(text))), None)
            if hit is not None:
                label = hit[0]
                rest = f"{(hit[1]['tail'] or '').strip(' ()')} {hit[1]['rest'].strip()}".strip()
                found[label] = (
                    f"{found[label]}; {rest}" if found.get(label) and rest else (found.get(label) or rest)
                )
            elif label:
                found[label] = f"{found[label]}; {text}" if found[label] else text
    return found


def figure(text: str, *, thousands: bool = False) -> Fraction | None:
    """Return the number that `text` begins with or holds, None for none: "2,144 lb", "41.00", "12,50".

    With `thousands`, one mark before three figures parts thousands, as weights are written.
    """
    found = _NUMBER.search(text[:200])
    if found is None:
        return None
    digits = found[0].replace(" ", "").replace("'", "")
    marks = [sign for sign in digits if sign in ".,"]
    last = max(digits.rfind("."), digits.rfind(","))
    grouped = all(len(part) == 3 for part in re.split("[.,]", digits)[1:])
    if len(set(marks)) == 1 and grouped and (len(marks) > 1 or thousands):
        return Fraction(re.sub("[.,]", "", digits))
    if len(marks) > 1 and len(set(marks)) == 1:
        return None
    before, after = (digits[:last], digits[last + 1 :]) if last >= 0 else (digits, "")
    whole = re.sub("[.,]", "", before)
    if len(whole) > 12 or not (whole + after).isascii():
        return None
    return Fraction(int((whole or "0") + after), 10 ** len(after))
