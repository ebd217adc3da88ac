"""What a row says of its one piece alone: nozzles, bend, stator, gauge, code, and how a jar stood.

Each fact is read from its column, else from the remarks where its word stands beside it. What cannot be
read is kept as typed and noted: no doubt about such a fact holds a delivery up.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from rack.calc.checks import Problem, Severity, note
from rack.calc.facts import facts_of_spec, read_fact, shown_fact, with_facts
from rack.calc.item_facts import facts_beside
from rack.calc.kinds import KINDS, Fact, Kind
from rack.calc.lengths import Length
from rack.calc.receiving import OWN_ROLES, OwnFact
from rack.calc.specs import SpecFacts
from rack.calc.telescopes import both_problems, said_stands, stands_of
from rack.exchange.cells import BLANK, DITTO, Cell
from rack.exchange.own_words import BESIDE, day_of

#: role of the column -> how the tool stood.
_BOTH = {"length_open": "open", "length_closed": "closed"}
_STOOD = re.compile(r"\b(?:measured|strapped|taped|length|lgth)\s+(open|closed)\b", re.IGNORECASE)

ReadLength = Callable[[Cell], tuple[Length | None, tuple[Problem, ...]]]


@dataclass(frozen=True)
class Own:
    """A row's piece with its own facts: `length` is the one that holds, `other` that of the other stand."""

    spec: SpecFacts | None
    length: Length | None
    facts: tuple[OwnFact, ...] = ()
    stands: str = ""
    other: Length | None = None
    problems: tuple[Problem, ...] = ()


def own_of(
    spec: SpecFacts | None, cells: dict[str, Cell], length: Length | None, read_length: ReadLength
) -> Own:
    """Return what a row says of its own piece, over what its specification says. Raises nothing."""
    said = {role: cell for role, cell in cells.items() if cell.text.lower() not in BLANK}
    if spec is None or not said.keys() & {*OWN_ROLES, *_BOTH, "remarks", "length"}:
        return Own(spec, length)
    kind = KINDS[spec.kind]
    found, problems = _facts(kind, spec, said)
    own = Own(
        with_facts(spec, {one.name: one.value for one in found}) if found else spec, length, tuple(found),
        problems=tuple(problems),
    )
    return _with_both(kind, own, said, read_length)


def _facts(kind: Kind, spec: SpecFacts, said: dict[str, Cell]) -> tuple[list[OwnFact], list[Problem]]:
    there = facts_of_spec(spec)
    found: dict[str, OwnFact] = {}
    problems: list[Problem] = []
    for role, (label, name) in OWN_ROLES.items():
        if role not in said:
            continue
        fact = next((one for one in kind.facts if one.name == name), None)
        if fact is None:
            problems.append(_unread(label, f"a {kind.name} has none", said[role].typed))
            continue
        value, wrong = _read(fact, said[role])
        problems += wrong
        if value and there.get(name, value) != value:
            problems.append(note(
                f"{fact.label}: the item says {shown_fact(fact, there[name])} and the column says "
                f"{shown_fact(fact, value)}; the column is taken.", code="fact"))  # fmt: skip
        if value:
            found[name] = _own(fact, value, said[role].typed)
    for fact, value, typed, wrong in _remarked(kind, said):
        known = found[fact.name].value if fact.name in found else there.get(fact.name, "")
        if known and value and known != value:
            problems.append(note(
                f"{fact.label}: the remark says {shown_fact(fact, value)}; {shown_fact(fact, known)}, said "
                "elsewhere in the row, is taken.", code="fact"))  # fmt: skip
        elif not known:
            problems += wrong
            if value:
                found[fact.name] = _own(fact, value, typed)
    return list(found.values()), problems


def _own(fact: Fact, value: str, typed: str) -> OwnFact:
    return OwnFact(fact.name, fact.label, value, shown_fact(fact, value), typed[:80])


def _read(fact: Fact, cell: Cell) -> tuple[str, list[Problem]]:
    text = cell.text
    if cell.column.unit and re.fullmatch(r"[\d.,/ -]+", text):
        text = f"{re.sub(r'(?<=[0-9]) *- *(?=[0-9])', ' ', text)} {cell.column.unit}"
    elif fact.sort in ("size", "length"):
        text = re.sub(r"(?<=\d)\s*-\s*(?=\d)", " ", text)
    return _noted(fact, cell.typed, *read_fact(fact, day_of(text) if fact.sort == "date" else text))


def _remarked(kind: Kind, said: dict[str, Cell]) -> Iterable[tuple[Fact, str, str, list[Problem]]]:
    """Yield every fact of the kind that the remarks say, with the words that said it."""
    if "remarks" not in said or said["remarks"].text.lower() in DITTO:
        return
    text = said["remarks"].text[:200]
    beside = facts_beside(kind, text)
    for fact in kind.facts:
        if fact.name in beside:
            value, typed, wrong = beside[fact.name]
            yield fact, *_with_words(fact, value, typed, wrong)
        elif match := BESIDE[fact.name].search(text) if fact.name in BESIDE else None:
            figure = next(group for group in match.groups() if group)
            figure = day_of(figure) if fact.sort == "date" else figure.strip(" ,;")
            yield fact, *_with_words(fact, *_second(match[0], read_fact(fact, figure)))


def _second(typed: str, read: tuple[str, tuple[Problem, ...]]) -> tuple[str, str, tuple[Problem, ...]]:
    return read[0], typed.strip(), read[1]


def _with_words(
    fact: Fact, value: str, typed: str, wrong: tuple[Problem, ...]
) -> tuple[str, str, list[Problem]]:
    kept, problems = _noted(fact, typed, value, wrong)
    return kept, typed, problems


def _noted(fact: Fact, typed: str, value: str, problems: tuple[Problem, ...]) -> tuple[str, list[Problem]]:
    """Every problem of a fact as a NOTE; one that stops keeps the words as they were typed."""
    found = []
    for one in problems:
        stopped = one.severity is Severity.STOPS
        text = f"{one.text} “{typed[:40]}” is kept as typed and not read." if stopped else one.text
        found.append(note(text, code="fact", limit=one.limit, source=one.source))
    return value, found


def _unread(label: str, why: str, typed: str) -> Problem:
    return note(f"{label[0].upper()}{label[1:]}: {why}; “{typed[:40]}” is kept as typed and not read.",
                code="fact")  # fmt: skip


def _with_both(kind: Kind, own: Own, said: dict[str, Cell], read_length: ReadLength) -> Own:
    """The lengths open and closed of a tool that telescopes, and which of them the row's length is."""
    typed = said["length"].text if "length" in said else ""
    remark = _STOOD.search(said["remarks"].text) if "remarks" in said else None
    stands = said_stands(typed)[1] or (remark[1].lower() if remark else "")
    both: dict[str, Length] = {}
    problems = list(own.problems)
    for role, name in _BOTH.items():
        if role not in said:
            continue
        length, wrong = read_length(said[role])
        if length is None or not kind.telescopes:
            said_why = wrong[0].text.rstrip(".") if wrong else "it cannot be read"
            why = said_why if kind.telescopes else f"a {kind.name} has one length"
            problems.append(_unread(f"length {name}", why, said[role].typed))
        else:
            both[name] = length
    if not kind.telescopes:
        if stands and not remark:
            why = f"a {kind.name} has one length, neither open nor closed"
            problems.append(note(f"Length: {why}; “{typed[:40]}” is read without that word.", code="fact"))
        return replace(own, problems=tuple(problems))
    if len(both) == 2 and both_problems(both["open"], both["closed"], unit="ft", digits=2):
        problems.append(_unread("lengths", "open is longer than closed; were the two exchanged?",
                                f"{said['length_open'].typed}, {said['length_closed'].typed}"))  # fmt: skip
        both = {}
    return _settled(own, both, stands, problems)


def _settled(own: Own, both: dict[str, Length], stands: str, problems: list[Problem]) -> Own:
    length = own.length
    if length is not None:
        stands = stands or stands_of(length, both.get("open"), both.get("closed"))
        other = both.get({"open": "closed", "closed": "open"}.get(stands, ""))
        if not stands and both:
            problems.append(note("Which of its lengths the length is, open or closed, is not said.",
                                 code="stands"))  # fmt: skip
        return replace(own, stands=stands, other=other, problems=tuple(problems))
    if both:
        stands = stands if stands in both else "closed" if "closed" in both else "open"
        if len(both) == 2:
            problems.append(note(
                f"Open and closed are both kept; {stands} holds until somebody says otherwise on the piece.",
                code="stands"))  # fmt: skip
        other = next((one for name, one in both.items() if name != stands), None)
        return replace(own, length=both[stands], stands=stands, other=other, problems=tuple(problems))
    return replace(own, stands="", problems=tuple(problems))
