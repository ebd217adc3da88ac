"""The later parts of a sheet and the longer columns: all of it stands clear on the paper."""

from dataclasses import replace

import pytest

from rack.calc.sheets import SheetContent, SheetCorrection, SheetFinding, SheetSample, SheetStand
from rack.calc.tally import COLUMNS, page_of
from rack.exchange import sheet_csv
from rack.paper import pencil, tally_sheet
from tests.rack.paper.drawn import (
    ADDRESS,
    HUNDREDTH_FT,
    again,
    outside,
    over_each_other,
    sheet,
    twice,
    watched,
    words,
)

WIDE = {"A4": (595.3, 841.9), "Letter": (612.0, 792.0)}
MIND = "Count what must be left on the rack when the string is landed; a number not used has a reason."


def out_of_the_hole() -> SheetContent:
    """Twenty-seven joints in nine stands, the fifth a joint too long."""
    plain = sheet(27)
    sums = [sum(line.nm for line in plain.lines[n : n + 3]) for n in range(0, 27, 3)]
    off = [(3_140 if k == 4 else 12) * HUNDREDTH_FT for k in range(9)]
    stands = tuple(
        SheetStand(k + 1, tuple(range(3 * k + 1, 3 * k + 4)), nm, nm + off[k]) for k, nm in enumerate(sums)
    )
    return again(
        plain, purpose="strap out of the hole", mind="One reading a stand.", stands=stands,
        stands_words="At 1 of 9 stands it looks like one joint, which no honest error is.",
        correction=SheetCorrection(-96 * HUNDREDTH_FT, "Ola Brandt", "2026-11-02T14:20+01:00", "stretch"),
    )


def with_checks(content: SheetContent, column: int) -> SheetContent:
    return again(
        content, column_length=column, page_length=page_of(column), mind=MIND,
        third_list="the list gantry.csv",
        checks=(
            SheetFinding("T10", (), "1 of 64 pieces of R1, layer 1 is not on this tally: KD4164.", "Look."),
            SheetFinding("T05", (3, 4), "Joint 3 and joint 4 both read 31.02 ft: taped twice?", "Count."),
        ),
        third=(SheetFinding("", (3,), "Joint 3: the list has 31.02 ft and bears out the first strap.", ""),),
        sample=SheetSample("K7Q2M9A", tuple(range(3, 43, 2)), 9_500_000_123, 598_500_000_000, 598_400_000_000,
                           3_000_000_000, "the sum"),
    )  # fmt: skip


@pytest.mark.parametrize("size", WIDE)
@pytest.mark.parametrize("column", COLUMNS)
@pytest.mark.parametrize("straps", [1, 2])
def test_a_column_of_any_length_stands_clear_on_the_paper(straps: int, column: int, size: str) -> None:
    plain = sheet(63) if straps == 1 else twice(63, dict.fromkeys(range(3, 60, 7), 18))
    with watched() as found:
        tally_sheet.pdf(with_checks(plain, column), size=size, address=ADDRESS)
    assert outside(found, *WIDE[size], 20) == []
    assert over_each_other(found) == []
    assert f"1 to {column}" in [one.text for one in found]


@pytest.mark.parametrize("size", WIDE)
@pytest.mark.parametrize("column", COLUMNS)
@pytest.mark.parametrize("strap_n", [0, 2])
def test_a_pencil_sheet_of_any_column_stands_clear_on_the_paper(strap_n: int, column: int, size: str) -> None:
    head = pencil.PencilHead(
        "SH3", "Sandholm 3", 14, "casing for the 12¼ in section", "9-5/8 in 47.00 casing", "casing", "ft", 2,
        "threads on", 2, strap_n, ADDRESS, "2026-11-02 14:20", 1, 3, column=column, mind=MIND,
    )  # fmt: skip
    rows = [pencil.PencilLine(n, str(n), f"KD{4100 + n}") for n in range(1, 61)]
    with watched() as found:
        paper = pencil.pdf(head, rows, size=size)
    assert outside(found, *WIDE[size], 20) == []
    assert over_each_other(found) == []
    assert MIND in words(paper)


def test_the_stands_and_the_accepted_correction_are_printed() -> None:
    with watched() as found:
        paper = words(tally_sheet.pdf(out_of_the_hole(), address=ADDRESS))
    assert over_each_other(found) == []
    assert "13 to 15" in paper
    assert "+31.40" in paper
    assert "Accepted correction of the depth: −0.96 ft. It corrects the depth, not the joints." in paper
    assert "Ola Brandt, 2026-11-02 14:20+01:00: stretch" in paper
    assert "One reading a stand." in paper


def test_stands_without_a_correction_say_so() -> None:
    paper = words(tally_sheet.pdf(replace(out_of_the_hole(), correction=None), address=ADDRESS))
    assert "No correction of the depth was accepted." in paper


def test_checks_list_and_sample_are_printed_and_in_the_file() -> None:
    content = with_checks(twice(63, {3: 18}), 10)
    paper = words(tally_sheet.pdf(content, address=ADDRESS))
    for text in (
        "T05, joints 3, 4", "1 of 64 pieces of R1, layer 1", "bears out the first strap",
        "Count times the average of 20", "within three standard errors (9.84)",
    ):  # fmt: skip
        assert text in paper
    written = sheet_csv.write(content)
    assert "Check,T10: 1 of 64" in written or 'Check,"T10: 1 of 64' in written
    assert "Sender's list,Joint 3: the list has 31.02 ft" in written
    stands = sheet_csv.write(out_of_the_hole())
    assert "Stand 5," in stands
    assert "Correction of the depth" in stands
