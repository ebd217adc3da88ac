"""The rows of inspection in the table of addresses; without the app there are none."""

from collections.abc import Callable

from django.apps import apps

from tests.address import LOOK, OWN, POST_ONLY, Address, Post, text
from tests.rig import Rig

#: Something that a supervisor books.
BOOK = "403 302 403 403 404 302"


def job(rest: str = "", which: str = "job") -> Callable[[Rig], str]:
    return lambda rig: f"/jobs/{getattr(rig.inspected, which).number}/{rest}"


_ROWS = (
    Address("due/", text("/due/"), OWN),
    Address("due/fallen/", text("/due/fallen/"), OWN),
    Address("due/fallen.pdf", text("/due/fallen.pdf"), OWN, page=False),
    Address("jobs/", text("/jobs/"), OWN),
    Address("jobs/new/", text("/jobs/new/"), "403 200 403 403 403 302", posts=(
        Post("book", lambda rig: {"on": "2026-12-04", "scope": "visual", "names": rig.pieces[5].tag},
             "403 302 403 403 403 302"),)),
    Address("jobs/<int:number>/", job(), LOOK, states=(job(which="closed"),)),
    Address("jobs/<int:number>/do/<slug:what>/", job("do/put/"), POST_ONLY, page=False, posts=(
        Post("put", lambda rig: {"names": rig.pieces[6].tag}, BOOK),
        Post("off", lambda rig: {"piece": [rig.inspected.waiting.tag]}, BOOK, job("do/off/")),
        Post("why", lambda rig: {"piece": [rig.inspected.waiting.tag], "reason": "under the others"}, BOOK,
             job("do/why/")),
        Post("close", lambda rig: {}, "403 422 403 403 404 302", job("do/close/"), writes=False),
    )),
    Address("jobs/<int:number>/picks.pdf", job("picks.pdf"), LOOK, page=False),
    Address("jobs/<int:number>/record.pdf", job("record.pdf"), LOOK, page=False),
    Address("inspections/<int:pk>/record.pdf",
            lambda rig: f"/inspections/{rig.inspected.inspection.pk}/record.pdf", LOOK, page=False),
)  # fmt: skip

INSPECTION_AREA = _ROWS if apps.is_installed("inspection") else ()
