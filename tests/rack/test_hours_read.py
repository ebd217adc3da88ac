"""Reading hours where there are many: a run's sums, a piece's line of time."""

import pytest

from rack.actions.legs import post_legs, take_back_leg
from rack.calc.hours import Amount
from rack.models import Hours
from rack.models.earned import sums_in
from rack.models.timeline import line_of_time
from tests import runs, stock
from tests.runs import HOUR, leg

pytestmark = pytest.mark.django_db(transaction=True)
WHY = "as the driller's sheet has it"


@pytest.fixture
def begun(ola, layer):
    """A run with two joints, and quarter-hour lines of a tour."""
    string = runs.string(ola, layer)
    joints = stock.pieces(layer, 2, lengths=["31.50"] * 2)
    runs.join(ola, string, joints, hours=-2)
    lines = [leg(n / 4, (n + 1) / 4, f"{8000 + n}", f"{8001 + n}") for n in range(48)]
    return runs.run(ola, string), joints, lines


def test_many_lines_at_once_are_one_moment_of_a_piece_and_crowd_nothing_out(begun, ada):
    run, joints, lines = begun
    post_legs(stock.asks(ada), run, lines, WHY)
    assert Hours.objects.filter(component=joints[0]).count() > 100
    told = [moment.what for moment in line_of_time(joints[0])]
    assert told[0].startswith("Wrote 48 time lines of run 5, bit 5")
    assert told[1].startswith("Made up 2 pieces")


def test_a_run_is_added_up_without_what_was_taken_back_and_unknown_is_not_zero(begun, ada):
    run, joints, lines = begun
    first, *_ = post_legs(stock.asks(ada), run, lines, WHY)
    unknown = post_legs(stock.asks(ada), run, [leg(12, 13, "8048", "8050", rotating_s=None)], WHY)
    take_back_leg(stock.asks(ada), first, "of another run")
    assert sums_in(run)[joints[0].pk]["rotating_s"] == Amount(12 * HOUR - HOUR // 4, known=False)
    take_back_leg(stock.asks(ada), unknown[0], "of another run")
    assert sums_in(run)[joints[1].pk]["rotating_s"] == Amount(12 * HOUR - HOUR // 4)


def test_a_run_is_read_in_a_few_questions_whatever_its_lines(begun, ada, django_assert_max_num_queries):
    run, joints, lines = begun
    post_legs(stock.asks(ada), run, lines, WHY)
    with django_assert_max_num_queries(1):
        assert set(sums_in(run)) == {joint.pk for joint in joints}
