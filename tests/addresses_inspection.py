"""The rows of inspection in the table of addresses; without the app there are none."""

import uuid
from collections.abc import Callable

from django.apps import apps

from tests.address import LOOK, OWN, POST_ONLY, Address, Post, text
from tests.addresses_intervals import INTERVALS
from tests.addresses_reports import REPORTS
from tests.rig import Rig

#: Something that a supervisor books.
BOOK = "403 302 403 403 404 302"


def job(rest: str = "", which: str = "job") -> Callable[[Rig], str]:
    return lambda rig: f"/jobs/{getattr(rig.inspected, which).number}/{rest}"


def due(rest: str = "", query: str = "") -> Callable[[Rig], str]:
    """The due board of the rig; `query` may name the plan and the string of it."""

    def at(rig: Rig) -> str:
        chosen = {"plan": rig.plan.pk, "string": rig.strings["running"].pk} if query else {}
        return f"/due/{rest}{query.format(**chosen)}"

    return at


#: Recording is the supervisor's; the stranger keeps the office of another site.
INSPECTS, INSPECTS_DO = "403 200 403 403 403 302", "403 302 403 403 403 302"
INSPECTS_POST = "403 405 403 403 403 302"


def of(rest: str = "") -> Callable[[Rig], str]:
    """An address under the inspection that the rig has recorded."""

    def at(rig: Rig) -> str:
        from tests.inspection.recorded import recorded

        return f"/inspections/{recorded(rig).pk}/{rest}"

    return at


def _photo(rig: Rig) -> str:
    from tests.inspection.recorded import recorded

    row = recorded(rig)
    return f"/inspections/{row.pk}/photo/{row.findings.get().pk}/"


def _inspector(rig: Rig) -> str:
    from inspection.models import Inspector

    there = Inspector.objects.filter(site=rig.site).first()
    return f"/inspectors/{(there or Inspector.objects.create(site=rig.site, name='A. Lind')).pk}/end/"


def _typed(rig: Rig) -> dict[str, object]:
    return {"on": "2026-11-20", "scope": "visual", "look-VT-C": "nothing to reject", "given": "Premium",
            "reason": "walked by a test"}  # fmt: skip


def _grid(rig: Rig) -> dict[str, object]:
    return {"way": "names", "names": rig.spare[0].tag, "on": "2026-11-20", "scope": "visual", "unit": "in",
            "methods": ["VT-C"], "reason": "walked by a test"}  # fmt: skip


def _batch(rig: Rig) -> dict[str, object]:
    """A batch on a sheet as the page of the supervisor would hand it over."""
    from inspection.views.sheets import Sheet

    user = rig.who["supervisor"]
    sheet = Sheet(
        str(uuid.uuid4()), user.pk if user else 0, rig.site.pk, "2026-11-20", "visual", "", "", None, "", "",
        [], None, [], ["VT-C"], "in", "walked by a test", "1 piece", [rig.spare[0].pk],
    )  # fmt: skip
    row = {"tag": rig.spare[0].tag, "given": "Premium"}
    return {"token": sheet.token(), "batches": [{"key": str(uuid.uuid4()), "reason": "", "rows": [row]}]}


_ROWS = (
    Address("due/", due(), OWN, states=(
        due(query="?list=due"), due(query="?list=fine"), due(query="?list=held"),
        due(query="?kind=jar&which=all"),
        due(query="?plan={plan}&hours=60"), due(query="?string={string}"), due(query="?ends=no+day"),
    )),
    Address("due/list.pdf", due("list.pdf"), OWN, page=False),
    Address("due/list.csv", due("list.csv"), OWN, page=False),
    Address("due/list.xlsx", due("list.xlsx"), OWN, page=False),
    Address("due/sites/", due("sites/"), OWN, names_sites=True),
    Address("due/<str:tag>/", lambda rig: f"/due/{rig.jar.tag}/", LOOK),
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
    Address("inspections/<int:pk>/", of(), LOOK),
    Address("inspections/<int:pk>/take-back/", of("take-back/"), INSPECTS_POST, (
        Post("taken back", lambda rig: {"reason": "another joint"}, INSPECTS_DO),
    ), page=False),
    Address("inspections/<int:pk>/report/", of("report/"), LOOK, page=False),
    Address("inspections/<int:pk>/photo/<int:finding>/", _photo, LOOK, page=False),
    Address("inspect/grid/", text("/inspect/grid/"), INSPECTS, (
        Post("begin", _grid, INSPECTS_DO, writes=False),
    ), states=(lambda rig: f"/inspect/grid/?way=names&names={rig.spare[0].tag}",)),
    Address("inspect/grid/save/", text("/inspect/grid/save/"), INSPECTS_POST, (
        Post("save", _batch, "403 200 403 403 403 302", json=True),
    ), page=False),
    Address("inspect/<str:tag>/", lambda rig: f"/inspect/{rig.spare[0].tag}/", INSPECTS, (
        Post("record", _typed, INSPECTS_DO),
    )),
    Address("inspectors/", text("/inspectors/"), INSPECTS, (
        Post("add", lambda rig: {"name": "R. Vik", "level": "Level II"}, INSPECTS_DO),
    )),
    Address("inspectors/<int:pk>/end/", _inspector, INSPECTS_POST, (
        Post("end", lambda rig: {}, INSPECTS_DO),
    ), page=False),
    *REPORTS,
    *INTERVALS,
)  # fmt: skip

INSPECTION_AREA = _ROWS if apps.is_installed("inspection") else ()
