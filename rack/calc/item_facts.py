"""What only one kind has, out of the words of an item: "spiral", "gauge 12-1/4", "60 ft", "IADC 517"."""

import re
from functools import cache

from rack.calc.checks import Problem
from rack.calc.facts import read_fact
from rack.calc.item_words import spelled_out
from rack.calc.kinds import Fact, Kind

#: The kind whose name is free: what is left of its words when the rest is read.
NAMED_LATER = "other"

_FIGURE = r"(?:\d+\s*[- ]\s*\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+(?:[.,]\d+)?)"
_UNIT = r"(?:\"|'|in(?:ch(?:es)?)?\b|zoll\b|mm\b|ft\b|cm\b|m\b)"
_CODE = re.compile(
    r"\biadc\s*(?:code)?\s*[:#]?\s*(\d[\s.-]?\d[\s.-]?\d(?:\s?[A-Z])?|[A-Z][\s.-]?\d{3})(?![\w/.-])",
    re.IGNORECASE,
)
#: A figure that goes on, or that is the size of a thread, is no figure of a fact.
_NOT_OF_A_THREAD = r"(?![\d/.,])(?!\s*-\s*\d)(?!\s*(?:reg|if|fh|xh|sh|i\.f)\b)"
_ALONE = re.compile(rf"(?<![\d./-])({_FIGURE}\s*(?:ft|feet|m|meter|metres?)\b)", re.IGNORECASE)
_UNITS = (("\"", " in"), ("zoll", "in"), ("inches", "in"), ("inch", "in"), ("feet", "ft"), ("meter", "m"),
          ("metres", "m"), ("metre", "m"))  # fmt: skip


def facts_in(kind: Kind, kind_word: str, text: str) -> tuple[dict[str, str], str, tuple[Problem, ...]]:
    """Return the facts of `kind` that its word and the rest of an item say, the rest, and every problem.

    `kind_word` is the word that named the kind, `text` what is left of the item. The facts are canonical
    texts by name (`rack.calc.facts`). Raises nothing. Source: spellings are common practice.
    """
    found: dict[str, str] = {}
    problems: tuple[Problem, ...] = ()
    for fact in kind.facts:
        if fact.of != "spec":
            continue
        value, text, wrong = _one(fact, kind_word, text)
        problems += wrong
        if value:
            found[fact.name] = value
    return found, text, problems


def facts_beside(kind: Kind, text: str) -> dict[str, tuple[str, str, tuple[Problem, ...]]]:
    """Return the measures and the bit code of `kind` that a remark says with their word beside them.

    By name of the fact: canonical text, as typed, problems. "gauge 12-1/4" is taken and a bare "12-1/4" is
    not. Raises nothing. Source: spellings are common practice.
    `text` is the remark.
    """
    found = {}
    for fact in kind.facts:
        patterns = [_CODE] if fact.sort == "bit code" else _tagged(fact) if fact.tags else []
        match = next((match for pattern in patterns if (match := pattern.search(text))), None)
        if match is not None:
            figure = next(group for group in match.groups() if group)
            plain = figure.upper() if fact.sort == "bit code" else _in_units(figure)
            value, problems = read_fact(fact, plain)
            found[fact.name] = (value, match[0].strip(), problems)
    return found


def _one(fact: Fact, kind_word: str, text: str) -> tuple[str, str, tuple[Problem, ...]]:
    if fact.sort in ("size", "length"):
        return _measure(fact, text)
    if fact.sort == "bit code":
        code = _CODE.search(text)
        if code is None:
            return "", text, ()
        value, problems = read_fact(fact, code[1].upper())
        return value, _without(text, code), problems
    if fact.sort in ("choice", "yes"):
        spoken = _words(fact).search(text)
        named = _words(fact).search(kind_word)
        word = spoken or named
        if word is None:
            return "", text, ()
        typed = dict(fact.words).get(word[0].lower()) or _plainly(fact)[word[0].lower()]
        return typed, _without(text, spoken) if spoken else text, ()
    return "", text, ()


def _measure(fact: Fact, text: str) -> tuple[str, str, tuple[Problem, ...]]:
    patterns = list(_tagged(fact)) if fact.tags else []
    if fact.in_name:  # "core barrel 60 ft": the only length in feet that an item of this kind says
        patterns.append(_ALONE)
    for pattern in patterns:
        found = pattern.search(text)
        if found:
            figure = next(group for group in found.groups() if group)
            value, problems = read_fact(fact, _in_units(figure))
            return value, _without(text, found), problems
    return "", text, ()


def _in_units(figure: str) -> str:
    form = re.sub(r"(\d)\s*-\s*(\d)", r"\1 \2", figure.lower())
    for typed, unit in _UNITS:
        form = form.replace(typed, unit)
    return " ".join(form.split())


def _without(text: str, found: re.Match[str]) -> str:
    return text[: found.start()] + " ~ " + text[found.end() :]


@cache
def _tagged(fact: Fact) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """The figure behind one of the fact's tags, which counts first, and before one."""
    tags = "|".join(re.escape(tag) for tag in sorted(_spellings(fact.tags), key=len, reverse=True))
    figure = rf"({_FIGURE}(?:\s*{_UNIT})?)"
    return (
        re.compile(rf"\b(?:{tags})\b\s*[:=]?\s*{figure}{_NOT_OF_A_THREAD}", re.IGNORECASE),
        re.compile(rf"(?<![\d./-]){figure}\s*-?\s*(?:{tags})\b", re.IGNORECASE),
    )


@cache
def _words(fact: Fact) -> re.Pattern[str]:
    words = sorted(_spellings(tuple(word for word, _ in fact.words)), key=len, reverse=True)
    return re.compile(r"(?<![\w/])(?:" + "|".join(map(re.escape, words)) + r")(?![\w/])", re.IGNORECASE)


@cache
def _plainly(fact: Fact) -> dict[str, str]:
    """Each word in lower case and with German letters written out -> its value."""
    return {form: value for word, value in fact.words for form in (word.lower(), spelled_out(word.lower()))}


def _spellings(words: tuple[str, ...]) -> set[str]:
    return {form.lower() for word in words for form in (word, spelled_out(word))}
