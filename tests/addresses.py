"""Every address of the program and what each of six people gets there: one table.

`tests/rack/test_addresses.py` holds the program to it, and the browser tests take their pages from it.
A new address fails its test until it has a row here.
"""

import uuid
from collections.abc import Callable
from typing import Any

from django.utils import timezone

from tests.address import DO, LOOK, OWN, PEOPLE, POST_ONLY, WORK, Address, Made, Post, text
from tests.addresses_bha import BHA_AREA
from tests.addresses_inspection import INSPECTION_AREA
from tests.addresses_moving import LOAD_AREA, MOVING_AREA
from tests.addresses_strings import PLAN_AREA, STRING_AREA
from tests.addresses_wells import WELL_AREA
from tests.rig import Rig

__all__ = ["ADDRESSES", "PEOPLE", "Address", "Post", "pages"]

def tally(name: str, rest: str = "") -> Callable[[Rig], str]:
    return lambda rig: f"/tallies/{rig.tallies[name].number}/{rest}"


def jar(rest: str = "") -> Callable[[Rig], str]:
    return lambda rig: f"/piece/{rig.jar.tag}/{rest}"


def piece(rest: str = "", n: int = 4) -> Callable[[Rig], str]:
    return lambda rig: f"/piece/{rig.pieces[n].tag}/{rest}"


def sheet(revision: int, pattern: str) -> Callable[[Rig], str]:
    return lambda rig: pattern.format(rig.sheets[revision - 1].code)


def done(what: str, on: str, body: Made, answers: str = DO) -> Post:
    """Something done on the page of a tally."""
    return Post(what, body, answers, tally(on, f"do/{what}/"))


def seen_of(name: str) -> Callable[[Rig], str]:
    """What the stands of a tally add to the depth, in nanometres."""
    from rack.models.comparing import lines_of
    from rack.models.standing import stands_of

    def seen(rig: Rig) -> str:
        found = stands_of(rig.tallies[name], lines_of(rig.tallies[name]))
        return str(found.judgement.apart.nanometres)

    return seen


def key_of(strap: Any) -> str:
    return str(strap.journal.key)


def line(on: str, n: int = 0) -> Callable[[Rig], str]:
    return lambda rig: str(rig.tallies[on].lines.in_order()[n].pk)


ACCOUNT = {"full_name": "Nils Aaberg", "username": "nils", "role": "crew", "password": "seven-green-bottles"}
HEAD = {"purpose": "rack", "kind": "pins off", "straps_wanted": "1", "tape": "T-07", "reader": "Ada",
        "lines_from": "numbers", "count": "3"}
HANDS = {"tape": "T-12", "reader": "Bo", "writer": "Cy"}
PASSWORDS = {"old_password": "not-a-real-password-71", "new_password1": "seven-green-bottles",
             "new_password2": "seven-green-bottles"}


def reading(on: str) -> Made:
    return lambda rig: [{"key": str(uuid.uuid4()), "tally": rig.tallies[on].pk, "typed": "3124",
                         "line": int(line(on, 1)(rig)), "strap_n": 1}]


PEOPLE_AREA = (
    Address("begin/", text("/begin/"), "302 302 302 302 302 302", page=False),
    Address("sign-in/", text("/sign-in/"), "302 302 302 302 302 200"),
    Address("sign-out/", text("/sign-out/"), "405 405 405 405 405 405", page=False, posts=(
        Post("out", lambda rig: {}, "302 302 302 302 302 302", writes=False),)),
    Address("password/", text("/password/"), OWN, posts=(
        Post("own password", lambda rig: PASSWORDS, "302 302 302 302 302 302", writes=False),)),
    Address("site/", text("/site/"), POST_ONLY, page=False, posts=(
        Post("choose", lambda rig: {"site": rig.site.pk}, "302 302 302 302 404 302", writes=False),)),
    Address("site/settings/", text("/site/settings/"), "403 403 200 403 200 302", posts=(
        Post("day", lambda rig: {"report_day": "06:00", "tour_hours": "8"}, "403 403 302 403 302 302"),)),
    Address("accounts/", text("/accounts/"), "403 403 200 403 200 302", posts=(
        Post("add", lambda rig: ACCOUNT, "403 403 302 403 302 302"),)),
    Address("accounts/<int:pk>/", lambda rig: f"/accounts/{rig.post_of('crew').pk}/",
            "403 403 200 403 404 302", posts=(
        Post("role", lambda rig: {"what": "role", "role": "supervisor"}, "403 403 302 403 404 302"),
        Post("end", lambda rig: {"what": "end"}, "403 403 302 403 404 302"),)),
)  # fmt: skip

API_AREA = (
    Address("api/openapi.json", text("/api/openapi.json"), "200 200 200 200 200 200", page=False),
    Address("api/", text("/api/"), "404 404 404 404 404 404", page=False),
    Address("api/readings", text("/api/readings"), "405 405 405 405 405 405", page=False, posts=(
        Post("reading", reading("open"), "200 200 200 200 200 401", json=True),)),
    Address("api/tallies/<tally>/strap/<strap_n>",
            lambda rig: f"/api/tallies/{rig.tallies['open'].pk}/strap/1",
            "200 200 200 200 404 401", page=False),
    Address("api/tallies/<tally>/strap/<strap_n>/line",
            lambda rig: f"/api/tallies/{rig.tallies['open'].pk}/strap/1/line?joint=2",
            "200 200 200 200 404 401", page=False),
)  # fmt: skip

TALLY_AREA = (
    Address("tallies/", text("/tallies/"), OWN),
    Address("tallies/new/", text("/tallies/new/"), "200 200 200 403 200 302", posts=(
        Post("open", lambda rig: HEAD, "302 302 302 403 302 302"),)),
    Address("tallies/<int:number>/", tally("open"), LOOK,
            states=tuple(tally(name) for name in ("closed", "both", "blind", "asking"))),
    Address("tallies/<int:number>/compare/", tally("both", "compare/"), LOOK,
            states=(tally("blind", "compare/"), tally("open", "compare/"))),
    Address("tallies/<int:number>/again/", tally("both", "again/"), LOOK,
            states=(tally("blind", "again/"), tally("open", "again/"), tally("asking", "again/"))),
    Address("tallies/<int:number>/again.pdf", tally("both", "again.pdf"), LOOK, page=False),
    Address("tallies/<int:number>/again.xlsx", tally("both", "again.xlsx"), LOOK, page=False),
    Address("tallies/<int:number>/stands/", tally("out", "stands/"), LOOK, posts=(
        Post("stand", lambda rig: {"do": "read", "group": "1-3", "typed": "93.30"}, DO),
        Post("accept", lambda rig: {"do": "accept", "reason": "stretch", "seen_nm": seen_of("out")(rig)},
             "403 302 302 403 404 302"),
        Post("take back", lambda rig: {"do": "take back", "stand": str(rig.stand.pk)}, DO),)),
    Address("tallies/<int:number>/close/", tally("asking", "close/"), "403 200 200 403 404 302",
            states=(tally("open", "close/"), tally("blind", "close/"), tally("both", "close/")), posts=(
        Post("close", lambda rig: {"reason": "the truck waits"}, "403 302 302 403 404 302"),)),
    Address("tallies/<int:number>/pencil.pdf", tally("open", "pencil.pdf"), LOOK, page=False),
    Address("tallies/<int:number>/pencil/", tally("open", "pencil/"), WORK,
            states=(tally("blind", "pencil/"), tally("closed", "pencil/")), posts=(
        Post("row", lambda rig: {**HANDS, "date": str(timezone.localdate()), "strap": "1", "page": "1",
                                 "key-0": str(uuid.uuid4()), "line-0": line("open", 1)(rig),
                                 "typed-0": "3120"}, DO),)),
    Address("tallies/<int:number>/pencil/<int:pk>/",
            lambda rig: tally("open", f"pencil/{rig.photo.pk}/")(rig), LOOK, page=False),
    Address("tallies/<int:number>/strap/<int:strap_n>/", tally("open", "strap/1/"), WORK,
            states=(tally("asking", "strap/1/"), tally("blind", "strap/1/"), tally("blind", "strap/2/"),
                    tally("open", "strap/2/"), tally("closed", "strap/1/")), posts=(
        Post("read", lambda rig: {"do": "read", "line": line("open", 1)(rig), "typed": "3120"}, DO),
        Post("take back", lambda rig: {"do": "take back", "reading": key_of(rig.reading("open"))}, DO),
        Post("begin", lambda rig: {"do": "begin", **HANDS}, DO, tally("open", "strap/2/")),)),
    Address("tallies/<int:number>/do/<slug:what>/", tally("open", "do/numbers/"), POST_ONLY, page=False,
            posts=(
        done("numbers", "open", lambda rig: {"first": "Y1", "count": "2"}),
        done("pieces", "open", lambda rig: {"names": rig.pieces[0].tag}),
        done("insert", "open", lambda rig: {"painted": "2A", "before": "X1"}),
        done("swap", "open", lambda rig: {"one": "X1", "other": "X2"}),
        done("withdraw", "open", lambda rig: {"line": "X2", "reason": "written twice"}),
        done("tie", "open", lambda rig: {"line": "X1", "piece": rig.pieces[0].tag}),
        done("adopt", "open", lambda rig: {"spec": rig.pieces[0].spec_id, "place": rig.layer.pk},
             "403 302 302 403 404 302"),
        done("begin", "open", lambda rig: HANDS),
        done("finish", "asking", lambda rig: {"strap": "1"}),
        done("confirm", "asking", lambda rig: {"reading": key_of(_odd(rig))}),
        done("tape", "both", lambda rig: {"line": line("both", 2)(rig), "typed": "31.16"}),
        done("again", "both", lambda rig: {"line": line("both", 2)(rig), "typed": "31.16"}),
        done("revise", "closed", lambda rig: {"reason": "a joint was forgotten"}, "403 302 302 403 404 302"),
    )),
)  # fmt: skip


def _odd(rig: Rig) -> Any:
    """The reading that asks whether it reads so."""
    from rack.models import Strap

    return Strap.objects.standing().get(line__tally=rig.tallies["asking"], questions_n__gt=0)


def plan(n: int, pattern: str) -> Callable[[Rig], str]:
    return lambda rig: pattern.format(rig.plans[n].code)


def planned(what: str, body: Made, answers: str = DO) -> Post:
    """Something done on the page of a casing plan."""
    return Post(what, body, answers, tally("casing", f"casing/do/{what}/"))


def item(n: int) -> Callable[[Rig], str]:
    return lambda rig: str(rig.tallies["casing"].casing.items.in_order()[n].pk)


CASING_AREA = (
    Address("tallies/<int:number>/casing/", tally("casing", "casing/"), LOOK,
            states=(tally("shut casing", "casing/"), tally("closed", "casing/"))),
    Address("tallies/<int:number>/casing/check/", tally("casing", "casing/check/"), LOOK, posts=(
        Post("lists", lambda rig: {"rack": "1, 36A", "run": "2 1", "total": "315"},
             "200 200 200 200 404 302", writes=False),)),
    Address("tallies/<int:number>/casing/do/<slug:what>/", tally("casing", "casing/do/head/"), POST_ONLY,
            page=False, posts=(
        planned("head", lambda rig: {"datum": "RKB", "shoulder_nm": "24.60"}),
        planned("part", lambda rig: {"kind": "joint", "name": "36A", "length_nm": "39.31"}),
        planned("chosen", lambda rig: {"item": item(4)(rig), "what": "out", "reason": "thread hit"}),
        planned("print", lambda rig: {"reason": "the crew waits"}, "403 302 302 403 404 302"),
        Post("begin", lambda rig: {"datum": "RKB"}, "422 422 422 403 404 302",
             tally("casing", "casing/do/begin/"), writes=False),
    )),
    Address("casing-sheet/", text("/casing-sheet/"), OWN),
    Address("C/<str:code>/", plan(1, "/C/{}/"), LOOK,
            states=(plan(0, "/C/{}/"), plan(2, "/C/{}/"), text("/C/ABC/"))),
    Address("C/<str:code>", plan(1, "/C/{}"), LOOK),
    Address("c/<str:code>", plan(1, "/c/{}"), LOOK),
    Address("C/<str:code>/<slug:what>.<slug:form>", plan(1, "/C/{}/running-list.pdf"), LOOK, page=False),
)  # fmt: skip

SHEET_AREA = (
    Address("S/<str:code>.pdf", sheet(2, "/S/{}.pdf"), LOOK, page=False),
    Address("S/<str:code>.csv", sheet(2, "/S/{}.csv"), LOOK, page=False),
    Address("S/<str:code>.xlsx", sheet(2, "/S/{}.xlsx"), LOOK, page=False),
    Address("S/<str:code>/", sheet(2, "/S/{}/"), LOOK, states=(sheet(1, "/S/{}/"), text("/S/ABC/"))),
    Address("S/<str:code>", sheet(2, "/S/{}"), LOOK),
    Address("s/<str:code>", sheet(2, "/s/{}"), LOOK),
)

RACK_AREA = (
    Address("", text("/"), OWN),
    Address("rack/", text("/rack/"), OWN, states=(text("/rack/?kind=casing"), text("/rack/?held=yes"))),
    Address("rack/totals/", text("/rack/totals/"), OWN, page=False),
    Address("rack/places/", text("/rack/places/"), OWN, posts=(
        Post("rack", lambda rig: {"name": "R9", "layers": "2"}, "403 302 302 403 302 302"),)),
    Address("rack/places/<int:pk>/<slug:what>/", lambda rig: f"/rack/places/{_rack(rig)}/layer/",
            "403 405 405 403 405 302", page=False, posts=(
        Post("layer", lambda rig: {}, "403 302 302 403 404 302"),)),
    Address("find/", text("/find/?q=KD41"), OWN, states=(text("/find/?q=nothing"), text("/find/?q="))),
    Address("T/<str:code>", lambda rig: f"/T/{rig.pieces[0].tag}", "302 302 302 302 404 302",
            page=False, states=(text("/T/ABC"), text("/T/000000W"))),
    Address("t/<str:code>", lambda rig: f"/t/{rig.pieces[0].tag.lower()}", "302 302 302 302 404 302",
            page=False),
    Address("tags/", text("/tags/"), "200 200 200 403 200 302", states=(
        text("/tags/?start=99&grid=A4+5+x+13&left=20&pitch_y=x"), text("/tags/?start=1&grid=Letter+3+x+10"))),
    Address("tags.pdf", lambda rig: f"/tags.pdf?start=1&copies=1&delivery={rig.delivery.pk}", WORK,
            page=False),
)  # fmt: skip

#: The handbook counts everywhere, so only an office of every site adds to it; nobody here is one.
ADDED = {"grade": "Z2", "min_yield_psi": "150000", "source": "a maker's sheet"}
REFERENCE_AREA = (
    Address("reference/", text("/reference/"), OWN),
    Address("reference/pipe/", text("/reference/pipe/"), OWN),
    Address("reference/connections/", text("/reference/connections/"), OWN),
    Address("reference/casing/", text("/reference/casing/"), OWN),
    Address("reference/bits/", text("/reference/bits/"), OWN),
    Address("reference/tables/<slug:name>/", text("/reference/tables/grades/"), OWN),
    Address("reference/tables/<slug:name>/add/", text("/reference/tables/grades/add/"),
            "403 403 403 403 403 302", posts=(
        Post("add", lambda rig: ADDED, "403 403 403 403 403 302"),)),
    Address("reference/rows/<int:pk>/take-back/", lambda rig: f"/reference/rows/{rig.added.pk}/take-back/",
            POST_ONLY, page=False, posts=(
        Post("take back", lambda rig: {}, "403 403 403 403 403 302"),)),
)  # fmt: skip

RECEIVING_AREA = (
    Address("receive/", text("/receive/"), "403 200 200 403 200 302"),
    # A list that waits lies in the session of whoever chose it: to anybody else it is not at hand.
    Address("receive/<str:digest>/", lambda rig: f"/receive/{rig.waiting}/", "403 200 200 403 404 302",
            posts=(
        Post("leave out", lambda rig: {"what": "toggle", "row": "|2"}, "403 302 302 403 404 302",
             writes=False),
        Post("accept", lambda rig: {"what": "accept", "confirmed": "yes"}, "403 302 302 403 404 302"),)),
    Address("deliveries/<int:pk>/", lambda rig: f"/deliveries/{rig.delivery.pk}/", LOOK),
)  # fmt: skip

PIECE_AREA = (
    Address("piece/<str:tag>/", piece(), LOOK, states=(piece(n=2), jar())),
    Address("piece/<str:tag>/hold/", piece("hold/"), "405 405 405 403 405 302", page=False, posts=(
        Post("hold", lambda rig: {"reason": "bent"}, DO),)),
    Address("piece/<str:tag>/hold/<int:pk>/photo/",
            lambda rig: f"/piece/{rig.pieces[2].tag}/hold/{rig.hold.pk}/photo/", LOOK, page=False),
    Address("piece/<str:tag>/release/<int:pk>/",
            lambda rig: f"/piece/{rig.pieces[2].tag}/release/{rig.hold.pk}/", "403 405 403 403 403 302",
            page=False, posts=(
        Post("release", lambda rig: {"reason": "dressed"}, "403 302 403 403 403 302"),)),
    Address("piece/<str:tag>/move/", piece("move/"), "405 405 405 403 405 302", page=False, posts=(
        Post("move", lambda rig: {"place": rig.layer.pk + 1}, DO),)),
    Address("piece/<str:tag>/name/", piece("name/"), "405 405 405 403 405 302", page=False, posts=(
        Post("name", lambda rig: {"what": "painted", "text": "77"}, DO),)),
    Address("piece/<str:tag>/state/", piece("state/"), "405 405 405 403 405 302", page=False, posts=(
        Post("state", lambda rig: {"state": "at_inspection"}, DO),)),
    Address("piece/<str:tag>/fact/", jar("fact/"), "405 405 405 403 405 302", page=False, posts=(
        Post("fact", lambda rig: {"action": "mechanical", "neck_od_nm": "6-1/4"}, DO),)),
    Address("piece/<str:tag>/length/", jar("length/"), "405 405 405 403 405 302", page=False, posts=(
        Post("jar", lambda rig: {"open": "32.15", "closed": "30.90", "holds": "closed",
                                 "kind": "overall, tool"}, DO),
        Post("joint", lambda rig: {"length": "31.20", "kind": "pins off"}, DO, at=piece("length/")),)),
    Address("piece/<str:tag>/ended/", piece("ended/"), "403 405 403 403 403 302", page=False, posts=(
        Post("ended", lambda rig: {"reason": "pin recut"}, "403 302 403 403 403 302"),)),
    Address("drawings/<slug:code>.svg", text("/drawings/jar.svg"), OWN, page=False),
)  # fmt: skip

def _rack(rig: Rig) -> int:
    from rack.models import Place

    return Place.objects.get(site=rig.site, path="R1").pk


ADDRESSES = (
    *PEOPLE_AREA, *API_AREA, *TALLY_AREA, *CASING_AREA, *SHEET_AREA,
    *RACK_AREA, *RECEIVING_AREA, *REFERENCE_AREA, *PIECE_AREA, *WELL_AREA,
    *MOVING_AREA, *LOAD_AREA, *STRING_AREA, *PLAN_AREA, *BHA_AREA, *INSPECTION_AREA,
)  # fmt: skip


def pages() -> list[Callable[[Rig], str]]:
    """Every address that shows a page, in each of its states."""
    found = []
    for one in ADDRESSES:
        found += [one.at] if one.page else []
        found += one.states
    return found
