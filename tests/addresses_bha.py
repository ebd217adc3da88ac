"""The rows of BHA sheets in the table of addresses."""

from collections.abc import Callable
from pathlib import Path

from django.core.files.uploadedfile import SimpleUploadedFile

from tests.address import LOOK, OWN, Address, Post, text
from tests.addresses_strings import HEADS, plan, string
from tests.rig import Rig

SHEET = Path(__file__).resolve().parents[1] / "fixtures" / "bha" / "extract_of_a_sheet.csv"


def printed(ending: str) -> Callable[[Rig], str]:
    return lambda rig: f"/B/{rig.bha.code}{ending}"


def _typed(rig: Rig) -> dict[str, object]:
    return {"file": SimpleUploadedFile("bha.csv", SHEET.read_bytes())}


BHA_AREA = (
    Address("plans/<int:number>/bha/", plan("bha/"), LOOK, posts=(Post("print", lambda rig: {}, HEADS),)),
    Address("plans/<int:number>/bha.svg", plan("bha.svg"), LOOK, page=False),
    Address("strings/<int:number>/bha/", string("running", "bha/"), LOOK, states=(string("empty", "bha/"),),
            posts=(Post("print", lambda rig: {}, HEADS),)),
    Address("strings/<int:number>/bha.svg", string("running", "bha.svg"), LOOK, page=False),
    Address("bha-sheet/", text("/bha-sheet/"), OWN, posts=(
        Post("read", _typed, "200 200 200 200 200 302", writes=False),)),
    Address("B/<str:code>.<slug:form>", printed(".pdf"), LOOK, page=False),
    Address("B/<str:code>/", printed("/"), LOOK),
    Address("B/<str:code>", printed(""), LOOK),
    Address("b/<str:code>", lambda rig: f"/b/{rig.bha.code.lower()}", LOOK),
)  # fmt: skip
