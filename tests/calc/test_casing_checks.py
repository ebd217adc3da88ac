"""What stands against a casing plan, and two lists of one string: each slip named, each near miss silent."""

from dataclasses import replace

import pytest

from rack.calc.casing_checks import PlanFacts, plan_problems
from rack.calc.casing_lists import known_of, rack_against_plan, run_against_plan, total_against_plan
from rack.calc.casing_tally import CasingItem, landing, lay_out
from rack.calc.checks import Severity
from rack.calc.lengths import ZERO, Length
from tests.calc.test_casing_tally import feet, part
from tests.calc.test_casing_tally import joint as any_joint


def joint(name: str, **more: object) -> CasingItem:
    return any_joint(name, **{"drifted": True, "threads": True, **more})  # type: ignore[arg-type]


GOOD = (
    part("shoe", "1.85", locked=True), joint("1", locked=True), part("collar", "1.92", locked=True),
    joint("2"), part("marker", "10.10"), joint("3"), joint("4"), part("hanger", "1.20"),
    part("landing", "38.10"),
)


def problems(
    *items: CasingItem, shoulder: str = "24.60", hole: str = "216.13", **more: object
) -> list[tuple[str, str]]:
    layout = lay_out(items, feet(shoulder) if shoulder else None)
    facts = PlanFacts(items, layout, landing(layout, feet(hole), None), received=4, track=1)
    return [(one.severity.value, one.text) for one in plan_problems(replace(facts, **more))]  # type: ignore[arg-type]


def said(found: list[tuple[str, str]]) -> str:
    return " ".join(text for _, text in found)


def changed(n: int, **more: object) -> tuple[CasingItem, ...]:
    return tuple(replace(item, **more) if m == n else item for m, item in enumerate(GOOD))  # type: ignore[arg-type]


def test_a_plan_without_fault_is_silent() -> None:
    assert problems(*GOOD) == []


@pytest.mark.parametrize("items, more, severity, words", [
    ((), {}, "STOPS", "Nothing is to run"),
    (GOOD, {"nowhere": ("7",)}, "STOPS", "7 of the tally stands nowhere in the plan"),
    (changed(3, withdrawn=True), {}, "STOPS", "2 was withdrawn from the tally"),
    (changed(3, role="out"), {}, "STOPS", "2 is left out without a reason"),
    (changed(3, line=""), {}, "ASKS", "2 is to run and on no tally"),
    (changed(3, name="3"), {}, "STOPS", "3 is in the plan twice"),
    (changed(3, length=None), {}, "STOPS", "The length of 2 is not known"),
    (changed(3, loss=None), {}, "STOPS", "What 2 loses in make-up is not known"),
    (changed(3, moved=True), {}, "ASKS", "length of 2 was changed since"),
    (changed(3, length=feet("0.39")), {}, "STOPS", "no longer than what is lost"),
    (GOOD[1:], {}, "ASKS", "no shoe"),
    ((GOOD[1], GOOD[0], *GOOD[2:]), {}, "ASKS", "1 stands below the shoe"),
    ((GOOD[0], *GOOD), {}, "ASKS", "more than one shoe"),
    ((*GOOD[:2], *GOOD[3:]), {}, "ASKS", "no float collar"),
    ((GOOD[0], GOOD[4], *GOOD[1:4], *GOOD[5:]), {}, "ASKS", "marker stands in the shoe track"),
    (GOOD, {"track": 2}, "ASKS", "the shoe track shall have 2"),
    (changed(1, locked=False), {}, "ASKS", "Not ticked as thread-locked in the shoe track: 1."),
    ((*GOOD[:6], GOOD[7], GOOD[6], GOOD[8]), {}, "ASKS", "4 stands above what the string hangs on"),
    ((*GOOD[:8], GOOD[7], GOOD[8]), {}, "ASKS", "more than one hanger"),
    (changed(3, drifted=False), {}, "ASKS", "Not ticked as drifted: 2."),
    (changed(3, threads=False), {}, "NOTE", "Threads not ticked: 2."),
    (changed(3, role="spare", centralizers=2), {}, "ASKS", "Centralizers stand on 2, which is not to run"),
    (changed(3, cut_off=feet("3")), {}, "ASKS", "only what stands above slips is cut off"),
    (changed(8, length=feet("20")), {}, "ASKS", "does not reach the floor"),
    (GOOD[:8], {}, "NOTE", "No landing joint"),
    ((*GOOD[:7], GOOD[8]), {}, "NOTE", "No hanger and no slips"),
])
def test_each_fault_of_a_plan_is_named(
    items: tuple[CasingItem, ...], more: dict[str, object], severity: str, words: str
) -> None:
    found = problems(*items, **more)
    assert [level for level, text in found if words in text] == [severity], found


def test_a_string_longer_than_the_hole_and_a_missing_datum_are_asked() -> None:
    assert "deeper than the hole" in said(problems(*GOOD, hole="150"))
    assert "no depth is known" in said(problems(*GOOD, shoulder=""))
    assert "off bottom; usual are 10 to 30 ft" in said(problems(*GOOD, hole="300"))


KNOWN = known_of(
    [*GOOD[:3], joint("2"), part("marker", "10"), joint("3"), joint("4"), joint("5"),
     joint("36A", role="spare"), joint("6", role="out", reason="bent"),
     joint("7", role="out", reason="bent", away=True)],
    ["", "KD1", "", "KD2", "", "KD3", "KD4", "KD5", "KD36A", "KD6", "KD7"])


def rack(*seen: str) -> str:
    return " ".join(one.text for one in rack_against_plan(KNOWN, seen))


def test_a_rack_as_planned_is_silent_by_number_and_by_serial() -> None:
    assert rack("36A", "6") == ""
    assert rack("kd-36a", "KD6") == ""


def test_a_joint_left_out_of_the_hole_is_named_though_the_count_agrees() -> None:
    found = rack("36A", "4")
    assert "4 was to run and lies on the rack: left out of the hole" in found
    assert "6 must lie on the rack and does not" in found


def test_a_joint_found_is_named() -> None:
    assert "2A lies on the rack and stands in no list" in rack("36A", "6", "2A")


def test_one_number_read_twice_and_one_that_was_taken_away_are_named() -> None:
    assert "6 was written down 2 times" in rack("36A", "6", "6")
    assert "7 was said to be taken away" in rack("36A", "6", "7")


def run(*order: str) -> list[str]:
    return [one.text for one in run_against_plan(KNOWN, order)]


def test_the_order_of_the_plan_is_silent_and_so_is_its_beginning() -> None:
    assert run("1", "2", "3", "4", "5") == []
    assert run("1", "2") == []


@pytest.mark.parametrize("order, words", [
    (("2", "1", "3", "4"), "Joint 1 in the hole is 2; the plan has 1 there, in the shoe track"),
    (("1", "2", "4", "3", "5"), "Joint 3 in the hole is 4; the plan has 3 there, next to the marker"),
    (("1", "2", "3", "36B"), "36B went into the hole and stands in no list"),
    (("1", "2", "3", "36A"), "36A is spare in the plan and went into the hole"),
    (("1", "2", "3", "6"), "6 is left out in the plan and went into the hole"),
    (("1", "2", "3", "5"), "4 was passed over"),
    (("1", "2", "3", "3"), "3 was run 2 times"),
])
def test_each_slip_in_the_order_is_named(order: tuple[str, ...], words: str) -> None:
    assert any(words in text for text in run(*order)), run(*order)


def test_an_exchange_of_two_free_joints_is_only_noted() -> None:
    found = run_against_plan(KNOWN, ["1", "2", "3", "5", "4"])
    assert [(one.severity, one.text) for one in found] == [
        (Severity.NOTE, "Out of the order of the plan: 5, 4. Renumber the running list.")]


LOSSES = [ZERO, *[feet("0.40")] * 60]


@pytest.mark.parametrize("apart, words", [
    ("24.00", "make-up loss of 60 pins was forgotten"), ("-24.00", "60 pins was taken twice"),
    ("0.40", "one loss too few"), ("-0.40", "one loss too many"), ("39.08", "Look for the joint"),
    ("0.20", "Look for the joint"),
])
def test_another_total_is_explained(apart: str, words: str) -> None:
    ours = feet("2340.00")
    sign = -1 if apart.startswith("-") else 1
    (found,) = total_against_plan(ours, ours + feet(apart.removeprefix("-")) * sign, LOSSES)
    assert words in found.text


def test_the_same_total_is_silent_and_one_without_losses_is_not_explained_by_them() -> None:
    assert total_against_plan(feet("2340"), feet("2340"), LOSSES) == []
    (found,) = total_against_plan(feet("2340"), feet("2340.40"), [ZERO, Length(0)])
    assert "Look for the joint" in found.text
