"""An invented BHA sheet for the tests of paper and of its text."""

from dataclasses import replace
from typing import Any

from rack.calc.bha import BhaContent, BhaHead, content_of
from rack.calc.chain import Link
from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts
from rack.exchange.bha_sheet import read_sheet
from tests.rack.exchange.bha_paper import sheet

ADDRESS = "https://sandholm.example/B/K7Q2M9A"
HEAD = BhaHead(
    site_code="SN3", site_name="Sandholm 3", title="BHA 7, 8-1/2 in hole", well="SD-14", bha_no="7",
    bit_no="5",
    hole_nm=215_900_000, depth_in_nm=7412 * 304_800_000, mud_mppg=10_200,
    casing="9-5/8 in 47 lb/ft, shoe 7,388 ft", hours=(("rotating", "41.00"), ("circulating", "58.50")),
)  # fmt: skip


def links() -> tuple[Link, ...]:
    """The twenty pieces of the invented sheet; the MWD has its sensor 15.30 ft above its lower shoulder."""
    made = sheet()
    made.row(5)["Remarks"] = "survey sensor 15.30 ft above the lower shoulder"
    return read_sheet(made.data(), "bha.csv").links


def content(these: tuple[Link, ...] | None = None, **more: Any) -> BhaContent:
    """The content of a string, any argument of `content_of` can be given."""
    given: dict[str, Any] = {
        "unit": "ft", "digits": 2, "revision": 2, "code": "K7Q2M9A", "made_at": "2026-11-25T13:40+01:00",
        "made_by": "K. Aune", "remarks": {12: "clamp on"},
        "notes": ("R12 accepted by S. Moe for this run: stiffness step at no. 14.",),
    } | more  # fmt: skip
    return content_of(given.pop("head", HEAD), links() if these is None else these, **given)


def pipe(n: int, **more: Any) -> Link:
    """A joint of heavy-weight pipe."""
    spec = SpecFacts("heavy_weight", od_nm=127_000_000, bore_nm=76_200_000, up_conn="NC50", up_gender="box",
                     down_conn="NC50", down_gender="pin")  # fmt: skip
    return replace(Link(f"HW-{n}", spec, Length.parse("30.50", "ft"), serial=f"HW-{n}"), **more)
