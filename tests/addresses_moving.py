"""The rows of moving, balancing and sending in the table of addresses."""

from collections.abc import Callable

from tests.address import DO, LOOK, OWN, POST_ONLY, Address, Made, Post, text
from tests.rig import Rig


def load(name: str, rest: str = "") -> Callable[[Rig], str]:
    return lambda rig: f"/loads/{rig.loads[name].number}/{rest}"


def load_list(ending: str, name: str = "sent") -> Callable[[Rig], str]:
    return lambda rig: f"/L/{rig.list_of(name).code}{ending}"


def coming(rig: Rig) -> str:
    return f"/loads/coming/{rig.loads['coming'].pk}/"


def loaded(what: str, on: str, body: Made, answers: str = DO) -> Post:
    return Post(what, body, answers, load(on, f"do/{what}/"))


HEADS = "403 302 302 403 404 302"
WHICH = "way=names&names=KD4101&place="
NEW_LOAD = {"why": "return", "to": "Gantry Lending, quay 4"}
MOVING_AREA = (
    Address("rack/move/", text("/rack/move/"), "200 200 200 403 200 302",
            states=(lambda rig: f"/rack/move/?{WHICH}{rig.layer.pk + 1}",
                    lambda rig: f"/rack/move/?way=numbers&first=99&place={rig.layer.pk + 1}"), posts=(
        Post("move", lambda rig: {"way": "names", "names": rig.pieces[4].tag, "place": rig.layer.pk + 1,
                                  "same": _same(rig)}, "302 302 302 403 422 302"),)),
    Address("rack/places/aside/", text("/rack/places/aside/"), "403 405 405 403 405 302", page=False, posts=(
        Post("aside", lambda rig: {"name": "Failed the drift"}, "403 302 302 403 302 302"),)),
    Address("balance/", text("/balance/"), OWN, names_sites=True, states=(
        text("/balance/?kind=drill_pipe"), text("/balance/?on=2026-01-01T10:00"),
        text("/balance/?on=2026-01-01T10:00&of=received"), text("/balance/?on=someday"))),
    Address("balance.xlsx", text("/balance.xlsx"), OWN, page=False),
    Address("balance/check/", text("/balance/check/"), OWN, page=False),
    Address("rack/<str:name>/", text("/rack/R1/"), LOOK),
    Address("rack/<str:name>/end-on.svg", text("/rack/R1/end-on.svg"), LOOK, page=False),
    Address("rack/<str:name>/end-on.pdf", text("/rack/R1/end-on.pdf"), LOOK, page=False),
    Address("rack/<str:name>/end-on.xlsx", text("/rack/R1/end-on.xlsx"), LOOK, page=False),
    Address("rack/<str:name>/rate/", text("/rack/R1/rate/"), "403 405 405 403 405 302", page=False, posts=(
        Post("rate", lambda rig: {"rated_kg": "20000"}, "403 302 302 403 404 302"),)),
)  # fmt: skip

LOAD_AREA = (
    Address("loads/", text("/loads/"), OWN, names_sites=True),
    Address("loads/new/", text("/loads/new/"), "200 200 200 403 200 302", names_sites=True, posts=(
        Post("open", lambda rig: NEW_LOAD, "302 302 302 403 302 302"),)),
    Address("loads/<int:number>/", load("open"), LOOK, states=(load("sent"),)),
    Address("loads/<int:number>/do/<slug:what>/", load("open", "do/put/"), POST_ONLY, page=False, posts=(
        loaded("put", "open", lambda rig: {"way": "names", "names": rig.pieces[5].tag, "lift": "2"}),
        loaded("off", "open", lambda rig: {"row": rig.loads["open"].loaded.first().pk}),
        loaded("send", "open", lambda rig: {}, HEADS),
        loaded("back", "sent", lambda rig: {"reason": "the boat is full"}, HEADS),
        loaded("arrive", "sent", lambda rig: {"everything": "on"}, HEADS),
        loaded("unarrive", "sent", lambda rig: {"undo_reason": "the wrong boat"},
               "403 422 422 403 404 302"),
    )),
    Address("loads/coming/<int:pk>/", coming, "403 200 200 403 404 302", posts=(
        Post("receive", lambda rig: {"everything": "on", "place": rig.layer.pk}, HEADS),)),
    Address("L/<str:code>.pdf", load_list(".pdf"), LOOK, page=False),
    Address("L/<str:code>.csv", load_list(".csv"), LOOK, page=False),
    Address("L/<str:code>.xlsx", load_list(".xlsx"), LOOK, page=False),
    Address("L/<str:code>/", load_list("/"), LOOK, states=(text("/L/ABC/"),)),
    Address("L/<str:code>", load_list(""), LOOK),
    Address("l/<str:code>", lambda rig: f"/l/{rig.list_of('sent').code}", LOOK),
)  # fmt: skip


def _same(rig: Rig) -> str:
    from rack.views.moving import fingerprint

    return fingerprint([rig.pieces[4]])
