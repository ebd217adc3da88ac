"""Whatever is made up, racked back, posted and taken back, in any order: the ledger is what the rule says."""

import random

import pytest

from rack.actions import running
from rack.actions.doing import Said
from rack.actions.legs import post_legs, share_again, take_back_leg
from rack.actions.runs import RunEnd, end_run
from rack.calc.hours import Amount, balance, run_totals, share_run
from rack.models import Clock, Hours, Leg, Run
from rack.models.earned import sums_in
from rack.models.stays import as_legs, legs_of, memberships_of, policy_of
from tests import runs, stock
from tests.rack.test_audit import audited
from tests.rack.test_casing_hours import cased
from tests.runs import at, leg

pytestmark = pytest.mark.django_db(transaction=True)
WHY = "as the driller's sheet has it"


def story(chance: random.Random, ada, string, run, pieces) -> None:
    """Twelve deeds by chance, one an hour of the day; what makes no sense just now is left out."""
    out, there, racked = list(pieces), [], []
    for hour in range(1, 13):
        deed = chance.choice(["join", "join", "back", "again", "post", "post", "post", "take back"])
        said = Said(at(hour), stock.feet(str(100 * hour)) if chance.random() < 0.4 else None, WHY)
        if deed == "join" and out and not racked:
            there.append(out.pop())
            running.join(stock.asks(ada), string, there[-1:], said)
        elif deed == "back" and len(there) > 1:
            racked.append(there.pop())
            running.rack_back(stock.asks(ada), string, racked[-1:], "A", 1, said)
        elif deed == "again" and racked:
            there.append(racked.pop())
            running.run_again(stock.asks(ada), string, there[-1:], said)
        elif deed == "post":
            seconds = chance.choice([None, 0, 1000, 2700])
            depths = (str(100 * hour - 100), str(100 * hour)) if chance.random() < 0.5 else ("", "")
            line = leg(hour - 1, hour, *depths, rotating_s=seconds, sliding_s=chance.choice([0, None, 600]))
            post_legs(stock.asks(ada), run, [line], WHY)
        elif deed == "take back" and (rows := list(Leg.objects.standing().filter(run=run))):
            take_back_leg(stock.asks(ada), chance.choice(rows), "a slip")


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("policy", [{}, {"drill_pipe": "by joint"}], ids=["whole run", "by joint"])
def test_after_any_story_each_piece_has_its_share_and_none_more_than_the_run(ada, ola, layer, seed, policy):
    chance = random.Random(f"{seed}{policy}")
    string = runs.string(ola, layer)
    tools = [runs.tool(layer, kind, 9001 + n) for n, kind in enumerate(("bit", "motor", "jar"))]
    runs.join(ada, string, tools, hours=0)
    inside = cased(ada, ola, layer, string.well)
    run = runs.run(ola, string, policy=policy)
    story(chance, ada, string, run, stock.pieces(layer, 5, lengths=["31.50"] * 5))
    assert "No difference" in audited()
    share_again(stock.asks(ada), run)
    end_run(stock.asks(ola), run, RunEnd(at(13)), WHY)
    assert "No difference" in audited()
    run = Run.objects.select_related("string__site").get(pk=run.pk)
    lines, stays = as_legs(run, legs_of(run)), memberships_of(run)
    shares = share_run(lines, stays, policy_of(run))
    assert balance(lines, stays, shares) == ()
    earned, totals = sums_in(run), run_totals(lines)
    for one in shares:
        for clock, amount in one.amounts.items():
            assert earned.get(int(one.piece), {}).get(clock, Amount()) == amount
    assert all(earned.get(piece.pk, {}).get("rotating_s", totals["rotating_s"]).least
               <= totals["rotating_s"].least for piece in inside)  # fmt: skip


@pytest.mark.parametrize("seed", range(2))
def test_every_line_taken_back_in_any_order_leaves_nothing(ada, ola, layer, seed):
    chance = random.Random(seed)
    string = runs.string(ola, layer)
    runs.join(ada, string, [runs.tool(layer, "jar", 9001)], hours=0)
    cased(ada, ola, layer, string.well)
    run = runs.run(ola, string, policy={"drill_pipe": "by joint"})
    story(chance, ada, string, run, stock.pieces(layer, 5, lengths=["31.50"] * 5))
    rows = list(Leg.objects.standing().filter(run=run))
    chance.shuffle(rows)
    for row in rows:
        take_back_leg(stock.asks(ada), row, "a slip")
    assert not Hours.objects.standing().filter(run=run).exists()
    assert set(Clock.objects.values_list("total", flat=True)) <= {0}
    assert "No difference" in audited()
