"""Tallies from opening to the closed sheet: what is stored, what asks, what can never change."""

import uuid

import pytest
from django.db import DatabaseError, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rack.actions import closing, straps
from rack.actions import lines as lines_of_tally
from rack.calc.lengths import Length
from rack.calc.sheets import SheetContent
from rack.errors import AlreadyUsed, ChangedMeanwhile, NotAllowed, Refused
from rack.models import Component, Line, Place, Sheet, Strap, StrapHead, Tally
from tests import stock

pytestmark = pytest.mark.django_db


@pytest.fixture
def tally(here, layer, ada):
    return stock.tally(ada, here, stock.pieces(layer, 3))


def lines(tally):
    return list(tally.lines.standing().in_order())


def read(user, tally, line, typed, strap_n=1, key=None):
    return straps.read(stock.asks(user, key), straps.Reading(tally, typed, strap_n, line))


def read_all(user, tally, typed, strap_n=1):
    for line, text in zip(lines(tally), typed, strict=True):
        read(user, tally, line, text, strap_n)


def test_bare_digits_are_hundredths_and_the_line_keeps_the_exact_length(ada, tally):
    read(ada, tally, lines(tally)[0], "3124")
    assert lines(tally)[0].first_nm == Length.parse("31.24").nanometres


def test_the_same_reading_sent_twice_is_stored_once(ada, tally):
    key, line = uuid.uuid4(), lines(tally)[0]
    first = read(ada, tally, line, "3124", key=key)
    assert read(ada, tally, line, "3124", key=key) == first
    assert Strap.objects.filter(strap_n=1).count() == 1
    with pytest.raises(AlreadyUsed):
        read(ada, tally, line, "3142", key=key)


def test_a_reading_that_looks_wrong_is_stored_and_asks_until_it_is_confirmed(ada, here, layer):
    tally = stock.tally(ada, here, stock.pieces(layer, 12, first=500))
    read_all(
        ada,
        tally,
        [
            "31.20",
            "31.31",
            "31.12",
            "31.40",
            "31.25",
            "31.33",
            "31.18",
            "31.29",
            "31.22",
            "31.35",
            "31.27",
            "36.12",
        ],
    )
    odd = lines(tally)[-1]
    assert odd.first_nm == Length.parse("36.12").nanometres
    assert odd.questions_n == 1
    straps.confirm(stock.asks(ada), Strap.objects.standing().get(line=odd))
    assert lines(tally)[-1].questions_n == 0


def test_a_later_reading_of_the_same_joint_takes_the_earlier_back_and_both_stay_in_the_book(ada, tally):
    line = lines(tally)[0]
    read(ada, tally, line, "31.24")
    again = read(ada, tally, line, "31.42")
    assert "Joint 1 was read before as 31.24" in again.questions
    assert lines(tally)[0].first_nm == Length.parse("31.42").nanometres
    assert Strap.objects.filter(line=line).count() == 3
    assert Strap.objects.standing().filter(line=line).count() == 1


def test_a_reading_is_taken_back_once(ada, tally):
    strap = read(ada, tally, lines(tally)[0], "31.24")
    straps.take_back(stock.asks(ada), strap)
    assert lines(tally)[0].first_nm is None
    with pytest.raises(Refused, match="taken back already"):
        straps.take_back(stock.asks(ada), strap)


def test_a_joint_that_somebody_else_has_read_asks_whose_reading_it_is(here, ada, tally):
    read(ada, tally, lines(tally)[0], "31.24")
    read(stock.person("ben", "crew", here), tally, lines(tally)[0], "31.42")
    assert lines(tally)[0].questions_n == 1


@pytest.mark.parametrize(
    "typed", ["", "abc", "-31.2", "0", "31.2.4", "٣١", "1e9", "99999999999999", "31 ft 14 in"]
)
def test_a_length_that_cannot_be_read_is_refused_with_a_sentence_and_nothing_is_stored(ada, tally, typed):
    try:
        strap = read(ada, tally, lines(tally)[0], typed)
    except Refused as refused:
        assert len(str(refused)) > 20
        assert not Strap.objects.filter(strap_n=1).exists()
    else:
        assert typed == "٣١" and strap.nm == Length.parse("0.31").nanometres


def test_a_number_that_is_not_on_the_tally_gets_a_line_at_the_end(ada, tally):
    straps.read(stock.asks(ada), straps.Reading(tally, "31.10", 1, None, "3A"))
    assert [line.painted for line in lines(tally)] == ["1", "2", "3", "3A"]
    assert lines(tally)[-1].component is None


def test_a_viewer_reads_nothing_in(here, tally):
    with pytest.raises(NotAllowed):
        read(stock.person("vera", "viewer", here), tally, lines(tally)[0], "31.24")


def test_lines_are_inserted_between_any_two_as_often_as_asked(ada, tally):
    for n in range(14):
        lines_of_tally.insert_line(stock.asks(ada), lines(tally)[1], f"1{chr(65 + n)}")
    painted = [line.painted for line in lines(tally)]
    assert painted[0] == "1" and painted[-2:] == ["2", "3"]
    assert painted[1:-2] == [f"1{chr(65 + n)}" for n in reversed(range(14))]


def test_swapping_and_withdrawing_keep_every_line_in_the_book(ada, tally):
    one, two, three = lines(tally)
    lines_of_tally.swap_lines(stock.asks(ada), one, two)
    lines_of_tally.withdraw_line(stock.asks(ada), three, "laid aside, bent")
    assert [line.painted for line in lines(tally)] == ["2", "1"]
    assert Line.objects.get(pk=three.pk).reason == "laid aside, bent"


def test_a_form_drawn_before_somebody_elses_change_is_refused(ada, tally):
    one, two, _ = lines(tally)
    lines_of_tally.swap_lines(stock.asks(ada), one, two, seen=Tally.objects.get(pk=tally.pk).version)
    with pytest.raises(ChangedMeanwhile, match="changed by somebody else"):
        lines_of_tally.withdraw_line(stock.asks(ada), one, "bent", seen=tally.version)


def test_the_same_piece_cannot_stand_on_two_lines(ada, tally):
    one = lines(tally)[0]
    new = straps.read(stock.asks(ada), straps.Reading(tally, "31.10", 1, None, "9")).line
    with pytest.raises(Refused, match="already, as joint 1"):
        lines_of_tally.tie_line(stock.asks(ada), new, one.component)


def test_untied_lines_are_taken_into_the_register_under_one_specification(here, layer, ada):
    tally = stock.tally(ada, here)
    for n, typed in enumerate(["31.10", "31.20"], start=1):
        straps.read(stock.asks(ada), straps.Reading(tally, typed, 1, None, str(n)))
    office = stock.person("ines", "office", here)
    assert lines_of_tally.adopt_lines(stock.asks(office), tally, stock.spec(), layer) == 2
    assert all(line.component for line in lines(tally))
    assert Component.objects.at(here).count() == 2


def test_closing_writes_one_sheet_whose_totals_are_the_exact_sums(ada, ola, tally):
    read_all(ada, tally, ["31.24", "30.97", "31.55"])
    sheet = closing.close(stock.asks(ola), tally)
    content = SheetContent.from_text(sheet.content)
    assert Length(content.sum_nm) == Length.parse("93.76")
    assert (content.count, content.revision, sheet.revision) == (3, 1, 1)
    assert content.digest() == sheet.digest
    piece = lines(tally)[0].component
    assert piece.length_nm == Length.parse("31.24").nanometres
    assert piece.length_by.line.tally == tally


def test_an_open_tally_does_not_touch_the_length_of_a_piece(ada, tally):
    read_all(ada, tally, ["31.24", "30.97", "31.55"])
    assert set(Component.objects.values_list("length_nm", flat=True)) == {None}


def test_what_stops_closing_is_named_all_at_once(ada, ola, tally):
    straps.read(stock.asks(ada), straps.Reading(tally, "31.10", 1, None, "9"))
    with pytest.raises(Refused) as refused:
        closing.close(stock.asks(ola), tally, reason="in a hurry")
    assert {problem.code for problem in refused.value.problems} == {"unread", "untied"}
    assert Sheet.objects.count() == 0


def test_fewer_straps_than_wanted_needs_a_reason_and_prints_it(here, layer, ada, ola):
    tally = stock.tally(ada, here, stock.pieces(layer, 2, first=700), straps_wanted=2)
    read_all(ada, tally, ["31.24", "30.97"])
    with pytest.raises(Refused, match="Two straps were wanted"):
        closing.close(stock.asks(ola), tally)
    sheet = closing.close(stock.asks(ola), tally, reason="boat is waiting")
    assert SheetContent.from_text(sheet.content).reason == "boat is waiting"


def test_errors_that_cancel_stop_a_silent_close_and_stand_on_the_sheet(here, layer, ada, ola):
    tally = stock.tally(ada, here, stock.pieces(layer, 4, first=700), straps_wanted=2)
    read_all(ada, tally, ["31.24", "30.97", "31.10", "31.33"])
    straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "Ada")
    read_all(ada, tally, ["31.24", "31.97", "30.10", "31.33"], strap_n=2)
    straps.finish_strap(stock.asks(ada), tally, 2)
    with pytest.raises(Refused, match="the errors cancel"):
        closing.close(stock.asks(ola), tally)
    content = SheetContent.from_text(
        closing.close(stock.asks(ola), tally, reason="taped again later").content
    )
    assert content.cancels
    assert {line for found in content.findings for line in found.lines} == {2, 3}


def test_a_third_reading_settles_the_joint_it_bears_out(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 2, first=700), straps_wanted=2)
    read_all(ada, tally, ["31.24", "30.97"])
    straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "Ada")
    read_all(ada, tally, ["31.42", "30.97"], strap_n=2)
    with pytest.raises(Refused, match="second strap is open"):
        straps.tape_again(stock.asks(ada), lines(tally)[0], "31.41")
    straps.finish_strap(stock.asks(ada), tally, 2)
    straps.tape_again(stock.asks(ada), lines(tally)[0], "31.41")
    line = lines(tally)[0]
    assert (Length(line.first_nm), Length(line.second_nm)) == (Length.parse("31.41"), Length.parse("31.42"))


def test_a_tally_is_blind_from_the_end_of_the_first_strap_to_the_end_of_the_second(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 2, first=700), straps_wanted=2)
    read_all(ada, tally, ["31.24", "30.97"])
    assert not tally.is_blind
    straps.finish_strap(stock.asks(ada), tally, 1)
    assert tally.is_blind
    straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "Ada")
    read_all(ada, tally, ["31.24", "30.97"], strap_n=2)
    assert tally.is_blind and not Strap.objects.visible().filter(line__tally=tally).exists()
    straps.finish_strap(stock.asks(ada), tally, 2)
    assert not tally.is_blind


def test_other_hands_for_a_strap_that_is_begun_are_refused_and_not_put_away_quietly(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 2, first=700), straps_wanted=2)
    read_all(ada, tally, ["31.24", "30.97"])
    begun = straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "Ada")
    assert straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "Ada") == begun
    with pytest.raises(Refused, match="Strap 2 of .* is begun already by Ben, Ada; go on with it"):
        straps.begin_strap(stock.asks(ada), tally, 2, "T-12", "Cy", "Ada")
    assert tally.heads.get(strap_n=2) == begun and tally.heads.get(strap_n=2).tape == "T-11"


def test_a_second_strap_nobody_asked_for_is_blind_too(ada, tally):
    read_all(ada, tally, ["31.24", "30.97", "31.55"])
    straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "Ada")
    assert tally.is_blind
    assert StrapHead.objects.get(tally=tally, strap_n=1).finished_at


def test_a_closed_sheet_stays_as_it_was_whatever_happens_to_its_joints(here, ada, ola, tally):
    read_all(ada, tally, ["31.24", "30.97", "31.55"])
    sheet = closing.close(stock.asks(ola), tally)
    before = sheet.content
    with pytest.raises(Refused, match="is closed"):
        read(ada, tally, lines(tally)[0], "33.00")
    with pytest.raises(DatabaseError), transaction.atomic():
        Sheet.objects.filter(pk=sheet.pk).update(content="{}")
    closing.revise(stock.asks(ola), tally, "joint 1 was misread")
    read(ada, tally, lines(tally)[0], "31.42")
    second = closing.close(stock.asks(ola), tally)
    assert Sheet.objects.get(pk=sheet.pk).content == before
    assert (second.revision, Tally.objects.get(pk=tally.pk).revision) == (2, 2)
    assert lines(tally)[0].component.length_nm == Length.parse("31.42").nanometres


def test_only_supervisor_and_office_close(ada, tally):
    read_all(ada, tally, ["31.24", "30.97", "31.55"])
    with pytest.raises(NotAllowed, match="To close a tally"):
        closing.close(stock.asks(ada), tally)


def test_two_tallies_of_a_site_have_two_numbers(here, ada, tally):
    assert stock.tally(ada, here).number == tally.number + 1


def test_make_up_losses_are_counted_by_pins_and_carry_their_source(here, ada, ola):
    place = Place.objects.get(pk=stock.rack(here, "C1").pk)
    tally = stock.tally(ada, here, stock.pieces(place, 2, facts=stock.CASING), kind="threads on")
    read_all(ada, tally, ["40.00", "40.00"])
    content = SheetContent.from_text(closing.close(stock.asks(ola), tally).content)
    # 9-5/8 BTC: NL/2 - J = 4.8125 in, worked out from the tables; 2 pins.
    assert content.losses[0].pins == 2 and content.losses[0].source
    assert content.made_up_nm == 2 * (40 * 304_800_000 - 122_237_500)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(order=st.permutations(range(6)))
def test_any_order_of_taking_back_ends_equal(here, layer, ada, order):
    with transaction.atomic():
        tally = stock.tally(ada, here)
        taken = [
            straps.read(stock.asks(ada), straps.Reading(tally, f"31.{n}0", 1, None, str(n % 3 + 1)))
            for n in range(6)
        ]
        for n in order:
            if not Strap.objects.filter(reverses=taken[n]).exists():
                straps.take_back(stock.asks(ada), taken[n])
        assert [line.first_nm for line in lines(tally)] == [None] * 3
        transaction.set_rollback(True)
