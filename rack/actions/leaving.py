"""What keeps a piece from going on a load, and a load from leaving: every reason at once."""

from collections.abc import Sequence

from rack.calc.checks import Problem, stops
from rack.calc.states import ON_SITE
from rack.errors import Refused
from rack.models import Component, Loaded, LoadOut
from rack.models.blindness import is_shut

MOST_ON_LOAD = 2000


def refuse_pieces(load: LoadOut, pieces: list[Component], *, twice: list[int]) -> None:
    """Refuse what cannot go on a load, every piece with its reason."""
    problems: list[Problem] = []
    if not pieces:
        problems.append(stops("No piece is chosen; choose a layer or type serials.", code="empty"))
    problems += [
        stops(f"{piece} is named twice.", code="twice", where=str(piece))
        for piece in pieces if twice.count(piece.pk) > 1
    ]  # fmt: skip
    problems += leaving_problems(load, pieces)
    ids = [piece.pk for piece in pieces]
    names = {piece.pk: str(piece) for piece in pieces}
    busy = Loaded.objects.standing().filter(component__in=ids, loadout__state="open")
    problems += [
        stops(f"{names[row.component_id]} is on {row.loadout} already.", code="twice",
              where=names[row.component_id])
        for row in busy.select_related("loadout").order_by("id")
    ]  # fmt: skip
    there = Loaded.objects.on(load).count()
    if there + len(ids) > MOST_ON_LOAD:
        problems.append(stops(f"A load holds at most {MOST_ON_LOAD:,} pieces; open another."))
    if problems:
        raise Refused(problems)


def leaving_problems(load: LoadOut, pieces: Sequence[Component]) -> list[Problem]:
    """Why these pieces cannot leave this site now; the page says the same before the load is sent."""
    problems = [
        stops(f"{piece} belongs to another site.", code="site", where=str(piece))
        for piece in pieces if piece.site_id != load.site_id
    ]  # fmt: skip
    return problems + [
        stops(f"{piece} is {piece.get_state_display()} and does not lie here.", code="state",
              where=str(piece))
        for piece in pieces if piece.site_id == load.site_id and piece.state not in ON_SITE
    ]  # fmt: skip


def refuse_leaving(load: LoadOut, pieces: list[Component]) -> None:
    """Refuse a load that cannot leave, every piece with its reason."""
    problems = leaving_problems(load, pieces) + shut_problems([piece.pk for piece in pieces])
    if not pieces:
        problems.append(stops(f"There is nothing on {load} yet.", code="empty"))
    if load.to_site and load.to_site.ended_on:
        problems.append(stops(f"{load.to_site} is closed.", code="site"))
    if problems:
        raise Refused(problems)


def shut_problems(ids: Sequence[int]) -> list[Problem]:
    """Pieces that are being strapped a second time: their list would carry what nobody may see yet."""
    shut = Component.objects.filter(is_shut(), pk__in=ids).order_by("serial_key", "id")
    return [
        stops(f"{piece} is being strapped a second time; send it when that strap is finished.", code="blind",
              where=str(piece))
        for piece in shut
    ]  # fmt: skip
