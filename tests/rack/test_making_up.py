"""Making a string up: by a scanned or typed tag, from a layer, in a tally's order, and as the plan has it."""

import uuid

import pytest
from django.test import Client

from rack.actions import plans, strings
from rack.calc.chain import Link
from rack.calc.specs import spec_from_key
from rack.models import Component, Journal, Plan, String
from rack.models.running import running_members
from rack.views.pulling import fitting
from tests import stock
from tests.rig import Rig, build

pytestmark = pytest.mark.django_db


@pytest.fixture
def rig() -> Rig:
    return build()


@pytest.fixture
def crew(rig: Rig) -> Client:
    client = Client()
    client.force_login(rig.who["crew"])
    return client


@pytest.fixture
def joints(rig: Rig) -> list[Component]:
    return stock.pieces(stock.rack(rig.site, "R8"), 4, first=9301, lengths=["31.0", "31.1", "31.2", "31.3"])


@pytest.fixture
def string(rig: Rig, joints: list[Component]) -> String:
    """A string that is made up from a plan of four joints, the last of them first."""
    ola = rig.who["supervisor"]
    puts = [plans.Put(piece) for piece in joints[::-1]]
    plan: Plan = plans.begin_plan(stock.asks(ola), rig.site, plans.PlanHead("four joints"), puts)
    return strings.begin_string(stock.asks(ola), rig.site, strings.StringHead(rig.well, plan=plan))


def join(client: Client, string: String, **typed: object):
    body = {"key": str(uuid.uuid4()), "way": "plan", "reason": "", **typed}
    return client.post(f"/strings/{string.number}/do/join/", body, follow=True)


def inside(string: String) -> list[str]:
    return [str(member.component) for member in running_members(string)]


def test_the_next_ones_of_the_plan_go_in_by_their_count(crew, string, joints):
    assert 'value="plan"' in crew.get(f"/strings/{string.number}/").content.decode()
    assert join(crew, string, of_plan="3").status_code == 200
    assert inside(string) == ["KD9304", "KD9303", "KD9302"]
    join(crew, string, of_plan="1")
    assert inside(string)[-1] == "KD9301"


@pytest.mark.parametrize("typed, words", [
    ({"of_plan": "5"}, "The plan has 4 more; 5 were typed"), ({"of_plan": ""}, "Say how many of the plan"),
    ({"of_plan": "0"}, "greater than or equal to 1"),
])  # fmt: skip
def test_what_the_plan_has_not_is_said_and_nothing_goes_in(crew, string, typed, words):
    answer = join(crew, string, **typed)
    assert answer.status_code == 422 and words in answer.content.decode()
    assert inside(string) == []


def test_what_is_typed_comes_before_the_plan(crew, string, joints):
    join(crew, string, names=joints[1].tag, of_plan="3")
    assert inside(string) == ["KD9302"]


def test_a_string_without_a_plan_offers_none(crew, rig):
    page = crew.get(f"/strings/{rig.strings['empty'].number}/").content.decode()
    assert 'value="plan"' not in page and 'name="of_plan"' not in page


@pytest.mark.parametrize(
    "as_scanned", ["{}", "https://rig.example/T/{}", "HTTP://RIG/t/{}", "rig.example/T/{}/"]
)
def test_a_scanned_tag_is_read_as_its_code_or_as_its_whole_address(crew, string, joints, as_scanned):
    names = "\n".join(as_scanned.format(piece.tag) for piece in joints[:2])
    join(crew, string, way="names", names=names)
    assert inside(string) == ["KD9301", "KD9302"]


def test_a_layer_goes_in_as_it_lies_and_a_tally_in_its_order(crew, rig, string, joints):
    tally = stock.tally(rig.who["crew"], rig.site, joints[:1:-1], title="as they are run", purpose="string")
    first, last = (line.painted for line in tally.lines.in_order())
    join(crew, string, way="numbers", tally=tally.pk, first=first, last=last)
    assert inside(string) == ["KD9304", "KD9303"], "the order of the tally, not of the serials"
    join(crew, string, way="layer", layer=joints[0].place_id)
    assert inside(string) == ["KD9304", "KD9303", "KD9301", "KD9302"]


def test_the_line_of_the_journal_names_one_piece_and_counts_several(crew, string, joints):
    join(crew, string, of_plan="1")
    assert Journal.objects.order_by("-id")[0].sentence == f"Made up KD9304 in {string}"
    join(crew, string, of_plan="2")
    assert Journal.objects.order_by("-id")[0].sentence == f"Made up 2 pieces in {string}"


def test_pipe_that_makes_up_with_the_top_is_proposed_first(joints):
    """Else the first lot of the list is taken without a look, and its thread is the wrong one."""
    other = stock.spec(stock.CASING)
    top = Link("KD1", spec_from_key(joints[0].spec.key), None)
    assert fitting([other, joints[0].spec], [top]) == [joints[0].spec]
    assert fitting([other], [top]) == [] and fitting([other], []) == []
