"""A daily report as a table: what people's spreadsheets do to a remark."""

from rack.exchange.daily_report import read_daily


def test_a_remark_over_many_lines_of_a_csv_is_one_row():
    wind = "\n".join(f"{hour:02d}:00;  {20 + hour}/{30 + hour}" for hour in range(20))
    text = f'Date;From;To;Activity;Remark\n2026-02-11;00:00;24:00;wait;"Waited on weather.\n{wind}"\n'
    text += '2026-02-12;00:00;02:00;drill;"Drilled 8 1/2"" hole."\n'
    read = read_daily(text.encode(), "wind.csv")
    found = [(row.n, row.start, row.end) for row in read.rows]
    assert found == [(2, "00:00", "24:00"), (23, "00:00", "02:00")]
    assert read.rows[0].remark.endswith("19:00;  39/49")
    assert read.rows[1].remark == 'Drilled 8 1/2" hole.'
    assert read.problems == ()


def test_a_table_that_is_not_so_tidy_goes_to_the_reader_of_lists():
    text = "Report of the day\n\nDate;From;To;Activity;Remark\n2026-02-11;00:00;24:00;wait;Waited\n"
    (row,) = read_daily(text.encode(), "report.csv").rows
    assert (row.n, row.end, row.remark) == (4, "24:00", "Waited")
