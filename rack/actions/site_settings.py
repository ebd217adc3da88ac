"""What the office sets for a site: where its report day begins, how long its tours are."""

from django.db import transaction

from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_site
from rack.calc.checks import stops
from rack.calc.hours import TOUR_HOURS
from rack.errors import Refused
from rack.models import Site
from rack.people import check_can

DAY_S = 24 * 3600


def set_report_day(asked: Asked, site: Site, report_day_s: int, tour_hours: int) -> Site:
    """Set where the report day begins, in seconds after midnight by the wall clock, and the hours of a tour.

    Lines that were written down before stand; tours are judged by the new day from now on.
    """
    check_can(asked.hand.user, "settings", site)
    problems = []
    if not 0 <= report_day_s < DAY_S or report_day_s % 60:
        problems.append(stops("The report day begins at a time from 00:00 to 23:59.", code="day",
                              where="report_day"))  # fmt: skip
    if tour_hours not in TOUR_HOURS:
        words = " or ".join(str(hours) for hours in TOUR_HOURS)
        problems.append(stops(f"A tour has {words} hours.", code="tour", where="tour_hours"))
    if problems:
        raise Refused(problems)
    clock = f"{report_day_s // 3600:02d}:{report_day_s // 60 % 60:02d}"
    with transaction.atomic():
        body = {"site": site.pk, "report_day_s": report_day_s, "tour_hours": tour_hours}
        sentence = f"The report day of {site} begins at {clock}, its tours have {tour_hours} h"
        _, again = open_line(asked, "set report day", site, sentence, body)
        lock_site(site.pk)
        if not again:
            Site.objects.filter(pk=site.pk).update(report_day_s=report_day_s, tour_hours=tour_hours)
        return Site.objects.get(pk=site.pk)
