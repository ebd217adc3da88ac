"""The due board: its statements beside the best that a hand would write, at eight entries a piece.

The hours, clocks and dates are written in bulk, so that they agree with one another as the audit wants them.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from django.db import connection, transaction
from django.utils import timezone

from inspection.models.due import board, of_state
from rack.actions.standing import settle
from rack.benching import stock
from rack.benching.figures import Figure, Statement
from rack.benching.pages import Pages
from rack.calc.standing import NO_LIMIT
from rack.calc.states import AWAY, STATES
from rack.models import Clock, Component, Hours, Site

ENTRIES = 8
#: The key of this row begins the page deep in; of a shorter list the row in its middle.
DEEP = 20_000
#: Who asks, the choices one question each, the counts, the rows with their clocks and numbers.
MOST_QUERIES = 16
HOUR = 3600
SOON, DUE, OVER = 2_250 * HOUR, 2_500 * HOUR, 3_000 * HOUR

_HERE = f"state NOT IN ({', '.join(repr(state) for state in AWAY)})"
_IN = ", ".join(repr(state) for state in STATES if state not in AWAY)
_COUNTS = f"""
SELECT (SELECT COUNT(*) FROM rack_component WHERE site_id = %s AND over_on <= %s AND {_HERE}),
       (SELECT COUNT(*) FROM rack_component WHERE site_id = %s AND due_on <= %s AND over_on > %s AND {_HERE}),
       (SELECT COUNT(*) FROM rack_component
         WHERE site_id = %s AND soon_on <= %s AND due_on > %s AND over_on > %s AND {_HERE}),
       (SELECT COUNT(*) FROM rack_component WHERE site_id = %s AND state IN ({_IN})),
       (SELECT COUNT(*) FROM rack_component WHERE site_id = %s AND holds_n > 0 AND {_HERE}),
       (SELECT COUNT(*) FROM rack_component WHERE site_id = %s AND due_on <= %s AND state = 'left_in_well')
"""
_SPECS = """
SELECT s.id, s.kind FROM rack_spec s
 WHERE EXISTS (SELECT 1 FROM rack_component c WHERE c.site_id = %s AND c.spec_id = s.id)
"""
_PLACES = "SELECT id, rack, layer FROM rack_place WHERE site_id = %s AND layer > 0 AND ended_on IS NULL"
_STRINGS = "SELECT id, number, title FROM rack_string WHERE site_id = %s ORDER BY number DESC LIMIT 60"
_PLANS = "SELECT id, number, title FROM rack_plan WHERE site_id = %s AND ended_on IS NULL LIMIT 60"
_WELLS = "SELECT id, name, slot FROM rack_well WHERE site_id = %s ORDER BY id DESC LIMIT 60"
_LISTS = """
SELECT d.id, f.typed_name FROM rack_delivery d JOIN rack_file f ON f.id = d.file_id
 WHERE d.site_id = %s ORDER BY d.id DESC LIMIT 60
"""
#: The page and what stands beside each of its rows: the page is cut first, then looked up.
_ROWS = """
SELECT c.id, c.tag, c.serial, c.state, c.holds_n, c.pipe_class, c.soon_on, c.due_on, c.over_on, c.due_why,
       s.key, p.rack, p.layer, m.text
  FROM (SELECT * FROM rack_component WHERE site_id = %s AND {which} {more} AND {here}
         ORDER BY {key}, id LIMIT 51) c
  JOIN rack_spec s ON s.id = c.spec_id
  LEFT JOIN rack_place p ON p.id = c.place_id
  LEFT JOIN rack_mark m ON m.component_id = c.id AND m.what = 'painted' AND m.ended IS NULL
 ORDER BY c.{key}, c.id
"""
_CLOCKS = """
SELECT k.id, k.component_id, k.clock, k.basis, k.total, k.zero, k.known, k.soon, k.due, k.over, k."left"
  FROM rack_clock k WHERE k.component_id IN
 (SELECT id FROM rack_component WHERE site_id = %s AND {which} {more} AND {here} ORDER BY {key}, id LIMIT 51)
"""
_WHICH = {
    "due": ("due_on", "due_on <= %s AND over_on > %s"),
    "fine": ("soon_on", "soon_on > %s AND due_on > %s AND over_on > %s"),
}


def figures(environment: dict[str, str]) -> Iterator[Figure]:
    """The board of the bench's site: the first page and one deep in of what is due and of what is fine."""
    fill()
    yield from DueBoard().figures()


class DueBoard(Pages):
    """A signed-in supervisor at the due board."""

    def __init__(self) -> None:
        super().__init__()
        self.today = timezone.localdate(timezone=Site.objects.get(pk=self.site).zone)

    def figures(self) -> Iterator[Figure]:
        lists = board(of_state(Component.objects.filter(site=self.site), "here"), self.today)
        for name, (key, _) in _WHICH.items():
            rows = lists[name].order_by(key, "id").values_list(key, "id")
            at = min(DEEP, rows.count() // 2)
            when, ident = rows[at]
            words, address = f"due board, {name}", f"/due/?list={name}"
            yield from self.page(words, address, self.floor(name), queries=MOST_QUERIES)
            yield from self.page(
                f"{words}, from row {at:,}", f"{address}&after={when}.{ident}",
                self.floor(name, when, ident), queries=MOST_QUERIES,
            )  # fmt: skip

    def floor(self, name: str, *after: Any) -> list[Statement]:
        """What a hand would send for a page of a list, the counts and the rows last but one."""
        key, which = _WHICH[name]
        names = {"key": key, "which": which, "here": _HERE}
        names["more"] = f"AND ({key}, id) > (%s, %s)" if after else ""
        values = [self.site, *[self.today] * which.count("%s"), *after]
        n, day = self.site, self.today
        counts = [n, day, n, day, day, n, day, day, day, n, n, n, day]
        return [
            *self.desk(), *((sql, [n]) for sql in (_SPECS, _PLACES, _STRINGS, _PLANS, _WELLS, _LISTS)),
            (_COUNTS, counts), (_ROWS.format(**names), values), (_CLOCKS.format(**names), values),
        ]  # fmt: skip


def fill() -> None:
    """Give every piece without a clock its eight entries, two clocks and its dates; not twice."""
    with_clocks = set(Clock.objects.order_by().values_list("component", flat=True))
    pieces = Component.objects.order_by("pk").values_list("pk", flat=True)
    ids = [pk for pk in pieces if pk not in with_clocks]
    if not ids:
        return
    site = Component.objects.order_by("pk").values_list("site", flat=True)[0]
    at = stock.ready(Hours, "at", stock.WHEN)
    today = timezone.now().date()
    with transaction.atomic(), connection.cursor() as cursor:
        line = stock.lines(cursor, ids[-1], site, at, "Posted hours")
        stock.insert(
            cursor, Hours, "component_id clock amount journal_id seq at",
            ((pk, "rotating_s", _total(pk) // ENTRIES, line + pk // stock.A_LIST,
              pk % stock.A_LIST * ENTRIES + k, at) for pk in ids for k in range(ENTRIES)),
        )  # fmt: skip
        true = stock.ready(Clock, "known", True)
        stock.insert(
            cursor, Clock,
            'component_id clock basis total zero zero_known after_id known soon due over "left" "by" hard_by',
            ((pk, "rotating_s", basis, _total(pk), 0, true, 0, true, *limits, left, "", "")
             for pk in ids
             for basis, limits, left in (("new", (None,) * 3, NO_LIMIT),
                                         ("full", (SOON, DUE, OVER), DUE - _total(pk)))),
        )  # fmt: skip
        cursor.executemany(
            "UPDATE rack_component SET day_soon_on = %s, day_due_on = %s, day_over_on = %s, "
            "due_why = '365 days since a full inspection' WHERE id = %s",
            [(*_days(pk, today), pk) for pk in ids],
        )
    for some in range(0, len(ids), 10_000):
        last = ids[min(some + 10_000, len(ids)) - 1]  # keys may have gaps: joints of other parts of the bench
        settle(Component.objects.filter(pk__gte=ids[some], pk__lte=last).values("pk"))
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("VACUUM ANALYZE rack_component, rack_clock, rack_hours")


def _total(pk: int) -> int:
    """Seconds of all entries: two in a hundred over, six due, eight soon by their hours."""
    rank = pk * 7919 % 100
    hours = 3_200 if rank < 2 else 2_560 if rank < 8 else 2_320 if rank < 16 else 800
    return hours * HOUR


def _days(pk: int, today: date) -> tuple[str, str, str]:
    """Every piece is due on some day from a fortnight ago to two years and a half from now."""
    due = today + timedelta(days=pk * 104_729 % 900 - 15)
    return tuple(day.isoformat() for day in (due - timedelta(36), due, due + timedelta(90)))  # type: ignore[return-value]
