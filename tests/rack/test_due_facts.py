"""What limits say to whoever makes up a string: links, rules, choosing, the pick list; no inspection here."""

from datetime import date, timedelta
from io import BytesIO

import pytest
from django.db import transaction
from django.utils import timezone
from pypdf import PdfReader

from rack.actions import pieces as piece_actions
from rack.actions import plans, standing
from rack.actions.journal import open_line
from rack.actions.standing import Limits, Standing
from rack.calc.choosing import Want, choose
from rack.calc.standing import EVER, NEVER
from rack.calc.wishes import Wishes
from rack.models import Component
from rack.models.judging import judge_plan
from rack.models.links import links_of
from rack.models.unloading import lying_on_racks
from tests import stock

HOUR = 3600
ROTATING = ("rotating_s", "full")


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 4, lengths=["31.24", "30.98", "31.02", "31.10"])


def today(site) -> date:
    return timezone.now().astimezone(site.zone).date()


def write(pieces, **more) -> None:
    """Decide the same of each of these pieces."""
    with transaction.atomic():
        asked = stock.asks(None)
        line, _ = open_line(asked, "inspect", None, "Decided for a test", {"key": str(asked.key)})
        facts = Standing(**{"scheme": "api_rp7g2_2009", "edition": "2009", "pipe_class": "Premium", **more})
        standing.write(line, {piece.pk: facts for piece in pieces})


def limits(zero, due=100 * HOUR, over=None, by="default"):
    stops = {} if by in ("", "default") else {"hard": over or due, "hard_by": by}
    return {ROTATING: Limits(zero, due * 9 // 10, due, over or due, by=by, **stops)}


def link(piece):
    return links_of([Component.objects.select_related("spec", "site").get(pk=piece.pk)])[0]


def test_a_piece_that_nobody_judged_says_nothing_of_due(joints):
    one = link(joints[0])
    assert (one.due, one.due_by, one.scheme, one.pipe_class) == ("", "", "", "")


@pytest.mark.parametrize("days, expected", [
    ((1, 2, 3), "fine"), ((0, 2, 3), "soon"), ((-9, 0, 3), "due"), ((-9, -8, 0), "over"),
])  # fmt: skip
def test_a_link_says_what_its_dates_say_on_the_day_of_its_site(here, joints, days, expected):
    write(joints[:1], days=tuple(today(here) + timedelta(n) for n in days))
    one = link(joints[0])
    assert (one.due, one.due_by) == (expected, "default")
    assert (one.pipe_class, one.scheme) == ("Premium", "api_rp7g2_2009")


def test_whose_limit_is_passed_is_told_where_it_stops(here, joints):
    day = today(here)
    past = (EVER, EVER, day)
    write(joints[:1], days=past, hard=(day, "law"))
    write(joints[1:2], days=past, hard=(day + timedelta(1), "law"))
    write(joints[2:3], clocks=limits(-200 * HOUR, by="contract"))
    write(joints[3:], clocks=limits(-200 * HOUR, over=300 * HOUR, by="maker"))
    found = [(one.due, one.due_by) for one in map(link, joints)]
    assert found == [("over", "law"), ("over", "default"), ("over", "contract"), ("due", "maker")]


def test_unknown_history_is_due_and_never_over(joints):
    write(joints[:1], clocks=limits(None, by="contract"))
    assert (link(joints[0]).due, link(joints[0]).due_by) == ("due", "contract")


def test_links_of_many_pieces_take_no_more_questions_than_of_one(layer, django_assert_max_num_queries):
    pieces = stock.pieces(layer, 60, first=7000)
    write(pieces, clocks=limits(-200 * HOUR, by="contract"))
    rows = list(Component.objects.filter(place=layer).select_related("spec", "site", "place"))
    with django_assert_max_num_queries(7):
        found = links_of(rows)
    assert {one.due_by for one in found} == {"contract"}


@pytest.fixture
def plan(here, ola, joints):
    wishes = Wishes(hours=60)
    head = plans.PlanHead("next section", wishes=wishes.to_text())
    return plans.begin_plan(stock.asks(ola), here, head, [plans.Put(piece) for piece in joints])


def told(plan, code):
    _, judged = judge_plan(plan, today(plan.site))
    return [one.text for one in judged.problems if one.code == code or code in one.rules]


def test_the_rules_hold_the_planned_hours_against_what_is_left(plan, joints):
    assert told(plan, "R25") == []
    write(joints[:2], clocks=limits(-50 * HOUR))
    write(joints[2:3], clocks=limits(-40 * HOUR))
    write(joints[3:], clocks=limits(None))
    short, unknown = told(plan, "R25")
    assert short == "KD4101 and KD4102 have 50 rotating hours left of 100; the run is planned with 60."
    assert "KD4104" in unknown and "not known" in unknown


def test_overdue_by_law_stops_the_string_and_a_default_only_tells(here, plan, joints):
    write(joints[:1], days=(EVER, EVER, today(here)), hard=(today(here), "law"))
    write(joints[1:2], days=(EVER, EVER, today(here)))
    _, judged = judge_plan(plan, today(here))
    found = {one.text: one.severity for one in judged.problems if "overdue" in one.text}
    assert found == {
        "KD4101 is overdue for a look by the law and must not go in the hole before it.": "STOPS",
        "KD4102 is overdue for a look by a default of ours.": "NOTE",
    }


def chosen(here, **want):
    lot = stock.spec().key
    return choose(lying_on_racks(here), Want(lot, count=4, **want))


def why(choice):
    return {row.lying.name: row.why for row in choice.rows if not row.taken}


def test_pulling_takes_what_is_good_for_the_planned_hours(here, joints):
    write(joints[:1], clocks=limits(-90 * HOUR))
    write(joints[1:2], clocks=limits(None), why="no report known: 100 h")
    write(joints[2:], clocks=limits(-10 * HOUR))
    choice = chosen(here, hours=60)
    assert [row.lying.name for row in choice.taken] == ["KD4103", "KD4104"]
    assert why(choice) == {
        "KD4101": "due in 10 h, 60 h are planned",
        "KD4102": "due now, 60 h are planned (no report known: 100 h)",
    }


def test_pulling_leaves_what_is_overdue_or_rejected_with_the_reason(here, ola, joints):
    write(joints[:1], days=(EVER, EVER, today(here)), why="six months, law")
    write(joints[1:2], pipe_class="Scrap")
    piece_actions.put_hold(stock.asks(ola), joints[2], "Reject: not for use")
    choice = chosen(here)
    assert [row.lying.name for row in choice.taken] == ["KD4104"]
    assert why(choice) == {"KD4101": "overdue: six months, law", "KD4102": "it is scrap",
                           "KD4103": "held: Reject: not for use"}  # fmt: skip


def test_the_class_that_was_judged_counts_and_not_the_sender_s_word(here, joints):
    write(joints[:1], pipe_class="Class 2")
    write(joints[1:2], pipe_class="")
    write(joints[2:])
    choice = chosen(here, class_wanted="premium")
    assert [row.lying.name for row in choice.taken] == ["KD4103", "KD4104"]
    assert why(choice) == {"KD4101": "it is class 2, premium is asked for",
                           "KD4102": "its class is not known, premium is asked for"}  # fmt: skip


def test_pulling_asks_as_many_questions_for_few_as_for_many(here, layer, django_assert_max_num_queries):
    write(stock.pieces(layer, 60, first=7000), clocks=limits(0), days=(NEVER,) * 3)
    with django_assert_max_num_queries(9):
        lying_on_racks(here)


def test_a_held_piece_leaves_the_pick_list_and_is_named_with_its_reason(client, ola, plan, joints):
    piece_actions.put_hold(stock.asks(ola), joints[0], "crack in the pin")
    client.force_login(ola)
    paper = PdfReader(BytesIO(client.get(f"/plans/{plan.number}/picks.pdf").content))
    text = " ".join(" ".join(page.extract_text() for page in paper.pages).split())
    assert f"Left out, held: KD4101, tag {joints[0].tag}: crack in the pin." in text
    assert text.count("KD4101") == 1 and "KD4102" in text
