"""The rack end on: one drawing in true proportion for page and paper, its page, its rating."""

import io
import uuid
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from rack.actions import pieces as actions
from rack.actions import places
from rack.models import Place
from rack.paper import racksheet
from rack.paper.rackpicture import DAY, NIGHT, LayerEnds, PipeEnd, layout, svg
from tests import stock
from tests.rack.tally_desk import ROLES, signed_in, text_of

IN = 25_400_000


def layer_of(count, od=5 * IN, mark="", name="Layer 1"):
    return LayerEnds(name, tuple(PipeEnd(od, mark) for _ in range(count)))


def test_circles_are_in_true_proportion_by_outside_diameter():
    drawing = layout([LayerEnds("Layer 1", (PipeEnd(5 * IN), PipeEnd(8 * IN), PipeEnd(10 * IN)))])
    small, middle, large = (one.r for one in drawing.circles)
    assert middle / small == pytest.approx(8 / 5) and large / small == pytest.approx(2)


def test_the_lowest_layer_is_drawn_lowest():
    drawing = layout([layer_of(2, name="Layer 1"), layer_of(3, name="Layer 2")])
    assert [sill.words for sill in sorted(drawing.sills, key=lambda sill: sill.y)] == [
        "Layer 2: 3 pieces", "Layer 1: 2 pieces"]


@pytest.mark.parametrize("across", [120, 340, 960])
@pytest.mark.parametrize("counts", [(0,), (1, 0, 7), (400,), (90, 96, 12)])
def test_every_piece_is_drawn_inside_the_picture_and_none_lies_on_another(across, counts):
    layers = [layer_of(count, name=f"Layer {n}") for n, count in enumerate(counts, start=1)]
    drawing = layout(layers, across)
    assert len(drawing.circles) == sum(counts)
    for one in drawing.circles:
        assert one.r <= one.x <= across - one.r and one.r <= one.y <= drawing.height - one.r
    by_row = {}
    for one in drawing.circles:
        by_row.setdefault(round(one.y + one.r, 3), []).append(one)
    for row in by_row.values():
        row.sort(key=lambda one: one.x)
        assert all(b.x - a.x >= a.r + b.r for a, b in zip(row, row[1:], strict=False))


def test_hundreds_stay_readable_and_their_rows_say_where_they_belong():
    drawing = layout([layer_of(400)])
    assert min(one.r for one in drawing.circles) >= 3.5
    assert len(drawing.sills) > 1
    assert all("400 pieces, row" in sill.words for sill in drawing.sills)


def test_a_thirty_six_inch_piece_among_small_ones_leaves_both_to_be_seen():
    drawing = layout([LayerEnds("Layer 1", (PipeEnd(36 * IN), *(PipeEnd(5 * IN) for _ in range(9))))])
    assert max(one.r for one in drawing.circles) <= 32 and min(one.r for one in drawing.circles) > 3


def test_an_unknown_size_is_dashed_so_that_nobody_reads_one():
    text = svg(layout([LayerEnds("Layer 1", (PipeEnd(0), PipeEnd(5 * IN)))]))
    assert text.count("stroke-dasharray") == 1


@pytest.mark.parametrize("mark, sign", [("held", "path"), ("I", ">I<"), ("R", ">R<"), ("S", ">S<")])
def test_colour_never_speaks_alone(mark, sign):
    """Without its colours a marked end still differs from the others by a shape or a letter."""
    assert sign in svg(layout([layer_of(1, mark=mark)]))
    assert sign not in svg(layout([layer_of(1)]))


@pytest.mark.parametrize("ink", [DAY, NIGHT])
def test_the_picture_is_well_formed_and_carries_nothing_that_a_policy_refuses(ink):
    drawing = layout([layer_of(3, mark="held", name='Layer 1 <script>"&')])
    text = svg(drawing, ink, "R1 & <b>")
    root = ElementTree.fromstring(text)
    names = {element.tag.split("}")[1] for element in root.iter()}
    assert names <= {"svg", "title", "rect", "text", "circle", "path"}
    assert "style" not in text and "href" not in text and "<script" not in text


def test_a_picture_too_narrow_to_draw_on_is_refused():
    with pytest.raises(ValueError, match="at least 120"):
        layout([layer_of(1)], 100)


def sheet(layers):
    return racksheet.RackSheet(
        site="Sandholm 3 (SH3)", rack="R1", printed="2026-11-02 14:20", layers=tuple(layers),
        heads=("Layer", "Pieces", "Held", "Length ft", "lb", "kg", "Not weighed"),
        rows=(("Layer 1", "400", "1", "12,000.00", "234,000", "106,141", "0"),),
        rating="Its own rating is 1 kg.",
        notes=("Reckoned by label weight.",), cautions=("Nobody stands between joints.",),
    )  # fmt: skip


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_the_paper_says_what_the_picture_shows(size):
    data = racksheet.pdf(sheet([layer_of(40), layer_of(3, mark="held", name="Layer 2")]), size=size)
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    for words in ("Layer 1: 40 pieces", "Layer 2: 3 pieces", "x = held: do not use", "106,141",
                  "Its own rating is 1 kg.", "Nobody stands between joints.", "page 1 of 1"):  # fmt: skip
        assert words in text


def test_a_rack_of_two_thousand_goes_on_over_pages_and_prints_the_same_twice():
    layers = [layer_of(200, name=f"Layer {n}") for n in range(1, 11)]
    data = racksheet.pdf(sheet(layers))
    reader = PdfReader(io.BytesIO(data))
    assert len(reader.pages) > 1
    assert f"page 1 of {len(reader.pages)}" in reader.pages[0].extract_text()
    assert racksheet.pdf(sheet(layers)) == data


# The page


@pytest.fixture
def here(db):
    return stock.site()


@pytest.fixture
def joints(here):
    return stock.pieces(stock.rack(here), 3, lengths=["30.00", "31.00", "32.00"])


@pytest.mark.parametrize("role", ROLES)
def test_everybody_sees_the_rack_and_its_own_words(here, joints, role):
    actions.put_hold(stock.asks(stock.person("ben", "crew", here)), joints[1], "bent")
    text = text_of(signed_in("eve", role, here).get("/rack/R1/"))
    assert "93.00" in text and "1,814" in text and "its rating is not entered" in text
    assert "/rack/R1/end-on.svg" in text and "KD4102" in text and "held" in text
    assert ('name="rated_kg"' in text) == (role in ("supervisor", "office"))


def test_the_rating_is_the_rigs_and_is_written_down_in_the_journal(here, joints):
    client = signed_in(at=here)
    client.post("/rack/R1/rate/", {"rated_kg": "500", "key": str(uuid.uuid4())})
    page = client.get("/rack/R1/")
    assert "R1 would carry 823 kg; its own rating is 500 kg." in text_of(page)
    assert "165 % of its own rating of 500 kg" in text_of(page)
    client.post("/rack/R1/rate/", {"rated_kg": "", "key": str(uuid.uuid4())})
    assert "its rating is not entered" in text_of(client.get("/rack/R1/"))


@pytest.mark.parametrize("typed", ["-5", "0", "heavy", "10000001", "1e3"])
def test_a_rating_that_is_none_is_refused_beside_its_field(here, joints, typed):
    answer = signed_in(at=here).post("/rack/R1/rate/", {"rated_kg": typed, "key": str(uuid.uuid4())})
    assert answer.status_code == 422
    assert Place.objects.racks().get(rack="R1").rated_kg is None


def test_the_picture_has_an_address_of_its_own(here, joints):
    client = signed_in(at=here)
    for query in ("", "?night=1", "?narrow=1", "?night=1&narrow=1"):
        answer = client.get("/rack/R1/end-on.svg" + query)
        assert answer["Content-Type"] == "image/svg+xml"
        assert answer.content.decode().count("<circle") == 3


def test_the_paper_of_a_rack_is_the_rack(here, joints):
    answer = signed_in(at=here).get("/rack/R1/end-on.pdf?size=Letter")
    text = PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    assert "Layer 1: 3 pieces" in text and "93.00" in text and "823" in text


def test_the_page_asks_few_questions_however_full_the_rack_is(here, django_assert_max_num_queries):
    stock.pieces(stock.rack(here), 120)
    client = signed_in(at=here)
    client.get("/rack/R1/")
    with django_assert_max_num_queries(12):
        client.get("/rack/R1/")


@pytest.mark.parametrize("name", ["R9", "%00", "..", "R1%2F1", "' or 1=1"])
def test_a_rack_that_is_none_is_not_found(here, joints, name):
    assert signed_in(at=here).get(f"/rack/{name}/").status_code == 404


@pytest.mark.parametrize("name", ["totals", "Places", "move", "away", "..", "a/b", "", "R\x007"])
def test_a_rack_does_not_bear_a_name_of_the_program(here, name):
    from rack.errors import Refused

    with pytest.raises(Refused):
        places.add_rack(stock.asks(stock.person("ines", "office", here)), here, name, 2, None)


def test_what_is_laid_aside_has_places_of_its_own(here, joints):
    client = signed_in(at=here)
    client.post("/rack/places/aside/", {"name": "Failed the drift", "key": str(uuid.uuid4())})
    place = Place.objects.get(site=here, kind="aside")
    actions.move_pieces(stock.asks(stock.person("ben", "crew", here)), joints[:1], place)
    assert "Failed the drift" in text_of(client.get("/rack/places/"))
    rows = client.get("/rack/?lies=aside").context["page"].rows
    assert [piece.serial for piece in rows] == ["KD4101"]
