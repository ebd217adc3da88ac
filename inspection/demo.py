"""What the demo rig tells of inspection; each chapter stands before one of rack's, by its name."""

from datetime import timedelta

from inspection.actions.found import Found, Head, Read, Seen
from inspection.actions.inspectors import add_inspector
from inspection.actions.jobs import JobHead, close_job, open_job, say_why_not
from inspection.actions.recording import record
from inspection.calc.effects import Ends
from inspection.calc.readings import Look, Reading
from inspection.models import Inspector, Job
from rack.actions import lengths
from rack.calc.lengths import Length
from rack.demo.rig import Rig
from rack.models import Component

COMPANY = "Nordlys Control"
FULL = ("VT-T", "VT-C", "ODG", "UTW", "EMI", "MPI-D", "DIM2", "MPI-F")
ENDS = ("VT-C", "MPI-F")
NON_MAGNETIC = ("VT-C", "PT")
_NOTHING: tuple[Seen, ...] = ()


def _looks(codes: tuple[str, ...]) -> tuple[Look, ...]:
    return tuple(Look(code, "nothing to reject") for code in codes)


def _inch(text: str) -> int:
    return Length.parse(text, "in").nanometres


def the_inspector_is_known(rig: Rig) -> None:
    """Two people of the inspection company, with their levels."""
    rig.clock.day(21, "07:10")
    for name, level, days in (("R. Vik", "Level II", 400), ("T. Moan", "Level III", 900)):
        valid_to = rig.clock.today + timedelta(days=days)
        add_inspector(rig.ask(f"inspector {name}", "ola"), rig.site, name, COMPANY, level, valid_to)


def drill_pipe_is_inspected(rig: Rig) -> None:
    """A whole layer is looked at: two joints fall to class 2, one is scrapped, one box was refaced."""
    the_inspector_is_known(rig)
    rig.clock.day(21, "07:40")
    joints = [piece for piece in rig.of_kind("drill_pipe", place="R1/2") if not piece.holds_n]
    on = rig.days_ago(21)
    head = JobHead(on, "full", COMPANY, "on R1, layer 2")
    job = open_job(rig.ask("inspection job 1", "ola"), rig.site, head, joints)
    rig.clock.day(21, "15:10")
    person = Inspector.objects.get(site=rig.site, name="R. Vik")
    said = Head(on, "full", acceptance="Premium", inspector=person, company=COMPANY, report_no="NC-2231",
                equipment=(("UT gauge 14", on + timedelta(days=120)),), job=job)  # fmt: skip
    chance = rig.chance("inspection 1")
    found = [_joint(piece, n, chance.randint(0, 16)) for n, piece in enumerate(joints[:-1])]
    for at in range(0, len(found), 25):
        record(rig.ask(f"inspection 1, from {at}", "ola"), rig.site, said, found[at : at + 25],
               reason="bench mark stamped anew; taped again today")  # fmt: skip
    say_why_not(rig.ask("inspection 1, left", "ola"), job, joints[-1:], "lies under the chock")
    close_job(rig.ask("inspection 1, closed", "ola"), Job.objects.get(pk=job.pk))
    rig.clock.day(21, "17:20")
    for piece in joints[:-1]:
        if Component.objects.get(pk=piece.pk).length_nm is None and piece.length_nm:
            shorter = Length(piece.length_nm) - Length.parse("0.03", "ft")
            taped = lengths.Taped(shorter.shown("ft", 2), piece.length_kind, unit="ft")
            lengths.strap_piece(rig.ask(f"taped after the reface {piece.pk}", "ada"), piece, [taped],
                                lengths.Taking("T-07", "Ada Fenn"), sure=True)  # fmt: skip


def _joint(piece: Component, n: int, thousandths: int) -> Found:
    """One joint of the layer; the fourth, the ninth, the fifteenth and the twentieth are worn or hurt."""
    wall = Length(_inch("0.338")) - Length(thousandths * _inch("0.001"))
    readings, given, ends, seen = [], "Premium", Ends("ok", "ok", "ok", "ok"), _NOTHING
    if n in (3, 8):
        wall, given = Length.parse("0.283", "in"), "Premium" if n == 8 else "Class 2"
    if n == 14:
        readings.append(Reading("crack", "pin", count=1, where="last engaged thread"))
        given, ends = "Scrap", Ends("ok", "", "reject")
        seen = (Seen("crack in the last engaged thread", "pin"),)
    if n == 19:
        ends = Ends("reface", "ok", "ok", "ok")
    readings.append(Reading("wall", nm=wall.nanometres))
    readings.append(Reading("od", nm=_inch("4.965")))
    both = tuple(Read(one) for one in readings)
    return Found(piece, _looks(FULL), both, given, ends, seen=seen)


def tools_are_booked(rig: Rig) -> None:
    """What falls due first is booked for the end of the week; two collars are done already."""
    rig.clock.day(4, "09:10")
    collars = [one for one in rig.of_kind("collar") if not one.holds_n][:6]
    head = JobHead(rig.days_ago(-3), "connections", COMPANY, "shed 2", "before the 8-1/2 in section")
    job = open_job(rig.ask("inspection job 2", "ola"), rig.site, head, collars)
    rig.clock.day(4, "16:00")
    person = Inspector.objects.get(site=rig.site, name="T. Moan")
    said = Head(rig.days_ago(4), "connections", inspector=person, company=COMPANY, report_no="NC-2247",
                job=job)  # fmt: skip
    found = [Found(piece, _looks(_fit(piece)), given="Accept") for piece in collars[:2]]
    record(rig.ask("inspection 2", "ola"), rig.site, said, found, reason="as booked")


def casing_is_tested(rig: Rig) -> None:
    """The casing that was landed is pressure-tested: the days of drilling inside it count from here."""
    rig.clock.day(10, "08:20")
    rows = Component.objects.at(rig.site).filter(spec__kind="casing", state="left_in_well").order_by("pk")
    person = Inspector.objects.get(site=rig.site, name="R. Vik")
    said = Head(rig.days_ago(10), "service", inspector=person, company=COMPANY, report_no="NC-2240")
    words = "casing pressure-tested, 3,500 psi, 30 minutes, no fall"
    found = [Found(piece, remarks=words) for piece in rows.select_related("spec", "site")]
    record(rig.ask("casing test", "ola"), rig.site, said, found, reason="tested in the well as one string")


def _fit(piece: Component) -> tuple[str, ...]:
    """Magnetic particles do nothing on non-magnetic steel."""
    return NON_MAGNETIC if '"non_magnetic":true' in piece.spec.facts.replace(" ", "") else ENDS


#: Before which chapter of rack each stands.
CHAPTERS = (
    ("strapped_out", drill_pipe_is_inspected),
    ("tubing", casing_is_tested),
    ("shoe_is_drilled_out", tools_are_booked),
)
