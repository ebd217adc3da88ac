"""The invented rig of `manage.py demo`: written through the same actions that people use.

A chapter is a function of the `Rig` and tells some days of its history. Chapters stand in the order of
time, because the times of a journal never run backwards; one that is added later takes the place of its days.
"""

from collections.abc import Callable

from django.apps import apps
from django.utils.module_loading import import_string

from rack.demo import arrivals, beginning, casing, deck, floor, holes, loads, runs, today, trips
from rack.demo.rig import PASSWORD, PEOPLE, Rig
from rack.models import Journal

__all__ = ["CHAPTERS", "PASSWORD", "PEOPLE", "load"]

CHAPTERS: tuple[Callable[[Rig], None], ...] = (
    beginning.people_and_racks,
    beginning.first_well,
    arrivals.collars_and_tools,
    arrivals.drill_pipe,
    deck.first_lift_is_strapped,
    arrivals.rental_pipe,
    deck.serials_are_read_on_the_steel,
    deck.heavy_weight_is_strapped,
    floor.facts_of_the_tools,
    floor.lengths_open_and_closed,
    floor.short_pieces_are_taped,
    loads.tools_go_to_inspection,
    arrivals.casing,
    trips.strapped_out,
    trips.laid_down,
    beginning.next_well,
    holes.well_is_planned,
    casing.strapped_twice,
    casing.planned,
    casing.landed,
    arrivals.tubing,
    deck.holds,
    deck.shop_and_rental,
    loads.motor_goes_for_repair,
    holes.next_string_is_planned,
    today.tubing_waits_for_closing,
    runs.shoe_is_drilled_out,
    today.slips_between_two_straps,
    runs.motor_goes_in,
    runs.first_tour,
    today.rental_goes_back,
    runs.second_tour,
    today.second_strap_is_open,
    runs.jarred_and_pulled,
    today.pencil_sheet_is_out,
    today.load_is_being_made_up,
    runs.short_trip,
    runs.sheet_is_printed,
    today.strap_is_being_taken,
)


def all_chapters() -> list[Callable[[Rig], None]]:
    """The chapters in the order of time, with those of the neighbours in their places."""
    chapters = list(CHAPTERS)
    for app in apps.get_app_configs():
        dotted = getattr(app, "demo_chapters", "")
        for before, chapter in import_string(dotted) if dotted else ():
            names = [one.__name__ for one in chapters]
            chapters.insert(names.index(before), chapter)
    return chapters


def load() -> None:
    """Write the demo rig into the database; a rig that is there already stays as it is."""
    rig = Rig()
    if Journal.objects.filter(key=rig.key("the demo is complete")).exists():
        return
    for chapter in all_chapters():
        chapter(rig)
    beginning.done(rig)
