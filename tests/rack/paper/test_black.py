"""Every paper prints in black alone: no colour is set, and what is grey is a line between joints."""

import io
import pkgutil
import re
from importlib import import_module

import pytest
from pypdf import PdfReader

from rack import paper
from rack.calc.hours_limits import Bar
from rack.calc.labels import grids
from rack.paper import (
    bha_sheet,
    casing_detail,
    hours_sheet,
    listsheet,
    loadout,
    pencil,
    racksheet,
    running_list,
    tags,
    tally_sheet,
)
from tests.calc import test_loadlist as load
from tests.rack.paper import bha_drawn, casing_drawn
from tests.rack.paper.drawn import ADDRESS, full, sheet
from tests.rack.test_rack_end_on import layer_of
from tests.rack.test_rack_end_on import sheet as rack

#: Operators of a PDF that set a colour, of the device or of another space.
COLOUR = re.compile(
    rb"(?<![\w/])((?:-?[\d.]+\s+){3}(?:rg|RG)|(?:-?[\d.]+\s+){4}[kK]|(?:cs|CS|scn?|SCN?))(?=\s)"
)
GREY = re.compile(rb"(?<![\w.])([\d.]+)\s+([gG])(?=\s)")
HEAD = pencil.PencilHead(
    site_code="SH3", site_name="Sandholm 3", tally_no=14, title="drill pipe", item="5 in 19.50",
    purpose="rack", unit="ft", digits=2, length_kind="pins off", straps_wanted=2, address=ADDRESS,
    printed="2026-11-02 14:20",
)  # fmt: skip
CLASSED = [
    tags.TagLabel(f"K7Q2M{n:02d}", ADDRESS, f"KD{n}", "5 in", "", word, "2026-11-02", "drill pipe tube")
    for n, word in enumerate(("New", "Premium", "Class 2", "Class 3", "Scrap"))
]
LIST = listsheet.ListSheet(
    what="Pick list", site="Sandholm 3", title="string 2", under="as planned",
    columns=(listsheet.Column("Serial", 0.5), listsheet.Column("ft", 0.5, "right")), rows=[("KD1", "31.24")],
    notes=("Mind this.",), cautions=("Nobody between joints.",), signers=("Driller",),
)
HOURS = hours_sheet.HoursSheet(
    "Sandholm 3", "string 2", "rotating hours", "2026-11-02 14:20",
    [Bar("KD1", "5 in 19.50", "since new", "rotating", state, 700_000, 900_000, known, share,
         (("soon", 900), ("due", 1000)), "194.44 of 250 h", "55.56 h left")
     for state, known, share in (("fine", True, 777), ("due", False, 1200), ("overdue", True, 2500))],
    ("What must be known.",), "Hours are an aid.",
)  # fmt: skip
MARKED = [layer_of(40), *(layer_of(3, mark=mark, name=f"Layer {mark}") for mark in ("held", "I", "R", "S"))]
PAPERS = {
    "tally sheet": lambda: tally_sheet.pdf(full(60), size="A4", address=ADDRESS),
    "short tally sheet": lambda: tally_sheet.pdf(sheet(3), size="Letter", address=ADDRESS),
    "pencil sheet": lambda: pencil.pdf(HEAD, [pencil.PencilLine(n, str(n), f"KD{n}") for n in range(1, 60)]),
    "tags": lambda: tags.pdf(CLASSED, outlines=True),
    "running list": lambda: running_list.pdf(casing_drawn.plan(), address=ADDRESS),
    "casing detail": lambda: casing_detail.pdf(casing_drawn.plan(), address=ADDRESS),
    "load": lambda: loadout.pdf(load.content(load.line(1, holds=("cut",)), load.line(2)), address=ADDRESS),
    "rack sheet": lambda: racksheet.pdf(rack(MARKED)),
    "BHA sheet": lambda: bha_sheet.pdf(bha_drawn.content(), address=ADDRESS),
    "plain list": lambda: listsheet.pdf(LIST),
    "hours sheet": lambda: hours_sheet.pdf(HOURS),
    "test page": lambda: tags.trial(grids()["Letter 3 x 10"], 29),
}


def drawing(pdf):
    return b"\n".join(page.get_contents().get_data() for page in PdfReader(io.BytesIO(pdf)).pages)


def in_colour(text):
    """The operators that set another colour than a grey; the writer's own "0 0 0 rg" is black."""
    found = (one[1].split() for one in COLOUR.finditer(text))
    return [one for one in found if len(one) < 4 or len(set(map(float, one[:3]))) > 1]


@pytest.mark.parametrize("name", PAPERS)
def test_no_colour_is_set_on_any_paper(name):
    assert in_colour(drawing(PAPERS[name]())) == []


@pytest.mark.parametrize("name", PAPERS)
def test_what_is_grey_may_fade_without_harm(name):
    """Lines between joints, the tint under every second row, a rack's sill, and white: no letter, no band.

    A letter is filled, so 0.5 is for strokes alone.
    """
    fills = {0.0, 0.92, 1.0} | ({0.62} if name == "rack sheet" else set())
    found = {(operator, float(one)) for one, operator in GREY.findall(drawing(PAPERS[name]()))}
    assert {one for operator, one in found if operator == b"g"} <= fills
    assert {one for operator, one in found if operator == b"G"} <= {0.0, 0.5, 1.0}


def test_every_paper_that_there_is_is_held_to_black():
    """A module that makes a PDF and is not printed above would be held to nothing."""
    held = {
        bha_sheet, casing_detail, hours_sheet, listsheet, loadout, pencil, racksheet, running_list, tags,
        tally_sheet,
    }  # fmt: skip
    made = {f"rack.paper.{one.name}" for one in pkgutil.iter_modules(paper.__path__)}
    assert {name for name in made if hasattr(import_module(name), "pdf")} == {one.__name__ for one in held}


@pytest.mark.parametrize("text", [b"q 1 0 0 rg Q", b"0.2 0.4 0.2 RG ", b"0 1 0 0 k ", b"/Cs1 cs "])
def test_a_colour_would_be_found(text):
    assert in_colour(text)
