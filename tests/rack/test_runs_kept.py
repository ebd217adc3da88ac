"""Heads of runs, late changes, who may write, and what the audit and the neighbours see of hours."""


import pytest
from django.db import IntegrityError, transaction

from rack.actions.legs import post_legs, share_again
from rack.actions.runs import RunEnd, RunHead, begin_run, end_run, take_up_run
from rack.actions.standing import Standing, write
from rack.calc.standing import EVER
from rack.errors import ChangedMeanwhile, NotAllowed, Refused
from rack.models import Clock, Component, Hours, Leg, Run
from rack.models.timeline import line_of_time
from tests import runs, stock
from tests.rack.test_audit import audited, differences
from tests.runs import HOUR, at, leg

pytestmark = pytest.mark.django_db(transaction=True)
WHY = "as the driller's sheet has it"


@pytest.fixture
def string(ola, layer):
    return runs.string(ola, layer)


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 10, lengths=["31.50"] * 10)


def hours_of(piece, clock="rotating_s", basis="new") -> float:
    row = Clock.objects.filter(component=piece, clock=clock, basis=basis).first()
    return row.total / HOUR if row else 0


def figures():
    """Everything that is kept, for comparing two ways to the same end."""
    clocks = Clock.objects.order_by("component", "clock", "basis").values_list(
        "component", "clock", "basis", "total", "known", "left"
    )
    dates = Component.objects.order_by("pk").values_list("pk", "soon_on", "due_on", "over_on")
    return list(clocks), list(dates)


@pytest.mark.parametrize(("head", "words"), [
    ({"bit_no": "none"}, "no bit number"),
    ({"in_at": at(24 * 365)}, "still to come"),
    ({"in_nm": -1}, "depth"),
    ({"policy": {"drill_pipe": "half"}}, "credited"),
    ({"policy": {"spoon": "by joint"}}, "credited"),
])  # fmt: skip
def test_a_head_that_makes_no_sense_is_refused(ola, string, head, words):
    with pytest.raises(Refused, match=words):
        begin_run(stock.asks(ola), string, RunHead(**head), "as planned")
    assert not Run.objects.exists()


def test_a_string_has_one_run_at_a_time_and_the_next_begins_after_the_last(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    run = runs.run(ola, string)
    with pytest.raises(Refused, match="still open"):
        runs.run(ola, string)
    end_run(stock.asks(ola), run, RunEnd(at(5)))
    with pytest.raises(Refused, match="before"):
        runs.run(ola, string, in_at=at(4))
    assert runs.run(ola, string, in_at=at(6), bit_no="5 rr").bit_no == "5RR1"


def test_what_came_after_a_run_earns_nothing_of_it(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    run = runs.run(ola, string)
    post_legs(stock.asks(ada), run, [leg(0, 4)], WHY)
    runs.join(ada, string, joints[1:2], hours=6)
    end_run(stock.asks(ola), run, RunEnd(at(5)))
    assert [hours_of(joint) for joint in joints[:2]] == [4, 0]
    assert not Hours.objects.filter(component=joints[1]).exists()
    assert "No difference" in audited()


def test_a_change_that_is_written_late_is_shared_again(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    run = runs.run(ola, string, policy={"drill_pipe": "by joint"})
    post_legs(stock.asks(ada), run, [leg(0, 4)], WHY)
    end_run(stock.asks(ola), run, RunEnd(at(5)))
    runs.join(ada, string, joints[1:2], hours=1)
    assert "No difference" in audited()  # the audit holds the run to what it was shared by
    assert hours_of(joints[1]) == 0
    assert share_again(stock.asks(ada), run) > 0
    assert [hours_of(joint) for joint in joints[:2]] == [4, 3]
    assert "No difference" in audited()
    assert share_again(stock.asks(ada), run) == 0


def test_a_page_that_is_old_is_told_so(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    run = runs.run(ola, string)
    post_legs(stock.asks(ada), run, [leg(0, 2)], WHY, seen=0)
    with pytest.raises(ChangedMeanwhile):
        post_legs(stock.asks(ada), run, [leg(2, 3)], WHY, seen=0)


def test_a_viewer_writes_no_hours(here, ola, string):
    run = runs.run(ola, string)
    vera = stock.person("vera", "viewer", here)
    with pytest.raises(NotAllowed):
        post_legs(stock.asks(vera), run, [leg(0, 2)], WHY)


TOLD = []


def follower(line, what, ids):
    TOLD.append((line.verb, type(what).__name__, sorted(ids)))
    write(line, {pk: Standing(pipe_class="premium") for pk in ids})


def test_neighbours_are_told_after_the_rows_and_write_in_the_same_transaction(
    ada, ola, string, joints, settings
):
    """What makes new drill pipe premium at its first run comes by this list; rack knows nothing of it."""
    settings.NEIGHBOURS = {"happened": [f"{__name__}.follower"]}
    TOLD.clear()
    runs.join(ada, string, joints[:2], hours=0)
    post_legs(stock.asks(ada), runs.run(ola, string), [leg(0, 2)], WHY)
    assert [("post hours", "Run", sorted(joint.pk for joint in joints[:2]))] == TOLD
    assert set(Component.objects.filter(pk__in=TOLD[0][2]).values_list("pipe_class", flat=True)) == {
        "premium"
    }


FIRST = []


def first_runs(line, what, ids):
    """What inspection asks of a run: which drill pipe has come out of its first one."""
    if isinstance(what, Run):
        rows = Clock.objects.filter(component__in=ids, clock="runs_n", basis="new")
        FIRST.append((line.verb, sorted(rows.filter(total=1).values_list("component", flat=True))))


def test_a_follower_reads_from_the_clocks_which_run_was_the_first(ada, ola, string, joints, settings):
    """The end of a run counts it, so new pipe is told apart there; the end taken back is told, too."""
    settings.NEIGHBOURS = {"happened": [f"{__name__}.first_runs"]}
    FIRST.clear()
    runs.join(ada, string, joints[:1], hours=0)
    run = runs.run(ola, string)
    post_legs(stock.asks(ada), run, [leg(0, 2)], WHY)
    end_run(stock.asks(ola), run, RunEnd(at(3)))
    take_up_run(stock.asks(ola), run, "a slip")
    end_run(stock.asks(ola), run, RunEnd(at(4)))
    again = runs.run(ola, string, in_at=at(6))
    end_run(stock.asks(ola), again, RunEnd(at(8)))
    pk = joints[0].pk
    assert [
        ("post hours", []), ("end run", [pk]), ("take up run", []), ("end run", [pk]), ("end run", []),
    ] == FIRST  # fmt: skip


def test_hours_are_never_edited(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    post_legs(stock.asks(ada), runs.run(ola, string), [leg(0, 2)], WHY)
    for model in (Hours, Leg):
        with pytest.raises(IntegrityError, match="only grows"), transaction.atomic():
            model.objects.update(at=at(1))


SLIPS = {
    "a total": ({"total": 1}, Clock, "total"),
    "a clock that is known": ({"known": True}, Clock, "known"),
    "what is left": ({"left": 7}, Clock, "left"),
    "a date": ({"due_on": EVER}, Component, "due_on"),
    "what a run was shared by": ({"shared_id": 0}, Run, "line"),
}


@pytest.mark.parametrize(("slip", "model", "figure"), SLIPS.values(), ids=SLIPS.keys())
def test_the_audit_names_a_figure_that_somebody_changed(ada, ola, string, joints, slip, model, figure):
    runs.join(ada, string, joints[:1], hours=0)
    post_legs(stock.asks(ada), runs.run(ola, string), [leg(0, 2)], WHY)
    assert "No difference" in audited()
    model.objects.update(**slip)
    assert any(figure in line for line in differences())


def test_the_line_of_time_shows_fifty_lines_though_each_time_line_is_several_rows(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    run = runs.run(ola, string)
    for n in range(50):
        post_legs(stock.asks(ada), run, [leg(n / 4, (n + 1) / 4, "100", "100.5")], WHY)
    moments = line_of_time(joints[0])
    assert len(moments) == 50
    assert all(moment.what.startswith("Wrote 1 time line") for moment in moments)
