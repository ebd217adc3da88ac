"""From a plan to the string that is begun from it: answers go along, what cannot go in is gone past."""

import uuid
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from rack.actions import leaving_out, plans, running, strings
from rack.actions import pieces as on_pieces
from rack.errors import NotAllowed, Refused
from rack.models import Component, NotRun, Plan, RuleConsent, String
from rack.models.ahead import left_of_plan
from rack.models.bha import content_now
from rack.models.judging import judge_string
from rack.models.running import running_members
from tests import stock
from tests.rig import Rig, build

pytestmark = pytest.mark.django_db


@pytest.fixture
def rig() -> Rig:
    return build()


@pytest.fixture
def ola(rig: Rig) -> Client:
    return signed_in(rig, "supervisor")


def signed_in(rig: Rig, role: str) -> Client:
    client = Client()
    client.force_login(rig.who[role])
    return client


@pytest.fixture
def joints(rig: Rig) -> list[Component]:
    return stock.pieces(stock.rack(rig.site, "R8"), 4, first=9301, lengths=["31.0", "31.1", "31.2", "31.3"])


@pytest.fixture
def plan(rig: Rig, joints: list[Component]) -> Plan:
    by = stock.asks(rig.who["supervisor"])
    return plans.begin_plan(by, rig.site, plans.PlanHead("four joints"), [plans.Put(one) for one in joints])


def today(rig: Rig):
    return timezone.now().astimezone(rig.site.zone).date()


def yes(rig: Rig, plan: Plan, **more: object) -> RuleConsent:
    given = plans.Yes("R16", "one run, then to the shop", **more)  # type: ignore[arg-type]
    return plans.consent(stock.asks(rig.who["office"]), plan, given)


def begin(rig: Rig, plan: Plan, **more) -> String:
    head = strings.StringHead(rig.well, plan=plan)
    return strings.begin_string(stock.asks(rig.who["supervisor"]), rig.site, head, **more)


def kept(of: Plan | String) -> list[tuple[object, ...]]:
    rows = of.consents.order_by("id")
    return list(rows.values_list("check_code", "reason", "lot", "delivery", "component", "where", "ends_on"))


def test_answers_of_a_plan_go_along_with_the_same_lot_and_the_same_last_day(rig, plan, joints):
    until = today(rig) + timedelta(days=9)
    yes(rig, plan, lot=joints[0].spec, ends_on=until)
    yes(rig, plan, component=joints[1], where=str(joints[1]))
    yes(rig, plan, delivery=rig.delivery, ends_on=until)
    assert kept(begin(rig, plan)) == kept(plan) and len(kept(plan)) == 3


def test_an_answer_that_went_along_answers_the_rule_and_says_on_paper_where_it_was_given(rig, plan, joints):
    on_pieces.put_hold(stock.asks(rig.who["crew"]), joints[0], "hard banding is worn")
    yes(rig, plan, lot=joints[0].spec, ends_on=today(rig))
    made = begin(rig, plan)
    said = running.Said(reason="as planned")
    running.join(stock.asks(rig.who["crew"]), made, joints[:1], said)
    _, judged = judge_string(made, today(rig))
    assert not [one for one in judged.problems if one.code == "R16"]
    notes = " ".join(content_now(made, timezone.now()).notes)
    assert f"carried over from {plan}, said by Office on {today(rig)}" in notes


def test_what_lost_its_tick_does_not_go_along(rig, plan, joints):
    yes(rig, plan, lot=joints[0].spec, ends_on=today(rig))
    left = yes(rig, plan, component=joints[1])
    one = begin(rig, plan, carry=[left.pk])
    assert one.consents.count() == 1 and one.consents.get().component == joints[1]
    assert begin(rig, plan, carry=[]).consents.count() == 0


def test_an_answer_that_holds_no_longer_is_said_and_nothing_is_begun(rig, plan, joints, monkeypatch):
    over = yes(rig, plan, lot=joints[0].spec, ends_on=today(rig))
    later = timezone.now() + timedelta(days=3)
    monkeypatch.setattr("rack.models.carrying.timezone.now", lambda: later)
    with pytest.raises(Refused, match="holds no longer"):
        begin(rig, plan, carry=[over.pk])
    assert begin(rig, plan).consents.count() == 0


def test_the_page_shows_each_answer_ticked_and_takes_the_ticked_ones(ola, rig, plan, joints):
    first = yes(rig, plan, lot=joints[0].spec, ends_on=today(rig))
    second = yes(rig, plan, component=joints[1])
    page = ola.get(f"/strings/new/?plan={plan.number}").content.decode()
    for one in (first, second):
        assert f'name="answer" value="{one.pk}" checked' in page
    body = {"key": str(uuid.uuid4()), "plan": plan.number, "well": rig.well.pk, "stand_n": "3"}
    again = ola.post("/strings/new/", {**body, "well": "", "answer": [second.pk]})
    assert again.status_code == 422 and f'value="{first.pk}">' in again.content.decode()
    ola.post("/strings/new/", {**body, "answer": [second.pk]})
    made = String.objects.filter(plan=plan).get()
    assert [one.component for one in made.consents.all()] == [joints[1]]


def test_the_same_request_twice_carries_the_answers_over_once(rig, plan, joints):
    yes(rig, plan, component=joints[1])
    asked = stock.asks(rig.who["supervisor"])
    head = strings.StringHead(rig.well, plan=plan)
    one, two = (strings.begin_string(asked, rig.site, head) for _ in range(2))
    assert one == two and one.consents.count() == 1


def act(client: Client, string: String, what: str, **typed: object):
    body = {"key": str(uuid.uuid4()), **typed}
    return client.post(f"/strings/{string.number}/do/{what}/", body, follow=True)


def inside(string: String) -> list[str]:
    return [str(member.component) for member in running_members(string)]


@pytest.fixture
def blocked(rig: Rig, plan: Plan, joints: list[Component]) -> String:
    """A string whose plan's lowest piece hangs in another string, and whose second was scrapped."""
    by = rig.who["supervisor"]
    made = begin(rig, plan)
    other = strings.begin_string(stock.asks(by), rig.site, strings.StringHead(rig.well, title="other"))
    running.join(stock.asks(by), other, joints[:1])
    on_pieces.change_state(stock.asks(by), joints[1], "scrapped")
    return made


def test_a_piece_of_the_plan_that_cannot_go_in_is_named_with_why(ola, blocked, joints):
    answer = act(ola, blocked, "join", way="plan", of_plan="3")
    page = answer.content.decode()
    assert answer.status_code == 422 and inside(blocked) == []
    assert f"{joints[0]} of the plan cannot go in: it is in string" in page
    assert f"{joints[1]} of the plan cannot go in: it is scrapped" in page
    driller = ola.get(f"/strings/{blocked.number}/driller/").content.decode()
    assert "It cannot go in: it is in string" in driller


def test_a_hand_goes_past_it_with_a_reason_and_the_plan_keeps_it_as_not_run(rig, blocked, plan, joints):
    crew = signed_in(rig, "crew")
    without = act(crew, blocked, "past", piece=joints[0].tag, reason=" ")
    assert without.status_code == 422 and "Say why" in without.content.decode()
    for piece, why in ((joints[0], "the other rig has it"), (joints[1], "washed out")):
        assert act(crew, blocked, "past", piece=piece.tag, reason=why).status_code == 200
    act(crew, blocked, "join", way="plan", of_plan="2")
    assert inside(blocked) == ["KD9303", "KD9304"]
    page = crew.get(f"/plans/{plan.number}/").content.decode()
    assert f"not run in {blocked}: the other rig has it" in page
    assert plan.lines.count() == 4, "it stays in the plan"


def test_what_was_left_out_comes_after_all_in_its_turn(rig, blocked, joints):
    crew = signed_in(rig, "crew")
    act(crew, blocked, "past", piece=joints[2].tag, reason="bent, it seems")
    assert str(joints[2]) not in [item.name for item in left_of_plan(blocked)]
    act(crew, blocked, "comes", piece=joints[2].tag)
    assert [item.name for item in left_of_plan(blocked)] == [str(one) for one in joints]
    assert NotRun.objects.standing().count() == 0


def test_only_a_piece_of_the_plan_that_was_not_run_is_left_out_and_only_once(rig, blocked, plan, joints):
    by = rig.who["crew"]
    running.join(stock.asks(by), blocked, joints[3:], running.Said(reason="first"))
    for piece, words in ((rig.spare[0], "not in the plan"), (joints[3], "was made up")):
        with pytest.raises(Refused, match=words):
            leaving_out.leave_out(stock.asks(by), blocked, piece, "no need")
    leaving_out.leave_out(stock.asks(by), blocked, joints[2], "no need")
    with pytest.raises(Refused, match="already"):
        leaving_out.leave_out(stock.asks(by), blocked, joints[2], "no need")
    with pytest.raises(Refused, match="not left out"):
        leaving_out.call_back(stock.asks(by), blocked, joints[0])
    with pytest.raises(NotAllowed):
        leaving_out.leave_out(stock.asks(rig.who["viewer"]), blocked, joints[1], "no need")


def test_the_same_request_twice_leaves_it_out_once(rig, blocked, joints):
    asked = stock.asks(rig.who["crew"])
    one, two = (leaving_out.leave_out(asked, blocked, joints[2], "no need") for _ in range(2))
    assert one == two and NotRun.objects.count() == 1


def test_another_string_of_the_same_plan_still_has_it(rig, blocked, plan, joints):
    leaving_out.leave_out(stock.asks(rig.who["crew"]), blocked, joints[2], "no need")
    assert str(joints[2]) in [item.name for item in left_of_plan(begin(rig, plan))]


def test_the_handover_tells_what_of_the_plan_cannot_go_in_and_what_is_not_run(ola, rig, blocked, joints):
    leaving_out.leave_out(stock.asks(rig.who["crew"]), blocked, joints[1], "washed out")
    told = ola.get(f"/strings/{blocked.number}/handover.csv").content.decode("utf-8-sig")
    assert f"Of the plan, cannot go in: {joints[0]}, it is in string" in told
    assert f"Of the plan, not run: {joints[1]}: washed out." in told


def test_another_piece_takes_the_place_of_a_wrong_one_in_one_step(rig, plan, joints):
    ines, other = signed_in(rig, "office"), rig.spare[0]
    line = plan.lines.from_the_bit()[1]
    body = {"key": str(uuid.uuid4()), "line": line.pk, "piece": other.serial}
    ines.post(f"/plans/{plan.number}/do/exchange/", body)
    assert [row.component for row in plan.lines.from_the_bit()] == [joints[0], other, joints[2], joints[3]]


@pytest.mark.parametrize(("line", "piece", "words"), [
    (1, "KD9301", "in this plan already"), (1, "KD-no-such", "KD-no-such"),
    (None, "KD9302", "not in the plan any more"),
])  # fmt: skip
def test_an_exchange_that_cannot_be_is_refused_and_the_plan_stays(rig, plan, joints, line, piece, words):
    at = plan.lines.from_the_bit()[line].pk if line else 0
    body = {"key": str(uuid.uuid4()), "line": at, "piece": piece}
    said = signed_in(rig, "office").post(f"/plans/{plan.number}/do/exchange/", body)
    assert said.status_code == 422 and words in said.content.decode()
    assert [row.component for row in plan.lines.from_the_bit()] == joints


def test_the_topmost_in_the_hole_stands_above_the_list_and_leads_to_its_row(ola, rig, plan, joints):
    made = begin(rig, plan)
    running.join(stock.asks(rig.who["crew"]), made, joints)
    running.rack_back(stock.asks(rig.who["crew"]), made, joints[3:], "A", 1)
    page = ola.get(f"/strings/{made.number}/").content.decode()
    assert "Topmost in the hole: <a" in page and f">{joints[2]}</a>, stand 1 T" in page
    assert page.count('id="top"') == 1
    assert '<tr role="row" id="top"><th role="rowheader" scope="row">3<' in page


def test_what_stands_in_the_derrick_is_laid_down_by_its_count_when_nothing_hangs(rig, plan, joints):
    crew, made = signed_in(rig, "crew"), begin(rig, plan)
    place = joints[0].place_id
    empty = act(crew, made, "down", count="2", place=place)
    assert empty.status_code == 422 and "Nothing is there to take by its count" in empty.content.decode()
    running.join(stock.asks(rig.who["crew"]), made, joints)
    for row in (1, 2):
        act(crew, made, "back", count="2", side="A", row=str(row))
    assert act(crew, made, "down", count="2", place=place).status_code == 200
    assert inside(made) == ["KD9303", "KD9304"], "the stand that was racked last is laid down first"
