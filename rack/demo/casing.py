"""The 9-5/8 in casing of the new well: strapped twice, a joint found, planned from the shoe to the hanger,
landed."""

from rack.actions import casing, closing, lines, pieces, running, straps, strings, tallies
from rack.actions.casing_head import CasingHead
from rack.actions.casing_printing import print_plan
from rack.actions.doing import Said
from rack.calc.lengths import Length
from rack.demo.deck import A_HUNDREDTH, opened, strapped
from rack.demo.rig import Rig
from rack.models import CasingPlan, Section, Tally, Well

TITLE = "9-5/8 in casing, Holme A-7"
TO_STRAP = 60


def strapped_twice(rig: Rig) -> None:
    """Sixty joints and one between 36 and 37 that nobody had numbered: it is 36A."""
    rig.clock.day(15, "06:20")
    head = tallies.TallyHead(
        "casing", "threads on", TITLE, tape="T-07", reader="Ada Fenn", writer="Ben Tarrow"
    )
    joints = rig.of_kind("casing")
    tally = opened(rig, "casing", "ada", head, joints[:TO_STRAP])
    before = tally.lines.get(painted="37")
    found = lines.insert_line(rig.ask("36A", "ada"), before, "36A")
    lines.tie_line(rig.ask("36A is", "ada"), found, joints[TO_STRAP])
    pieces.write_mark(rig.ask("36A is painted", "ben"), joints[TO_STRAP], "painted", "36A")
    strapped(rig, rig.fresh(tally), "ada", spread=1)
    straps.finish_strap(rig.ask("casing, first done", "ada"), rig.fresh(tally), 1)
    rig.clock.day(14, "07:00")
    straps.begin_strap(
        rig.ask("casing, second", "ben"), rig.fresh(tally), 2, "T-11", "Ben Tarrow", "Ada Fenn"
    )
    _same_again(rig, rig.fresh(tally))
    straps.finish_strap(rig.ask("casing, second done", "ben"), rig.fresh(tally), 2)
    rig.clock.day(14, "13:30")
    closing.close(
        rig.ask("close casing", "ola"), rig.fresh(tally), reason="both straps agree within the gate"
    )


def _same_again(rig: Rig, tally: Tally) -> None:
    """Other hands, another tape: within a hundredth of the first strap."""
    chance = rig.chance("casing, second strap")
    for n, row in enumerate(tally.lines.standing().in_order()):
        cents = round((row.first_nm or 0) / A_HUNDREDTH) + chance.choice((-1, 0, 0, 0, 1))
        asked = rig.ask(f"casing, second {n}", "ben")
        straps.read(asked, straps.Reading(tally, f"{cents / 100:.2f}", 2, row))


def planned(rig: Rig) -> None:
    """Shoe, shoe track of two joints, float collar, marker, hanger; printed, changed, printed again."""
    rig.clock.day(13, "09:00")
    tally = Tally.objects.at(rig.site).get(title=TITLE)
    head = CasingHead(
        string="9-5/8 in 47 lb/ft L-80 BTC",
        well_id=Well.objects.get(site=rig.site, name="Holme A-7").pk,
        datum="RKB",
        shoulder_nm=nm("85.40"),
        measured_on=rig.days_ago(17),
        measured_by="Ola Brandt",
        hole_nm=nm("2408"),
        off_bottom_nm=nm("10"),
        track_n=2,
    )
    plan = casing.begin_plan(rig.ask("plan", "ola"), tally, head)
    for part, before in (
        (casing.Part("shoe", "FS", nm("1.85"), "float shoe", "KT-FS-311", locked=True), "1"),
        (casing.Part("collar", "FC", nm("1.92"), "float collar", "KT-FC-312", locked=True), "3"),
        (casing.Part("marker", "MK1", nm("20.11"), "marker joint", "KT-M-1"), "31"),
        (casing.Part("pup", "PUP1", nm("5.02"), "pup joint", "KT-P-05"), ""),
        (casing.Part("hanger", "HGR", nm("1.20"), "mandrel hanger", "KT-HG-960"), ""),
        (casing.Part("landing", "LJ", nm("96.30"), "landing string, three joints"), ""),
    ):
        casing.put_in(rig.ask(f"plan {part.name}", "ola"), plan, part, pk(plan, before) if before else None)
    rig.clock.day(13, "10:30")
    casing.tick(rig.ask("plan locked", "ben"), plan, pks(plan, "1", "2"), "locked", done=True)
    whole = list(plan.items.filter(removed=False, line__isnull=False).values_list("pk", flat=True))
    casing.tick(rig.ask("plan drifted", "ben"), plan, whole, "drifted", done=True)
    casing.tick(rig.ask("plan threads", "ben"), plan, whole, "threads", done=True)
    casing.centralize(rig.ask("plan track", "ola"), plan, pks(plan, "1", "2"), "rigid", 2, nm("5"))
    every = pks(plan, *(str(n) for n in range(4, 30, 3)))
    casing.centralize(rig.ask("plan bows", "ola"), plan, every, "bow", 1, nm("10"))
    casing.set_role(rig.ask("plan out", "ola"), plan, pks(plan, "17"), "out", "does not pass the drift")
    casing.set_role(rig.ask("plan spare", "ola"), plan, pks(plan, "58", "59", "60"), "spare")
    rig.clock.day(13, "14:00")
    print_plan(rig.ask("print plan", "ola"), now(plan), reason="for the morning meeting")
    rig.clock.day(12, "08:20")
    casing.set_role(rig.ask("plan out 2", "ola"), plan, pks(plan, "44"), "out", "thread damaged at the pin")
    casing.set_role(rig.ask("plan in", "ola"), plan, pks(plan, "58"), "run")
    rig.clock.day(12, "09:10")
    print_plan(rig.ask("print plan 2", "ola"), now(plan), reason="58 runs in place of 44")


def landed(rig: Rig) -> None:
    """The joints of the plan are run and stay in the well; what turns inside them later is theirs, too."""
    rig.clock.day(11, "06:00")
    plan = CasingPlan.objects.get(tally__title=TITLE)
    rows = plan.items.filter(removed=False, role="run", line__component__isnull=False).in_order()
    joints = [row.line.component for row in rows.select_related("line__component__spec")]
    section = Section.objects.get(well__name="Holme A-7", name="12-1/4 in")
    string = strings.begin_string(
        rig.ask("string 1", "ola"), rig.site, strings.StringHead(section.well, section, TITLE, 1)
    )
    running.join(rig.ask("casing run", "ben"), string, joints, Said(reason="as planned, revision 2"))
    rig.clock.day(11, "21:30")
    landed = Said(reason="landed and cemented")
    running.leave_behind(rig.ask("casing landed", "ola"), string, joints, "left_in_well", landed)
    strings.end_string(rig.ask("string 1 ends", "ola"), string)


def pk(plan: CasingPlan, name: str) -> int:
    return int(plan.items.get(name=name, removed=False).pk)


def pks(plan: CasingPlan, *names: str) -> list[int]:
    return [pk(plan, name) for name in names]


def now(plan: CasingPlan) -> CasingPlan:
    return CasingPlan.objects.select_related("tally__site").get(pk=plan.pk)


def nm(feet: str) -> int:
    return Length.parse(feet, "ft").nanometres
