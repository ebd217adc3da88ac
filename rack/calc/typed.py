"""How a typed length is read: exactly, or refused with a sentence that names what was wrong.

A text becomes parts ("31 ft", "3 1/2 in"), each part a number and perhaps a unit. Nothing is
guessed: a comma that could mark thousands or decimals, a number with a blank in it, or a length
that is no whole nanometre is refused, because a guess that is wrong lands the string wrong.
"""

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from rack.calc.units import NM, UNIT_NAMES, nm_per

#: No length of this trade is longer: 100 km.
LONGEST_NM = 100_000 * NM["m"]
_LONGEST_TEXT = 60

_WORDS = {
    "ft": ("ft", "foot", "feet", "'", "fuss", "fuß", "pied", "pieds"),
    "in": ("in", "inch", "inches", "ins", '"', "zoll", "pouce", "pouces"),
    "m": ("m", "metre", "metres", "meter", "meters", "mtr", "mtrs", "mètre", "mètres"),
    "cm": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
}
_UNIT_OF = {word: unit for unit, words in _WORDS.items() for word in words}

#: How many of the next unit make one of this: what may follow what, and how much of it.
_FOLLOWS = {("ft", "in"): 12, ("m", "cm"): 100, ("m", "mm"): 1000, ("cm", "mm"): 10}

_SAME_AS = {
    **dict.fromkeys("′’‘ʹ´`ʼ", "'"),
    **dict.fromkeys("″”“„˝ʺ", '"'),
    **dict.fromkeys("⁄∕", "/"),
    **dict.fromkeys("‐‑‒–—−", "-"),
    "٫": ".",
}
_EDGES = "\ufeff\u200b\u200e\u200f\u2060"  # unseen marks that come along when text is copied

_TOKEN = re.compile(
    r"(?P<number>[.,]?\d[\d.,]*)|(?P<unit>[a-zßè]+\.?|'|\")|(?P<sign>[/-])|(?P<blank> +)|(?P<other>.)",
    re.DOTALL,
)
_GROUPED = re.compile(r"\d{1,3}(,\d{3})+")
_BLANK_GROUPS = re.compile(r"(?<![\d.,])\d{1,3}(?: \d{3})+(?=[.,]\d+(?![\d.,/]))")


class _Wrong(Exception):
    """What was wrong with the text, as the second half of the sentence."""


@dataclass(frozen=True)
class _Part:
    value: Fraction
    whole: bool
    unit: str


def fold(text: str) -> str:
    """Return `text` in plain signs: digits 0 to 9, lower case, ' and ", single blanks, "½" as " 1/2 ".

    Digits of one other alphabet are read as what they are. Raises ValueError when alphabets are
    mixed, or when a sign (a raised or ringed figure) only looks like a digit. Source: Unicode.
    """
    try:
        return _fold(text)
    except _Wrong as wrong:
        raise ValueError(_sentence(text, str(wrong))) from None


def read_nanometres(text: str, unit: str = "ft", *, decimal: str = "") -> int:
    """Return the length written in `text` as whole nanometres, exactly.

    `unit` ("ft", "in", "m", "cm", "mm") counts where the text names none. `decimal` is "." or ","
    where the list is known to use that mark, "" where it is not. Raises ValueError with a sentence
    naming what was wrong. Source: international inch, exact.
    """
    nm_per(unit)
    if decimal not in ("", ".", ","):
        raise ValueError(f"the decimal mark is a point or a comma, not {decimal!r}")
    if not isinstance(text, str):
        raise ValueError(f"a length is read from text, not from {type(text).__name__}")
    try:
        parts = _parts(_fold(text), decimal)
        return _whole_nanometres(parts, unit)
    except _Wrong as wrong:
        raise ValueError(_sentence(text, str(wrong))) from None


def _sentence(text: str, why: str) -> str:
    shown = "".join(letter if letter.isprintable() else " " for letter in text[:40]).strip()
    end = "" if why.endswith("?") else "."
    if not shown:
        return f"There is no length here: {why}{end}"
    return f"“{shown}{'…' if len(text) > 40 else ''}” is no length: {why}{end}"


def _fold(text: str) -> str:
    stripped = text.strip().strip(_EDGES).strip()
    if not stripped:
        raise _Wrong("nothing is written")
    if len(stripped) > _LONGEST_TEXT:
        raise _Wrong(f"it is longer than {_LONGEST_TEXT} signs")
    plain = "".join(_plain(letter) for letter in stripped)
    digits = {letter: unicodedata.decimal(letter) for letter in plain if letter.isdecimal()}
    if len({ord(letter) - value for letter, value in digits.items()}) > 1:
        raise _Wrong("it mixes digits of two alphabets")
    plain = "".join(str(digits.get(letter, letter)) for letter in plain)
    plain = plain.lower().replace("''", '"')
    return re.sub(" +", " ", plain).strip()


def _plain(letter: str) -> str:
    """Return one sign in its plain form; signs that only resemble a digit are refused."""
    if letter in _SAME_AS:
        return _SAME_AS[letter]
    if unicodedata.category(letter) == "Zs":
        return " "
    form = unicodedata.decomposition(letter).partition(" ")[0]
    if form == "<fraction>":
        return " " + unicodedata.normalize("NFKC", letter).replace("⁄", "/") + " "
    if form in ("<wide>", "<narrow>"):
        return unicodedata.normalize("NFKC", letter)
    if form and not letter.isdecimal() and letter.isnumeric():
        raise _Wrong(f"the sign {letter} is not a plain digit")
    return letter


def _parts(text: str, decimal: str) -> list[_Part]:
    if re.search(r"\d ?e ?[+-]?\d", text):
        raise _Wrong("powers of ten are not read; write it out")
    if text.startswith("-"):
        raise _Wrong("a length cannot be negative")
    tokens = _tokens(_BLANK_GROUPS.sub(lambda found: found[0].replace(" ", ""), text))
    parts: list[_Part] = []
    while tokens:
        if parts and not parts[-1].unit:
            raise _Wrong("two numbers stand side by side and no unit between them")
        value, whole = _number(tokens, decimal)
        parts.append(_Part(value, whole, _unit(tokens)))
        if parts[-1].unit and tokens[:1] == ["-"]:
            tokens.pop(0)
            if not tokens:
                raise _Wrong("nothing follows the dash")
    return parts


def _tokens(text: str) -> list[str]:
    tokens = []
    for found in _TOKEN.finditer(text):
        if found.lastgroup == "other":
            raise _Wrong(_unread(found[0]))
        if found.lastgroup != "blank":
            tokens.append(found[0])
    return tokens


def _unread(sign: str) -> str:
    if sign == "+":
        return "a sign in front is not needed"
    if not sign.isprintable():
        return "there is a sign in it that cannot be seen"
    return f"the sign {sign} is not read"


def _number(tokens: list[str], decimal: str) -> tuple[Fraction, bool]:
    """Take a number off the front: decimals, "3/4", "5 1/2" or "5-1/2"; and whether it is a whole number."""
    first = tokens.pop(0)
    if not _is_number(first):
        raise _Wrong(f"a number was expected where {first} stands")
    if tokens[:1] == ["/"]:
        tokens.pop(0)
        return _fraction(first, tokens), False
    dash = 1 if tokens[:1] == ["-"] else 0
    if len(tokens) > dash + 1 and _is_number(tokens[dash]) and tokens[dash + 1] == "/":
        if not first.isdigit():
            raise _Wrong(f"a fraction cannot follow {first}, which has figures after the mark")
        top = tokens[dash]
        del tokens[: dash + 2]
        return int(first) + _fraction(top, tokens), False
    return _decimal(first, decimal), first.isdigit()


def _is_number(token: str) -> bool:
    return token[-1].isdigit() or token[0] in ".,0123456789"


def _fraction(top: str, tokens: list[str]) -> Fraction:
    bottom = tokens.pop(0) if tokens else ""
    if not top.isdigit() or not bottom.isdigit():
        raise _Wrong(f"{top}/{bottom} is no fraction")
    if int(bottom) == 0 or int(top) >= int(bottom):
        raise _Wrong(f"{top}/{bottom} is not a fraction of one; is a blank missing?")
    return Fraction(int(top), int(bottom))


def _decimal(number: str, decimal: str) -> Fraction:
    """Return the value of a number with at most one decimal mark and well-formed thousands."""
    mark = decimal or _decimal_mark(number)
    thousands = {".": ",", ",": ".", "": ","}[mark]
    whole, found, after = number.partition(mark) if mark else (number, "", "")
    if thousands in whole:
        if not _GROUPED.fullmatch(whole.replace(thousands, ",")):
            raise _Wrong(f"the marks in {number} are not where thousands or decimals have them")
        whole = whole.replace(thousands, "")
    if found and not after:
        raise _Wrong(f"nothing follows the mark in “{number}”")
    if not (whole or after).isdigit() or (after and not after.isdigit()):
        raise _Wrong(f"the marks in {number} are not where thousands or decimals have them")
    return Fraction(int(whole + after), 10 ** len(after))


def _decimal_mark(number: str) -> str:
    """Say which mark of `number` stands before the decimals, "" for none; refuse what could be either."""
    points, commas = number.count("."), number.count(",")
    if points and commas:
        return max(".,", key=number.rfind)
    if points > 1:
        raise _Wrong(f"there are {points} points in {number}")
    if commas > 1:
        return ""
    if commas and _GROUPED.fullmatch(number) and not number.startswith("0"):
        plain = number.replace(",", "")
        pointed = number.replace(",", ".")
        raise _Wrong(f"{number} could be {plain} or {pointed}; write it with a point, or without the comma")
    return "." if points else "," if commas else ""


def _unit(tokens: list[str]) -> str:
    if not tokens or _is_number(tokens[0]) or tokens[0] in "/-":
        return ""
    word = tokens.pop(0)
    try:
        return _UNIT_OF[word.rstrip(".")]
    except KeyError:
        raise _Wrong(f"{word} is no unit of length; there are ft, in, m, cm and mm") from None


def _whole_nanometres(parts: list[_Part], unit: str) -> int:
    for large, small in zip(parts, parts[1:], strict=False):
        _check_follows(large, small)
    total = sum((part.value * NM[part.unit or unit] for part in parts), Fraction(0))
    if total > LONGEST_NM:
        raise _Wrong("it is more than 100 km")
    if total.denominator != 1:
        raise _Wrong("it is not a whole number of nanometres; write it with fewer figures")
    return int(total)


def _check_follows(large: _Part, small: _Part) -> None:
    if not small.unit:
        raise _Wrong("the last number has no unit")
    many = UNIT_NAMES[large.unit][1]
    smaller = UNIT_NAMES[small.unit][1]
    limit = _FOLLOWS.get((large.unit, small.unit))
    if limit is None:
        raise _Wrong(f"{smaller} cannot follow {many}")
    if not large.whole:
        raise _Wrong(f"{many} with a part of one cannot be followed by {smaller}")
    if small.value >= limit:
        one = UNIT_NAMES[large.unit][0]
        raise _Wrong(f"there are {limit} {smaller} in a {one}, so {small.value} of them cannot follow it")
