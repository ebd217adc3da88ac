"""The printed tally: what stands on it is what the closed sheet says, and all of it can be read."""

import re
from dataclasses import replace

import pytest
from reportlab.lib.pagesizes import A4, letter

from rack.calc.lengths import Length
from rack.calc.sheets import Hands, SheetFinding, SheetLoss, Withdrawn
from rack.paper import tally_grid, tally_sheet
from rack.paper.surface import SIZES
from rack.paper.tally_grid import DAGGER
from tests.rack.paper.drawn import (
    ADDRESS,
    HUNDREDTH_FT,
    again,
    full,
    outside,
    over_each_other,
    page_count,
    seen,
    sheet,
    twice,
    watched,
    words,
)

COUNTS = (1, 10, 50, 51, 137)


def printed(content, size="A4"):
    return words(tally_sheet.pdf(content, size=size, address=ADDRESS))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("count", COUNTS)
def test_every_line_and_every_total_on_paper_is_the_one_of_the_sheet(count, size):
    content = sheet(count)
    text = printed(content, size)
    for line in content.lines:
        assert f"{Length(line.nm).shown('ft', 2)} {line.serial}" in text
    for start in range(0, count, 10):
        column = sum(line.nm for line in content.lines[start : start + 10])
        running = sum(line.nm for line in content.lines[: start + 10])
        shown = (str(len(content.lines[start : start + 10])), Length(column).shown("ft", 2))
        assert f"{' '.join(shown)} running {Length(running).shown('ft', 2)}" in text
    assert f"Joints {count} Total, ft {Length(content.sum_nm).shown('ft', 2)}" in text
    assert f"Made up {Length(content.made_up_nm).shown('ft', 2)} ft" in text


def test_what_a_page_carries_forward_is_where_the_next_one_begins():
    content = sheet(137)
    text = printed(content)
    strip = re.compile(
        r"Joints on this page (\d+) Carried forward, ft ([\d,.]+) "
        r"This page, ft ([\d,.]+) Running total, ft ([\d,.]+)"
    )
    pages = [[Length.parse(figure.replace(",", "")) for figure in found[1:]] for found in strip.findall(text)]
    assert [found[0] for found in strip.findall(text)] == ["50", "50", "37"]
    assert pages[0][0] == Length(0)
    assert [carried for carried, _, _ in pages[1:]] == [running for _, _, running in pages[:-1]]
    assert all(carried + here == running for carried, here, running in pages)
    assert pages[-1][2] == Length(content.sum_nm)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("count", COUNTS)
@pytest.mark.parametrize("make", [sheet, full])
def test_no_word_leaves_the_page_or_stands_on_another(make, count, size):
    with watched() as found:
        tally_sheet.pdf(make(count), size=size, address=ADDRESS)
    assert outside(found, *SIZES[size], margin=18) == []
    assert over_each_other(found) == []


def test_a_sheet_of_other_columns_still_keeps_to_the_page():
    content = replace(full(47), column_length=20, page_length=60)
    with watched() as found:
        tally_sheet.pdf(content, address=ADDRESS)
    assert outside(found, *A4, margin=18) == []
    assert "20 " in printed(content)


@pytest.mark.parametrize("size", SIZES)
def test_the_same_sheet_is_the_same_bytes(size):
    content = full(51)
    first = tally_sheet.pdf(content, size=size, address=ADDRESS)
    tally_sheet.pdf(sheet(3), size=size, address=ADDRESS)
    assert tally_sheet.pdf(content, size=size, address=ADDRESS) == first


@pytest.mark.parametrize("size", SIZES)
def test_every_page_carries_the_code_that_opens_the_live_page(size):
    pages = seen(tally_sheet.pdf(full(51), size=size, address=ADDRESS))
    assert len(pages) > 1
    assert pages == [["HTTPS://SANDHOLM.EXAMPLE/T/K7Q2M9A"]] * len(pages)


def test_a_long_address_is_still_read_from_paper():
    address = "https://tubulars.rigs.company-with-a-long-name.example:8443/t/K7Q2M9A"
    assert seen(tally_sheet.pdf(sheet(3), address=address)) == [[address.upper()]]


def test_every_page_says_its_revision_its_number_and_the_address_in_clear():
    pdf = tally_sheet.pdf(sheet(137), address=ADDRESS)
    text, pages = words(pdf), page_count(pdf)
    assert pages > 2
    for page in range(1, pages + 1):
        assert f"page {page} of {pages}" in text
    assert text.count("SH3 · tally 14 · revision 2 · sheet K7Q2M9A") == pages
    assert text.count(f"{ADDRESS} says whether this sheet is still the current one.") == pages
    assert text.count("Revision 2, closed 2026-11-02 14:20 +01:00 by Ola Brandt") == pages


@pytest.mark.parametrize(
    "name", ["Łukasz Żółć", "Ола Брандт", "Γιώργος Νίκου", "Nguyễn Thị Hạnh", "Şule Öğüt"]
)
def test_names_show_as_they_are_spelt(name):
    text = printed(again(sheet(1), closed_by=name, hands=(Hands(1, "T-07", name, name),), site_name=name))
    assert f"reader {name}, writer {name}" in text
    assert f"by {name}" in text
    assert f"{name} (SH3)" in text


def test_what_was_asked_at_the_head_stands_at_the_head():
    text = printed(sheet(3))
    assert "pins off: box face to pin shoulder, the pin is not counted" in text
    assert "feet, 2 figures after the point" in text
    assert "tape T-07, reader Ada Fenn, writer Ola Brandt" in text
    assert "1 taken, 1 wanted" in text
    assert "Opened 2026-11-01 07:10 +01:00" in text
    for signer in ("Tape", "Reader", "Writer", "Supervisor"):
        assert f"{signer}: name, signature, date" in text
    assert "Record sheet, not a certificate" in text


def test_average_shortest_and_longest_name_their_joints():
    content = sheet(3)
    sizes = zip(content.lines, (3_100, 3_201, 3_050), strict=True)
    lines = tuple(replace(line, nm=size * HUNDREDTH_FT) for line, size in sizes)
    text = printed(again(content, lines=lines))
    assert "Average, ft 31.17 Shortest, joint 3 30.50 Longest, joint 2 32.01" in text


def test_every_caution_of_the_sheet_is_printed():
    content = sheet(2)
    text = printed(content)
    assert len(content.cautions) >= 6
    assert [caution for caution in content.cautions if caution not in text] == []


def test_shown_lines_that_do_not_give_the_shown_total_are_owned_up_to():
    """1/3 of a hundredth over, three times, is a hundredth: law 1."""
    content = sheet(3)
    lines = tuple(replace(line, nm=3_100 * HUNDREDTH_FT + 1_016_000) for line in content.lines)
    text = printed(again(content, lines=lines))
    assert "The lines as shown add up to 93.00 ft. The total is 93.01 ft, rounded once" in text
    assert f"Total, ft {DAGGER}93.01" in text
    assert text.count(f"{DAGGER}93.01") == 2, "the column bears it too; page and running total follow from it"


def test_lines_that_add_up_bear_no_dagger():
    assert DAGGER not in printed(sheet(51))


def test_both_readings_of_every_joint_stand_on_paper_and_a_difference_is_marked():
    content = twice(12, {4: 36})
    text = printed(content)
    for line in content.lines:
        pair = f"{Length(line.first_nm).shown('ft', 2)} | {Length(line.second_nm).shown('ft', 2)}"
        assert pair + (" ≠" if line.n == 4 else "") in text
    assert text.count("≠") == 1
    assert "second less first +0.36 ft. 1 of 12 joints read differently." in text
    fourth = [Length(nm).shown("ft", 2) for nm in (content.lines[3].first_nm, content.lines[3].second_nm)]
    assert f"4 {' '.join(fourth)} +0.36" in text


def test_a_difference_inside_the_gate_of_the_sheet_is_counted_and_marks_no_joint():
    text = printed(replace(twice(12, {4: 36, 7: 2, 9: -1}), gate_nm=2 * HUNDREDTH_FT))
    assert text.count("≠") == 1
    assert "1 of 12 joints read further apart than 0.020 ft, 2 less far." in text
    assert "+0.02" not in text


def test_straps_that_agree_say_so():
    assert "second less first 0.00 ft. Every joint reads the same." in printed(twice(12, {}))


def test_a_joint_that_one_strap_missed_is_named():
    content = twice(3, {})
    lines = (content.lines[0], replace(content.lines[1], painted="36A", second_nm=None), content.lines[2])
    text = printed(again(content, lines=lines))
    assert "Read by one strap only: joint 36A." in text
    assert "second less first" not in text


def test_errors_that_cancel_are_printed_and_each_finding_says_what_to_do():
    content = again(
        twice(12, {4: 18, 9: -18}), cancels=True,
        findings=(SheetFinding("T01", (4, 9), "Two figures changed places.", "Measure both again."),),
    )
    text = printed(content)
    assert "Errors that cancel" in text
    assert "T01, joints 4, 9 Two figures changed places. Measure both again." in text
    assert "Errors that cancel" not in printed(twice(12, {4: 18}))


def test_a_make_up_loss_is_shown_with_its_pins_its_source_and_how_sure_it_is():
    """Forty feet of 7 in 29 lb/ft LTC loses 4.000 in a pin: trade guide 11."""
    content = sheet(2)
    lines = tuple(replace(line, nm=4_000 * HUNDREDTH_FT, loss_nm=101_600_000) for line in content.lines)
    loss = SheetLoss("7 in 29.00 LTC casing", 101_600_000, "thread table, row 12", "B", 2)
    text = printed(again(content, lines=lines, losses=(loss,), length_kind="threads on"))
    assert "7 in 29.00 LTC casing 0.333 2 0.67 thread table, row 12 B: seen in one place" in text
    assert "Made up 79.33 ft: 80.00 less 0.67." in text


def test_a_loss_that_is_not_known_leaves_the_length_made_up_open():
    content = sheet(3)
    lines = (replace(content.lines[0], loss_nm=1_000_000), *content.lines[1:])
    loss = SheetLoss("casing", 1_000_000, "table", "A", 1)
    text = printed(again(content, lines=lines, losses=(loss,), length_kind="threads on"))
    assert "Not known: no make-up loss for joint 2, 3." in text
    assert "Made up " not in text


def test_reason_notes_and_withdrawn_lines_are_printed():
    content = again(
        sheet(3), straps_wanted=2, reason="Wind over 20 m/s.",
        withdrawn=(Withdrawn("9", "KD4199", "bent, laid aside"),),
    )
    one, two, three = content.lines
    one, two = replace(one, note="confirmed: reads 36.12"), replace(two, item="NC50 sub")
    text = printed(again(content, lines=(one, two, three)))
    assert "2 straps were wanted, 1 taken. Ola Brandt: Wind over 20 m/s." in text
    assert "9 KD4199 bent, laid aside" in text
    assert "1 1 KD4101 confirmed: reads 36.12" in text
    assert "2 2 KD4102 NC50 sub" in text
    assert "1* " in text and "2* " in text and "3* " not in text


def test_a_text_with_line_ends_and_control_signs_stays_on_its_line():
    text = printed(again(sheet(1), title="for the\n8½ in\x00section\t", closed_by="Ola\nBrandt"))
    assert "Tally 14: for the 8½ in section" in text
    assert "by Ola Brandt" in text


def test_an_unknown_paper_is_refused_by_name():
    with pytest.raises(ValueError, match="Foolscap"):
        tally_sheet.pdf(sheet(1), size="Foolscap", address=ADDRESS)


def test_letter_pages_are_letter():
    with watched() as found:
        tally_sheet.pdf(sheet(50), size="Letter", address=ADDRESS)
    assert max(one.top for one in found) < letter[1]


@pytest.mark.parametrize(("instant", "shown"), [
    ("2026-11-02T14:20+01:00", "2026-11-02 14:20 +01:00"),
    ("2026-11-02T14:20:31-03:30", "2026-11-02 14:20 -03:30"),
    ("2026-11-02T14:20Z", "2026-11-02 14:20 UTC"),
    ("2026-11-02", "2026-11-02"),
])
def test_an_instant_is_read_with_its_zone(instant, shown):
    assert tally_sheet.when(instant) == shown


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("count", [10, 15, 50])
def test_a_short_tally_is_one_page_with_every_caution_and_the_signatures(count, size):
    """On Letter fifteen joints once left two cautions and the signatures alone on a second page."""
    content = sheet(count)
    pdf = tally_sheet.pdf(content, size=size, address=ADDRESS)
    assert page_count(pdf) == 1
    text = words(pdf)
    assert "page 1 of 1" in text and "Supervisor: name, signature, date" in text
    assert all(caution.split()[0] in text and caution.split()[-1] in text for caution in content.cautions)


def test_a_sheet_that_needs_two_pages_all_the_same_is_not_drawn_closer():
    content = full(15)
    loose, pages = tally_sheet._drawn(tally_grid.book(content), "A4", ADDRESS, 2)
    assert pages == 2
    assert tally_sheet.pdf(content, size="A4", address=ADDRESS) == loose
