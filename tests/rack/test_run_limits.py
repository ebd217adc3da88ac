"""Hours against limits: the database orders as the rule does, every bar has its words, paper too."""

import io
import random
import xml.etree.ElementTree as ET

import pytest
from pypdf import PdfReader

from rack.actions.legs import post_legs
from rack.actions.standing import Standing
from rack.calc.hours_limits import bar_of, bar_order
from rack.models import Clock
from rack.models.clocks import as_calc
from rack.models.limits import against_limits, bars_of
from rack.paper.hours_chart import NARROW, WIDE, drawing, fitting, height_of, picture
from tests import runs, stock
from tests.rack.tally_desk import signed_in, text_of
from tests.rack.test_standing import write
from tests.runs import HOUR, leg

pytestmark = pytest.mark.django_db


@pytest.fixture
def string(ada, ola, layer):
    """Six joints and a motor that turned for ten hours."""
    made = runs.string(ola, layer)
    on = [runs.tool(layer, "motor", 8101), *stock.pieces(layer, 6, lengths=["31.00"] * 6)]
    runs.join(ada, made, on, hours=0)
    run = runs.run(ola, made)
    post_legs(stock.asks(ada), run, [leg(0, 10, "4000", "4100")], "as the sheet has it")
    return made


def joints(string):
    return [member.component for member in string.members.order_by("rank") if not _is_motor(member)]


def _is_motor(member) -> bool:
    return member.component.spec.kind == "motor"


def limited(soon, due, over, *, zero=0):
    hours = tuple(None if one is None else int(one * HOUR) for one in (soon, due, over))
    return Standing("pipe", "2020", "premium", clocks={("rotating_s", "full"): (zero, *hours)})


def test_without_any_limit_the_bars_show_hours_alone_and_the_page_says_so(string, here):
    client = signed_in("vera", "viewer", here)
    page = text_of(client.get("/runs/limits/"))
    assert "No piece here has a limit yet" in page
    assert page.count("no limit written down") == 7
    assert "at least 10.00 h" in page
    assert "circulating since new" in page  # the motor goes by another clock than the joints
    words = " ".join(PdfReader(io.BytesIO(client.get("/runs/limits.pdf").content)).pages[0].extract_text()
                     .split())  # fmt: skip
    assert "No piece here has a limit yet" in words
    assert "qualified persons" in words


def test_the_largest_share_of_the_limit_stands_first(string, here):
    some = joints(string)
    write({some[0].pk: limited(8, 20, 30), some[1].pk: limited(4, 5, 20), some[2].pk: limited(1, 2, 3),
           some[3].pk: limited(100, 150, 200, zero=None)})  # fmt: skip
    bars = bars_of(list(against_limits(here).order_by("order_key", "id")), here)
    assert [bar.state for bar in bars] == ["overdue", "due", "due", "soon", "", "", ""]
    assert [bar.share for bar in bars[:4]] == [5000, 2000, 1000, 500]
    page = signed_in("vera", "viewer", here).get("/runs/limits/")
    assert "unknown: due, the limit is 150.00" in text_of(page)
    assert "No piece here has a limit yet" not in text_of(page)


def test_a_piece_with_a_limit_is_not_shown_a_second_time_without_one(string, here):
    some = joints(string)
    write({some[0].pk: limited(8, 20, 30)})
    shown = [row.component_id for row in against_limits(here)]
    assert len(shown) == len(set(shown)) == 7


@pytest.mark.parametrize("seed", range(6))
def test_the_database_orders_clocks_as_the_rule_does(seed, layer, here):
    by_chance = random.Random(seed)
    for piece in stock.pieces(layer, 40):
        limit = [by_chance.choice([None, 0, by_chance.randrange(1, 500 * HOUR)]) for _ in range(3)]
        run = by_chance.choice([0, by_chance.randrange(0, 900 * HOUR)])
        Clock.objects.create(
            component=piece, clock="rotating_s", basis=by_chance.choice(["new", "full"]), total=run + 50,
            zero=by_chance.choice([50, 90]), known=by_chance.random() < 0.7, soon=limit[0], due=limit[1],
            over=limit[2],
        )  # fmt: skip
    rows = list(against_limits(here, clock="rotating_s").order_by("order_key", "id"))
    assert len(rows) > 20
    keys = [bar_order(bar_of(as_calc(row), "", "")) for row in rows]
    # Of two that share a thousandth the database takes the first; what ran longer only settles the rest.
    assert [(none, share) for none, share, _ in keys] == sorted((none, share) for none, share, _ in keys)
    behind = [ran for none, _, ran in keys if none]
    assert [max(-ran, 0) for ran in behind] == sorted((max(-ran, 0) for ran in behind), reverse=True)


def test_the_list_narrows_by_string_kind_and_clock(string, here, ola, layer):
    def count(query: str) -> int:
        return text_of(client.get(f"/runs/limits/?{query}")).count("no limit written down")

    client = signed_in("vera", "viewer", here)
    empty = runs.string(ola, layer, "SD-15")
    assert count("kind=drill_pipe") == 6
    assert count("kind=motor") == 1
    assert count(f"string={string.number}") == 7
    assert count(f"string={empty.number}") == 0
    assert count("clock=footage_nm&kind=drill_pipe") == 6
    assert "No such piece has run" in text_of(client.get(f"/runs/limits/?string={empty.number}"))
    assert count("string=no&kind=nonsense&clock=x") == 7  # what is no choice narrows nothing


def test_a_long_list_is_paged_by_key_and_nothing_is_lost_between_pages(here, layer):
    for n, piece in enumerate(stock.pieces(layer, 60)):
        Clock.objects.create(component=piece, clock="rotating_s", basis="full", total=n * HOUR, due=40 * HOUR)
    client = signed_in("vera", "viewer", here)
    seen, at = [], "/runs/limits/"
    while at:
        answer = client.get(at)
        seen += [bar.share for _, bar, _, _ in answer.context["rows"]]
        rest = answer.context["page"].next
        svg = client.get(f"/runs/limits.svg{rest or '?kind=drill_pipe'}")
        assert svg.status_code == 200
        at = f"/runs/limits/{rest}" if rest else ""
    assert len(seen) == 60 and seen == sorted(seen, reverse=True)
    for cursor in ("x.3", "99999999999999999999999.3", "-.1"):
        assert client.get(f"/runs/limits/?after={cursor}").status_code == 200
        assert client.get(f"/runs/?after={cursor}").status_code == 200


def bars(count: int, *, due: int | None = 100 * HOUR):
    from rack.calc.standing import Clock as Facts

    return [bar_of(Facts("rotating_s", "full", n * HOUR, 0, n % 3 > 0, due and due // 2, due, None), f"KD{n}",
                   "5 in drill pipe <b>") for n in range(count)]  # fmt: skip


@pytest.mark.parametrize("narrow", [True, False])
def test_the_picture_is_whole_and_bears_every_word(narrow):
    text = picture([*bars(4), *bars(3, due=None)], "Hours & limits", narrow=narrow)
    root = ET.fromstring(text)
    assert root.attrib["width"] == f"{NARROW if narrow else WIDE:g}"
    words = " ".join(part.text or "" for part in root.iter("{http://www.w3.org/2000/svg}text"))
    for n in range(4):
        assert f"KD{n}" in words
    assert "2.00 h, 2 %" in words and "no limit written down" in words
    assert "style=" not in text and "<script" not in text
    for shape in root.iter("{http://www.w3.org/2000/svg}rect"):
        assert float(shape.get("x", 0)) >= 0 and float(shape.get("width", 0)) >= 0


def test_bars_stand_to_the_same_scale_on_every_page_of_paper():
    every = bars(90)
    first, last = drawing(every[:3], whole=every), drawing(every[87:], whole=every)
    marks = [{round(one.x1, 3) for one in part.contents if getattr(one, "strokeWidth", 0) == 0.9
              and hasattr(one, "x1")} for part in (first, last)]  # fmt: skip
    assert marks[0] == marks[1] != set()
    assert fitting(every, drawing(every[:10], whole=every).height) == 10
    assert fitting(every, 5) == 0
    mixed = [*every, *bars(5, due=None)]
    assert height_of(mixed) == drawing(mixed).height
    assert fitting(mixed, height_of(mixed)) == len(mixed)
    assert drawing([]).height > 0


def test_a_long_list_goes_on_over_pages_and_each_piece_stands_once(here, layer):
    for n, piece in enumerate(stock.pieces(layer, 70)):
        Clock.objects.create(component=piece, clock="rotating_s", basis="full", total=n * HOUR, due=40 * HOUR)
    data = signed_in("vera", "viewer", here).get("/runs/limits.pdf?size=letter").content
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(data)).pages]
    assert len(pages) >= 2
    assert [sum(page.count(f"KD{4101 + n} ") for page in pages) for n in range(70)] == [1] * 70
