"""The rows of wells and their sections in the table of addresses."""

from collections.abc import Callable

from tests.address import DO, LOOK, OWN, Address, Post, text
from tests.rig import Rig


def well(rest: str = "") -> Callable[[Rig], str]:
    return lambda rig: f"/wells/{rig.well.pk}/{rest}"


WELL_AREA = (
    Address("wells/", text("/wells/"), OWN, posts=(
        Post("well", lambda rig: {"name": "Sandholm A-2"}, "403 302 302 403 302 302"),)),
    Address("wells/<int:pk>/", well(), LOOK),
    Address("wells/<int:pk>/change/", well("change/"), "403 405 405 403 405 302", page=False, posts=(
        Post("change", lambda rig: {"name": "Sandholm A-1", "rig_to": "2026-09-01"},
             "403 302 302 403 404 302"),)),
    Address("wells/<int:pk>/sections/", well("sections/"), "403 405 405 403 405 302", page=False, posts=(
        Post("section", lambda rig: {"name": "12-1/4 in", "hole": "12 1/4", "planned": "4100"},
             "403 302 302 403 404 302"),)),
    Address("wells/<int:pk>/sections/<int:section>/",
            lambda rig: f"/wells/{rig.well.pk}/sections/{rig.well.sections.get(name='8-1/2 in').pk}/",
            "403 405 405 403 405 302", page=False, posts=(
        Post("section", lambda rig: {"name": "8-1/2 in", "hole": "8 1/2", "planned": "9100"},
             "403 302 302 403 404 302"),)),
    Address("wells/<int:pk>/bends/", well("bends/"), "405 405 405 403 405 302", page=False, posts=(
        Post("bend", lambda rig: {"from_depth": "4100", "to_depth": "4200", "severity": "5.4",
                                  "measured": "deg/100 ft"}, DO),)),
    Address("wells/<int:pk>/bends/<int:row>/back/",
            lambda rig: f"/wells/{rig.well.pk}/bends/{rig.well.doglegs.first().pk}/back/",
            "405 405 405 403 405 302", page=False, posts=(
        Post("back", lambda rig: {}, DO),)),
    Address("wells/<int:pk>/datum/", well("datum/"), "403 405 405 403 405 302", page=False, posts=(
        Post("datum", lambda rig: {"name": "RKB", "height": "85.10", "over": "sea",
                                   "measured_on": "2026-04-01", "measured_by": "Ola Brandt"},
             "403 302 302 403 404 302"),)),
)  # fmt: skip
