"""A year of one rig replayed by the actions that people use: 40 runs in eight wells, 800 pieces."""

import uuid
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone

from rack.actions import running, strings, wells
from rack.actions.doing import Said
from rack.actions.happenings import EventSaid, record_event
from rack.actions.journal import Asked, Hand, open_line
from rack.actions.legs import post_legs, take_back_leg
from rack.actions.making import NewPiece, make_pieces, specs_of
from rack.actions.runs import RunEnd, RunHead, begin_run, end_run
from rack.auditing import audit
from rack.benching import stock
from rack.benching.figures import Figure, seconds
from rack.calc.hours import Leg
from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts
from rack.models import Component, Hours, Place, Run, String
from rack.models.snapshot import snapshot

PIECES, WELLS, RUNS_A_WELL = 800, 8, 5
#: A run is so many days of drilling, of two tours of twelve hours; joints are added by stands of three.
#: Eight wells take a rig some 40 days of moving and casing; of the 8 days that are left for each of forty
#: runs the trips and the bottom assembly take two.
DAYS, STAND = 6, 3
#: Above the bit of each run: what the bottom assembly of every run is made up of.
BOTTOM = ("motor", "mwd", *["collar"] * 8, *["heavy_weight"] * 12, "jar", *["heavy_weight"] * 6)
#: So much pipe hangs below the rotary when a well begins, and so many stands are added in a day.
FIRST_JOINTS, STANDS_A_DAY = 90, 3
MOST_S = 60
HOUR = 3600
A_DAY = timedelta(days=1)
WHY = "bench"


class Year:
    """The pieces of a rig and the clock of its year; `replay` drills it."""

    def __init__(self, *, pieces: int = PIECES, runs: int = RUNS_A_WELL, days: int = DAYS) -> None:
        self.user, self.runs, self.days = stock.user(), runs, days
        self.layer = Place.objects.layers().order_by("pk")[0]
        self.site = self.layer.site
        self.at = timezone.now() - (WELLS * runs * (days + 2) + 3) * A_DAY
        self.bits = self._tools(["bit"] * (WELLS * runs))
        self.bottom = self._tools(BOTTOM)
        here = Component.objects.at(self.site).filter(spec__kind="drill_pipe", state="received", holds_n=0)
        here = here.exclude(length_nm=None).order_by("-pk").select_related("spec")
        self.pipe = list(here[: pieces - len(self.bits) - len(self.bottom)])
        self.done: list[Run] = []

    def asked(self) -> Asked:
        return Asked(uuid.uuid4(), Hand(self.user))

    def _tools(self, kinds: Sequence[str]) -> list[Component]:
        facts = {
            kind: SpecFacts(kind=kind, od_nm=6 * stock.IN, bore_nm=2 * stock.IN, up_conn="NC50",
                            up_gender="box", down_conn="NC50", down_gender="pin")
            for kind in kinds
        }  # fmt: skip
        specs = specs_of(facts.values())
        length = Length.parse("30 ft")
        with transaction.atomic():
            line, _ = open_line(self.asked(), "bench", self.site, "Tools of the bench", {"n": len(kinds)})
            new = [NewPiece(spec=specs[facts[kind].key], serial=f"Y{uuid.uuid4().hex[:9].upper()}",
                            length=length, length_kind="overall, tool", word_of="bench")
                   for kind in kinds]  # fmt: skip
            return make_pieces(line, self.site, self.layer, new)

    def replay(self) -> None:
        for n in range(WELLS):
            well = wells.add_well(self.asked(), self.site, wells.WellFacts(f"Year {uuid.uuid4().hex[:6]}"))
            string = strings.begin_string(self.asked(), self.site, strings.StringHead(well, title=WHY))
            self._well(string, self.bits[n * self.runs : (n + 1) * self.runs])
            self.pipe = self.pipe[FIRST_JOINTS:] + self.pipe[:FIRST_JOINTS]  # other joints in the next well

    def _well(self, string: String, bits: Sequence[Component]) -> None:
        """One string: the bit changes, the pipe is racked back and run again, and grows stand by stand."""
        pipe, free = self.pipe[:FIRST_JOINTS], self.pipe[FIRST_JOINTS:]
        new = [*self.bottom, *pipe]
        above: list[Component] = []
        for n, bit in enumerate(bits):
            self.at += A_DAY
            running.join(self.asked(), string, [bit], self._said())
            if above:
                running.run_again(self.asked(), string, above, self._said())
            else:
                running.join(self.asked(), string, new, self._said())
                above = new
            above = above + self._drilled(string, free, number=str(n + 1))
            self.at += A_DAY / 2
            running.rack_back(self.asked(), string, above, "A", 1, self._said())
            running.lay_down(self.asked(), string, [bit], self.layer, self._said())
        self.at += A_DAY / 2
        running.lay_down(self.asked(), string, above, self.layer, self._said())
        strings.end_string(self.asked(), string)

    def _said(self) -> Said:
        return Said(self.at, None, WHY)

    def _drilled(self, string: String, free: list[Component], *, number: str) -> list[Component]:
        """The days of a run: two tours posted each, stands made up, a slip put right, jarring, the end."""
        head = RunHead(number, number, number, in_at=self.at)
        run = begin_run(self.asked(), string, head, WHY)
        added = []
        for _ in range(self.days):
            begins = self.at
            for n in range(STANDS_A_DAY):
                stand, free[:STAND] = free[:STAND], []
                joined = Said(begins + timedelta(hours=4 + 6 * n), None, WHY)
                running.join(self.asked(), string, stand, joined)
                added += stand
            self.at += A_DAY
            lines = post_legs(self.asked(), run, [_tour(begins, 0), _tour(begins, 12)], WHY)
        take_back_leg(self.asked(), lines[1], "typed for another day")
        post_legs(self.asked(), run, [_tour(begins, 12)], WHY)
        jarred = EventSaid("jar_up", self.at - A_DAY / 8, None, string, run, amount=12, unit="hits")
        record_event(self.asked(), self.site, jarred, (), WHY)
        self.done.append(end_run(self.asked(), run, RunEnd(self.at, None, "TD"), WHY))
        return added


def _tour(day: datetime, hour: int) -> Leg:
    begins = day + timedelta(hours=hour)
    deep = 10**12 + int(begins.timestamp()) * 10**5
    return Leg(begins, begins + A_DAY / 2, deep, deep + 4 * 10**9, 9 * HOUR, HOUR, 11 * HOUR, 10 * HOUR,
               12 * HOUR, 110)  # fmt: skip


def figures() -> Iterator[Figure]:
    year = Year()
    replayed = seconds(year.replay)
    runs, pieces = len(year.done), Hours.objects.filter(run__in=year.done)
    turned = pieces.values("component").distinct().count()
    with snapshot() as using:
        differences = sum(1 for _ in audit(using))
    name = f"a year of one rig, {runs} runs and {turned} pieces that turned: replayed"
    yield Figure(name, "s", replayed, MOST_S)
    yield Figure(f"its audit, {pieces.count():,} rows of hours: differences", "n", differences, 0)
