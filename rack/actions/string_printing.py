"""Printing a BHA sheet: its revision is written down for ever, with its code."""

from dataclasses import replace

from django.db import transaction
from django.utils import timezone

from rack.actions.casing_printing import free_code
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_plan, lock_string
from rack.calc.bha import BhaContent, check
from rack.calc.checks import stops
from rack.errors import Refused
from rack.models import Plan, String, StringSheet
from rack.models.bha import content_now
from rack.people import check_can


def print_bha(asked: Asked, of: Plan | String) -> StringSheet:
    """Write the next revision of a BHA sheet; what it says is what the plan or the string is now."""
    check_can(asked.hand.user, "plan", of.site)
    key = "plan" if isinstance(of, Plan) else "string"
    with transaction.atomic():
        line, again = open_line(
            asked, "print BHA sheet", of.site, f"Printed the BHA sheet of {of}", {key: of.pk}
        )
        if again:
            return StringSheet.objects.get(journal=line)
        now: Plan | String = lock_plan(of.pk) if isinstance(of, Plan) else lock_string(of.pk)
        revision = StringSheet.objects.printed_of(now).count() + 1
        content: BhaContent = content_now(now, timezone.localtime(line.at, of.site.zone))
        if not content.lines:
            raise Refused([stops(f"Nothing is in {of} yet; there is nothing to print.", code="empty")])
        by = line.by.get_full_name() or line.by.get_username() if line.by else ""
        content = replace(content, revision=revision, code=free_code(), made_by=by)
        wrong = check(content)
        if wrong:
            raise Refused(wrong)
        return StringSheet.objects.create(
            journal=line, at=line.at, revision=revision, code=content.code, digest=content.digest(),
            content=content.to_text(), **{key: now},
        )  # fmt: skip
