"""The list of a load: one text for good, its lifts, what is short and what is over."""

from dataclasses import replace
from fractions import Fraction

import pytest

from rack.calc.loadlist import (
    LoadContent,
    LoadLine,
    arrival_problems,
    condition,
    lifts_of,
    load_check,
    short_and_over,
    sum_of,
)

FT = 304_800_000


def line(n, **more):
    return LoadLine(**{
        "n": n, "lift": "1", "tag": f"TAG000{n}", "serial": f"KD{4100 + n}", "painted": str(n),
        "owner_no": f"GL-{n}", "item": "5 in 19.50 S-135 NC50 R2 drill pipe", "nm": 30 * FT,
        "length_kind": "pins off", "mlb_ft": 19_500, "weight_basis": "label weight", "protectors": "both",
        **more,
    })  # fmt: skip


def content(*lines, **more):
    return LoadContent(**{
        "site_code": "SH3", "site_name": "Sandholm 3", "number": 4, "revision": 1, "code": "ABC1234",
        "why": "return", "to": "Gantry Lending, quay 4", "to_site": "", "carrier": "M/V Invented",
        "remark": "Größe 5½", "unit": "ft", "digits": 2, "sent_at": "2026-11-02T14:20+01:00",
        "sent_by": "Ines Holt", "lines": lines, "count": len(lines),
        "sum_nm": sum(one.nm or 0 for one in lines), **more,
    })  # fmt: skip


def test_the_text_gives_the_list_back_and_the_list_the_same_text():
    made = content(line(1, holds=("slip cut",), list_nm=31 * FT), line(2, nm=None))
    text = made.to_text()
    assert LoadContent.from_text(text) == made
    assert LoadContent.from_text(text).to_text() == text


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"count": 1.5}', "null", '{"lines": 3}'])
def test_a_text_that_is_no_list_is_refused(text):
    with pytest.raises(ValueError, match="not the text of a load"):
        LoadContent.from_text(text)


@pytest.mark.parametrize("change, words", [
    ({"count": 3}, "says 3 pieces and has 2"), ({"sum_nm": 1}, "says 1 nm"),
    ({"lines": (line(1), line(3))}, "not numbered"),
])  # fmt: skip
def test_a_list_whose_own_figures_disagree_is_found_out(change, words):
    made = content(line(1), line(2))
    assert load_check(made) == ()
    assert any(words in one for one in load_check(replace(made, **change)))


def test_lifts_keep_their_order_and_their_sums():
    lifts = lifts_of([line(1, lift="B"), line(2, lift="A"), line(3, lift="B", nm=None),
                      line(4, lift="A", mlb_ft=0, protectors="pin")])  # fmt: skip
    assert [lift.name for lift in lifts] == ["B", "A"]
    first, second = lifts
    assert (first.count, first.nm, first.lb, first.no_length, first.not_weighed) == (2, 30 * FT, 585, 1, 1)
    assert (second.count, second.nm, second.lb, second.not_weighed) == (2, 60 * FT, 585, 1)
    assert second.protectors == "1 both ends, 1 pin only"
    assert first.kg == 585 * Fraction(45_359_237, 100_000_000)


def test_the_sum_of_the_lifts_is_the_sum_of_the_load():
    lines = [line(n, lift=str(n % 3), nm=n * FT) for n in range(1, 20)]
    whole = sum_of("", lines)
    assert sum(lift.nm for lift in lifts_of(lines)) == whole.nm
    assert sum(lift.lb for lift in lifts_of(lines)) == whole.lb


def test_a_return_goes_line_by_line_against_the_condition_at_delivery():
    one = line(1, list_name="gantry_42.csv", list_class="Premium", list_nm=31 * FT, protectors="pin",
               damage="box shoulder galled", holds=("slip cut",))  # fmt: skip
    rows = {what: (then, now, marked) for what, then, now, marked in condition(one, "ft", 2)}
    assert rows["class"] == ("Premium on gantry_42.csv", "the list's word; none newer", False)
    assert rows["length"] == ("31.00 ft", "30.00 ft", True)
    assert rows["protectors"] == ("", "pin only", True)
    assert rows["held"] == ("", "slip cut", True)
    assert rows["damage"] == ("", "box shoulder galled", True)


def test_what_is_not_known_of_the_delivery_is_not_invented():
    rows = {what: (then, marked) for what, then, _, marked in condition(line(1), "ft", 2)}
    assert rows == {"length": ("not known", False), "protectors": ("", False)}


LINES = (line(1), line(2), line(3, serial=""), line(4, painted="1"))


@pytest.mark.parametrize("came, tags, short, over, twice", [
    ([], ["TAG0001", "TAG0002", "TAG0003", "TAG0004"], [], [], []),
    (["kd 4101", "GL-2", "TAG0003"], [], ["KD4104"], [], []),
    (["KD4101", "KD9999"], [], ["KD4102", "tag TAG0003", "KD4104"], ["KD9999"], []),
    (["KD4101", "KD4101"], [], ["KD4102", "tag TAG0003", "KD4104"], [], ["KD4101"]),
    (["KD4101"], ["TAG0001"], ["KD4102", "tag TAG0003", "KD4104"], [], ["KD4101"]),
    (["1", "1"], [], ["KD4102", "tag TAG0003"], [], []),
    (["---"], [], ["KD4101", "KD4102", "tag TAG0003", "KD4104"], ["---"], []),
])  # fmt: skip
def test_short_and_over_are_told_by_name(came, tags, short, over, twice):
    lacking, extra, again = short_and_over(LINES, came, tags)
    assert ([one.name for one in lacking], list(extra), list(again)) == (short, over, twice)


def test_each_short_and_each_over_piece_has_its_sentence():
    texts = [problem.text for problem in arrival_problems([line(1)], ["KD9999"])]
    assert texts == ["KD4101 is on the list and did not come.", "KD9999 came and is not on the list."]


@pytest.mark.parametrize("typed, called", [
    ("1", "Lift 1"), ("lift 1", "Lift 1"), ("LIFT 2", "LIFT 2"), ("bundle 7", "Bundle 7"), ("A", "Lift A"),
])  # fmt: skip
def test_a_lift_is_called_a_lift_once(typed, called):
    assert sum_of(typed, []).called == called
