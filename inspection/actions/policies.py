"""What a site goes by: intervals, editions, severity of service. The limits of its pieces follow at once."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import date, timedelta

from django.db import transaction

from inspection.actions.limits import settle
from inspection.calc.amounts import interval_words, unit_of
from inspection.calc.criteria import scheme
from inspection.calc.rules import SERVICES, Rule
from inspection.models import Follows, IntervalRule, Policy
from inspection.models.facts import in_parts, terms_of
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_keys, lock_site
from rack.calc.checks import Problem, stops
from rack.calc.hours import rule_for
from rack.calc.kinds import kind_of
from rack.errors import Refused
from rack.models import Component, Journal, Site
from rack.people import check_can

#: No rule is older than this: a slip of the year.
OLDEST = date(1950, 1, 1)
#: An edition may be followed from a day so far ahead.
AHEAD = timedelta(days=3 * 366)


def set_interval(asked: Asked, site: Site, rule: Rule) -> IntervalRule:
    """Write down an interval of the site; a later one of the same authority supersedes it.

    `rule` carries its amounts in the clock's own whole unit. A limit of our own ("default") only ever tells;
    the others stop. The limits of every piece of its kind are worked out anew in the same transaction.
    """
    check_can(asked.hand.user, "interval", site)
    rule = _plain(rule)
    with transaction.atomic():
        sentence = f"Set an interval: {interval_words(rule)}"
        line, again = open_line(asked, "interval", site, sentence, _body(rule))
        if again:
            return IntervalRule.objects.get(journal=line)
        _accept([*_rule_problems(rule), *_day_problems(rule.from_on, _today(line, site))])
        with _settled(line, site, [rule.kind] if rule.kind else None):
            return IntervalRule.objects.create(
                journal=line, at=line.at, site=site, kind=rule.kind, service=rule.service, clock=rule.clock,
                basis=rule.basis, soon=rule.soon, due=rule.due, over=rule.over, authority=rule.authority,
                only=rule.only, from_on=rule.from_on, source=rule.source, confidence=rule.conf,
                note=rule.note,
            )  # fmt: skip


def take_back_interval(asked: Asked, row: IntervalRule, reason: str) -> IntervalRule:
    """Take an interval back that was set wrongly; what held before it holds again, for every piece."""
    site = row.site
    check_can(asked.hand.user, "interval", site)
    reason = " ".join(reason.split())[:200]
    _accept([] if reason else [stops("Say in a few words why it is taken back.", code="reason",
                                     where="reason")])  # fmt: skip
    with transaction.atomic():
        body = {"interval": row.pk, "reason": reason}
        line, again = open_line(asked, "interval", site, f"Took back an interval: {row}: {reason}", body)
        if again:
            return IntervalRule.objects.get(journal=line)
        with _settled(line, site, [row.kind] if row.kind else None):
            if not IntervalRule.objects.standing().filter(pk=row.pk).exists():
                raise Refused([stops("This interval was taken back already.", code="take back")])
            same = {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
            same |= {"id": None, "journal_id": line.pk, "seq": 0, "at": line.at, "reverses_id": row.pk}
            back = IntervalRule(**same)
            IntervalRule.objects.bulk_create([back])
            return back


def follow_edition(asked: Asked, site: Site, code: str, from_on: date) -> Follows:
    """From a day on the site judges by this scheme and edition. What was judged before keeps its own.

    The day may lie ahead: an edition counts by the day of each inspection, and of the list for what was
    never inspected.
    """
    check_can(asked.hand.user, "interval", site)
    try:
        one = scheme(code)
    except ValueError:
        raise Refused([stops("Choose an edition of the list.", code="scheme", where="scheme")]) from None
    with transaction.atomic():
        sentence = f"Follows {one.said} for {one.title} from {from_on:%Y-%m-%d}"
        body = {"scheme": one.code, "from": from_on}
        line, again = open_line(asked, "interval", site, sentence, body)
        if again:
            return Follows.objects.get(journal=line)
        problems = _day_problems(from_on, _today(line, site) + AHEAD)
        if not one.kinds:
            problems.append(stops(f"{one.said}, {one.title}, serves every kind without classes of its own; "
                                  "there is nothing to choose.", code="scheme", where="scheme"))  # fmt: skip
        _accept(problems)
        with _settled(line, site, one.kinds, since=from_on):
            return Follows.objects.create(
                journal=line, at=line.at, site=site, scheme=one.code, from_on=from_on
            )


def set_policy(asked: Asked, site: Site, service: str, margin_pm: int, from_on: date) -> Policy:
    """How hard the service of a site is ("severe", "typical", "light"), and the margin of "soon" in 1/1000.

    Which of the three usual figures is the due limit hangs on the service; every limit follows at once.
    """
    check_can(asked.hand.user, "interval", site)
    with transaction.atomic():
        sentence = f"Service is {service}, soon {margin_pm / 10:g} % before due, from {from_on:%Y-%m-%d}"
        body = {"service": service, "margin_pm": margin_pm, "from": from_on}
        line, again = open_line(asked, "interval", site, sentence[:200], body)
        if again:
            return Policy.objects.get(journal=line)
        today = _today(line, site)
        problems = _day_problems(from_on, today)
        if service not in SERVICES:
            problems.append(stops("Choose severe, typical or light.", code="service", where="service"))
        if not 0 <= margin_pm <= 900:
            problems.append(stops("The margin is 0 to 90 % of the interval.", code="margin", where="margin"))
        _accept(problems)
        kinds = {rule.kind for rule in terms_of(site, today).rules}
        with _settled(line, site, None if "" in kinds else kinds):
            return Policy.objects.create(
                journal=line, at=line.at, site=site, service=service, margin_pm=margin_pm, from_on=from_on
            )


@contextmanager
def _settled(
    line: Journal, site: Site, kinds: Iterable[str] | None, *, since: date | None = None
) -> Iterator[None]:
    """Around the writing of what a site goes by: its pieces are locked before, their limits follow after.

    Pieces first, then the site, as everywhere. A list that is being accepted holds the site, so that its
    pieces are seen; whoever has a piece writes its limits before this reads what is known of it.
    `kinds` None is every kind; `since`: only what came on that day or later, or was never inspected.
    """
    rows = Component.objects.filter(site=site)
    if kinds is not None:
        rows = rows.filter(spec__kind__in=sorted(kinds))
    if since is not None:
        rows = rows.filter(received_on__gte=since)
    ids = rows.order_by("pk").values_list("pk", flat=True)
    for some in in_parts(ids):
        lock_keys(some)
    lock_site(site.pk)
    before = terms_of(site, _today(line, site))
    yield
    if since is not None or terms_of(site, _today(line, site)) != before:
        for some in in_parts(ids.all()):
            settle(line, some)


def _plain(rule: Rule) -> Rule:
    words = {name: " ".join(getattr(rule, name).split())[:200] for name in ("source", "note")}
    return Rule(**{**rule.__dict__, **words})


def _body(rule: Rule) -> dict[str, object]:
    return {name: value for name, value in rule.__dict__.items() if value not in ("", None)}


def _accept(problems: list[Problem]) -> None:
    if problems:
        raise Refused(problems)


def _rule_problems(rule: Rule) -> list[Problem]:
    problems = []
    if rule.kind and unit_of(rule.clock) not in ("days", "months"):
        counted = rule_for(rule.kind).clocks
        if rule.clock not in counted:
            problems.append(stops(
                f"Nothing counts that clock for {kind_of(rule.kind).name}, so the limit would never come.",
                code="clock", where="clock",
            ))  # fmt: skip
    if rule.authority != "default" and not rule.source:
        problems.append(stops("Name where it says so: a limit that stops has a source.", code="source",
                              where="source"))  # fmt: skip
    return problems


def _day_problems(from_on: date, latest: date) -> list[Problem]:
    if OLDEST <= from_on <= latest:
        return []
    if from_on < OLDEST:
        words = f"It holds from {OLDEST:%Y-%m-%d} at the earliest; {from_on:%Y-%m-%d} is a slip of the year."
    else:
        words = (f"{from_on:%Y-%m-%d} is still to come: limits are worked out when they are set. "
                 f"Set it on its day; {latest:%Y-%m-%d} is the latest.")  # fmt: skip
    return [stops(words, code="day", where="from_on", measured=f"{from_on:%Y-%m-%d}",
                  limit=f"{latest:%Y-%m-%d}")]  # fmt: skip


def _today(line: Journal, site: Site) -> date:
    return line.at.astimezone(site.zone).date()
