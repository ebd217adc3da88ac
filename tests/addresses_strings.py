"""The rows of strings in the table of addresses."""

from collections.abc import Callable

from tests.address import DO, LOOK, OWN, POST_ONLY, Address, Made, Post, text
from tests.rig import Rig


def string(name: str, rest: str = "") -> Callable[[Rig], str]:
    return lambda rig: f"/strings/{rig.strings[name].number}/{rest}"


def done(what: str, body: Made, answers: str = DO, on: str = "running") -> Post:
    """Something done on the page of a string."""
    return Post(what, body, answers, string(on, f"do/{what}/"))


HEADS = "403 302 302 403 404 302"


def _head(rig: Rig) -> dict[str, object]:
    return {"well": rig.well.pk, "stand_n": "3", "title": "another"}


def _line(rig: Rig) -> dict[str, object]:
    newest = rig.strings["running"].changes.order_by("-id").first()
    return {"line": newest.journal_id if newest else 0}


STRING_AREA = (
    Address("strings/", text("/strings/"), OWN),
    Address("strings/new/", text("/strings/new/"), "403 200 200 403 200 302", posts=(
        Post("begin", _head, "403 302 302 403 422 302"),)),
    Address("strings/<int:number>/", string("running"), LOOK, states=(string("empty"),)),
    Address("strings/<int:number>/do/<slug:what>/", string("running", "do/join/"), POST_ONLY,
            page=False, posts=(
        done("join", lambda rig: {"way": "names", "names": rig.spare[0].tag}),
        done("back", lambda rig: {"count": "1", "side": "A", "row": "2"}),
        done("again", lambda rig: {"count": "3"}),
        done("down", lambda rig: {"count": "1", "place": rig.layer.pk + 1}),
        done("swap", lambda rig: {"out": "KD6503", "new": "KD6508", "place": rig.layer.pk + 1}),
        done("stay", lambda rig: {"names": "KD6501", "state": "left_in_well", "reason": "twisted off"}),
        done("undo", _line),
        done("head", _head, HEADS),
        done("end", lambda rig: {}, HEADS, on="empty"),
    )),
)  # fmt: skip
