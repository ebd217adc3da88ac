"""Two runs of the 8-1/2 in section: a bit that drilled out the shoe and was pulled; the run that is on."""

from datetime import datetime, time
from zoneinfo import ZoneInfo

from rack.actions import running, string_printing, strings, unlisted
from rack.actions.doing import Said
from rack.actions.happenings import EventSaid, add_dogleg, record_event
from rack.actions.legs import post_legs
from rack.actions.runs import RunEnd, RunHead, begin_run, end_run
from rack.calc.hours import Leg
from rack.calc.lengths import Length
from rack.demo.rig import ZONE, Rig
from rack.models import Component, Loaded, Run, Section, Spec, String

TITLE = "8-1/2 in, motor and MWD"
#: The bottom of each string from the bit upward.
SLICK = ("BIT 85-4", "BS 12")
MOTOR = ("BIT 85-3", "MTR 675-6", "FS 5", "PLS 65-3", "GR 65-2", "STB 8512")
#: Joints of the boat that nobody has listed yet: how many, and what they are long together.
BY_COUNT, BY_COUNT_FT = 70, "2214.40"
WHY = "as the driller's sheet has it"


def feet(text: str) -> int:
    return Length.parse(text, "ft").nanometres


def when(rig: Rig, ago: int, clock: str) -> datetime:
    """A time of the rig's day, so many days ago."""
    return datetime.combine(rig.days_ago(ago), time.fromisoformat(clock), ZoneInfo(ZONE))


def line(
    rig: Rig, begins: tuple[int, str], ends: tuple[int, str], depths: tuple[str, str], hours: str,
    rpm: int | None = None,
) -> Leg:  # fmt: skip
    """A time line; `hours` are rotating, sliding, circulating, on bottom, below rotary, in that order."""
    seconds = [round(float(text) * 3600) for text in hours.split()]
    top, bottom = map(feet, depths)
    rotating, sliding, circulating, on_bottom, below_rotary = seconds
    return Leg(when(rig, *begins), when(rig, *ends), top, bottom, rotating, sliding, circulating, on_bottom,
               below_rotary, rpm)  # fmt: skip


def by_count(rig: Rig, name: str, string: String) -> None:
    spec: Spec = rig.of_kind("drill_pipe", place="R1/2")[0].spec
    unlisted.put_in_by_count(
        rig.ask(name, "ben"), string, spec, BY_COUNT, length_nm=feet(BY_COUNT_FT), note="list is to follow"
    )


def _section() -> Section:
    return Section.objects.get(well__name="Holme A-7", name="8-1/2 in")


def shoe_is_drilled_out(rig: Rig) -> None:
    """A slick assembly drills out the shoe and two hundred feet, washes out, and is pulled for its rate."""
    rig.clock.day(4, "16:10")
    section = _section()
    head = strings.StringHead(section.well, section, "8-1/2 in, slick assembly", 3, feet("3.28"))
    string = strings.begin_string(rig.ask("string 2", "ola"), rig.site, head)
    collars = [one for one in rig.of_kind("collar") if one.spec.up_conn == "NC50"][:6]
    heavy, top = rig.of_kind("heavy_weight")[-15:-9], rig.of_kind("drill_pipe", place="R1/2")[-2:]
    sub = rig.piece("SS 21")
    for n, pieces in enumerate((rig.pieces(*SLICK), collars, heavy)):
        running.join(
            rig.ask(f"slick {n}", "ben"),
            string,
            pieces,
            Said(when(rig, 4, "13:20"), None, "as it lies ready"),
        )
    by_count(rig, "slick by count", string)
    running.join(
        rig.ask("slick top", "ben"),
        string,
        [*top, sub],
        Said(when(rig, 4, "13:20"), None, "as it lies ready"),
    )
    rig.clock.day(4, "16:30")
    head_of_run = RunHead("1", "3", "1", section, when(rig, 4, "14:00"), feet("2318"))
    run = begin_run(rig.ask("run 1", "ola"), string, head_of_run, WHY)
    rig.clock.day(3, "00:10")
    post_legs(rig.ask("run 1, evening", "ola"), run, [
        line(rig, (4, "14:00"), (4, "18:00"), ("0", "2325"), "0 0 0.5 0 4"),
        line(rig, (4, "18:00"), (3, "00:00"), ("2325", "2430"), "5 0 5.5 4.5 6", 70),
    ], WHY)  # fmt: skip
    said = EventSaid("washout", when(rig, 3, "03:50"), None, string, run, feet("2612"),
                     note="pump pressure fell by 180 psi; found at the box of the top joint")  # fmt: skip
    rig.clock.day(3, "04:10")
    record_event(rig.ask("washout", "ben"), rig.site, said, top[-1:])
    _pulled(rig, string, run, [*rig.pieces(*SLICK), *collars, *heavy, *top])


def _pulled(rig: Rig, string: String, run: Run, pieces: list[Component]) -> None:
    """Out of the hole: the last tour, the end with its dull grade, everything laid down."""
    rig.clock.day(3, "05:40")
    post_legs(rig.ask("run 1, night", "ola"), run, [
        line(rig, (3, "00:00"), (3, "04:00"), ("2430", "2612"), "3.75 0 4 3.5 4", 110),
        line(rig, (3, "04:00"), (3, "05:30"), ("2612", "0"), "0 0 0 0 1.5"),
    ], WHY)  # fmt: skip
    end = RunEnd(when(rig, 3, "05:30"), feet("2612"), "PR", "1-3-CT-S-X-I-WT-PR", "fixed cutter", 9)
    end_run(rig.ask("run 1 ends", "ola"), run, end, WHY)
    rig.clock.day(3, "06:05")
    tools, whole, washed = pieces[:2], pieces[-2:-1], pieces[-1:]
    lay = running.lay_down
    sub = rig.pieces("SS 21")
    lay(rig.ask("slick, saver sub", "ben"), string, sub, rig.place("Tools/1"), Said(reason=WHY))
    lay(rig.ask("slick, washed joint", "ben"), string, washed, rig.place("Aside"), Said(reason="washed out"))
    lay(rig.ask("slick, top joint", "ben"), string, whole, rig.place("R1/2"), Said(reason=WHY))
    unlisted.take_out_by_count(rig.ask("slick, by count", "ben"), string, string.unlisted.standing().get())
    lay(rig.ask("slick, heavy", "ben"), string, pieces[2:-2], rig.place("R1/1"), Said(reason=WHY))
    lay(rig.ask("slick, tools", "ben"), string, tools, rig.place("Tools/1"), Said(reason=WHY))
    strings.end_string(rig.ask("string 2 ends", "ola"), string)


def motor_goes_in(rig: Rig) -> None:
    """Bottom assembly, heavy-weight with the jar, the joints of the boat by count; the run begins."""
    rig.clock.day(3, "15:00")
    section = _section()
    head = strings.StringHead(section.well, section, TITLE, 3, feet("3.28"))
    string = strings.begin_string(rig.ask("string 3", "ola"), rig.site, head)
    heavy = rig.of_kind("heavy_weight")
    heavy = [piece for piece in heavy if not Loaded.objects.filter(component=piece).exists()][-9:]
    for n, (at, pieces) in enumerate((
        ("15:20", rig.pieces(*MOTOR)), ("16:35", heavy[:6]), ("16:50", rig.pieces("JAR 9")),
        ("17:05", heavy[6:]),
    )):  # fmt: skip
        rig.clock.day(3, at)
        running.join(rig.ask(f"made up {n}", "ben"), string, pieces, Said(reason="as it lies ready"))
    rig.clock.day(3, "17:40")
    by_count(rig, "by count", string)
    rig.clock.day(3, "18:10")
    head_of_run = RunHead("2", "4", "2", section, when(rig, 3, "18:00"), feet("2612"))
    begin_run(rig.ask("run 2", "ola"), string, head_of_run, WHY)
    add_dogleg(rig.ask("dogleg", "ola"), section.well, feet("2700"), feet("2760"), 5_400, "kick-off")
    rig.clock.day(3, "23:10")
    _stand(rig, 0, Said(None, feet("2620"), "as it lies ready"))


def _run(rig: Rig) -> Run:
    return Run.objects.open().select_related("string__site").get(string__site=rig.site)


def _stand(rig: Rig, n: int, said: Said) -> None:
    """The next stand of drill pipe that lies ready on the second layer."""
    pipe = [piece for piece in rig.of_kind("drill_pipe", place="R1/2") if not piece.holds_n]
    running.join(rig.ask(f"stand {n} of run 2", "ben"), _run(rig).string, pipe[:3], said)


def first_tour(rig: Rig) -> None:
    rig.clock.day(2, "00:15")
    post_legs(rig.ask("run 2, evening", "ola"), _run(rig), [
        line(rig, (3, "18:00"), (3, "22:30"), ("0", "2612"), "0 0 0.5 0 4.5"),
        line(rig, (3, "22:30"), (2, "00:00"), ("2612", "2636"), "1 0.25 1.5 1.25 1.5", 60),
    ], WHY)  # fmt: skip
    rig.clock.day(2, "07:40")
    _stand(rig, 1, Said(None, feet("2712"), "as it lies ready"))


def second_tour(rig: Rig) -> None:
    rig.clock.day(2, "12:05")
    post_legs(rig.ask("run 2, night", "ola"), _run(rig), [
        line(rig, (2, "00:00"), (2, "09:00"), ("2636", "2722"), "5.5 1.75 8.5 7 9", 60),
        line(rig, (2, "09:00"), (2, "12:00"), ("2722", "2751"), "2 0.5 2.75 2.5 3", 65),
    ], WHY)  # fmt: skip


def jarred_and_pulled(rig: Rig) -> None:
    """Two tours written down at noon, with the stands of the night; then it is stuck, jarred, and free."""
    rig.clock.day(1, "12:05")
    for n, (ago, at, depth) in enumerate(((2, "18:10", "2806"), (1, "04:30", "2898")), start=2):
        _stand(rig, n, Said(when(rig, ago, at), feet(depth), "written down at noon"))
    run = _run(rig)
    post_legs(rig.ask("run 2, two tours", "ola"), run, [
        line(rig, (2, "12:00"), (1, "00:00"), ("2751", "2858"), "6.75 2.5 11.25 9 12", 65),
        line(rig, (1, "00:00"), (1, "09:30"), ("2858", "2951"), "6 1.5 9 7.25 9.5", 65),
        line(rig, (1, "09:30"), (1, "12:00"), ("2951", "2951"), "1.25 0 2.25 0 2.5", 40),
    ], WHY)  # fmt: skip
    stuck = feet("2951")
    rig.clock.day(1, "13:05")
    for name, said in (
        ("overpull", EventSaid("overpull", when(rig, 1, "12:20"), None, run.string, run, stuck, 45_000, "lbf",
                               "tight at the kick-off, on the way up")),
        ("jarring", EventSaid("jar_up", when(rig, 1, "12:25"), when(rig, 1, "12:55"), run.string, run, stuck,
                              14, "hits", "came free with the fourteenth")),
    ):  # fmt: skip
        record_event(rig.ask(name, "ben"), rig.site, said)


def short_trip(rig: Rig) -> None:
    """One stand racked back, one joint laid down; the rest hangs in the hole."""
    rig.clock.day(1, "16:00")
    run = _run(rig)
    post_legs(rig.ask("run 2, after noon", "ola"), run, [
        line(rig, (1, "12:00"), (1, "13:00"), ("2951", "2951"), "0 0 0.5 0 1"),
        line(rig, (1, "13:00"), (1, "15:45"), ("2951", "2978"), "1.75 0.5 2.75 2.25 2.75", 65),
    ], WHY)  # fmt: skip
    top = run.string.members.now().from_the_bit().select_related("component")
    pipe = [member.component for member in top][-4:]
    rig.clock.day(1, "20:30")
    running.rack_back(rig.ask("racked back", "ben"), run.string, pipe[1:], "A", 1)
    rig.clock.day(1, "20:50")
    said = Said(reason="box face galled")
    running.lay_down(rig.ask("laid down one", "ben"), run.string, pipe[:1], rig.place("Aside"), said)


def sheet_is_printed(rig: Rig) -> None:
    """The BHA sheet of the string in the hole, printed while it was as it is now."""
    rig.clock.day(1, "21:10")
    string_printing.print_bha(rig.ask("BHA sheet 1", "ola"), String.objects.get(title=TITLE))
