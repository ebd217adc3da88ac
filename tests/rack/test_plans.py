"""A planned string: pieces from the bit upward, which may share with another plan; and answers to rules."""

import uuid

import pytest

from rack.actions import plans
from rack.errors import ChangedMeanwhile, NotAllowed, Refused
from rack.models import Plan, RuleConsent
from tests import stock

pytestmark = pytest.mark.django_db


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 5, lengths=["31.24", "30.98", "31.02", "31.10", "31.31"])


@pytest.fixture
def plan(here, ola, joints) -> Plan:
    puts = [plans.Put(piece) for piece in joints[:3]]
    return plans.begin_plan(stock.asks(ola), here, plans.PlanHead("next section"), puts)


def order(plan: Plan) -> list[str]:
    rows = plan.lines.from_the_bit().select_related("component", "spec")
    return [str(row.component or f"{row.count_n} counted") for row in rows]


def test_pieces_go_in_on_top_or_under_a_line(plan, joints, ola):
    plans.put_in(stock.asks(ola), plan, [plans.Put(joints[3])])
    second = plan.lines.from_the_bit()[1]
    plans.put_in(stock.asks(ola), plan, [plans.Put(spec=stock.spec(), count=15)], below=second.pk)
    assert order(plan) == ["KD4101", "15 counted", "KD4102", "KD4103", "KD4104"]


def test_a_line_changes_places_with_its_neighbour_and_no_further(plan, ola):
    first = plan.lines.from_the_bit()[0]
    plans.move_line(stock.asks(ola), plan, first.pk, up=True)
    assert order(plan) == ["KD4102", "KD4101", "KD4103"]
    with pytest.raises(Refused, match="cannot be moved further"):
        plans.move_line(stock.asks(ola), plan, plan.lines.from_the_bit()[0].pk, up=False)


def test_what_is_taken_out_is_named_in_the_journal(plan, ola):
    asked = stock.asks(ola)
    plans.take_out(asked, plan, [plan.lines.from_the_bit()[1].pk])
    assert order(plan) == ["KD4101", "KD4103"]
    from rack.models import Journal

    assert "KD4102" in Journal.objects.get(key=asked.key).sentence


def test_a_piece_is_in_a_plan_once_but_in_two_plans_if_they_like(plan, here, joints, ola):
    with pytest.raises(Refused, match="KD4101 is in this plan already"):
        plans.put_in(stock.asks(ola), plan, [plans.Put(joints[0])])
    plans.begin_plan(stock.asks(ola), here, plans.PlanHead("the other"), [plans.Put(joints[0])])
    assert joints[0].plan_lines.count() == 2


def test_the_same_request_twice_puts_in_once(plan, joints, ola):
    key = uuid.uuid4()
    for _ in range(2):
        plans.put_in(stock.asks(ola, key), plan, [plans.Put(joints[4])])
    assert order(plan).count("KD4105") == 1


def test_a_page_that_is_old_changes_nothing(plan, joints, ola):
    plan.refresh_from_db()
    plans.put_in(stock.asks(ola), plan, [plans.Put(joints[4])], seen=plan.version)
    with pytest.raises(ChangedMeanwhile, match="somebody else"):
        plans.put_in(stock.asks(ola), plan, [plans.Put(joints[3])], seen=plan.version)


def test_an_ended_plan_stays_as_it_is(plan, joints, ola):
    assert plans.end_plan(stock.asks(ola), plan).ended_on
    with pytest.raises(Refused, match="has ended"):
        plans.put_in(stock.asks(ola), plan, [plans.Put(joints[4])])


def test_a_yes_needs_a_reason_and_a_supervisor(plan, joints, ola, ada):
    with pytest.raises(Refused, match="Say why"):
        plans.consent(stock.asks(ola), plan, plans.Yes("R24", "  "))
    with pytest.raises(NotAllowed):
        plans.consent(stock.asks(ada), plan, plans.Yes("R24", "short run"))
    plans.consent(stock.asks(ola), plan, plans.Yes("R24", "short run", component=joints[0]))
    assert RuleConsent.objects.get().plan == plan


def test_pieces_and_wells_of_another_site_are_refused(plan, here, ola):
    far = stock.pieces(stock.rack(stock.site("SH9")), 1, first=9001)
    with pytest.raises(Refused, match="another site"):
        plans.put_in(stock.asks(ola), plan, [plans.Put(far[0])])
    with pytest.raises(Refused, match="name"):
        plans.begin_plan(stock.asks(ola), here, plans.PlanHead("  "))
