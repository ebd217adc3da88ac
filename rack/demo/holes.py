"""Sections of the new well, and a string planned for the next one."""

from rack.actions import plans, sections
from rack.calc.lengths import Length
from rack.calc.sections import SectionFacts
from rack.calc.wishes import Wishes
from rack.demo.rig import Rig
from rack.models import Section, Well

IN = 25_400_000


def feet(text: str) -> int:
    return Length.parse(text, "ft").nanometres


def well_is_planned(rig: Rig) -> None:
    """Two sections of the new well, as the programme has them."""
    rig.clock.day(17, "16:40")
    well = Well.objects.get(site=rig.site, name="Holme A-7")
    for facts in (
        SectionFacts("12-1/4 in", 12 * IN + IN // 4, feet("2408"), 9_600, "13-3/8 in 68 lb/ft",
                              feet("820"), 311_378_600),
        SectionFacts("8-1/2 in", 8 * IN + IN // 2, feet("6900"), 10_200, "9-5/8 in 47 lb/ft",
                              feet("2398"), 216_535_000),
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
