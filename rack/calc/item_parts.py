"""One fact of a piece at a time, as lists write it: a size, a weight, a grade, a thread, a range, a class.

Each function returns the value and every problem. What is typed is kept; a guess stands in the
problem beside it and is never put in its place without saying so.
"""

import re
from fractions import Fraction
from functools import cache

from rack.calc.checks import Problem, asks, note, stops
from rack.calc.connections import canonical
from rack.calc.item_grades import plain as plain
from rack.calc.item_grades import read_grade as read_grade
from rack.calc.item_words import CLASSES, COLOURS, KIND_WORDS
from rack.calc.lookup import number as cell_number
from rack.calc.lookup import rows
from rack.calc.units import FACTORS, NM

Problems = tuple[Problem, ...]

#: A number below this is a size in inches, from here on in millimetres; 36 in is the largest bit.
_MM_FROM = 45
#: Tolerances of a size in millimetres: lists round 73.025 to 73.0, and 139.7 to 140.
_NEAR_MM, _NEAR_WHOLE_MM = Fraction(6, 100), Fraction(1, 2)
#: A metric weight is taken for a label weight when it is within half of one in a hundred of it.
_NEAR_LABEL = Fraction(5, 1000)
_LB_FT = FACTORS["weight"]["lb/ft"]
_LONGEST_THREAD = 24

_MIXED = re.compile(r"(\d+)?\s*[- ]?\s*(\d+)\s*/\s*(\d+)")


def number(text: str) -> Fraction | None:
    """Return the value of "19.50", "29,02", "1.234,5", "5-1/2" or "5 1/2"; None when it is no number.

    One mark alone is a decimal mark: sizes and weights have no thousands. Raises nothing.
    `text` is one figure as typed. Source: common practice.
    """
    form = plain(text)
    found = _MIXED.fullmatch(form)
    if found:
        whole, top, bottom = (int(part or 0) for part in found.groups())
        return whole + Fraction(top, bottom) if bottom and top < bottom else None
    if not re.fullmatch(r"\d[\d.,]*|[.,]\d+", form) or len(form) > 20:
        return None
    last = max(form.rfind("."), form.rfind(","))
    whole_part, part = (form[:last], form[last + 1 :]) if last >= 0 else (form, "")
    digits = re.sub("[.,]", "", whole_part)
    if form.count(form[last]) > 1 and last >= 0:
        return None
    return Fraction(int((digits or "0") + part), 10 ** len(part))


@cache
def sizes_in() -> tuple[Fraction, ...]:
    """Return the catalogued diameters of drill pipe, heavy-weight, casing and tubing in inches, in order.

    Source: tables "drill_pipe", "heavyweight", "casing", "tubing", "makeup_loss".
    Raises nothing.
    """
    found = {
        cell_number(row["od_in"])
        for table in ("drill_pipe", "heavyweight", "casing", "tubing")
        for row in rows(table)
    }
    found |= {
        cell_number(row["size_in"])
        for row in rows("makeup_loss")
        if "/" in row["size_in"] or row["size_in"].isdigit()
    }
    return tuple(sorted(size for size in found if size))


@cache
def label_weights(kind: str, od_nm: int) -> tuple[Fraction, ...]:
    """Return the catalogued label weights in lb/ft of this kind ("" = drill pipe or casing) and diameter.

    Source: tables "drill_pipe", "heavyweight", "casing", "casing_small_seen".
    `kind` is a code, `od_nm` whole nanometres. Raises nothing.
    """
    columns = {
        "drill_pipe": (("drill_pipe", "nominal_weight_lb_ft"),),
        "heavy_weight": (("heavyweight", "approx_weight_lb_ft_with_joints"),),
        "casing": (("casing", "weight_lb_ft"), ("casing_small_seen", "weight_lb_ft")),
    }
    wanted = [*columns["drill_pipe"], *columns["casing"]] if not kind else columns.get(kind, ())
    found = {
        cell_number(row[column])
        for table, column in wanted
        for row in rows(table)
        if (cell_number(row["od_in"]) or 0) * NM["in"] == od_nm
    }
    return tuple(sorted(weight for weight in found if weight))


def read_size(text: str, unit: str = "", what: str = "Size") -> tuple[int, Problems]:
    """Return a diameter, bore or wall in whole nanometres: "5", "5-1/2 in", "127,0" mm, '5"'; 0 = not read.

    `unit` is "in", "mm" or "" (inches below 45, else millimetres). A metric figure within rounding of
    a catalogued size is taken for it with a NOTE that names both.
    `text` is the figure as typed, `what` begins the sentence of a problem. Raises nothing. Source: the
    catalogued sizes (`sizes_in`); the bounds are common practice.
    """
    form = plain(text).lower()
    found = re.fullmatch(r"([\d.,/ -]+?)\s*(\"|in\.?|inch(?:es)?|zoll|mm)?", form)
    value = number(found[1]) if found else None
    if not found or value is None or value <= 0:
        return 0, (asks(f"{what} “{text}” is not understood.", code="size"),)
    named = "mm" if found[2] == "mm" else "in" if found[2] else unit
    if not named:
        named = "mm" if value >= _MM_FROM else "in"
    if named == "in":
        nm = value * NM["in"]
        if value > 60 or nm.denominator != 1:
            return 0, (asks(f"{what} “{text}” in is no size of a piece of this trade.", code="size"),)
        return int(nm), ()
    return _from_mm(text, value, what)


def _from_mm(text: str, value: Fraction, what: str) -> tuple[int, Problems]:
    nm = value * NM["mm"]
    if value > 1600 or nm.denominator != 1:
        return 0, (asks(f"{what} “{text}” mm is no size of a piece of this trade.", code="size"),)
    near = _NEAR_WHOLE_MM if value.denominator == 1 else _NEAR_MM
    for size in sizes_in() if value > 40 else ():
        if abs(size * Fraction(254, 10) - value) <= near:
            exact = size * NM["in"] == nm
            same = "which is exactly" if exact else "taken for"
            return int(size * NM["in"]), (
                note(f"{what} {text} mm, {same} {inches(int(size * NM['in']))} in.", code="metric"),
            )
    return int(nm), (note(f"{what} {text} mm is kept as it is.", code="metric"),)


def inches(nanometres: int) -> str:
    """Return a size in inches as the trade writes it: "5-1/2" in sixty-fourths, else decimals.

    `nanometres` is a whole number, 0 or more. Raises nothing. Source: common practice.
    """
    value = Fraction(nanometres, NM["in"])
    if value.denominator <= 64 and 64 % value.denominator == 0:
        whole, part = divmod(value.numerator, value.denominator)
        fraction = f"{part}/{value.denominator}" if part else ""
        return "-".join(each for each in (str(whole) if whole else "", fraction) if each) or "0"
    return f"{float(value):.3f}"


def read_weight(text: str, unit: str, kind: str, od_nm: int) -> tuple[int, Problems]:
    """Return a weight a foot in 1/1000 lb/ft, 0 when not read: "19.50", "19.5 lb/ft", "29,02" kg/m, "47#".

    Kilograms a metre near a label weight of this `kind` and diameter are taken for the label, with a
    NOTE that says both. Without a unit it is lb/ft, unless only kg/m makes a label weight of it.
    `text` is the figure as typed, `unit` "lb/ft", "kg/m" or "", `od_nm` the diameter in whole nanometres,
    0 = not known. Raises nothing. Source: the label weights of the tables; how near is near is common
    practice.
    """
    form = plain(text).lower()
    found = re.fullmatch(
        r"([\d.,/ -]+?)\s*(#|lbs?\s*/\s*ft|lbs?|ppf|pounds? per foot|kg\s*/\s*m|kg)?\.?", form
    )
    value = number(found[1]) if found else None
    if not found or value is None or not 0 < value < 2000:
        return 0, (asks(f"Weight “{text}” is not understood.", code="weight"),)
    named = "" if not found[2] else "kg/m" if found[2].startswith("kg") else "lb/ft"
    labels = label_weights(kind, od_nm) or label_weights("", od_nm)
    metric = _nearest(value / _LB_FT, labels)
    if not (named or unit) and metric and value not in labels:
        return int(metric * 1000), (
            note(
                f"Weight {text} without a unit is kg/m: the label weight {_lb(metric)} lb/ft.", code="metric"
            ),
        )
    if (named or unit) == "kg/m":
        return _from_kg_m(text, value / _LB_FT, metric, labels)
    milli = value * 1000
    if milli.denominator != 1:
        return 0, (asks(f"Weight “{text}” has more figures than a label weight.", code="weight"),)
    if labels and value not in labels and kind in ("drill_pipe", "heavy_weight"):
        known = ", ".join(_lb(label) for label in labels)
        return int(milli), (
            note(f"{_lb(value)} lb/ft is not in our table for {inches(od_nm)} in ({known}).", code="weight"),
        )
    return int(milli), ()


def _from_kg_m(
    text: str, lb_ft: Fraction, near: Fraction | None, labels: tuple[Fraction, ...]
) -> tuple[int, Problems]:
    if near:
        return int(near * 1000), (
            note(
                f"Weight {text} kg/m ({_lb(lb_ft, 3)} lb/ft) is the label weight {_lb(near)} lb/ft.",
                code="metric",
            ),
        )
    milli = (2 * 1000 * lb_ft.numerator + lb_ft.denominator) // (2 * lb_ft.denominator)
    known = f" The labels of this size are {', '.join(_lb(label) for label in labels)}." if labels else ""
    return milli, (
        asks(f"Weight {text} kg/m is {_lb(lb_ft, 3)} lb/ft, near no label weight.{known}", code="weight"),
    )


def _nearest(value: Fraction, labels: tuple[Fraction, ...]) -> Fraction | None:
    near = min(labels, key=lambda label: abs(label - value), default=None)
    return near if near and abs(near - value) <= near * _NEAR_LABEL else None


def _lb(value: Fraction, digits: int = 2) -> str:
    return f"{float(value):.{digits}f}"


def read_thread(text: str) -> tuple[str, tuple[str, ...], Problems]:
    """Return a thread by its one name, the genders typed with it ("box", "pin") and what is to be asked.

    "NC50 (4 1/2 IF) box x pin" is "NC50", ("box", "pin"). A thread that is not known is kept as typed.
    `text` is the thread as typed. Raises nothing. Source: as `connections.canonical`.
    """
    form = plain(text)
    words = re.findall(
        r"(?<![A-Z0-9])(BOX|PIN|B|P)(?=$|[^A-Z0-9&])|(?<![A-Z])([BP])\s*X\s*([BP])(?![A-Z])", form.upper()
    )
    genders = tuple("box" if part.startswith("B") else "pin" for found in words for part in found if part)
    try:
        return canonical(form), genders[:2], ()
    except ValueError as error:
        kept = re.sub(r"\s*\b(?:box|pin)\b(?:\s*[x/]\s*\b(?:box|pin)\b)?\s*$", "", form, flags=re.IGNORECASE)
        if len(kept) > _LONGEST_THREAD:
            return (
                "",
                genders[:2],
                (stops(f"Connection “{form[:40]}…” is not understood: {error}.", code="connection"),),
            )
        return (
            kept,
            genders[:2],
            (asks(f"Connection “{text}” is not known and is kept as typed.", code="connection"),),
        )


def read_range(text: str) -> tuple[str, Problems]:
    """Return "R1", "R2" or "R3" for "Range 2", "R-2", "II" or "2".

    `text` is the range as typed. Raises nothing. Source: common practice.
    """
    key = re.sub(r"^(?:RANGE|RNG|RG|R)", "", re.sub(r"[^A-Z0-9]", "", plain(text).upper()))
    digit = {"1": "1", "2": "2", "3": "3", "I": "1", "II": "2", "III": "3"}.get(key)
    return (f"R{digit}", ()) if digit else ("", (asks(f"Range “{text}” is not 1, 2 or 3.", code="range"),))


def read_class(text: str) -> tuple[str, Problems]:
    """Return the class as it is given; a letter, a number alone or a colour is asked about, never guessed.

    `text` is the class as typed. Raises nothing. Source: trade guide 6: letters and colours mean another
    thing in another scheme.
    """
    form = plain(text)
    key = re.sub(r"[\s.\-_]+", " ", form.lower()).strip()
    spread = re.sub(r"(?<=[a-z])(?=\d)", " ", key)
    if key in CLASSES:
        return CLASSES[key], ()
    if spread in CLASSES and not re.fullmatch(r"c \d", spread):
        return CLASSES[spread], ()
    if set(re.findall(r"[^\W\d]+", key)) & COLOURS:
        return form, (
            asks(
                f"Class “{text}” is a colour, and colours mean different classes in different schemes. "
                "Which class is it?",
                code="class",
            ),
        )
    return form, (
        asks(
            f"Class “{text}” is kept as typed; letters and numbers stand for different classes in "
            "different houses. Which class is it?",
            code="class",
        ),
    )


def kind_word(text: str) -> tuple[str, str, tuple[int, int]]:
    """Return the code of the kind that `text` names, the word that named it and where it stands in `text`.

    The longest word counts ("bit sub" is a sub). A kind that is not kept yet has the code "" and its
    word; no kind at all is "" and "".
    Raises nothing. Source: the words stand with each kind; common practice.
    """
    found = _KIND.search(text)
    best = max(_KIND.finditer(text), key=lambda each: len(each[0]), default=found)
    if best is None:
        return "", "", (0, 0)
    return KIND_WORDS[best[0].lower()], best[0], best.span()


_KIND = re.compile(
    r"(?<![\w/])(?:" + "|".join(re.escape(word) for word in KIND_WORDS) + r")(?![\w/])", re.IGNORECASE
)
