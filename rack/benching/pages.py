"""The rack list and the page of a piece: their statements beside the best that a hand would write."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from django.db import connection
from django.test import Client
from django.utils import timezone

from rack.benching import stock
from rack.benching.figures import Figure, Statement, ask, beside, p95, seconds, statements
from rack.models import Component, Place, Spec
from rack.neighbours import neighbours

ROUNDS = 41
LOADS = 60
MOST_QUERIES = 8
MOST_RATIO = 3
MOST_MS = 150

_ROWS = """
SELECT c.id, c.tag, c.serial, c.serial_key, c.length_nm, c.state, c.holds_n, s.key, p.rack, p.layer, m.text
  FROM rack_component c
  JOIN rack_spec s ON s.id = c.spec_id
  LEFT JOIN rack_place p ON p.id = c.place_id
  LEFT JOIN rack_mark m ON m.component_id = c.id AND m.what = 'painted' AND m.ended IS NULL
 WHERE c.site_id = %s {more}
 ORDER BY {by}, c.id LIMIT 51
"""
_CHOICES = """
SELECT s.id, s.key, s.kind, s.grade, s.up_conn, s.down_conn FROM rack_spec s
 WHERE EXISTS (SELECT 1 FROM rack_component c WHERE c.site_id = %s AND c.spec_id = s.id)
"""
_LAYERS = """
SELECT id, rack, layer FROM rack_place
 WHERE site_id = %s AND kind = 'rack' AND layer > 0 AND ended_on IS NULL ORDER BY rack, layer
"""
_SESSION = "SELECT session_data FROM django_session WHERE session_key = %s AND expire_date > %s"
_WHO = """
SELECT u.id, u.username, u.first_name, u.last_name, u.password, u.is_active, p.role,
       s.id, s.code, s.name, s.tz, s.units, s.digits
  FROM auth_user u JOIN rack_post p ON p.user_id = u.id AND p.ended_on IS NULL
  LEFT JOIN rack_site s ON s.id = p.site_id WHERE u.id = %s
"""
_PIECE = """
SELECT c.id, c.tag, c.serial, c.owner, c.received_on, c.state, c.length_nm, c.length_kind, c.holds_n,
       c.version, s.key, p.rack, p.layer, t.name, t.tz, t.units, t.digits, b.hands, b.tape, b.at,
       u.first_name, u.last_name
  FROM rack_component c
  JOIN rack_spec s ON s.id = c.spec_id
  JOIN rack_site t ON t.id = c.site_id
  LEFT JOIN rack_place p ON p.id = c.place_id
  LEFT JOIN rack_strap b ON b.id = c.length_by_id
  LEFT JOIN rack_journal j ON j.id = b.journal_id
  LEFT JOIN auth_user u ON u.id = j.by_id
 WHERE c.tag = %s AND c.site_id IN (SELECT site_id FROM rack_post WHERE user_id = %s AND ended_on IS NULL)
"""
_MARKS = "SELECT what, text, since FROM rack_mark WHERE component_id = %s AND ended IS NULL ORDER BY what"
_HOLDS = """
SELECT h.id, h.at, h.reason, u.first_name, u.last_name
  FROM rack_hold h LEFT JOIN rack_hold r ON r.of_id = h.id
  JOIN rack_journal j ON j.id = h.journal_id LEFT JOIN auth_user u ON u.id = j.by_id
 WHERE h.component_id = %s AND h.what = 'put' AND r.id IS NULL
"""
#: A reading of a tally whose second strap is open stays away.
_BLIND = """
SELECT 1 FROM rack_line l JOIN rack_tally t ON t.id = l.tally_id
  JOIN rack_straphead a ON a.tally_id = t.id AND a.strap_n = 1
  LEFT JOIN rack_straphead b ON b.tally_id = t.id AND b.strap_n = 2
 WHERE l.id = e.line_id AND t.open AND b.finished_at IS NULL
   AND (b.id IS NOT NULL OR (t.straps_wanted = 2 AND a.finished_at IS NOT NULL))
"""
_TIME = f"""
SELECT e.at, e.journal_id, e.nm, e.kind, e.hands, e.tape, j.sentence, u.first_name, u.last_name FROM (
  SELECT id, at, journal_id, CAST(NULL AS bigint) AS nm, '' AS kind, '' AS hands, '' AS tape,
         CAST(NULL AS bigint) AS line_id
    FROM rack_move WHERE component_id = %s
  UNION ALL SELECT id, at, journal_id, CAST(NULL AS bigint), '', '', '', CAST(NULL AS bigint)
    FROM rack_hold WHERE component_id = %s
  UNION ALL SELECT id, at, journal_id, nm, kind, hands, tape, line_id FROM rack_strap WHERE component_id = %s
  UNION ALL SELECT id, at, journal_id, CAST(NULL AS bigint), read, typed, '', CAST(NULL AS bigint)
    FROM rack_delivered WHERE component_id = %s
) e JOIN rack_journal j ON j.id = e.journal_id LEFT JOIN auth_user u ON u.id = j.by_id
 WHERE e.line_id IS NULL OR NOT EXISTS ({_BLIND})
 ORDER BY e.at DESC, e.journal_id DESC LIMIT 50
"""


class Pages:
    """A signed-in supervisor and the addresses that are measured."""

    def __init__(self) -> None:
        self.client = Client(HTTP_HOST="127.0.0.1")
        self.user = stock.user()
        self.client.force_login(self.user, backend="django.contrib.auth.backends.ModelBackend")
        self.site = Component.objects.order_by("id").values_list("site", flat=True)[0]

    def figures(self) -> Iterator[Figure]:
        rows = Component.objects.filter(site=self.site).order_by("serial_key", "id")
        deep = rows.values_list("serial_key", "id")[rows.count() // 2]
        spec = rows[0].spec
        layer = Place.objects.layers().filter(site=self.site).values_list("pk", flat=True)[3]
        yield from self.page("rack list, first page", "/", self._list())
        yield from self.page(
            "rack list, deep in", f"/?after={deep[0]}.{deep[1]}",
            self._list("AND (c.serial_key, c.id) > (%s, %s)", *deep),
        )  # fmt: skip
        same = list(Spec.objects.filter(grade=spec.grade).values_list("pk", flat=True))
        marks = ", ".join(["%s"] * len(same))
        yield from self.page(
            "rack list, one grade", f"/?grade={spec.grade}", self._list(f"AND c.spec_id IN ({marks})", *same)
        )
        yield from self.page(
            "rack list, held", "/?state=held", self._list("AND c.holds_n > 0", by="c.serial_key || ''")
        )
        yield from self.page(
            "rack list, one layer", f"/?layer={layer}", self._list("AND c.place_id = %s", layer)
        )
        # A piece that was moved and is held: its page has the most to show.
        one = Component.objects.get(pk=Component.objects.count() // 600 * 300)
        # Each neighbour may ask once for its part of the page.
        most = MOST_QUERIES + len(neighbours("panels"))
        yield from self.page("page of a piece", f"/piece/{one.tag}/", self._piece(one), queries=most)
        yield from self._search(one)

    def page(
        self, name: str, address: str, floor: list[Statement], *, queries: int = MOST_QUERIES
    ) -> Iterator[Figure]:
        """The statements of an address beside those that a hand would send, and how long it all takes."""
        load = self._loads(address)
        load()
        with statements() as sent:
            load()
        reads = [one for one in sent if one[0].lstrip().upper().startswith("SELECT")]
        yield Figure(f"{name}: queries", "n", len(sent), queries)
        measured, best = beside([lambda: ask(reads), lambda: ask(floor)], ROUNDS)
        yield Figure(f"{name}: SQL", "ms", measured * 1000, MOST_RATIO, best * 1000)
        times = [seconds(load) for _ in range(LOADS)]
        yield Figure(f"{name}: p95 of the whole page", "ms", p95(times) * 1000, MOST_MS)

    def _loads(self, address: str) -> Callable[[], None]:
        def load() -> None:
            answer = self.client.get(address)
            if answer.status_code not in (200, 302):  # a search that finds one piece leads to it
                raise RuntimeError(f"{address} answered {answer.status_code}")

        return load

    def desk(self) -> list[Statement]:
        """Who asks: what stands before every page."""
        key = self.client.cookies["tierbook"].value
        return [(_SESSION, [key, timezone.now()]), (_WHO, [self.user.pk])]

    def _list(self, more: str = "", *values: Any, by: str = "c.serial_key") -> list[Statement]:
        """The statements of the list; another `by` keeps the planner from walking all serials in order."""
        return [
            *self.desk(), (_CHOICES, [self.site]), (_LAYERS, [self.site]),
            (_ROWS.format(more=more, by=by), [self.site, *values]),
        ]  # fmt: skip

    def _piece(self, one: Component) -> list[Statement]:
        return [
            *self.desk(), (_PIECE, [one.tag, self.user.pk]), (_MARKS, [one.pk]), (_HOLDS, [one.pk]),
            (_TIME, [one.pk] * 4), (_LAYERS, [self.site]),
        ]  # fmt: skip

    def _search(self, one: Component) -> Iterator[Figure]:
        for name, text in (("a serial's beginning", one.serial[:4]), ("its last digits", one.serial[-4:])):
            load = self._loads(f"/find/?q={text}")
            times = [seconds(load) for _ in range(LOADS)]
            yield Figure(f"search by {name}: p95 of the whole page", "ms", p95(times) * 1000, MOST_MS)


def plans(asked: Sequence[Statement]) -> list[str]:
    """How the database answers each statement: for whoever looks into a figure that is not ok."""
    explain = "EXPLAIN QUERY PLAN " if connection.vendor == "sqlite" else "EXPLAIN "
    return ["\n".join(str(row[-1]) for row in ask([(explain + sql, params)])[0]) for sql, params in asked]
