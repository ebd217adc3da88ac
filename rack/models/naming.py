"""Many names at once, each meaning one piece: every name that means none or several is said."""

import re
from collections.abc import Sequence

from django.db.models import QuerySet

from rack.calc.checks import Problem, stops
from rack.calc.names import key_of
from rack.calc.tags import read_code
from rack.models.pieces import Component, Mark

MOST_NAMES = 1000
_TAG = re.compile(r"(?:^|/)T/([0-9A-Z-]{7,9})/?$", re.IGNORECASE)


def named(pieces: "QuerySet[Component]", names: Sequence[str]) -> tuple[list[Component], list[Problem]]:
    """The piece that each name means, in the order typed, and what is wrong with the names.

    A name is a serial, a tag, or a painted or owner's number that is on the piece now. A serial comes
    before a number, so that a joint painted like another one's serial is not taken for it. A scanner types
    the whole address that is on a tag; its code counts.
    """
    if len(names) > MOST_NAMES:
        words = f"{len(names):,} names were typed; at most {MOST_NAMES:,} go at once."
        return [], [stops(words, code="many")]
    names = [_off_the_tag(name) for name in names]
    keys = {key_of(name) for name in names} - {""}
    by_name = [_by_tag(pieces, names), _by_serial(pieces, keys), _by_mark(pieces, keys)]
    found: dict[int, Component] = {}
    problems: list[Problem] = []
    for name in names:
        likely = next((there for one in by_name if (there := one.get(key_of(name)))), [])
        problem = _problem(name, likely, found)
        if problem:
            problems.append(problem)
        else:
            found[likely[0].pk] = likely[0]
    return list(found.values()), problems


def _off_the_tag(name: str) -> str:
    """The code in the address of a tag; anything else as it is."""
    found = _TAG.search(name.strip())
    return found[1] if found else name


def _problem(name: str, likely: list[Component], found: dict[int, Component]) -> Problem | None:
    if not likely:
        return stops(f"No piece there is called {name}.", code="unknown", where=name)
    if len(likely) > 1:
        some = ", ".join(f"{piece} (tag {piece.tag})" for piece in likely[:3])
        more = f" and {len(likely) - 3} more" if len(likely) > 3 else ""
        return stops(f"{name} may mean {some}{more}; type the tag.", code="several", where=name)
    if likely[0].pk in found:
        return stops(f"{name} is named twice: {likely[0]}.", code="twice", where=name)
    return None


def _by_tag(pieces: "QuerySet[Component]", names: Sequence[str]) -> dict[str, list[Component]]:
    codes: dict[str, str] = {}
    for name in names:
        try:
            codes[read_code(name)] = key_of(name)
        except ValueError:
            continue
    found: dict[str, list[Component]] = {}
    for some in _some(list(codes)):
        for piece in pieces.filter(tag__in=some):
            found.setdefault(codes[piece.tag], []).append(piece)
    return found


def _by_serial(pieces: "QuerySet[Component]", keys: set[str]) -> dict[str, list[Component]]:
    found: dict[str, list[Component]] = {}
    for some in _some(sorted(keys)):
        for piece in pieces.filter(serial_key__in=some).order_by("id"):
            found.setdefault(piece.serial_key, []).append(piece)
    return found


def _by_mark(pieces: "QuerySet[Component]", keys: set[str]) -> dict[str, list[Component]]:
    found: dict[str, list[Component]] = {}
    for some in _some(sorted(keys)):
        marks = Mark.objects.current().filter(text_key__in=some, component__in=pieces.order_by())
        for mark in marks.select_related("component__spec").order_by("id"):
            there = found.setdefault(mark.text_key, [])
            if mark.component not in there:
                there.append(mark.component)
    return found


def _some(texts: list[str]) -> list[list[str]]:
    return [texts[start : start + 400] for start in range(0, len(texts), 400)]
