"""Which method fits which piece, what it looks at, whose zero it resets, and whether the report stands."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache

from inspection.calc.lookup import rows
from inspection.calc.readings import Look
from rack.calc.checks import Problem, asks, note, stops
from rack.calc.kinds import KINDS
from rack.calc.specs import SpecFacts
from rack.calc.units import NM

#: Full-length ultrasonic rather than electromagnetic above this wall (DS-1 tables 2.2 and 2.3).
THICK_WALL_NM = NM["in"] * 400 // 1000
_TUBED = frozenset({"drill_pipe"})
_COUPLED = frozenset({"casing", "tubing", "pup_joint", "marker_joint"})


@dataclass(frozen=True)
class Method:
    """One inspection method. `kinds` is () where it fits every kind with a thread; `magnetic` needs steel
    that can be magnetised; `looks_at` what has been seen when it has a result."""

    code: str
    name: str
    looks_at: tuple[str, ...]
    kinds: tuple[str, ...]
    magnetic: bool
    detects: str
    applies_to: str
    not_for: str
    extent: str
    record: str
    clause: str
    source: str
    conf: str
    note: str


@cache
def methods() -> tuple[Method, ...]:
    """Return every method in table order. Takes nothing, raises nothing. Source: table "methods/methods"."""
    return tuple(
        Method(row["code"], row["method"], tuple(row["looks_at"].split(";")), tuple(row["kinds"].split()),
               row["magnetic"] == "yes", row["detects"], row["applies_to"], row["not_for"], row["extent"],
               row["record"], row["clause"], row["source"], row["conf"], row["note"])
        for row in rows("methods/methods")
    )  # fmt: skip


def method(code: str) -> Method:
    """Return the method of this `code` ("EMI"). Raises ValueError naming the codes. Source: `methods()`."""
    for one in methods():
        if one.code == code.strip().upper():
            return one
    raise ValueError(f"method: there is no method {code!r}; there are {', '.join(m.code for m in methods())}")


def is_non_magnetic(spec: SpecFacts) -> bool:
    """Say whether the steel of `spec` cannot be magnetised. Raises nothing. Source: the specification."""
    return '"non_magnetic":true' in spec.facts.replace(" ", "")


def methods_for(spec: SpecFacts) -> tuple[Method, ...]:
    """Return the methods that fit a piece of `spec`. Raises ValueError for an unknown kind.

    Source: table "methods/methods".
    """
    if spec.kind not in KINDS:
        raise ValueError(f"kind: {spec.kind!r} is no kind of piece")
    return tuple(one for one in methods() if not _misfit(one, spec))


def _misfit(one: Method, spec: SpecFacts) -> bool:
    return (one.magnetic and is_non_magnetic(spec)) or bool(one.kinds and spec.kind not in one.kinds)


def method_problems(codes: Iterable[str], spec: SpecFacts, *, wall_nm: int = 0) -> list[Problem]:
    """Return what is wrong with these methods (`codes`) on a piece of `spec`.

    A magnetic method on non-magnetic steel is refused; electromagnetic on a wall over 0.400 in is a note;
    a method of another kind is asked. `wall_nm` is the nominal wall in nm, 0 unknown. Raises ValueError for
    an unknown method. Source: table "methods/methods".
    """
    found = []
    for one in map(method, codes):
        name = KINDS[spec.kind].name
        if one.magnetic and is_non_magnetic(spec):
            found.append(stops(f"{one.code}, {one.name}, cannot work on a non-magnetic {name}: liquid "
                               "penetrant or ultrasonic instead.", code="method", source=one.source))
        elif one.kinds and spec.kind not in one.kinds:
            found.append(asks(f"{one.code}, {one.name}, is not a method for a {name}; was it another one?",
                              code="method", source=one.source))
        if one.code == "EMI" and wall_nm > THICK_WALL_NM:
            found.append(note("EMI on a wall over 0.400 in: full-length ultrasonic is preferred.",
                              code="method", limit="0.400", unit="in", source=one.source))
    return found


def programme(kind: str, category: str, *, non_magnetic: bool = False) -> tuple[tuple[str, ...], str, str]:
    """Return methods, acceptance class and source of a published programme: ("VT-C", ...), "Premium", "...".

    `kind` is a kind's code, `category` "1" to "5" ("" where the kind has one programme only),
    `non_magnetic` what its steel is. Raises ValueError when there is none: a category number without its
    standard means nothing.
    Source: table "methods/programme" (DS-1 tables 2.2 and 2.3).
    """
    for row in rows("methods/programme"):
        if kind not in row["kinds"].split() or ("non-magnetic" in row["component"]) != non_magnetic:
            continue
        if category and not _within(category, row["category"]):
            continue
        known = {one.code for one in methods()}
        words = row["method_codes"].replace("(", " ").replace(")", " ").split()
        return tuple(word for word in words if word in known), row["acceptance"], row["source"]
    raise ValueError(f"category: there is no programme {category!r} for a {kind}")


def _within(category: str, span: str) -> bool:
    low, dash, high = span.partition("-")
    if not low.isdecimal():
        return False
    return category.isdecimal() and int(low) <= int(category) <= int(high if dash else low)


#: Drill pipe: what each scope wants done, every group by at least one of its methods.
_NEEDS = {
    "visual": (("VT-T",), ("VT-C",)),
    "connections": (("VT-C",), ("DIM1", "DIM2", "DIM3", "MPI-F", "PT", "UTC")),
    "tube": (("VT-T",), ("ODG",), ("UTW", "FLUT"), ("EMI", "FLUT", "MPI-D", "UTS")),
}
_BHA_NEEDS = {"visual": (("VT-C",),), "connections": (("VT-C",), ("MPI-F", "PT", "UTC"))}
_COUPLED_NEEDS = {"visual": (("VT-T",), ("VT-C",)), "connections": (("VT-C",),),
                  "tube": (("VT-T",), ("UTW", "FLUT", "EMI"))}


def scopes_reset(looks: Iterable[Look], kind: str) -> frozenset[str]:
    """Return the scopes whose clocks begin anew: "visual", "connections", "tube", "full".

    `looks` that found nothing to reject count; blank ones do not, and an indication is proved up first;
    `kind` is a kind's code. Full is reset when every scope
    of the kind is: a small look never winds back the big clock. Raises ValueError for an unknown kind.
    Source: trade guide 12, law 7; which methods make a scope is common practice.
    """
    if kind not in KINDS:
        raise ValueError(f"kind: {kind!r} is no kind of piece")
    done = {look.method for look in looks if look.is_clean}
    needs = _NEEDS if kind in _TUBED else _COUPLED_NEEDS if kind in _COUPLED else _BHA_NEEDS
    reset = {scope for scope, groups in needs.items() if all(done & set(group) for group in groups)}
    return frozenset(reset | {"full"}) if reset == set(needs) else frozenset(reset)


def inspector_problems(name: str, level: str, valid_to: date | None, last_day: date) -> list[Problem]:
    """Return what is wrong with an inspector on `last_day` of the work.

    `name` and `level` as the report says ("Level II"), `valid_to` the last day of the level, None unknown.
    Raises nothing. Source: levels II and III of SNT-TC-1A and ISO 9712 schemes, from memory.
    """
    source = "levels under SNT-TC-1A or ISO 9712 schemes, from memory"
    who, found = name.strip() or "The inspector", []
    if not name.strip():
        found.append(asks("The report names no inspector.", code="inspector", source=source))
    if not level.strip():
        found.append(asks(f"{who}: the level is not said.", code="inspector", source=source))
    elif _is_level_one(level):
        found.append(asks(f"{who} has {level}: level II or III signs a class.", code="inspector",
                          measured=level, limit="II", source=source))
    if valid_to is None:
        found.append(note(f"{who}: it is not said until when the level is good.", code="inspector",
                          source=source))
    elif valid_to < last_day:
        found.append(asks(f"{who}: the level ended on {valid_to.isoformat()}, the work on "
                          f"{last_day.isoformat()}.", code="inspector", measured=last_day.isoformat(),
                          limit=valid_to.isoformat(), source=source))
    return found


def _is_level_one(level: str) -> bool:
    return "".join(sign for sign in level.upper() if sign.isalnum()).removeprefix("LEVEL") in ("I", "1")


def equipment_problems(name: str, due: date | None, days: Sequence[date]) -> list[Problem]:
    """Return what is wrong with an instrument (`name`) whose calibration is `due`, on the `days` of the work.

    `due` None: not said, which is silent. The day it is due still counts. Raises nothing.
    Source: certificate fields, trade guide 2; common practice.
    """
    if due is None or not days:
        return []
    source = "calibration against the days of the work, common practice"
    late = [day for day in days if day > due]
    if not late:
        return []
    return [asks(f"{name}: the calibration ran out on {due.isoformat()}, and it was used until "
                 f"{max(late).isoformat()}.", code="calibration", measured=max(late).isoformat(),
                 limit=due.isoformat(), source=source)]
