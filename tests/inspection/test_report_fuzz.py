"""Whatever stands in an inspection report, it is read or refused in a sentence: nothing falls over."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inspection.calc.report_mapping import propose
from inspection.exchange.report import read_report
from inspection.exchange.report_cells import day
from rack.errors import UnreadableFile
from tests.inspection.reports import NAMES, as_csv, lot

CELLS = st.one_of(
    st.sampled_from(["", "-", '"', "OK", "P", "2", "C1", "1e999", "6 5/16", "31/64", "0/0", "٣", "‮",
                     "x" * 400, "½",
                     "crack", "RF done", "B", "=A1", "#REF!", "9,640", "4.20E+07", "2026-02-30", "-1", "0",
                     "999999",
                     "Jt No", "TUBE", "1W", "0.0000000001", "\t", "½½", "1/3", "Ⅷ", "²"]),
    st.text(max_size=12),
)  # fmt: skip
QUICK = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def _reads(data):
    try:
        found = read_report(data, "report.csv")
    except UnreadableFile as refused:
        assert str(refused).endswith((".", "?"))
        return
    assert all(problem.text for problem in found.problems)
    assert found.report.rows


@QUICK
@given(st.lists(st.tuples(st.integers(0, 7), st.sampled_from(NAMES), CELLS), max_size=12))
def test_any_cell_may_hold_anything(damages):
    joints = lot(8)
    for at, name, text in damages:
        joints[at][name] = text
    _reads(as_csv(joints))


@QUICK
@given(st.lists(st.lists(CELLS, max_size=9), max_size=8), st.lists(st.lists(CELLS, max_size=9), max_size=5))
def test_any_head_and_any_foot_are_read(head, foot):
    _reads(as_csv(lot(3), head=head, foot=foot))


@QUICK
@given(st.binary(max_size=300))
def test_any_bytes_are_a_report_or_a_sentence(data):
    _reads(data)


@QUICK
@given(st.lists(st.lists(CELLS, max_size=9), max_size=8))
def test_any_rows_propose_a_mapping_or_none(rows):
    found = propose(rows)
    assert found is None or found.heading_row < len(rows)


@QUICK
@given(st.text(max_size=30))
def test_any_text_is_a_day_or_none(text):
    when, doubtful = day(text)
    assert not (when and doubtful)
