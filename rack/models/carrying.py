"""Answers to rules that were given on a plan and go along with the string that is begun from it."""

from django.utils import timezone

from rack.models.plans import Plan, RuleConsent


def answers_that_hold(plan: Plan) -> list[RuleConsent]:
    """The answers of a plan that stand and whose last day is not over, the oldest first."""
    today = timezone.now().astimezone(plan.site.zone).date()
    with_them = ("journal__by", "lot", "delivery__file", "component", "plan__site")
    rows = plan.consents.standing().select_related(*with_them).order_by("id")
    return [one for one in rows if one.ends_on is None or one.ends_on >= today]


def origin_of(one: RuleConsent) -> str:
    """Where an answer of a plan was given, as the string's paper says it: the plan, by whom, on which day."""
    by = one.journal.by
    who = (by.get_full_name() or by.get_username()) if by else "the program"
    day = one.at.astimezone(one.plan.site.zone).date() if one.plan else one.at.date()
    said = f", said by {who} on {day}"
    return f"{one.plan}"[: 200 - len(said)] + said
