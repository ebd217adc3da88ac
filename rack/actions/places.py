"""What people do with places: add a rack, put a layer on it, close it."""

from django.db import IntegrityError, transaction

from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_open_place
from rack.calc.checks import Problem, stops
from rack.errors import Refused
from rack.models import Component, Place, PlaceKind, Site
from rack.people import check_can

MOST_LAYERS = 30
MOST_KG = 10_000_000
#: Where pieces are that have left: one place of this path at each site.
AWAY = "away"
#: Where pieces are that are in a well: one place of this path at each site.
HOLE = "hole"
#: Where a joint stands that was made ready beside the rotary: one place of this path at each site.
MOUSEHOLE = "mousehole"
MOST_ROWS = 60
#: Names that the program's own addresses or places bear.
TAKEN = ("totals", "places", "move", AWAY, HOLE, MOUSEHOLE, ".", "..")


def add_rack(asked: Asked, site: Site, name: str, layers: int, rated_kg: int | None) -> Place:
    """Add a rack with its layers, counted from the bottom up. The rating is the rig's own figure."""
    check_can(asked.hand.user, "place", site)
    name = " ".join(name.split())
    check_rack(name, layers)
    with transaction.atomic():
        _, again = open_line(
            asked,
            "rack",
            site,
            f"Added rack {name} with {layers} layers",
            {"site": site.pk, "name": name, "layers": layers, "rated_kg": rated_kg},
        )
        if again:
            return Place.objects.get(site=site, path=name)
        return make_rack(site, name, layers, rated_kg)


def make_rack(site: Site, name: str, layers: int, rated_kg: int | None = None) -> Place:
    """Write the rows of a rack and its layers; the caller holds the transaction and the journal line."""
    try:
        with transaction.atomic():
            rack = Place.objects.create(
                site=site, kind=PlaceKind.RACK, rack=name, path=name, rated_kg=rated_kg
            )
            Place.objects.bulk_create(
                Place(site=site, kind=PlaceKind.RACK, rack=name, layer=n, path=f"{name}/{n}")
                for n in range(1, layers + 1)
            )
    except IntegrityError:
        raise Refused([stops(f"There is a place called {name} here already.", code="rack")]) from None
    return rack


def away_from(site: Site) -> Place:
    """The place of a site's pieces that are on their way or gone; made when the first one goes.

    The caller holds the transaction.
    """
    return _made_once(Place(site=site, kind=PlaceKind.AWAY, path=AWAY))


def hole_of(site: Site) -> Place:
    """The place of a site's pieces that are in the hole; made when the first one goes in.

    The caller holds the transaction.
    """
    return _made_once(Place(site=site, kind=PlaceKind.HOLE, rack="the hole", path=HOLE))


def mousehole_of(site: Site) -> Place:
    """The mousehole of a site; made when the first joint is made ready there.

    The caller holds the transaction.
    """
    return _made_once(Place(site=site, kind=PlaceKind.MOUSEHOLE, rack="the mousehole", path=MOUSEHOLE))


def derrick_row(site: Site, side: str, row: int) -> Place:
    """A row of one side of the derrick; made when the first stand is racked there.

    The caller holds the transaction. Raises Refused for a side or a row that no derrick has.
    """
    side = " ".join(side.split())
    problems = []
    if not side.isalnum() or len(side) > 12:
        problems.append(stops("Name the side of the derrick by one short word: A, or left.", code="side"))
    if not 1 <= row <= MOST_ROWS:
        problems.append(stops(f"A derrick has 1 to {MOST_ROWS} rows; {row} was typed.", code="row"))
    if problems:
        raise Refused(problems)
    side = side.upper() if len(side) == 1 else side
    name = f"derrick {side}"
    return _made_once(Place(site=site, kind=PlaceKind.DERRICK, rack=name, layer=row, path=f"{name}/{row}"))


def _made_once(wanted: Place) -> Place:
    there = Place.objects.filter(site=wanted.site, path=wanted.path).first()
    if there is None:
        Place.objects.bulk_create([wanted], ignore_conflicts=True)
        there = Place.objects.get(site=wanted.site, path=wanted.path)
    return there


def add_aside(asked: Asked, site: Site, name: str) -> Place:
    """Add a place where pieces are laid aside: what failed the drift, what waits for a decision."""
    check_can(asked.hand.user, "place", site)
    name = " ".join(name.split())
    _check_name(name)
    with transaction.atomic():
        _, again = open_line(
            asked, "aside", site, f"Added {name}, for what is laid aside", {"site": site.pk, "name": name}
        )
        if again:
            return Place.objects.get(site=site, path=name)
        try:
            with transaction.atomic():
                return Place.objects.create(site=site, kind=PlaceKind.ASIDE, rack=name, path=name)
        except IntegrityError:
            raise Refused([stops(f"There is a place called {name} here already.", code="rack")]) from None


def rate_rack(asked: Asked, rack: Place, rated_kg: int | None) -> None:
    """Write down what a rack may carry, by the rig's own papers; None takes the figure away."""
    check_can(asked.hand.user, "place", rack.site)
    if rated_kg is not None and not 1 <= rated_kg <= MOST_KG:
        raise Refused([stops(f"A rack is rated 1 to {MOST_KG:,} kg; {rated_kg:,} was typed.")])
    words = f"rated {rated_kg:,} kg" if rated_kg else "without a rating"
    with transaction.atomic():
        _, again = open_line(
            asked, "rate rack", rack.site, f"{rack.rack} is {words}", {"rack": rack.pk, "rated_kg": rated_kg}
        )
        if again:
            return
        lock_open_place(rack.pk)
        Place.objects.filter(pk=rack.pk).update(rated_kg=rated_kg)


def add_layer(asked: Asked, rack: Place) -> Place:
    """Put one more layer on a rack."""
    check_can(asked.hand.user, "place", rack.site)
    with transaction.atomic():
        line, again = open_line(asked, "layer", rack.site, f"Added a layer to {rack.rack}", {"rack": rack.pk})
        layers = Place.objects.layers().filter(site=rack.site, rack=rack.rack)
        Place.objects.select_for_update().get(pk=rack.pk)
        top = layers.count()
        if again:
            first: Place = layers.get(layer=top)
            return first
        if top >= MOST_LAYERS:
            raise Refused([stops(f"{rack.rack} has {top} layers; more than {MOST_LAYERS} are not kept.")])
        return Place.objects.create(
            site=rack.site, kind=PlaceKind.RACK, rack=rack.rack, layer=top + 1, path=f"{rack.rack}/{top + 1}"
        )


def close_rack(asked: Asked, rack: Place) -> None:
    """Close an empty rack: it stays in the books and takes no piece any more."""
    check_can(asked.hand.user, "place", rack.site)
    with transaction.atomic():
        line, again = open_line(asked, "close rack", rack.site, f"Closed rack {rack.rack}", {"rack": rack.pk})
        if again:
            return
        rows = Place.objects.filter(site=rack.site, rack=rack.rack)
        # The locks come first: as part of the counting they would come after its moment was taken.
        locked = list(rows.select_for_update().order_by("pk").values_list("pk", flat=True))
        lying = Component.objects.filter(place__in=locked).count()
        if lying:
            raise Refused([stops(f"{rack.rack} still holds {lying} pieces; move them first.", code="rack")])
        rows.update(ended_on=line.at.astimezone(rack.site.zone).date())


def _check_name(name: str) -> None:
    problems = _name_problems(name)
    if problems:
        raise Refused(problems)


def _name_problems(name: str) -> list[Problem]:
    if not name or "/" in name or len(name) > 40 or not name.isprintable():
        return [stops("Give the rack a short name, up to 40 letters and without a slash.")]
    if name.lower() in TAKEN:
        return [stops(f"{name} is a word of the program; call the rack otherwise.", code="rack")]
    return []


def check_rack(name: str, layers: int) -> None:
    """Refuse a name or a number of layers that no rack has."""
    problems = _name_problems(name)
    if not 1 <= layers <= MOST_LAYERS:
        problems.append(
            stops(f"A rack has 1 to {MOST_LAYERS} layers; {layers} was typed.", measured=str(layers))
        )
    if problems:
        raise Refused(problems)
