"""Step 2 of every action: lock the pieces first, by primary key, then the tally, the site, the place.

SQLite ignores `select_for_update`; there the transaction takes the write lock when it begins.
"""

from collections.abc import Iterable
from typing import Protocol

from rack.calc.checks import stops
from rack.errors import ChangedMeanwhile, Refused
from rack.models import Component, Line, LoadOut, Place, Plan, Run, Site, String, Tally


def lock_pieces(ids: Iterable[int]) -> dict[int, Component]:
    """Lock the pieces and return them by primary key, as they are now."""
    rows = Component.objects.select_for_update().filter(pk__in=list(ids)).order_by("pk")
    return {piece.pk: piece for piece in rows}


def lock_keys(ids: Iterable[int]) -> set[int]:
    """Lock the pieces and return the primary keys of those there are; nothing else is read of them."""
    rows = Component.objects.select_for_update().filter(pk__in=list(ids)).order_by("pk")
    return set(rows.values_list("pk", flat=True))


def lock_tally(pk: int) -> Tally:
    """Lock the tally and return it as it is now."""
    return Tally.objects.select_for_update().get(pk=pk)


def lock_string(pk: int) -> String:
    """Lock the string, after its pieces, and return it as it is now."""
    rows = String.objects.select_for_update(of=("self",)).select_related("site", "well")
    return rows.get(pk=pk)


def lock_run(pk: int) -> Run:
    """Lock the run, after its pieces and its string, and return it as it is now."""
    rows = Run.objects.select_for_update(of=("self",)).select_related("string__site", "string__well")
    return rows.get(pk=pk)


def lock_plan(pk: int) -> Plan:
    """Lock the plan, after its pieces, and return it as it is now."""
    return Plan.objects.select_for_update(of=("self",)).select_related("site").get(pk=pk)


def lock_load(pk: int) -> LoadOut:
    """Lock the load, after its pieces, and return it as it is now."""
    # Its sites are read beside it and not locked: rows that merely name them are written meanwhile.
    rows = LoadOut.objects.select_for_update(of=("self",)).select_related("site", "to_site")
    return rows.get(pk=pk)


def lock_site(pk: int) -> Site:
    """Lock a site against whoever else counts something there: its tallies, its accepted files.

    Rows that merely name the site are written meanwhile.
    """
    return Site.objects.select_for_update(no_key=True).get(pk=pk)


def lock_open_place(pk: int) -> Place:
    """Lock the place where pieces will lie, so that nobody closes it meanwhile; refused when it is closed."""
    place = Place.objects.select_for_update(no_key=True).get(pk=pk)
    if place.ended_on:
        raise Refused([stops(f"{place} is closed; choose another place.", code="place")])
    return place


def lock_line(line: Line) -> Line:
    """Lock the line's piece and its tally, in that order, and return the line as it is now.

    The piece is read before the lock; when the line was tied to another one in between, the lock
    would be on the wrong piece, so the action is asked to be repeated.
    """
    lock_pieces([line.component_id] if line.component_id else [])
    lock_tally(line.tally_id)
    now = Line.objects.select_related("tally", "tally__site", "component__spec").get(pk=line.pk)
    if now.component_id != line.component_id:
        raise ChangedMeanwhile(f"Line {now} was tied to another piece in the meantime. Load the page again.")
    return now


class HasVersion(Protocol):
    """A root that carries a version: a tally, a string, a plan, a run, a load."""

    version: int


def check_version(row: HasVersion, seen: int | None) -> None:
    """Raise ChangedMeanwhile when the page was drawn from an older version of the row."""
    if seen is not None and seen != row.version:
        raise ChangedMeanwhile(
            f"{row} was changed by somebody else: you saw version {seen}, it is now {row.version}. "
            "Nothing was stored. Load the page again and repeat it."
        )
