"""A tally against the register: what was renumbered, left out, out of turn, recut or does not make up."""

import pytest

from rack.calc import registered
from rack.calc.checks import Severity
from rack.calc.connections.names import End
from rack.calc.painted import order_of, same_number
from rack.calc.purposes import PURPOSES
from rack.calc.registered import Group, Known
from rack.calc.strapped import Finding

RACK, CASING, STRING, DELIVERY = (PURPOSES[code] for code in ("rack", "casing", "string", "delivery"))


def joints(count: int = 12, **more: object) -> list[Known]:
    return [
        Known(f"Joint {n}", str(n), f"KD{4100 + n}", str(n), n, **more)  # type: ignore[arg-type]
        for n in range(1, count + 1)
    ]


def named(found: list[Finding]) -> list[tuple[str, tuple[int, ...]]]:
    return [(each.code, each.lines) for each in found]


def with_one(lines: list[Known], place: int, **more: object) -> list[Known]:
    return [Known(**{**vars(line), **more}) if n == place else line for n, line in enumerate(lines)]


# T06


def test_a_number_that_the_register_has_otherwise_is_named() -> None:
    (found,) = registered.repainted(with_one(joints(), 4, registered="47"))
    assert (found.code, found.lines) == ("T06", (4,))
    assert found.words == "Joint 5: the register has KD4105 painted 47."
    assert "do not edit the length" in found.do


def test_two_numbers_that_changed_places_are_told_together() -> None:
    lines = with_one(with_one(joints(), 4, registered="6"), 5, registered="5")
    found = registered.repainted(lines)
    assert named(found) == [("T06", (4,)), ("T06", (5,))]
    assert found[0].words.endswith("It has changed places with joint 6.")


@pytest.mark.parametrize("painted, register", [("036", "36"), ("36a", "36A"), ("36 A", "36A"), ("R-7", "R7")])
def test_the_same_number_written_otherwise_is_silent(painted: str, register: str) -> None:
    assert same_number(painted, register)
    assert registered.repainted(with_one(joints(), 4, painted=painted, registered=register)) == []


def test_36_and_36a_are_two_joints() -> None:
    assert not same_number("36", "36A")
    assert order_of("36") < order_of("36A") < order_of("37") < order_of("100")


def test_a_rack_numbered_anew_is_one_note() -> None:
    lines = [Known(**{**vars(line), "registered": str(n + 40)}) for n, line in enumerate(joints())]
    (found,) = registered.repainted(lines)
    assert found.severity is Severity.NOTE
    assert found.words.startswith("12 of 12 joints bear another number here")


def test_joints_without_a_registered_number_are_silent() -> None:
    assert registered.repainted([Known("Joint 1", "1"), Known("Line 2", "", registered="9")]) == []


# T05 by serial


def test_a_serial_on_two_lines_is_a_joint_counted_twice() -> None:
    (found,) = registered.twice(with_one(joints(), 7, serial="KD4103"))
    assert (found.code, found.lines) == ("T05", (2, 7))
    assert registered.twice(with_one(with_one(joints(), 7, serial=""), 3, serial="")) == []


# T10


def layer(count: int = 12, name: str = "R1/2") -> Group:
    return Group(name, tuple((n, f"KD{4100 + n}") for n in range(1, count + 1)))


def test_a_piece_of_the_layer_that_is_not_on_the_tally_is_named() -> None:
    (found,) = registered.balance(joints(), [layer(14)], RACK)
    assert found.code == "T10"
    assert found.words == "2 of 14 pieces of R1/2 are not on this tally: KD4113, KD4114."
    assert found.severity is Severity.ASKS
    (string,) = registered.balance(joints(), [layer(13)], STRING)
    assert string.severity is Severity.NOTE  # a string takes what it needs
    assert "1 of 13 pieces of R1/2 is not" in string.words


def test_a_balanced_layer_is_silent_and_so_is_a_piece_struck_off_with_its_reason() -> None:
    assert registered.balance(joints(), [layer(12)], RACK) == []
    assert registered.balance(joints(), [layer(13)], RACK, struck_off={13}) == []


def test_a_layer_of_which_the_tally_takes_less_than_half_is_no_balance() -> None:
    assert registered.balance(joints(), [layer(25)], RACK) == []
    assert len(registered.balance(joints(), [layer(24)], RACK)) == 1


def test_nothing_is_balanced_while_a_line_has_no_piece() -> None:
    assert registered.balance(with_one(joints(), 3, piece=0), [layer(14)], RACK) == []


def test_a_piece_that_went_away_cannot_lie_on_the_tally() -> None:
    found = registered.balance(with_one(joints(), 3, away="in transit"), [layer(12)], RACK)
    assert named(found) == [("T10", (3,))]
    assert found[0].words == "Joint 4: KD4104 is in transit and cannot lie here."


# T11


def renumbered(*numbers: str) -> list[Known]:
    return [Known(f"Joint {painted}", painted) for painted in numbers]


@pytest.mark.parametrize(
    "numbers, odd",
    [
        ("1 2 3 17 4 5 6", (3,)),
        ("7 6 5 9 4 3 2", (3,)),  # from the other end
        ("9 1 2 3 4 5", (0,)),
        ("1 2 3 5 4 6 7 8 9 10", (3,)),
    ],
)
def test_a_joint_out_of_its_turn_is_named(numbers: str, odd: tuple[int, ...]) -> None:
    found = registered.out_of_turn(renumbered(*numbers.split()), CASING)
    assert [each.lines for each in found] == [odd] or len(found) == 1
    assert found[0].severity is Severity.ASKS
    assert registered.out_of_turn(renumbered(*numbers.split()), RACK)[0].severity is Severity.NOTE


@pytest.mark.parametrize(
    "numbers",
    [
        "1 2 3 36 36A 37 100", "9 8 7 6 5", "1 3 5 9 20", "1 2 4 3",  # four lines are too few
        "5 1 4 2 3 9 7 8 6",  # no order at all
        "1 2 3  5 6",
    ],
)  # fmt: skip
def test_an_order_with_gaps_or_none_at_all_is_silent(numbers: str) -> None:
    assert registered.out_of_turn(renumbered(*numbers.split(" ")), CASING) == []


# T16


def test_a_length_older_than_a_recut_is_named() -> None:
    (found,) = registered.recut(with_one(joints(), 2, ended="recut on 2026-11-03"))
    assert (found.code, found.lines) == ("T16", (2,))
    assert found.words == "Joint 3 was read before it changed: recut on 2026-11-03."
    assert registered.recut(joints()) == []


# T17


def piped(thread: str = "NC50") -> list[Known]:
    return joints(8, up=End(thread, "box"), down=End(thread, "pin"))


def test_a_thread_that_does_not_meet_its_neighbour_is_named_in_a_string() -> None:
    lines = with_one(piped(), 3, up=End("NC46", "box"), down=End("NC46", "pin"))
    found = registered.threads(lines, STRING)
    assert named(found) == [("T17", (2, 3)), ("T17", (3, 4))]
    assert "NC50 does not make up with NC46" in found[0].words


def test_a_crossover_in_its_place_and_another_name_of_the_thread_are_silent() -> None:
    over = [*piped()[:3], Known("Sub", up=End("NC46", "box"), down=End("NC50", "pin")), *piped("NC46")]
    assert registered.threads(over, STRING) == []
    assert registered.threads([*piped("NC50"), *piped("4-1/2 IF")], STRING) == []
    assert registered.threads([*piped("NC50"), *piped("4-1/2 IF")], RACK) == []


def test_a_crossover_upside_down_is_named() -> None:
    wrong = [*piped()[:3], Known("Sub", up=End("NC50", "box"), down=End("NC46", "pin")), *piped("NC46")]
    assert named(registered.threads(wrong, STRING)) == [("T17", (2, 3)), ("T17", (3, 4))]


def test_mixed_threads_on_a_rack_are_one_note() -> None:
    (found,) = registered.threads([*piped(), *piped("NC46")[:2]], DELIVERY)
    assert found.severity is Severity.NOTE
    assert found.words == "NC46 stands among NC50: joint 1, joint 2."


def test_threads_that_no_table_knows_are_not_judged() -> None:
    assert registered.threads(with_one(piped(), 3, up=End("house thread")), STRING) == []
    assert registered.threads(with_one(piped(), 3, up=None, down=None), STRING) == []
    assert registered.threads(with_one(piped(), 3, up=End("house thread"), down=None), RACK) == []
