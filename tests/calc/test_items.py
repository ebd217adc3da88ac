"""What a list says of a piece: every spelling of the trade, and nothing guessed without saying so."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.checks import Severity
from rack.calc.item_parts import (
    inches,
    number,
    read_class,
    read_grade,
    read_range,
    read_size,
    read_thread,
    read_weight,
)
from rack.calc.items import Facts, facts_of, over, read_item, settle
from rack.calc.units import NM

FIVE = 5 * NM["in"]


def asked(problems) -> list[str]:
    return [each.text for each in problems if each.severity is not Severity.NOTE]


@pytest.mark.parametrize(
    "text",
    [
        "5 in 19.50 lb/ft S-135 NC50 Range 2",
        '5" 19.50# S135 NC50 R2 DP',
        "DP 5 in, 19.5 ppf, S 135, NC 50, Rg 2",
        "Drill pipe 5 in 19.50 lb/ft S-135 NC50 (4 1/2 IF) Range 2",
        "5 19.50 S135 4-1/2 IF R-2",
        "Bohrgestänge 5 Zoll 19,50 lb/ft S 135 NC-50 Range II",
        "5.000 in 19.50 lb/ft S-135 4½ IF R2",
    ],
)
def test_one_drill_pipe_in_many_spellings_is_one_specification(text):
    spec, problems = read_item(text)
    assert asked(problems) == []
    plain, _ = read_item("5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe")
    assert spec.key == plain.key
    assert (spec.kind, spec.od_nm, spec.weight_mlb_ft, spec.grade, spec.range) == (
        "drill_pipe",
        FIVE,
        19_500,
        "S135",
        "R2",
    )
    assert (spec.up_conn, spec.up_gender, spec.down_conn, spec.down_gender) == ("NC50", "box", "NC50", "pin")


@pytest.mark.parametrize(
    "text, facts",
    [
        (
            "9-5/8 in 47 lb/ft L-80 BTC R3",
            {"kind": "casing", "od_nm": 244_475_000, "grade": "L80", "up_conn": "BTC"},
        ),
        (
            "8 in x 2-13/16 in drill collar 6-5/8 REG",
            {"kind": "collar", "bore_nm": 71_437_500, "down_conn": "6-5/8 REG"},
        ),
        ("HWDP 5 in 49.3 lb/ft NC50", {"kind": "heavy_weight", "weight_mlb_ft": 49_300, "up_gender": "box"}),
        (
            "12-1/4 in PDC bit 6-5/8 REG pin",
            {"kind": "bit", "up_conn": "6-5/8 REG", "up_gender": "pin", "down_conn": ""},
        ),
        ("bit sub 8 in 6-5/8 REG box x box", {"kind": "bit_sub", "up_gender": "box", "down_gender": "box"}),
        (
            "crossover 8 in 6-5/8 REG pin x NC50 box",
            {"kind": "crossover", "up_conn": "NC50", "down_conn": "6-5/8 REG"},
        ),
        ("6-1/2 in hydraulic jar NC46", {"kind": "jar", "od_nm": 165_100_000, "down_conn": "NC46"}),
        ('7" 29# N80 LTC', {"kind": "casing", "weight_mlb_ft": 29_000, "grade": "N80", "down_conn": "LTC"}),
    ],
)
def test_other_pieces_are_read_by_their_words(text, facts):
    spec, problems = read_item(text)
    assert asked(problems) == []
    assert {name: getattr(spec, name) for name in facts} == facts


@pytest.mark.parametrize(
    "text, word",
    [("5 in whipstock", "whipstock"), ("5 in elevator", "elevator"), ("9-5/8 in centralizer", "centralizer")],
)
def test_a_kind_that_is_not_kept_is_named_and_never_taken_for_another(text, word):
    spec, problems = read_item(text)
    assert spec is None
    assert any(each.severity is Severity.STOPS for each in problems)
    assert any(word in each.text for each in problems)


@pytest.mark.parametrize(
    "text, named",
    [
        ("5 in 19.50 Q-999 NC50", "Q-999"),
        ("5 in 19.50 S-135 XT50", "XT50"),
        ("5 in 19.50 S-135 NC50 K4711", "K4711"),
    ],
)
def test_what_is_not_known_in_an_item_is_asked_by_name(text, named):
    _, problems = read_item(text)
    assert any(named in each for each in asked(problems))


def test_words_left_over_are_a_note_and_not_lost():
    _, problems = read_item("5 in 19.50 lb/ft S-135 NC50 Range 2 hardbanded")
    assert [each.severity for each in problems] == [Severity.NOTE]
    assert "hardbanded" in problems[0].text


def test_a_grade_of_casing_on_drill_pipe_is_asked():
    _, problems = read_item("drill pipe 5 in 19.50 lb/ft L-80 NC50")
    assert any("L80 is a grade of casing" in each for each in asked(problems))


def test_a_column_that_disagrees_with_the_item_is_asked_and_taken():
    facts = over(facts_of("5 in 19.50 S-135 NC50"), Facts(grade="G105"))
    spec, problems = settle(facts)
    assert spec.grade == "G105"
    assert any("S135" in each and "G105" in each for each in asked(problems))


@pytest.mark.parametrize(
    "text, unit, nanometres",
    [
        ("127,0", "mm", FIVE),
        ("127", "", FIVE),
        ("127.0 mm", "", FIVE),
        ("5", "", FIVE),
        ("5.000", "in", FIVE),
        ('5"', "", FIVE),
        ("73,0", "mm", 73_025_000),
        ("140", "mm", 139_700_000),
        ("244,5", "mm", 244_475_000),
        ("5 1/2", "in", 139_700_000),
        ("5½", "", 139_700_000),
        ("9-5/8", "", 244_475_000),
        ("6.625", "", 168_275_000),
    ],
)
def test_sizes_metric_or_not_come_to_the_catalogued_inch(text, unit, nanometres):
    assert read_size(text, unit)[0] == nanometres


def test_a_rounded_metric_size_says_both_what_was_typed_and_what_it_was_taken_for():
    _, problems = read_size("73,0", "mm")
    assert "73,0" in problems[0].text
    assert "2-7/8" in problems[0].text


@pytest.mark.parametrize("text", ["abc", "", "0", "-5", "7/0", "1e3", "5/8/9"])
def test_what_is_no_size_is_asked_and_not_read(text):
    value, problems = read_size(text, "in")
    assert value == 0
    assert asked(problems)


@pytest.mark.parametrize(
    "text, unit, milli",
    [
        ("29,02", "kg/m", 19_500),
        ("19.5", "lb/ft", 19_500),
        ("19.50#", "", 19_500),
        ("29,02", "", 19_500),
        ("29.0 kg/m", "", 19_500),
    ],
)
def test_a_metric_weight_near_a_label_is_that_label(text, unit, milli):
    assert read_weight(text, unit, "drill_pipe", FIVE)[0] == milli


def test_a_metric_weight_near_no_label_is_asked_with_the_labels_beside():
    value, problems = read_weight("33,3", "kg/m", "drill_pipe", FIVE)
    assert value == 22_377
    assert "19.50" in asked(problems)[0]


@pytest.mark.parametrize(
    "text, grade",
    [
        ("S 135", "S135"),
        ("S-135", "S135"),
        ("g105", "G105"),
        ("Grade E-75", "E75"),
    ],
)
def test_grades_lose_their_blanks_and_dashes(text, grade):
    assert read_grade(text) == (grade, ())


@pytest.mark.parametrize("text, grade", [("P=110", "P110"), ("X--95", "X95"), ("Q/125", "Q125")])
def test_a_sign_that_no_grade_has_is_read_over_and_said(text, grade):
    read, problems = read_grade(text)
    assert read == grade
    assert [(str(each.severity), grade in each.text) for each in problems] == [("NOTE", True)]


@pytest.mark.parametrize("text, guess", [("S", "S135"), ("135", "S135"), ("N-8O", "N80")])
def test_a_grade_that_needs_a_guess_is_kept_as_typed_with_the_guess_beside(text, guess):
    kept, problems = read_grade(text)
    assert kept == text
    assert guess in asked(problems)[0]


@pytest.mark.parametrize(
    "text, name",
    [("NC50 (4 1/2 IF)", "NC50"), ("4-1/2 IF", "NC50"), ("nc 50 box", "NC50"), ("Buttress", "BTC")],
)
def test_threads_have_one_name(text, name):
    assert read_thread(text)[0] == name


def test_an_unknown_thread_is_kept_as_typed_and_asked():
    kept, _, problems = read_thread("XT57")
    assert kept == "XT57"
    assert "XT57" in asked(problems)[0]


@pytest.mark.parametrize(
    "text, given_class",
    [("Premium", "Premium"), ("class 2", "Class 2"), ("Klasse 2", "Class 2"), ("NEW", "New")],
)
def test_a_class_in_words_is_recorded_as_given(text, given_class):
    assert read_class(text) == (given_class, ())


@pytest.mark.parametrize("text", ["N", "P", "C1", "C2", "2", "II", "2 white", "yellow band"])
def test_a_letter_a_number_or_a_colour_is_asked_and_never_guessed(text):
    kept, problems = read_class(text)
    assert kept == text
    assert "Which class" in asked(problems)[0]


@pytest.mark.parametrize("text, name", [("Range 2", "R2"), ("R-3", "R3"), ("II", "R2"), ("1", "R1")])
def test_ranges_have_one_name(text, name):
    assert read_range(text) == (name, ())


@pytest.mark.parametrize(
    "text, value",
    [
        ("29,02", "2902/100"),
        ("1.234,5", "12345/10"),
        ("5-1/2", "11/2"),
        ("5 1/2", "11/2"),
        ("1,2,3", None),
        ("5/4", None),
    ],
)
def test_numbers_are_exact_or_nothing(text, value):
    from fractions import Fraction

    assert number(text) == (Fraction(value) if value else None)


@pytest.mark.parametrize(
    "nanometres, text", [(FIVE, "5"), (139_700_000, "5-1/2"), (71_437_500, "2-13/16"), (9_194_800, "0.362")]
)
def test_sizes_are_shown_in_fractions_of_an_inch(nanometres, text):
    assert inches(nanometres) == text


@given(st.text(max_size=80))
def test_no_text_makes_the_reading_of_an_item_fail(text):
    spec, problems = read_item(text)
    assert spec is not None or any(each.severity is Severity.STOPS for each in problems)


@given(
    st.sampled_from(["4-1/2", "5", "5-1/2"]),
    st.sampled_from(["E75", "X95", "G105", "S135"]),
    st.sampled_from(["NC46", "NC50", "5-1/2 FH"]),
    st.sampled_from("123"),
    st.permutations(["size", "grade", "thread", "range"]),
)
def test_the_order_of_the_words_does_not_matter(size, grade, thread, reach, order):
    words = {
        "size": f"{size} in",
        "grade": f"{grade[0]}-{grade[1:]}",
        "thread": thread,
        "range": f"Range {reach}",
    }
    spec, problems = read_item("drill pipe, " + ", ".join(words[each] for each in order))
    assert asked(problems) == []
    assert (inches(spec.od_nm), spec.grade, spec.up_conn, spec.range) == (size, grade, thread, f"R{reach}")
