"""What the demo rig holds: every kind of piece, tallies in every state, a history of weeks, clean ledgers."""

import io
from collections import Counter
from collections.abc import Iterator
from datetime import timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.core.management import call_command
from django.db import transaction
from django.test import override_settings
from django.utils import timezone

from rack import demo
from rack.calc.kinds import KINDS
from rack.calc.lengths import Length
from rack.calc.sheets import SheetContent
from rack.demo.clock import Clock
from rack.demo.rig import Rig
from rack.models import (
    CasingPlan,
    CasingSheet,
    Component,
    Correction,
    DatumReading,
    Delivery,
    Event,
    EventPiece,
    Hold,
    Journal,
    LoadOut,
    Place,
    RuleConsent,
    Run,
    Sheet,
    Tally,
    Well,
)
from rack.models import (
    Clock as PieceClock,
)
from rack.models.bends import bends_of_run
from rack.models.casing_facts import planned
from rack.models.comparing import compared, lines_of
from rack.models.progress import progress_of
from rack.models.running import hanging_of, members_of
from rack.models.stays import changed_late, legs_of

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module", autouse=True)
def _loaded(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[None]:
    """The demo rig, loaded once for this module and rolled back: a ledger takes no delete."""
    fast = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    with django_db_blocker.unblock(), transaction.atomic():
        with override_settings(DATA=tmp_path_factory.mktemp("demo"), PASSWORD_HASHERS=fast):
            demo.load()
        yield
        transaction.set_rollback(True)


def tally(title: str) -> Tally:
    return Tally.objects.get(title__contains=title)


def test_every_kind_of_piece_lies_on_the_demo_rig() -> None:
    """A kind that nobody can look at in the demo is a kind that nobody looks at."""
    kinds = Counter(Component.objects.values_list("spec__kind", flat=True))
    assert set(KINDS) - set(kinds) == set()
    assert 400 <= sum(kinds.values()) <= 450


def test_the_ledgers_of_the_demo_are_clean() -> None:
    said = io.StringIO()
    call_command("audit_ledger", stdout=said)
    assert "No difference" in said.getvalue()


def test_the_history_runs_over_weeks_and_never_backwards() -> None:
    moments = list(Journal.objects.order_by("id").values_list("at", flat=True))
    assert moments == sorted(moments)
    assert moments[-1] - moments[0] > timedelta(days=40)
    assert moments[-1] <= timezone.now()
    assert len({moment.date() for moment in moments}) > 20


def test_loading_once_more_writes_nothing() -> None:
    before = Journal.objects.count(), Component.objects.count()
    demo.load()
    assert (Journal.objects.count(), Component.objects.count()) == before


def test_every_rack_that_is_used_has_its_rating_and_something_lies_aside() -> None:
    racks = Place.objects.filter(kind="rack", layer=0)
    assert [rack.path for rack in racks.order_by("path")] == ["R1", "R2", "Tools"]
    assert all(rack.rated_kg for rack in racks)
    used = set(Component.objects.filter(place__rack__in=["R1", "R2"]).values_list("place__path", flat=True))
    assert len(used) >= 8
    assert Component.objects.filter(place__path="Aside").exists()


def test_pieces_are_in_every_state_that_the_program_leads_to() -> None:
    states = set(Component.objects.values_list("state", flat=True))
    assert states == {
        "received", "accepted", "in_transit", "in_string", "in_derrick", "at_inspection",
        "in_repair", "returned", "scrapped", "left_in_well",
    }  # fmt: skip


def test_one_well_has_a_datum_that_was_measured_again() -> None:
    assert Well.objects.count() == 3
    readings = Counter(DatumReading.objects.values_list("well__name", flat=True))
    assert readings == {"Holme A-12": 1, "Holme A-7": 2}


@pytest.mark.parametrize("title,words", [
    ("first lift", "closed, revision 1"),
    ("heavy-weight", "closed, revision 2"),
    ("out of the hole", "closed, revision 1"),
    ("laid down", "closed, revision 1"),
    ("9-5/8 in casing", "closed, revision 1"),
    ("tubing", "first strap, finished"),
    ("R1, layer 2", "both straps taken; 1 asked about"),
    ("rental pipe", "second strap open, 10 of 24"),
    ("pencil sheet", "first strap, 0 of 15"),
    ("layer 3", "first strap, 11 of 42; 1 asked about"),
])  # fmt: skip
def test_tallies_are_in_every_state(title: str, words: str) -> None:
    one = tally(title)
    assert progress_of([one])[one.pk].words == words


def test_the_planted_slips_are_what_the_comparison_names() -> None:
    """Four planted, four named, and nothing else."""
    one = tally("R1, layer 2")
    found = compared(one, lines_of(one))
    assert len(found.differing) == 4
    assert sorted(each.code for each in found.findings) == ["", "T01", "T02", "T02"]


def test_a_sheet_was_written_anew_and_says_why() -> None:
    first, second = Sheet.objects.filter(tally=tally("heavy-weight")).order_by("revision")
    assert "changed places" in first.content
    assert "30.06" in first.content
    assert "changed places" not in second.content


def test_the_casing_plan_has_what_a_casing_plan_has_and_nothing_stands_in_its_way() -> None:
    plan = CasingPlan.objects.get()
    items = plan.items.filter(removed=False)
    assert Counter(items.values_list("role", flat=True)) == {"run": 63, "spare": 2, "out": 2}
    parts = set(items.exclude(kind="joint").values_list("name", flat=True))
    assert parts == {"FS", "FC", "MK1", "PUP1", "HGR", "LJ"}
    order = [item.name for item in items.in_order()]
    assert order.index("36A") == order.index("36") + 1 == order.index("37") - 1
    assert order[:5] == ["FS", "1", "2", "FC", "3"]
    assert items.filter(centralizers__removed=False).distinct().count() == 11
    facts = planned(plan)
    assert facts.problems == []
    assert facts.counts.on_rack == ("17", "44", "59", "60")
    assert CasingSheet.objects.filter(plan=plan).count() == 2


def test_the_strap_out_of_the_hole_carries_its_correction() -> None:
    accepted = Correction.objects.get()
    assert accepted.tally == tally("out of the hole")
    assert accepted.nm > 0


def test_loads_are_open_on_their_way_short_and_home() -> None:
    states = {load.number: load.state for load in LoadOut.objects.all()}
    assert states == {1: "sent", 2: "sent", 3: "arrived", 4: "open"}
    short = LoadOut.objects.get(number=1).arrivals.get()
    assert (short.came_n, short.complete) == (4, False)
    home = LoadOut.objects.get(number=3)
    assert home.why == "return"
    assert Component.objects.filter(state="returned").count() == 12


def test_lists_came_with_faults_and_were_answered() -> None:
    asked = [row for delivery in Delivery.objects.all() for row in delivery.rows.all() if "ASKS" in row.read]
    assert len(asked) >= 4
    left = [row for delivery in Delivery.objects.all() for row in delivery.rows.filter(fate="left out")]
    assert len(left) == 1
    assert Hold.objects.filter(component__serial="2026-01-02", what="put").exists()


def test_every_demo_reads_the_same_lengths() -> None:
    """Whoever shows the demo finds the figures of the pictures and of yesterday."""
    closed = Sheet.objects.order_by("tally__number", "revision")
    sums = [(sheet.tally.number, sheet.revision, _shown_sum(sheet)) for sheet in closed]
    assert sums == [
        (1, 1, "468.76"), (2, 1, "734.35"), (2, 2, "734.89"), (3, 1, "936.15"), (4, 1, "427.00"),
        (5, 1, "2,457.15"),
    ]  # fmt: skip


def _shown_sum(sheet: Sheet) -> str:
    return Length(SheetContent.from_text(sheet.content).sum_nm).shown("ft", 2)


def test_a_run_was_pulled_with_its_grade_and_another_is_on_with_lines_of_several_tours() -> None:
    pulled, on = Run.objects.order_by("id")
    assert (pulled.bit_no, pulled.reason_pulled, pulled.dull) == ("3", "PR", "1-3-CT-S-X-I-WT-PR")
    assert (on.bha_no, on.bit_no, on.ended_by) == ("2", "4", None)
    begins = {line.from_at for line in legs_of(on)}
    assert len(begins) == 9
    assert max(begins) - min(begins) > timedelta(days=1)
    assert not any(changed_late(run, legs_of(run)) for run in (pulled, on))
    assert RuleConsent.objects.filter(check_code__startswith="H").count() == 0  # every tour closes


def test_what_happened_stands_on_the_pieces_and_the_clocks_of_their_kinds_have_run() -> None:
    kinds = dict(Event.objects.values_list("kind", "amount"))
    assert kinds == {"washout": None, "overpull": 45_000, "jar_up": 14}
    washed = EventPiece.objects.get(event__kind="washout").component
    assert washed.place.path == "Aside"
    clocks = {
        (row.component.serial, row.clock): row.total
        for row in PieceClock.objects.filter(component__serial__in=("JAR 9", "SS 21", "BIT 85-4"))
    }
    assert clocks["JAR 9", "hits_n"] == 14
    assert clocks["SS 21", "connections_n"] == 9
    assert clocks["BIT 85-4", "runs_n"] == 1
    (bend,) = bends_of_run(Run.objects.open().get())
    assert any(piece.turning != "0.00" for piece in bend.pieces)


def test_the_casing_in_the_well_has_the_hours_of_both_runs() -> None:
    inside = Component.objects.filter(spec__kind="casing", state="left_in_well")
    totals = PieceClock.objects.filter(component__in=inside).values_list("clock", "total")
    assert inside.count() == 57
    assert set(totals) == {("rotating_s", (8_75 + 24_25) * 36)}


def test_the_bit_hangs_where_the_last_line_left_it_but_for_what_was_pulled_since() -> None:
    string = Run.objects.open().get().string
    hangs = hanging_of(string, members_of(string)).bit
    assert abs(hangs.feet - (2978 - 4 * 31)) < 12


def test_a_name_is_asked_once() -> None:
    rig = Rig()
    rig.clock.minutes_ago(5)
    rig.ask("something", "ada")
    with pytest.raises(ValueError, match="asked already"):
        rig.ask("something", "ada")


def test_the_clock_of_the_demo_refuses_to_run_backwards_or_ahead() -> None:
    clock = Clock(ZoneInfo("Europe/Oslo"))
    clock.day(3, "09:00")
    assert clock.tick() == clock.now
    with pytest.raises(ValueError, match="is not between"):
        clock.day(4, "09:00")
    with pytest.raises(ValueError, match="minutes ago"):
        clock.day(0, "09:00")
    clock.minutes_ago(0)
    with pytest.raises(ValueError, match="is not between"):
        clock.tick()
