"""Which clocks of which pieces stand against their limits, the largest share of the limit first."""

from django.db.models import (
    BigIntegerField,
    Case,
    Exists,
    ExpressionWrapper,
    F,
    OuterRef,
    Q,
    QuerySet,
    Value,
    When,
)
from django.db.models.functions import Coalesce, Greatest

from rack.calc.hours_limits import WHOLE, Bar, bar_of, chief_clocks
from rack.models.clocks import as_calc
from rack.models.people import Site
from rack.models.runs import Clock
from rack.models.strings import Member, String

#: Clocks without a limit stand behind all others, what ran longest first.
_BEHIND = 10**18
_LIMITED = Q(soon__isnull=False) | Q(due__isnull=False) | Q(over__isnull=False)


def against_limits(
    site: Site, *, kind: str = "", string: String | None = None, clock: str = ""
) -> QuerySet[Clock]:
    """The clocks of the pieces of a site or of a string, each with `order_key` (least first).

    Every clock that has a limit. Of a piece that has none, the clock that its kind goes by, since new; or
    the `clock` that is asked for.
    """
    rows = Clock.objects.filter(component__site=site).select_related("component__spec", "component__place")
    if kind:
        rows = rows.filter(component__spec__kind=kind)
    if string:
        members = Member.objects.filter(string=string)
        members = members if string.ended_at else members.now()
        rows = rows.filter(component__in=members.values("component"))
    return (rows.filter(_asked(clock)) if clock else rows.filter(_chief())).annotate(order_key=_key())


def _asked(clock: str) -> Q:
    return Q(clock=clock) & (_LIMITED | Q(basis="new"))


def _chief() -> Q:
    """Every limited clock; else the one that the kind goes by."""
    goes_by = Q(pk__in=[])
    for clock, kinds in chief_clocks().items():
        goes_by |= Q(clock=clock, component__spec__kind__in=kinds)
    limited = Clock.objects.filter(_LIMITED, component=OuterRef("component"))
    return _LIMITED | (Q(basis="new") & goes_by & ~Q(Exists(limited)))


def _key() -> Case:
    """The order as one whole number: the same rule as `share_of_limit` and `bar_order`."""
    ran = Greatest(F("total") - F("zero"), Value(0), output_field=BigIntegerField())
    limit = Coalesce(F("due"), F("over"), F("soon"))
    used = ExpressionWrapper(ran * Value(WHOLE) / limit, output_field=BigIntegerField())
    whole = Greatest(used, Value(WHOLE), output_field=BigIntegerField())
    not_known = Q(known=False) & (Q(due__isnull=False) | Q(over=None))
    return Case(
        When(due=None, over=None, soon=None, then=Value(_BEHIND) - ran),
        When(Q(due__lte=0) | Q(due=None, over__lte=0) | Q(due=None, over=None, soon__lte=0),
             then=Value(-WHOLE)),
        When(not_known, then=Value(0) - whole),
        default=Value(0) - used,
        output_field=BigIntegerField(),
    )  # fmt: skip


def bars_of(rows: "list[Clock]", site: Site) -> list[Bar]:
    """These clocks as bars, in their order."""
    return [
        bar_of(as_calc(row), str(row.component), str(row.component.spec), whose=row.by,
               unit=site.length_unit, digits=site.digits)
        for row in rows
    ]  # fmt: skip
