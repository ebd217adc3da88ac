"""The sums of a list: known by their words in five languages, settled by what agrees, else said."""

import pytest

from rack.calc.lengths import Length
from rack.calc.receiving import ReadRow
from rack.exchange.sums import SumRow, chained, sum_label, total_of

LISTED = [ReadRow(row=n, serial=f"S{n}", length=Length.parse(f"{30 + n}", "ft")) for n in range(1, 9)]


def found(level: str, in_file: str, rows_before: int, where: str = "C9") -> SumRow:
    return SumRow(where, "Total", level, Length.parse(in_file, "ft"), "ft", rows_before)


@pytest.mark.parametrize(
    "text, level",
    [
        ("Total", ""),
        ("Totals:", ""),
        ("Sum", ""),
        ("Summe", ""),
        ("Somme", ""),
        ("Suma", ""),
        ("Totalt", ""),
        ("Σ", ""),
        ("Page 3 total", "page"),
        ("Total page 3", "page"),
        ("Seitensumme", "page"),
        ("Seite 2 Summe", "page"),
        ("Total de la page", "page"),
        ("Total página", "page"),
        ("Sum side 2", "page"),
        ("Column total", "sub"),
        ("Sub-total", "sub"),
        ("Zwischensumme", "sub"),
        ("Sous-total", "sub"),
        ("Delsum", "sub"),
        ("Carried forward", "carried"),
        ("Übertrag", "carried"),
        ("À reporter", "carried"),
        ("Suma y sigue", "carried"),
        ("Overført", "carried"),
        ("Running total", "carried"),
        ("GRAND TOTAL", "grand"),
        ("Gesamtlänge", "grand"),
        ("Total général", "grand"),
        ("Totalsum", "grand"),
    ],
)
def test_a_sum_is_known_by_its_words(text, level):
    label = sum_label(text)
    assert label is not None and label[0] == level


@pytest.mark.parametrize(
    "text",
    ["Summary of loads", "Totally tight", "Reported by", "Report No.", "KD4101", "", "Sumatra", "Page 2"],
)
def test_other_words_are_no_sum(text):
    assert sum_label(text) is None


@pytest.mark.parametrize(
    "level, in_file, rows, agrees",
    [
        ("", "276", 8, True),
        ("", "146", 4, True),
        ("page", "146", 4, True),
        ("page", "276", 8, True),
        ("grand", "276", 8, True),
        ("carried", "128", 4, False),
        ("", "100", 8, False),
    ],
)
def test_a_sum_is_settled_by_the_span_that_agrees(level, in_file, rows, agrees):
    earlier = [found("page", "130", 4, "C5")]
    total = total_of(found(level, in_file, 8), LISTED, earlier, 2)
    assert total.agrees is agrees
    assert not agrees or f"by {rows} rows" in total.text


def test_a_page_total_that_no_span_gives_is_shown_against_its_page():
    total = total_of(found("page", "150", 8), LISTED, [found("page", "130", 4)], 2)
    assert "by 4 rows" in total.text
    assert "4.00 ft more" in total.text


def test_a_grand_total_of_wrong_pages_says_whose_slip_it_carries():
    pages = [found("page", "130", 4, "C5"), found("page", "150", 8, "C9")]
    done = [total_of(page, LISTED, pages[:at], 2) for at, page in enumerate(pages)]
    grand = found("grand", "280", 8, "C10")
    total = chained(grand, total_of(grand, LISTED, pages, 2), pages, done)
    assert "carries on the slip of C9" in total.text


def test_a_grand_total_that_was_added_wrongly_from_right_pages_says_so():
    pages = [found("page", "130", 4, "C5"), found("page", "146", 8, "C9")]
    done = [total_of(page, LISTED, pages[:at], 2) for at, page in enumerate(pages)]
    grand = found("grand", "286", 8, "C10")
    text = chained(grand, total_of(grand, LISTED, pages, 2), pages, done).text
    assert [each.agrees for each in done] == [True, True]
    assert "the slip is in this adding" in text
