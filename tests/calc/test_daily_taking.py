"""Which rows of a report become lines of a run: a pure function of the file and what a person chose."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rack.calc.daily import Choices, DailyRow, cells_of, take
from rack.calc.daily.choices import CELLS
from rack.calc.daily.taking import read_cells
from rack.calc.hours import Amount, Leg, RunFacts, leg_problems

OSLO = ZoneInfo("Europe/Oslo")
H, M = 3600, 10**9
DAY = "2026-02-11"


def row(n, start, end, remark="Drilled to 2500 m with 120 rpm.", **more):
    facts = {"wellbore": "Tern A-12", "day": DAY, "activity": "drilling -- drill", "depth": "2500", **more}
    return DailyRow(n, start=start, end=end, remark=remark, **facts)


WHOLE = [
    row(1, "00:00", "06:00"), row(2, "06:00", "12:00", "POOH to 100 m."), row(3, "12:00", "00:00", "RIH."),
]  # fmt: skip


def at(hour: float, day: int = 11) -> datetime:
    return datetime(2026, 2, day, tzinfo=OSLO) + timedelta(hours=hour)


def left(taken):
    return {one.row.n: one.why_left for one in taken.rows if not one.taken}


def test_a_whole_day_becomes_lines_that_pass_the_checks_of_lines():
    taken = take(WHOLE, OSLO, Choices())
    assert left(taken) == {} and taken.open_days == ()
    assert [one.kind for one in taken.rows] == ["rotating", "nothing", "nothing"]
    assert taken.total("rotating_s") == Amount(6 * H)
    assert [leg.n for leg in taken.legs] == [1, 2, 3]
    assert taken.legs[-1].to_at == at(24)
    assert not [one for one in leg_problems(taken.legs) if one.severity == "STOPS"]


@pytest.mark.parametrize(("run", "words"), [
    (RunFacts("run 5", in_at=at(6)), {1: "it is before run 5 went in at 2026-02-11 06:00"}),
    (RunFacts("run 5", in_at=at(7)), {1: "it is before run 5 went in at 2026-02-11 07:00",
     2: "it begins before run 5 went in at 2026-02-11 07:00; change its times to take the rest of it"}),
    (RunFacts("run 5", out_at=at(12)), {3: "it is after run 5 came out at 2026-02-11 12:00"}),
    (RunFacts("run 5", out_at=at(9)), {
        2: "it ends after run 5 came out at 2026-02-11 09:00; change its times to take the part before",
        3: "it is after run 5 came out at 2026-02-11 09:00"}),
    (RunFacts("run 5"), {}),
])  # fmt: skip
def test_what_lies_outside_the_run_is_left_out_and_why(run, words):
    assert left(take(WHOLE, OSLO, Choices(), run=run)) == words


def test_a_row_whose_time_stands_in_the_run_already_is_left_out():
    there = [Leg(at(5), at(6))]
    assert left(take(WHOLE, OSLO, Choices(), there=there)) == {
        1: "its time stands in a line of this run already"}  # fmt: skip
    assert left(take(WHOLE, OSLO, Choices(), there=[Leg(at(0), None)])) == {}  # an end that is not known


def test_a_row_that_stands_twice_is_taken_once():
    twice = [*WHOLE, replace(WHOLE[0], n=4)]
    assert left(take(twice, OSLO, Choices())) == {4: "Rows 1 and 4 are one and the same: take one of them."}


def test_a_person_takes_rows_in_and_leaves_them_out():
    run = RunFacts("run 5", in_at=at(6))
    choices = Choices().toggled(1, taken=False).toggled(3, taken=True)
    assert left(take(WHOLE, OSLO, choices, run=run)) == {3: "left out by hand"}
    again = choices.toggled(1, taken=True).toggled(3, taken=False)
    assert list(left(take(WHOLE, OSLO, again, run=run))) == [1]


def test_what_was_typed_stands_in_place_of_what_was_read_and_answers_its_questions():
    asked = [row(1, "00:00", "24:00", "RIH. Reamed tight spots to 2500 m.")]
    first = take(asked, OSLO, Choices())
    assert (first.rows[0].kind, first.total("rotating_s")) == ("to be said", Amount(0, known=False))
    assert [one.severity for one in first.row_problems] == ["ASKS"]
    typed = {"date": DAY, "from": "00:00", "to": "24:00", "rotating": "1 1/2", "circulating": "24"}
    taken = take(asked, OSLO, Choices().with_row(1, typed))
    assert (taken.rows[0].kind, taken.total("rotating_s")) == ("rotating", Amount(5400))
    assert (taken.rows[0].by_hand, taken.row_problems, taken.legs[0].sliding_s) == (True, (), None)
    assert take(asked, OSLO, Choices().with_row(1, typed).with_row(1, None)) == first


def test_days_that_do_not_close_are_named_and_only_those_that_are_taken():
    rows = [*WHOLE[:2], row(3, "00:00", "24:00", day="2026-02-13")]
    taken = take(rows, OSLO, Choices())
    texts = " ".join(one.text for one in taken.problems)
    assert "2026-02-11 does not close: 12.00 h of 24.00 h" in texts
    assert "no row speaks of 2026-02-12" in texts
    later = take(rows, OSLO, Choices(first=date(2026, 2, 12)))
    assert later.problems == () and list(left(later)) == [1, 2]


def test_a_day_and_a_date_of_the_day_after_are_chosen():
    none = [replace(one, day="") for one in WHOLE]
    assert set(left(take(none, OSLO, Choices())).values()) == {"it cannot be placed in time"}
    assert take(none, OSLO, Choices(day=date(2026, 2, 11))).legs == take(WHOLE, OSLO, Choices()).legs
    after = [replace(one, day="2026-02-12") for one in WHOLE]
    assert take(after, OSLO, Choices(dated_after=True)).legs == take(WHOLE, OSLO, Choices()).legs


def test_one_wellbore_is_taken_and_rows_that_name_none_go_with_it():
    rows = [*WHOLE[:2], replace(WHOLE[2], wellbore=""), row(4, "00:00", "24:00", wellbore="Tern A-13")]
    assert left(take(rows, OSLO, Choices())) == {4: "it is of Tern A-13"}
    other = take(rows, OSLO, Choices(wellbore="Tern A-13"))
    assert [one.row.n for one in other.taken] == [3, 4]
    assert other.wellbores == (("Tern A-12", 2), ("Tern A-13", 1))


@pytest.mark.parametrize("text", ["", "[]", "{}", "null", '{"wellbore":1}'])
def test_a_text_that_is_no_choices_is_refused(text):
    with pytest.raises(ValueError, match="not the choices of a report"):
        Choices.from_text(text)


WORDS = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=60)
CLOCKS = st.one_of(st.sampled_from(["", "00:00", "06:15", "24:00", "23:45", "25:00", "soon"]), WORDS)
ROWS = st.lists(
    st.builds(
        DailyRow, n=st.just(1), wellbore=st.sampled_from(["", "A", "B"]), start=CLOCKS, end=CLOCKS,
        day=st.one_of(st.sampled_from(["", DAY, "2026-03-29", "11.02.2026"]), WORDS), remark=WORDS,
        depth=st.one_of(st.sampled_from(["", "2500", "2,500.5"]), WORDS),
        activity=st.sampled_from(["", "drilling -- drill", "drilling -- ream"]),
    ),
    max_size=6,
).map(lambda rows: [replace(one, n=n) for n, one in enumerate(rows, 1)])
CHOICES = st.builds(
    Choices, wellbore=st.sampled_from(["", "A", "C"]), dated_after=st.booleans(),
    first=st.none() | st.dates(date(2026, 2, 1), date(2026, 4, 1)), out=st.frozensets(st.integers(1, 7)),
    back=st.frozensets(st.integers(1, 7)),
    changed=st.dictionaries(st.integers(1, 6), st.dictionaries(st.sampled_from(CELLS), CLOCKS), max_size=2),
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(ROWS, CHOICES)
def test_no_row_is_lost_and_the_same_file_and_choices_give_the_same(rows, choices):
    taken = take(rows, OSLO, choices, run=RunFacts("run", at(0), at(400)), there=[Leg(at(1), at(2))])
    assert [one.row.n for one in taken.rows] == [one.n for one in rows]
    assert all(bool(one.why_left) != one.taken for one in taken.rows)
    assert len(taken.legs) == len(taken.taken)
    again = take(rows, OSLO, choices, run=RunFacts("run", at(0), at(400)), there=[Leg(at(1), at(2))])
    assert again == taken


@settings(max_examples=150, deadline=None)
@given(CHOICES)
def test_choices_go_to_text_and_back(choices):
    assert Choices.from_text(choices.to_text()) == choices


SECONDS = st.none() | st.integers(0, 24 * 60).map(lambda minutes: 60 * minutes)
LEGS = st.builds(
    Leg, from_at=st.integers(0, 23 * 60).map(lambda minutes: at(minutes / 60).replace(microsecond=0)),
    to_at=st.none() | st.just(at(24)), from_nm=st.none() | st.integers(0, 9000).map(lambda m: m * M),
    to_nm=st.none(), rotating_s=SECONDS, sliding_s=SECONDS, circulating_s=SECONDS, bottom_s=SECONDS,
    below_rotary_s=SECONDS, rpm=st.none() | st.integers(0, 300), n=st.just(7),
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(LEGS)
def test_the_cells_of_a_line_read_back_are_the_line(leg):
    whole = replace(leg, from_at=leg.from_at.replace(second=0))
    depth = {nm: f"{nm // M} m" for nm in (whole.from_nm, whole.to_nm) if nm is not None}
    read, problems = read_cells(7, cells_of(whole, OSLO, depth), OSLO, "ft")
    assert problems == () or {one.severity for one in problems} == {"NOTE"}
    assert read == whole
