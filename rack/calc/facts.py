"""The facts that only some kinds have: read from what is typed, kept as one canonical text, shown again.

What is kept: a length or size as whole nanometres, a yes as "yes", a day as 2026-05-01, a bend with two
figures after the point, text with single blanks. No value is the blank text: not known.
"""

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction

from rack.calc import bits
from rack.calc.checks import Problem, note, stops
from rack.calc.kinds import Fact, Kind, kind_of
from rack.calc.kinds.facts import ROLLER
from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts, inches, trimmed
from rack.calc.units import NM
from rack.calc.worked import Worked

LONGEST_TEXT = 60
Read = tuple[str, tuple[Problem, ...]]

_YES = ("yes", "y", "ja", "oui", "sí", "si", "x", "true", "1")
_NO = ("no", "n", "nein", "non", "nei", "false", "0")


def read_fact(fact: Fact, typed: str) -> Read:
    """Return the canonical text of what was `typed` for `fact`, and every problem; "" when it is not taken.

    A bare number is in the fact's own unit. A blank takes the fact away: "" without a problem, unless the
    fact is required. What is outside of the usual range is taken, with a NOTE. Raises nothing.
    Source: the ends of what is taken stand with each fact; spellings are common practice.
    """
    text = " ".join(typed.split())
    if not text:
        return ("", (_refused(fact, f"say {fact.label.lower()}"),)) if fact.required else ("", ())
    return _READ[fact.sort](fact, text)


def _refused(fact: Fact, why: str) -> Problem:
    return stops(f"{fact.label}: {why}.", code="fact", where=fact.label)


def _range(fact: Fact) -> str:
    return f"{_number(fact.low)} to {_number(fact.high)} {fact.unit}".strip()


def _number(value: Fraction | None) -> str:
    if value is None:
        return "any"
    return str(value) if value.denominator in (1, 2) else f"{float(value):g}"


def _in_range(fact: Fact, value: Fraction, shown: str) -> tuple[Problem, ...]:
    """What is wrong with a value in the fact's own unit: a STOPS, a NOTE or nothing."""
    low, high = fact.low, fact.high
    if (low is not None and value < low) or (high is not None and value > high):
        return (_refused(fact, f"{shown} is outside of {_range(fact)}"),)
    if fact.usual and not fact.usual[0] <= value <= fact.usual[1]:
        words = f"{fact.usual[0]} to {fact.usual[1]} {fact.unit}"
        return (note(f"{fact.label}: {shown} is outside of the usual {words} (common practice).",
                     code="fact", where=fact.label, limit=words, source="common practice"),)  # fmt: skip
    return ()


def _read_measure(fact: Fact, text: str) -> Read:
    try:
        length = Length.parse(text, fact.unit)
    except ValueError as wrong:
        return "", (_refused(fact, str(wrong).rstrip(".")),)
    value = Fraction(length.nanometres, NM[fact.unit])
    if value <= 0 and fact.low != 0:
        return "", (_refused(fact, "it is more than nothing"),)
    problems = _in_range(fact, value, text)
    return ("" if any(one.severity == "STOPS" for one in problems) else str(length.nanometres)), problems


def _read_choice(fact: Fact, text: str) -> Read:
    spelled = {word.casefold(): value for word, value in fact.words}
    spelled |= {choice.casefold(): choice for choice in fact.choices}
    value = spelled.get(text.casefold(), "")
    if value:
        return value, ()
    return "", (_refused(fact, f"“{text[:40]}” is none of {', '.join(fact.choices)}"),)


def _read_yes(fact: Fact, text: str) -> Read:
    low = text.casefold()
    if low in _YES or low in (word for word, _ in fact.words):
        return "yes", ()
    if low in _NO:
        return "", ()
    return "", (_refused(fact, f"“{text[:40]}” is neither yes nor no"),)


def _read_date(fact: Fact, text: str) -> Read:
    found = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", text)
    try:
        day = date(*map(int, found.groups())) if found else None
    except ValueError:
        day = None
    if day is None or not 1950 <= day.year <= 2100:
        return "", (_refused(fact, f"“{text[:40]}” is no day; write it as 2026-05-01"),)
    return day.isoformat(), ()


def _read_degrees(fact: Fact, text: str) -> Read:
    found = re.fullmatch(r"(\d{1,2})(?:[.,](\d{1,2}))?\s*(?:°|deg\.?|degrees?|grad)?", text, re.IGNORECASE)
    if not found:
        return "", (_refused(fact, f"“{text[:40]}” is no angle in degrees, as 1.83"),)
    value = Fraction(f"{found[1]}.{found[2] or 0}")
    problems = _in_range(fact, value, text)
    refused = any(one.severity == "STOPS" for one in problems)
    return ("" if refused else f"{int(found[1])}.{(found[2] or '0'):0<2}"), problems


def _read_text(fact: Fact, text: str) -> Read:
    if len(text) > LONGEST_TEXT:
        return "", (_refused(fact, f"keep it under {LONGEST_TEXT} letters; this has {len(text)}"),)
    if not text.isprintable():
        return "", (_refused(fact, "it has signs that cannot be printed"),)
    return text, ()


def _read_code(fact: Fact, text: str) -> Read:
    """A bit's code is kept as written whatever it is; what it raises stands beside it."""
    kept, problems = _read_text(fact, text)
    if not kept:
        return kept, problems
    return kept, tuple(replace(one, where=fact.label) for one in bits.read_code(kept).problems)


def _read_nozzles(fact: Fact, text: str) -> Read:
    kept, problems = _read_text(fact, text)
    if not kept:
        return kept, problems
    try:
        sizes = bits.read_nozzles(kept)
        bits.total_flow_area_in2(sizes)
    except ValueError as wrong:
        return "", (_refused(fact, str(wrong).partition(": ")[2] or str(wrong)),)
    return "-".join(map(str, sizes)), ()


_READ: dict[str, Callable[[Fact, str], Read]] = {
    "size": _read_measure, "length": _read_measure, "choice": _read_choice, "yes": _read_yes,
    "date": _read_date, "degrees": _read_degrees, "text": _read_text, "bit code": _read_code,
    "nozzles": _read_nozzles,
}  # fmt: skip


def shown_fact(fact: Fact, value: str) -> str:
    """Return a canonical `value` of `fact` as people read it: "12-1/4 in", "60 ft", "1.83 degrees".

    "" stays "". Raises ValueError for a text that is not canonical.
    Source: house style.
    """
    if not value:
        return ""
    if fact.sort in ("size", "length"):
        return f"{inches(int(value))} in" if fact.unit == "in" else f"{trimmed(int(value))} {fact.unit}"
    if fact.sort == "nozzles":
        return f"{value}, in 32nds of an inch"
    return f"{value} {fact.unit}" if fact.sort == "degrees" else value


def facts_of_spec(spec: SpecFacts) -> dict[str, str]:
    """Return the facts that a specification holds, name -> canonical text, those of its kind only.

    `spec` is any specification. Raises nothing for a known kind. Source: house style.
    """
    there = json.loads(spec.facts)
    names = [fact.name for fact in kind_of(spec.kind).facts if fact.of == "spec"]
    return {name: "yes" if there[name] is True else str(there[name]) for name in names if there.get(name)}


def facts_text(kind: Kind, values: Mapping[str, str]) -> str:
    """Return the canonical JSON text for `SpecFacts.facts` from canonical texts by name.

    What the kind does not have, what is blank and what is a matter of the piece are left away.
    `kind` says which facts there are, `values` holds them. Raises nothing. Source: house style.
    """
    kept: dict[str, object] = {}
    for fact in kind.facts:
        value = values.get(fact.name, "")
        if fact.of == "spec" and value:
            whole = fact.sort in ("size", "length")
            kept[fact.name] = int(value) if whole else True if fact.sort == "yes" else value
    return json.dumps(kept, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def with_facts(spec: SpecFacts, values: Mapping[str, str]) -> SpecFacts:
    """Return `spec` with these facts of its kind set (canonical texts) or, where blank, taken away.

    `values` are canonical texts by name. Raises nothing for a known kind. Source: house style.
    """
    return replace(spec, facts=facts_text(kind_of(spec.kind), {**facts_of_spec(spec), **values}))


def flow_area_worked(nozzles: str) -> Worked | None:
    """Return the total flow area of these nozzles (canonical text, 32nds of an inch), None for no text.

    `nozzles` is "16-16-18". Raises ValueError for a text that is not canonical. Source: as
    `bits.total_flow_area_in2`.
    """
    return bits.total_flow_area_in2_worked(bits.read_nozzles(nozzles)) if nozzles else None


def code_meanings(kind: Kind, values: Mapping[str, str]) -> tuple[bits.CodePart, ...]:
    """Return what the parts of a bit's code stand for, as far as they can mean only one thing.

    `kind` is that of the piece, `values` its facts by name. Raises nothing. Source: as `bits.read_code`.
    """
    code = values.get("code", "")
    if not code or not any(fact.sort == "bit code" for fact in kind.facts):
        return ()
    return bits.read_code(code).parts


def code_problems(kind: Kind, values: Mapping[str, str]) -> tuple[Problem, ...]:
    """Return what a bit's code raises, a family that disagrees with the make among it.

    `kind` is that of the piece, `values` its facts by name. Raises nothing. Source: as `bits.read_code`.
    """
    code, make = values.get("code", ""), values.get("make", "")
    if not code or not any(fact.sort == "bit code" for fact in kind.facts):
        return ()
    read = bits.read_code(code)
    family = "roller cone" if make in ROLLER else "fixed cutter" if make else ""
    if read.family and family and read.family != family:
        words = f"{read.code} is the code of a {read.family} bit, and this is a {make} bit."
        return (*read.problems, note(words, code="fact", where="IADC code"))
    return read.problems
