"""Sections of the new well, a string planned for the next one, and the string that hangs in the hole."""

from rack.actions import plans, running, sections, string_printing, strings
from rack.actions.doing import Said
from rack.calc.lengths import Length
from rack.calc.sections import SectionFacts
from rack.calc.wishes import Wishes
from rack.demo.rig import Rig
from rack.models import Component, Loaded, Section, String, Well

IN = 25_400_000
TITLE = "8-1/2 in, motor and MWD"
#: The bottom of the string from the bit upward.
BOTTOM = ("BIT 85-3", "MTR 675-6", "FS 5", "PLS 65-3", "GR 65-2", "STB 8512")


def feet(text: str) -> int:
    return Length.parse(text, "ft").nanometres


def well_is_planned(rig: Rig) -> None:
    """Two sections of the new well, as the programme has them."""
    rig.clock.day(17, "16:40")
    well = Well.objects.get(site=rig.site, name="Holme A-7")
    for facts in (
        SectionFacts("12-1/4 in", 12 * IN + IN // 4, feet("7900"), 9_600, "13-3/8 in 68 lb/ft",
                              feet("3120"), 311_378_600),
        SectionFacts("8-1/2 in", 8 * IN + IN // 2, feet("11200"), 10_200, "9-5/8 in 47 lb/ft",
                              feet("7900"), 216_535_000),
    ):  # fmt: skip
        sections.add_section(rig.ask(f"section {facts.name}", "ines"), well, facts)


def next_string_is_planned(rig: Rig) -> None:
    """The office plans a string; its crossover does not mate, which the rules name."""
    rig.clock.day(5, "17:40")
    section = Section.objects.get(well__name="Holme A-7", name="8-1/2 in")
    wishes = Wishes(
        depth_nm=feet("1500"), bit_weight_lb=20_000, hours=40, class_wanted="premium", rock="soft"
    )
    head = plans.PlanHead("packed assembly for 8-1/2 in", section.well, section, wishes.to_text())
    below = rig.pieces("BIT 85-6", "STB 8511", "PDC 65-01", "STB 8513", "PLS 65-3")
    collars = rig.pieces("DC 65-01", "DC 65-02", "DC 65-03", "DC 65-04", "XO 33")
    puts = [plans.Put(piece) for piece in [*below, *collars]]
    heavy = rig.of_kind("heavy_weight")[0].spec
    puts.append(plans.Put(spec=heavy, count=12))
    plans.begin_plan(rig.ask("plan 1", "ines"), rig.site, head, puts)


def string_is_in_the_hole(rig: Rig) -> None:
    """Bottom assembly, heavy-weight with the jar, four stands; one racked back, one joint laid down."""
    rig.clock.day(1, "16:00")
    section = Section.objects.get(well__name="Holme A-7", name="8-1/2 in")
    head = strings.StringHead(section.well, section, TITLE, 3, feet("3.28"))
    string = strings.begin_string(rig.ask("string 1", "ola"), rig.site, head)
    heavy = rig.of_kind("heavy_weight")
    heavy = [piece for piece in heavy if not Loaded.objects.filter(component=piece).exists()][-9:]
    pipe = [piece for piece in rig.of_kind("drill_pipe", place="R1/2")[:15] if not piece.holds_n]
    for n, (at, pieces) in enumerate((
        ("16:20", rig.pieces(*BOTTOM)), ("17:05", heavy[:6]), ("17:30", rig.pieces("JAR 9")),
        ("17:45", heavy[6:]), ("18:20", pipe[:3]), ("18:40", pipe[3:6]), ("18:55", pipe[6:9]),
        ("19:10", pipe[9:12]),
    )):  # fmt: skip
        rig.clock.day(1, at)
        running.join(rig.ask(f"made up {n}", "ben"), string, pieces, Said(reason="as it lies ready"))
    rig.clock.day(1, "20:30")
    running.rack_back(rig.ask("racked back", "ben"), string, pipe[9:12], "A", 1)
    rig.clock.day(1, "20:50")
    _laid_down(rig, string, pipe[8])


def _laid_down(rig: Rig, string: String, piece: Component) -> None:
    said = Said(reason="washed at the box face")
    running.lay_down(rig.ask("laid down one", "ben"), string, [piece], rig.place("Aside"), said)


def sheet_is_printed(rig: Rig) -> None:
    """The BHA sheet of the string in the hole, printed while it was as it is now."""
    rig.clock.day(1, "21:10")
    string_printing.print_bha(rig.ask("BHA sheet 1", "ola"), String.objects.get(title=TITLE))
