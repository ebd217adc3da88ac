"""A daily report that was accepted for the run that is on, for the tests of what is kept of it."""

from zoneinfo import ZoneInfo

from rack.actions import daily
from rack.actions.files import keep_bytes
from rack.calc.daily import Choices, take
from rack.exchange.daily_report import read_daily
from rack.models import DailyReport
from rack.models.stays import as_legs, facts_of_run, legs_of
from tests import stock
from tests.rig import REPORT, REPORT_NAME, Rig


def kept_report(rig: Rig) -> DailyReport:
    """The report of the rig, accepted once; the same one again afterwards."""
    run = rig.runs[1]
    there = DailyReport.objects.filter(run=run).first()
    if there:
        return there
    file = read_daily(REPORT, REPORT_NAME)
    taken = take(
        file.rows, ZoneInfo(run.tz), Choices(), file_unit=file.unit, site_unit=run.string.site.length_unit,
        run=facts_of_run(run), there=as_legs(run, legs_of(run)),
    )  # fmt: skip
    handed = daily.ReportFile(keep_bytes(REPORT), REPORT_NAME, "text/csv")
    return daily.accept_report(stock.asks(rig.who["crew"]), run, handed, taken, "as the report has it")
