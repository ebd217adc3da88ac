"""The inspectors of a site: added with their level, ended when they leave or when it is renewed."""

from datetime import date

from django.db import IntegrityError, transaction

from inspection.models import Inspector
from rack.actions.journal import Asked, open_line
from rack.calc.checks import stops
from rack.errors import Refused
from rack.models import Site
from rack.people import check_can


def add_inspector(
    asked: Asked, site: Site, name: str, company: str = "", level: str = "", valid_to: date | None = None
) -> Inspector:
    """Add an inspector. The same name and company once at a time: a renewed level ends the old row first."""
    check_can(asked.hand.user, "inspect", site)
    name, company, level = (" ".join(text.split()) for text in (name, company, level))
    if not name:
        raise Refused([stops("Type the inspector's name.", code="name", where="name")])
    try:
        with transaction.atomic():
            body = {"name": name, "company": company, "level": level, "valid_to": valid_to}
            at = f"{name}, {company}" if company else name
            _, again = open_line(asked, "add inspector", site, f"Added the inspector {at}", body)
            same = Inspector.objects.at(site).filter(name=name, company=company)
            if again:
                first: Inspector = same.order_by("-id")[0]
                return first
            return Inspector.objects.create(site=site, name=name[:80], company=company[:80], level=level[:40],
                                            valid_to=valid_to)  # fmt: skip
    except IntegrityError:
        said = f"{name} of {company or 'no company'} is on the list already. End that row first to renew it."
        raise Refused([stops(said, code="twice", where="name")]) from None


def end_inspector(asked: Asked, inspector: Inspector) -> Inspector:
    """End an inspector's row today; what was recorded on their word keeps it."""
    site = inspector.site
    check_can(asked.hand.user, "inspect", site)
    with transaction.atomic():
        body = {"inspector": inspector.pk}
        line, again = open_line(asked, "end inspector", site, f"Ended the inspector {inspector}", body)
        now = Inspector.objects.select_for_update().get(pk=inspector.pk)
        if again:
            return now
        if now.ended_on:
            raise Refused([stops(f"{inspector} was ended on {now.ended_on} already.", code="ended")])
        now.ended_on = line.at.astimezone(site.zone).date()
        now.save(update_fields=["ended_on"])
    return now
