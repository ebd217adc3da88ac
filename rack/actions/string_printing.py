"""Printing a BHA sheet: its revision is written down for ever, with its code."""

from dataclasses import replace

from django.db import transaction
from django.utils import timezone

from rack.actions.casing_printing import free_code
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_plan, lock_string
from rack.calc.bha import check
from rack.calc.checks import stops
from rack.errors import Refused
from rack.models import Plan, String, StringSheet
from rack.models.bha import content_now, is_shut_away
from rack.people import check_can

BLIND = (
    "A piece of it is being strapped a second time; until that is finished its length is shown to nobody, "
    "and the sheet is printed after (law 13)."
)


def print_bha(asked: Asked, of: Plan | String) -> StringSheet:
    """Write the next revision of a BHA sheet; what it says is what the plan or the string is now.

    What the rules stop does not stop the paper: it stands on it. Raises Refused for an empty string, and
    while a length of it is shut away.
    """
    check_can(asked.hand.user, "bha", of.site)
    key = "plan" if isinstance(of, Plan) else "string"
    with transaction.atomic():
        line, again = open_line(
            asked, "print BHA sheet", of.site, f"Printed the BHA sheet of {of}", {key: of.pk}
        )
        if again:
            return StringSheet.objects.get(journal=line)
        now: Plan | String = lock_plan(of.pk) if isinstance(of, Plan) else lock_string(of.pk)
        revision = StringSheet.objects.printed_of(now).count() + 1
        content = content_now(now, timezone.localtime(line.at, of.site.zone))
        if not content.lines:
            raise Refused([stops(f"Nothing is in {of} yet; there is nothing to print.", code="empty")])
        if is_shut_away(content):
            raise Refused([stops(BLIND, code="blind")])
        by = line.by.get_full_name() or line.by.get_username() if line.by else ""
        content = replace(content, revision=revision, code=free_code(), made_by=by)
        wrong = check(content)
        if wrong:
            raise Refused(wrong)
        return StringSheet.objects.create(
            journal=line, at=line.at, revision=revision, code=content.code, digest=content.digest(),
            content=content.to_text(), **{key: now},
        )  # fmt: skip
