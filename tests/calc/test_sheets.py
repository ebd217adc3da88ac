"""The text of a closed tally: it comes back as it went in, its digest stands, its totals are checked."""

import dataclasses
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.checks import Severity
from rack.calc.sheets import (
    CAUTIONS_ALWAYS,
    Hands,
    SheetContent,
    SheetFinding,
    SheetLine,
    SheetLoss,
    Withdrawn,
    check,
    digest_of,
    totals_of,
)

FT = 304_800_000


def sheet(lines: tuple[SheetLine, ...], **more: Any) -> SheetContent:
    plain: dict[str, Any] = {
        "site_code": "SH3", "site_name": "Sandholm 3", "tally_no": 14, "title": "8½ in section",
        "purpose": "rack", "item": "5 in 19.50 drill pipe", "unit": "ft", "digits": 2,
        "length_kind": "pins off", "straps_wanted": 1, "straps_taken": 1,
        "hands": (Hands(1, "T-07", "Ada Fenn", "Ola Brandt"),), "closed_by": "Ola Brandt",
        "opened_at": "2026-11-01T07:10+01:00", "closed_at": "2026-11-02T14:20+01:00", "revision": 1,
        "code": "K7Q2M9A", "lines": lines, **more,
    }
    totals = totals_of(lines, plain.get("losses", ()), plain["length_kind"])
    return SheetContent(**{**totals, **plain})


def joint(n: int, nm: int = 31 * FT, **more: Any) -> SheetLine:
    return SheetLine(n, str(n), f"KD{n}", "", "5 in 19.50 drill pipe", nm, **more)


THREE = (joint(1, 31 * FT), joint(2, 32 * FT), joint(3, 30 * FT))

texts = st.text(max_size=12)
lengths = st.integers(1, 60 * FT)
maybe = st.none() | lengths
lines_of = st.lists(
    st.builds(SheetLine, st.integers(1, 400), texts, texts, texts, texts, lengths, maybe, maybe, maybe, texts,
              texts, texts),
    max_size=6,
).map(tuple)
contents = st.builds(
    sheet, lines_of, title=texts, site_name=texts, reason=texts, cancels=st.booleans(),
    hands=st.lists(st.builds(Hands, st.integers(1, 2), texts, texts, texts), max_size=2).map(tuple),
    withdrawn=st.lists(st.builds(Withdrawn, texts, texts, texts), max_size=2).map(tuple),
    losses=st.lists(
        st.builds(SheetLoss, texts, lengths, texts, texts, st.integers(0, 9)), max_size=2
    ).map(tuple),
    findings=st.lists(
        st.builds(SheetFinding, texts, st.lists(st.integers(1, 9), max_size=3).map(tuple), texts, texts),
        max_size=2,
    ).map(tuple),
    cautions=st.lists(texts, max_size=2).map(tuple),
)


@given(contents)
def test_a_sheet_comes_back_from_its_text_as_it_went_in(content):
    text = content.to_text()
    back = SheetContent.from_text(text)
    assert back == content
    assert back.to_text() == text
    assert back.digest() == content.digest() == digest_of(text)


@given(contents)
def test_the_text_is_canonical(content):
    """Sorted names, no blanks, no escapes, whole numbers: another writer of JSON gives the same bytes."""
    text = content.to_text()
    assert json.dumps(json.loads(text), sort_keys=True, separators=(",", ":"), ensure_ascii=False) == text


def test_the_digest_of_a_known_sheet_never_changes():
    """A change here means that sheets stored before no longer prove themselves."""
    content = sheet(THREE, cautions=("Mind.",), rounding="Once.", program="Tierbook")
    assert content.digest() == "b3de23c1cf6d1ccd9b6a3b6003c42a234476aa1d52e3f7f7b2ad9f4709d23f2f"


@given(contents, contents)
def test_two_sheets_have_one_digest_only_when_they_are_the_same(one, other):
    assert (one.digest() == other.digest()) == (one == other)


def test_letters_of_every_name_stand_in_the_text_as_they_are():
    assert "Łukasz Żółć" in sheet(THREE, closed_by="Łukasz Żółć").to_text()


@pytest.mark.parametrize("change", [
    {"digits": 2.0}, {"title": 1.5}, {"hands": (Hands(1, 3.5),)},  # type: ignore[arg-type]
    {"sum_nm": float("nan")}, {"title": b"bytes"},
])
def test_a_value_that_is_no_text_and_no_whole_number_is_refused(change):
    content = dataclasses.replace(sheet(THREE), **change)
    with pytest.raises(ValueError, match="only text and whole numbers"):
        content.to_text()


def text_with(**more: Any) -> str:
    return json.dumps({**json.loads(sheet(THREE).to_text()), **more})


@pytest.mark.parametrize(("text", "why"), [
    ("no json", "not the text of a sheet"),
    ("[]", "no JSON object"),
    ("{}", "missing"),
    (text_with(lines=None), "not the text of a sheet"),
    (text_with(weather="fine"), "weather"),
    (text_with(sum_nm=1.5), "1.5 is not a whole number"),
    (text_with(sum_nm=float("nan")), "NaN is not a whole number"),
    (text_with(lines=[{"n": 1}]), "not the text of a sheet"),
])
def test_a_text_that_is_no_sheet_is_refused_with_the_reason(text, why):
    with pytest.raises(ValueError, match=why):
        SheetContent.from_text(text)


def test_a_sheet_cannot_be_changed():
    with pytest.raises(dataclasses.FrozenInstanceError):
        sheet(THREE).revision = 2  # type: ignore[misc]


def test_every_sheet_carries_the_cautions_unless_told_otherwise():
    assert set(CAUTIONS_ALWAYS) <= set(sheet(THREE).cautions)


# Totals


def test_totals_are_those_of_the_lines():
    assert totals_of(THREE, (), "pins off") == {
        "count": 3, "sum_nm": 93 * FT, "shortest_nm": 30 * FT, "longest_nm": 32 * FT, "made_up_nm": 93 * FT,
    }


def test_an_empty_sheet_has_no_shortest_and_no_longest():
    assert totals_of((), (), "pins off")["shortest_nm"] is None
    assert totals_of((), (), "pins off")["sum_nm"] == 0


def test_losses_come_off_by_pins():
    """Two joints of 40.00 ft, 7 in 29 lb/ft LTC: 4.000 in a pin, 39.667 ft each (trade guide 11)."""
    lines = tuple(joint(n, 40 * FT, loss_nm=101_600_000) for n in (1, 2))
    losses = (SheetLoss("LTC", 101_600_000, "", "A", 2),)
    made_up = totals_of(lines, losses, "threads on")["made_up_nm"]
    assert made_up == 2 * (40 * FT - 101_600_000)
    assert round(made_up / FT / 2, 3) == 39.667


@pytest.mark.parametrize(("kind", "loss", "known"), [
    ("pins off", None, True), ("threads off", None, True), ("threads on", None, False),
    ("overall, tool", None, False), ("threads on", 0, True), ("overall, tool", 0, True),
])
def test_a_loss_that_is_not_known_is_not_taken_for_none(kind, loss, known):
    made_up = totals_of((joint(1, loss_nm=loss),), (), kind)["made_up_nm"]
    assert made_up == (31 * FT if known else None)


def test_a_sheet_that_adds_up_has_no_problem():
    assert check(sheet(THREE)) == ()
    assert check(sheet(())) == ()


@pytest.mark.parametrize(("field", "words"), [
    ("count", "The number of joints on the sheet is"), ("sum_nm", "The total on the sheet is"),
    ("shortest_nm", "The shortest joint on the sheet is"),
    ("longest_nm", "The longest joint on the sheet is"),
    ("made_up_nm", "The length made up on the sheet is"),
])
@pytest.mark.parametrize("off", [1, -1, 7 * FT])
def test_a_total_that_is_off_by_a_nanometre_stops_the_sheet(field, words, off):
    right = sheet(THREE)
    wrong = dataclasses.replace(right, **{field: getattr(right, field) + off})
    (problem,) = check(wrong)
    assert problem.severity is Severity.STOPS
    assert problem.text.startswith(words)
    assert problem.where == field


def test_a_total_that_is_missing_stops_the_sheet():
    (problem,) = check(dataclasses.replace(sheet(THREE), made_up_nm=None))
    assert problem.text == "The length made up on the sheet is not known, the lines give 93.00."


def test_a_difference_too_small_to_show_is_given_exactly():
    (problem,) = check(dataclasses.replace(sheet(THREE), sum_nm=93 * FT + 1))
    assert problem.text == (
        "The total on the sheet is 93.00, the lines give 93.00 (exactly 28346400001 and 28346400000 nm)."
    )


def test_all_that_is_wrong_is_said_at_once():
    wrong = dataclasses.replace(sheet(THREE), count=4, sum_nm=1, longest_nm=2)
    assert [problem.where for problem in check(wrong)] == ["count", "sum_nm", "longest_nm"]


def test_losses_of_the_lines_and_of_the_list_must_agree():
    lines = tuple(joint(n, loss_nm=100) for n in (1, 2))
    wrong = sheet(lines, losses=(SheetLoss("LTC", 100, "", "A", 3),), length_kind="threads on")
    assert [problem.where for problem in check(wrong)] == ["losses"]


@pytest.mark.parametrize("numbers", [(1, 3), (2, 3), (1, 1), (2, 1)])
def test_lines_out_of_number_stop_the_sheet(numbers):
    (problem,) = check(sheet(tuple(joint(n) for n in numbers)))
    assert "not numbered" in problem.text


# Straps


def test_differences_and_strap_totals_come_from_both_readings():
    pairs = ((10, 12), (5, 5), (9, 7))
    content = sheet(tuple(joint(n, first_nm=a, second_nm=b) for n, (a, b) in enumerate(pairs, start=1)))
    assert content.strap_sums == (24, 24)
    assert [(line.n, off) for line, off in content.differences] == [(1, 2), (3, -2)]


def test_a_strap_with_a_gap_has_no_total():
    assert sheet((joint(1, first_nm=10, second_nm=12), joint(2, first_nm=5))).strap_sums == (15, None)
    assert sheet(THREE).strap_sums == (None, None)


def test_a_joint_goes_by_its_painted_number_and_else_by_its_place():
    assert joint(37).name == "37"
    assert dataclasses.replace(joint(37), painted="36A").name == "36A"
    assert dataclasses.replace(joint(37), painted="").name == "37"
