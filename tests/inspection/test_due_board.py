"""The due board: its lists against a plain recomputation, its choices, what it costs, its files."""

import csv
import io
import random
from datetime import UTC, date, datetime, timedelta

import openpyxl
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from inspection.calc.ahead import Ahead, earliest_end, outs
from inspection.models.due import before, board, counted, of_state
from inspection.models.planned import of_plan, taken_out
from rack.actions import pieces as actions
from rack.actions import plans, running, strings, wells
from rack.calc.standing import EVER, FINE, NEVER, Clock, left, state_on
from rack.calc.states import AWAY, STATES
from rack.calc.wishes import Wishes
from rack.models import Clock as ClockRow
from rack.models import Component
from tests import stock

TODAY = date(2026, 11, 20)
DAYS = [EVER, NEVER, *(TODAY + timedelta(days) for days in (-40, -1, 0, 1, 2, 90))]


def dated(piece, soon=NEVER, due=NEVER, over=NEVER, **more):
    """The piece with these dates on its row, as if its clocks and days had given them."""
    Component.objects.filter(pk=piece.pk).update(soon_on=soon, due_on=due, over_on=over,
                                                     scheme="ds1_4th", **more)  # fmt: skip
    piece.refresh_from_db()
    return piece


@pytest.fixture
def today(monkeypatch):
    """The board's day: noon of it at the site."""
    stand_at(monkeypatch, datetime(2026, 11, 20, 11, tzinfo=UTC))
    return TODAY


def stand_at(monkeypatch, moment):
    monkeypatch.setattr("django.utils.timezone.now", lambda: moment)


@pytest.fixture
def shop(client, here, ola):
    client.force_login(ola)
    return client


def names(answer) -> set[str]:
    return {row.piece.serial for row in answer.context["rows"]}


def test_each_piece_stands_on_the_list_that_its_three_dates_say(here, layer):
    """The law of the board: its lists are those of the plain rule, none is lost and none is there twice."""
    drawn = random.Random(7)
    for piece in stock.pieces(layer, 120):
        state = drawn.choice(["received", "accepted", "in_string", *AWAY])
        dated(piece, *(drawn.choice(DAYS) for _ in range(3)), state=state)
    for which, states in (("here", set(STATES) - set(AWAY)), ("all", set(STATES))):
        lists = board(of_state(Component.objects.at(here), which), TODAY)
        should: dict[str, set[int]] = {name: set() for name in lists}
        for one in Component.objects.filter(state__in=states):
            should[state_on(one.soon_on, one.due_on, one.over_on, TODAY)].add(one.pk)
        found = {name: set(rows.values_list("pk", flat=True)) for name, rows in lists.items()}
        assert found == should
        whole = of_state(Component.objects.at(here), which, whole=True)
        assert counted(here, lists, whole) == {name: len(ids) for name, ids in should.items()}


def test_left_in_a_well_and_gone_are_shown_when_they_are_asked_for(here, layer):
    for piece, state in zip(stock.pieces(layer, 12), STATES, strict=True):
        dated(piece, EVER, EVER, state=state)
    asked = {
        which: set(of_state(Component.objects.at(here), which).values_list("state", flat=True))
        for which in ("here", "well", "gone", "all")
    }
    assert asked["well"] == {"left_in_well", "lost_in_hole"}
    assert asked["here"] | asked["well"] | asked["gone"] == asked["all"] == set(STATES)
    assert not asked["here"] & (asked["well"] | asked["gone"])


@pytest.mark.parametrize(
    "moment, word",
    [
        (datetime(2026, 11, 20, 22, 59, 59, tzinfo=UTC), "soon"),  # one second before midnight in Oslo
        (datetime(2026, 11, 20, 23, 0, 0, tzinfo=UTC), "due"),
    ],
)
def test_a_piece_becomes_due_at_midnight_of_its_site_without_a_job(monkeypatch, shop, layer, moment, word):
    piece = dated(stock.pieces(layer, 1)[0], TODAY, date(2026, 11, 21), date(2026, 11, 30))
    stand_at(monkeypatch, moment)
    answer = shop.get("/due/")
    assert answer.context["board"].name == word and names(answer) == {piece.serial}


def test_the_worst_list_that_holds_anything_is_shown_and_each_has_its_count(shop, layer, today):
    one, two, three, four = stock.pieces(layer, 4)
    dated(one, EVER, EVER, date(2026, 11, 1))
    dated(two, EVER, date(2026, 11, 2))
    dated(three, date(2026, 11, 3), date(2026, 12, 1))
    dated(four, NEVER, holds_n=1)
    answer = shop.get("/due/")
    assert names(answer) == {one.serial}
    counts = {tab["word"]: tab["count"] for tab in answer.context["tabs"]}
    assert counts == {"Overdue": 1, "Due": 1, "Soon": 1, "Fine": 1, "Held": 1}
    assert names(shop.get("/due/?list=due")) == {two.serial}
    assert names(shop.get("/due/?list=held")) == {four.serial} == names(shop.get("/due/?list=fine"))


def test_pages_go_on_among_pieces_of_one_date(shop, layer, today):
    """Clocks that ran out have all one date: a page must begin at the row itself."""
    for piece in stock.pieces(layer, 115):
        dated(piece, EVER, EVER)
    at, seen = "/due/?list=due", []
    while at:
        answer = shop.get(at)
        seen += [row.piece.pk for row in answer.context["rows"]]
        back = answer.context["page"].back
        at = "/due/" + answer.context["page"].next if answer.context["page"].next else ""
    assert len(seen) == 115 and seen == sorted(set(seen))
    assert [row.piece.pk for row in shop.get("/due/" + back).context["rows"]] == seen[50:100]


@pytest.mark.parametrize("cursor", ["no day.3", "2026-13-45.3", "x", "2026-11-20.", ".5", "2026-11-20.-1"])
def test_a_cursor_that_is_none_shows_the_first_page(shop, layer, today, cursor):
    piece = dated(stock.pieces(layer, 1)[0], EVER, EVER)
    answer = shop.get("/due/", {"list": "due", "after": cursor})
    assert answer.status_code == 200 and names(answer) == {piece.serial}


def test_the_board_is_narrowed_by_layer_kind_string_and_well(shop, here, layer, ola, today):
    pipes, jar = stock.pieces(layer, 3), stock.pieces(layer, 1, facts=stock.JAR, first=9001)[0]
    for piece in (*pipes, jar):
        dated(piece, EVER, EVER)
    well = wells.add_well(stock.asks(ola), here, wells.WellFacts("SD-14"))
    string = strings.begin_string(stock.asks(ola), here, strings.StringHead(well, title="8-1/2 in"))
    running.join(stock.asks(ola), string, [Component.objects.get(pk=pipes[0].pk)])
    serials = {piece.serial for piece in pipes}
    assert names(shop.get("/due/?kind=jar")) == {jar.serial}
    assert names(shop.get(f"/due/?layer={layer.pk}")) == {jar.serial, *serials} - {pipes[0].serial}
    assert names(shop.get(f"/due/?string={string.pk}")) == {pipes[0].serial}
    assert names(shop.get(f"/due/?well={well.pk}")) == {pipes[0].serial}
    assert len(names(shop.get("/due/?kind=no+such+kind"))) == 4


def test_what_comes_due_before_the_planned_section_ends(shop, here, layer, today):
    soon_out, far, by_day, due = stock.pieces(layer, 4)
    for piece, hours in ((soon_out, 50), (far, 500), (by_day, 500), (due, -1)):
        dated(piece, NEVER, EVER if hours < 0 else NEVER)
        row = {"soon": 0, "due": 900_000, "left": hours * 3600, "total": 900_000 - hours * 3600}
        values = dict(component=piece, clock="rotating_s", basis="full", **row)
        ClockRow.objects.create(**values)
    dated(by_day, NEVER, date(2026, 11, 22))
    assert names(shop.get("/due/?list=before&hours=50")) == {soon_out.serial, by_day.serial}
    assert names(shop.get("/due/?list=before&hours=49")) == {by_day.serial}  # 49 h end on the third day
    assert names(shop.get("/due/?list=before&hours=24")) == set()
    assert names(shop.get("/due/?list=before&ends=2026-11-22")) == {by_day.serial}


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["rotating_s", "circulating_s", "runs_n"]), st.integers(-9_000, 9_000_000),
            st.booleans(),
        ),
        max_size=4,
    ),
    st.sampled_from(DAYS), st.integers(0, 2_000),
)  # fmt: skip
def test_a_longer_section_never_takes_less(limits, due_on, hours):
    clocks = [
        Clock(clock, "full", 9_000_000 - rest, known=known, due=9_000_000) for clock, rest, known in limits
    ]
    shorter, longer = (Ahead(each, earliest_end(TODAY, each)) for each in (hours, hours + 1))
    assert len(outs(clocks, due_on, shorter)) <= len(outs(clocks, due_on, longer))


@given(st.integers(0, 10_000), st.integers(-10, 10_000_000))
def test_a_clock_that_is_not_known_never_passes_a_section(hours, total):
    clock = Clock("rotating_s", "full", total, known=False, due=2_500 * 3600)
    hours = min(hours, 9_999)
    assert left(clock) <= 0 and outs([clock], NEVER, Ahead(hours, TODAY))


def test_the_list_and_the_sentences_agree_on_what_comes_due(here, layer):
    drawn, ahead = random.Random(11), Ahead(100, date(2026, 11, 25))
    for piece in stock.pieces(layer, 60):
        dated(piece, NEVER, drawn.choice([NEVER, TODAY + timedelta(drawn.randint(1, 9))]))
        rest = drawn.randint(1, 200) * 3600
        clock = drawn.choice(["rotating_s", "circulating_s", "runs_n"])
        ClockRow.objects.create(component=piece, clock=clock, basis="full", due=900_000, left=rest,
                                total=900_000 - rest)  # fmt: skip
    listed = set(before(Component.objects.at(here), TODAY, ahead).values_list("pk", flat=True))
    told = {one.piece.pk for one in taken_out(list(enumerate(Component.objects.all(), 1)), TODAY, ahead)}
    assert listed == told and 0 < len(told) < 60


def test_a_planned_string_says_what_it_loses_and_where(shop, here, layer, today):
    office = stock.person("ines", "office", here)
    held, fine, due, gone = stock.pieces(layer, 4)
    for piece in (held, fine):
        dated(piece, NEVER)
    head = plans.PlanHead("8-1/2 in", None, None, Wishes(hours=60).to_text())
    plan = plans.begin_plan(stock.asks(office), here, head)
    plans.put_in(stock.asks(office), plan, [plans.Put(piece) for piece in (held, fine, due, gone)])
    actions.put_hold(stock.asks(office), held, "bent")
    dated(due, EVER, EVER, due_why="2,500 h since a full inspection")
    dated(gone, NEVER, state="scrapped")
    rows = taken_out(of_plan(plan), TODAY, Ahead(60, date(2026, 11, 23)))
    assert [(one.position, one.piece.serial, one.why) for one in rows] == [
        (1, held.serial, ("held",)),
        (3, due.serial, ("due: 2,500 h since a full inspection",)),
        (4, gone.serial, ("scrapped",)),
    ]
    page = shop.get(f"/due/?plan={plan.pk}").content.decode()
    assert "3 of its 4 named pieces" in page and "takes 60 h and ends 2026-11-23" in page


def test_reasons_open_with_every_limit_its_source_and_that_a_default_is_only_a_note(shop, layer, today):
    from tests.inspection.pieces import pipe

    piece = stock.pieces(layer, 1, facts=pipe())[0]
    page = shop.get(f"/due/{piece.tag}/", headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in page and "Rotating since the last full inspection" in page
    assert "NOTE: our default, common practice" in page
    whole = shop.get(f"/due/{piece.tag.lower()}/").content.decode()
    assert "<html" in whole and "Overdue</dt><dd>2,500.00 h" in whole


def test_a_page_costs_as_many_questions_for_fifty_rows_as_for_one(shop, layer, today):
    first = stock.pieces(layer, 1)[0]
    dated(first, EVER, EVER)
    shop.get("/due/")
    with CaptureQueriesContext(connection) as one:
        shop.get("/due/")
    for piece in stock.pieces(layer, 60, first=6001):
        dated(piece, EVER, EVER)
    with CaptureQueriesContext(connection) as many:
        assert len(shop.get("/due/").context["rows"]) == 50
    assert len(one) == len(many) <= 16


def test_the_files_say_what_the_page_shows_and_when_it_is_more(shop, layer, today, monkeypatch):
    for piece in stock.pieces(layer, 5):
        dated(piece, EVER, date(2026, 11, 2), due_why="=cmd() 180 days")
    dated(stock.pieces(layer, 1, first=8001)[0], NEVER)
    rows = list(csv.reader(io.StringIO(shop.get("/due/list.csv?list=due").content.decode("utf-8-sig"))))
    assert [row[0] for row in rows[-5:]] == [f"KD{n}" for n in range(4101, 4106)]
    assert rows[-1][-1] == "'=cmd() 180 days" and rows[-1][-3] == "2026-11-02"
    assert any("come first" in " ".join(row) for row in rows)
    monkeypatch.setattr("inspection.views.due_files.MOST", 3)
    book = openpyxl.load_workbook(io.BytesIO(shop.get("/due/list.xlsx?list=due").content))
    cells = [[cell.value for cell in row] for row in book["Due"].iter_rows()]
    assert ["Mind", "Only the first 3 of 5 pieces stand here; narrow the list for the others."] in [
        row[:2] for row in cells
    ]
    answer = shop.get("/due/list.pdf?list=due&kind=drill_pipe")
    paper = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
    for words in ("Due, 2026-11-20", "Kind drill pipe", "first 3 of 5", "KD4103", "qualified persons"):
        assert words in paper
    assert "KD4104" not in paper


def test_the_rack_and_the_page_of_a_piece_show_what_is_due(shop, layer, today):
    piece = stock.pieces(layer, 1)[0]
    dated(piece, EVER, EVER, date(2026, 11, 20), due_why="180 days")
    assert "received, overdue" in shop.get("/").content.decode()
    page = shop.get(f"/piece/{piece.tag}/")
    assert page.context["mark"] == ("over", "overdue")
    Component.objects.filter(pk=piece.pk).update(scheme="", soon_on=NEVER, due_on=NEVER, over_on=NEVER)
    assert shop.get(f"/piece/{piece.tag}/").context["mark"] == ("", "")
    assert FINE not in shop.get("/").content.decode().split("<tbody")[1]


def test_every_site_of_a_person_is_counted_by_its_own_day(client, here, layer, today):
    other = stock.site("KV1", tz="Pacific/Auckland")  # there it is the day after
    dated(stock.pieces(stock.rack(other), 1, first=7001)[0], EVER, date(2026, 11, 21))
    dated(stock.pieces(layer, 1)[0], EVER, date(2026, 11, 21))
    client.force_login(stock.person("all", "office", everywhere=True))
    rows = {row["site"].code: row["counts"] for row in client.get("/due/sites/").context["rows"]}
    assert rows["KV1"]["due"] == 1 and rows["SH3"]["due"] == 0 and rows["SH3"]["soon"] == 1


