"""Sharp bends of a well: typed, taken back, and what the pieces of a run did in them."""

import pytest

from rack.actions.happenings import add_dogleg
from rack.actions.legs import post_legs
from rack.forms.bends import BendForm
from rack.models import Dogleg
from rack.models.bends import bends_of_run, places_in
from tests import runs, stock
from tests.runs import leg

pytestmark = pytest.mark.django_db(transaction=True)
WHY = "as the driller's sheet has it"


@pytest.fixture
def string(ola, layer):
    return runs.string(ola, layer)


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 3, lengths=["30.00"] * 3)


@pytest.fixture
def drilled(ada, ola, string, joints):
    """8,000 to 8,300 ft in 10 h at 120 rpm: 120 s a foot; a bend at 7,970 to 8,070 ft."""
    runs.join(ada, string, joints, hours=-2)
    run = runs.run(ola, string)
    add_dogleg(stock.asks(ola), string.well, stock.feet("7970"), stock.feet("8070"), 5_400, "KOP")
    post_legs(stock.asks(ada), run, [leg(0, 5, "8000", "8150"), leg(5, 10, "8150", "8300")], WHY)
    return run


def test_each_piece_is_in_the_bend_for_as_long_as_any_part_of_it_is(drilled, joints):
    """Joint 1 is at the bit and gone at 8,100 ft of it; joint 2 stays to 8,130, joint 3 comes at 8,030."""
    (bend,) = bends_of_run(drilled)
    wanted = [(joints[1], 130), (joints[2], 130), (joints[0], 100)]
    assert [(row.piece, row.spent, row.revolutions) for row in bend.pieces] == [
        (piece, f"{120 * feet / 3600:.2f}", f"{240 * feet:,}") for piece, feet in wanted
    ]
    assert bend.row.severity == "5.4"


def test_a_line_without_depths_makes_the_time_in_the_bend_at_least(drilled, joints, ada):
    post_legs(stock.asks(ada), drilled, [leg(10, 12)], WHY)
    (bend,) = bends_of_run(drilled)
    assert [(row.spent, row.revolutions) for row in bend.pieces] == [
        ("at least 4.33", "at least 31,200"), ("at least 4.33", "at least 31,200"),
        ("at least 3.33", "at least 24,000"),
    ]  # fmt: skip


def test_the_place_of_a_piece_does_not_change_when_the_string_grows(drilled, string, joints, layer, ada):
    before = places_in(string)
    more = stock.pieces(layer, 2, first=5001, lengths=["31.00", "31.10"])
    runs.join(ada, string, more, hours=9)
    after = places_in(string)
    assert {piece: after[piece] for piece in before} == before
    assert after[more[1].pk] == (stock.feet("121"), stock.feet("31.10"))


def test_above_a_piece_of_unknown_length_no_place_is_invented(string, layer, ada):
    low = stock.pieces(layer, 1, first=5101)
    top = stock.pieces(layer, 1, first=5201, lengths=["31.00"])
    runs.join(ada, string, [*low, *top], hours=-2)
    assert places_in(string) == {low[0].pk: (0, None), top[0].pk: (None, stock.feet("31"))}


def test_a_run_in_a_well_without_bends_asks_nothing_more(ada, ola, string, joints, django_assert_num_queries):
    runs.join(ada, string, joints, hours=-2)
    run = runs.run(ola, string)
    with django_assert_num_queries(1):
        assert bends_of_run(run) == []


@pytest.mark.parametrize(("severity", "measured", "mdeg"), [
    ("3.25", "deg/100 ft", 3250), ("3,25", "deg/100 ft", 3250), ("3", "deg/30 m", 3048),
    ("2.5", "deg/30 m", 2540), ("0.0004", "deg/100 ft", 0), ("0.0005", "deg/100 ft", 1),
])  # fmt: skip
def test_degrees_in_thirty_metres_are_kept_as_degrees_in_a_hundred_feet(here, severity, measured, mdeg):
    typed = {"from_depth": "10", "to_depth": "20", "severity": severity, "measured": measured}
    form = BendForm(typed, site=here)
    assert form.is_valid(), form.errors
    assert form.mdeg() == mdeg


@pytest.mark.parametrize(("typed", "words"), [
    ({"severity": "sharp"}, "Write degrees like 3.5."),
    ({"severity": "1e3"}, "Write degrees like 3.5."),
    ({"severity": "0"}, "more than 0 and at most 100 degrees"),
    ({"to_depth": "4000"}, "A stretch goes down"),
    ({"from_depth": "deep"}, "deep"),
])  # fmt: skip
def test_what_is_no_bend_is_refused_in_a_sentence_and_kept_as_typed(client, ada, string, typed, words):
    client.force_login(ada, backend="django.contrib.auth.backends.ModelBackend")
    given = {"from_depth": "4100", "to_depth": "4200", "severity": "5.4", "measured": "deg/100 ft",
             "note": "KOP", **typed, "key": "4f7d8f0e-6a0f-4a44-8f3e-0a7c9f1c1d11"}  # fmt: skip
    answer = client.post(f"/wells/{string.well_id}/bends/", given)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert 'value="KOP"' in page
    assert Dogleg.objects.count() == 0


def test_the_page_of_a_run_says_what_turned_in_the_bend(client, drilled, joints, ada):
    client.force_login(ada, backend="django.contrib.auth.backends.ModelBackend")
    page = client.get(f"/runs/{drilled.pk}/").content.decode()
    assert "Turned in the bend 7,970.00 to 8,070.00 ft" in page
    assert "5.4 deg/100 ft, KOP" in page
    assert page.count("24,000") == 1
    well = client.get(f"/wells/{drilled.string.well_id}/").content.decode()
    assert "Take the bend back" in well
