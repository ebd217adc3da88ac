"""A posting of hours that is killed: the line, the hours and the clocks are all there, or none is."""

import uuid
from collections.abc import Callable

import pytest

from rack.actions import posting
from rack.actions.legs import post_legs, take_back_leg
from rack.actions.runs import RunEnd, end_run
from rack.models import Clock, Hours, Journal, Leg, Run
from tests import runs, stock
from tests.rack.test_audit import audited
from tests.rack.test_killed import POINTS, TIMES, Deed, _patch, killed

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def line() -> Deed:
    """A time line of an hour for three joints; each time the next hour. The clocks are moved last."""
    layer = stock.rack(stock.site())
    boss = stock.person("ola", "supervisor", layer.site)
    string = runs.string(boss, layer)
    joints = stock.pieces(layer, 3)
    runs.join(boss, string, joints, hours=0)
    run = runs.run(boss, string)
    hours: dict[uuid.UUID, int] = {}

    def send(key: uuid.UUID) -> str:
        again = Journal.objects.filter(key=key).exists()
        post_legs(stock.asks(boss, key), run, [runs.leg(hours[key], hours[key] + 1)])
        return "repeated" if again else "stored"

    def stored(key: uuid.UUID) -> tuple[int, ...]:
        done = len(hours) - 1  # each hour before this one was sent until it was stored
        ran = set(Clock.objects.filter(clock="rotating_s").values_list("total", flat=True)) or {0}
        return (
            Journal.objects.filter(key=key).count(),
            Leg.objects.filter(journal__key=key).count(),
            Hours.objects.filter(journal__key=key, clock="rotating_s").count() // 3,
            ran.pop() // runs.HOUR - done if len(ran) == 1 else -1,
        )

    deed = Deed(send, stored, posting, "make_clocks")
    deed.hours = hours  # type: ignore[attr-defined]
    return deed


@pytest.mark.parametrize(("point", "is_stored"), POINTS.values(), ids=POINTS.keys())
def test_hours_that_were_killed_are_there_wholly_or_not_at_all_and_sent_again_once(line, point, is_stored):
    opened = 0
    for _ in range(TIMES):
        key = uuid.uuid4()
        line.hours[key] = len(line.hours)
        opened += killed(line, key, point)
        assert set(line.stored(key)) == {int(is_stored)}
        assert "No difference" in audited()
        assert line.send(key) == ("repeated" if is_stored else "stored")
        assert set(line.stored(key)) == {1}
        assert line.send(key) == "repeated"
        assert set(line.stored(key)) == {1}
    assert opened == (0 if is_stored else TIMES)


def hours_written_and_clocks_not_moved(deed: Deed, die: Callable[[], None]) -> None:
    _patch(posting, "move_clocks", first=die)


def clocks_moved_and_run_not_marked(deed: Deed, die: Callable[[], None]) -> None:
    _patch(posting, "move_clocks", then=die)


@pytest.mark.parametrize("point", [hours_written_and_clocks_not_moved, clocks_moved_and_run_not_marked])
@pytest.mark.parametrize("what", ["posting", "correction", "end"])
def test_a_posting_a_correction_and_an_end_that_were_killed_in_their_rows_left_nothing(what, point):
    """Between the ledger of hours and its clocks, and between the clocks and the run."""
    layer = stock.rack(stock.site())
    boss = stock.person("ola", "supervisor", layer.site)
    string = runs.string(boss, layer)
    runs.join(boss, string, stock.pieces(layer, 3), hours=0)
    run = runs.run(boss, string)
    line = post_legs(stock.asks(boss), run, [runs.leg(0, 2)])[0]
    key = uuid.uuid4()
    acts = {
        "posting": lambda asked: post_legs(asked, run, [runs.leg(2, 3)]),
        "correction": lambda asked: take_back_leg(asked, line, "a slip"),
        "end": lambda asked: end_run(asked, run, RunEnd(runs.at(4))),
    }

    def stands() -> list[object]:
        clocks = Clock.objects.order_by("component", "clock").values_list("component", "clock", "total")
        shown = Run.objects.values_list("version", "shared_id", "ended_by", "out_at")
        counts = [model.objects.count() for model in (Journal, Leg, Hours)]
        return [*counts, [row for row in clocks if row[2]], list(shown)]

    before = stands()
    deed = Deed(lambda key: str(acts[what](stock.asks(boss, key))), lambda key: (), posting, "move_clocks")
    assert killed(deed, key, point)
    assert stands() == before
    assert "No difference" in audited()
    deed.send(key)
    assert stands() != before
    after = stands()
    deed.send(key)
    assert stands() == after
    assert "No difference" in audited()
