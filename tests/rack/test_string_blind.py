"""Law 13 on the pages of strings: while a tally is strapped blind again, no page tells its first lengths."""

import pytest

from rack.actions import closing, plans, running, straps
from rack.models import String
from tests import runs, stock
from tests.rack.tally_desk import read, signed_in, text_of

pytestmark = pytest.mark.django_db

FIRST = ["31.33", "31.34"]
TOLD = ("31.33", "31.34", "62.67")


@pytest.fixture
def shut(here, ola, layer):
    """Two joints of a tally that was closed, in a plan and in the hole; then the tally is strapped again."""
    joints = stock.pieces(layer, 3, lengths=[*FIRST, "30.50"])
    tally = stock.tally(ola, here, joints[:2])
    read(ola, tally, FIRST)
    closing.close(stock.asks(ola), tally, reason="only two are strapped")
    plan = plans.begin_plan(
        stock.asks(ola), here, plans.PlanHead("next"), [plans.Put(piece) for piece in joints]
    )
    string = runs.string(ola, layer)
    running.join(stock.asks(ola), string, joints)
    return tally, plan, string


def addresses(plan, string) -> list[str]:
    of_string = [
        f"/strings/{string.number}/{rest}"
        for rest in ("", "rules/", "loads/", "driller/", "depths/", "bha/", "then/")
    ]
    of_plan = [f"/plans/{plan.number}/{rest}" for rest in ("", "loads/", "bha/")]
    return [*of_string, *of_plan]


def test_no_page_of_a_string_or_a_plan_tells_a_length_that_is_strapped_blind_again(shut, ola):
    tally, plan, string = shut
    ines = signed_in("ines", "office", tally.site)
    before = "".join(text_of(ines.get(at)) for at in addresses(plan, string))
    assert all(text in before for text in FIRST), "they stand there while nobody straps"
    closing.revise(stock.asks(ola), tally, "to be strapped by other hands")
    straps.begin_strap(stock.asks(ola), tally, 2, "T-9", "Bo", "Cy")
    for at in addresses(plan, string):
        answer = ines.get(at)
        assert answer.status_code == 200, at
        assert not [text for text in TOLD if text in text_of(answer)], at
    for rest in ("", "then/"):
        assert "2 unknown" in text_of(ines.get(f"/strings/{string.number}/{rest}"))


def test_what_comes_next_by_the_plan_tells_no_length_that_is_strapped_blind_again(here, ola, layer):
    joints = stock.pieces(layer, 3, lengths=[*FIRST, "30.50"])
    tally = stock.tally(ola, here, joints[:2])
    read(ola, tally, FIRST)
    closing.close(stock.asks(ola), tally, reason="only two are strapped")
    plan = plans.begin_plan(
        stock.asks(ola), here, plans.PlanHead("next"), [plans.Put(piece) for piece in joints]
    )
    string = runs.string(ola, layer)
    String.objects.filter(pk=string.pk).update(plan=plan)
    ines = signed_in("ines", "office", here)
    pages = [f"/strings/{string.number}/{rest}/" for rest in ("driller", "depths")]
    assert all("31.33" in text_of(ines.get(at)) for at in pages), "it stands there while nobody straps"
    closing.revise(stock.asks(ola), tally, "to be strapped by other hands")
    straps.begin_strap(stock.asks(ola), tally, 2, "T-9", "Bo", "Cy")
    for at in pages:
        text = text_of(ines.get(at))
        assert "KD4101" in text and not [told for told in TOLD if told in text], at
