"""The last trips on the well before: strapped out of the hole with a correction, collars laid down."""

from rack.actions import closing, pencil, stands, tallies
from rack.calc.lengths import Length
from rack.demo.deck import A_HUNDREDTH, opened, strapped
from rack.demo.rig import Rig
from rack.models.comparing import lines_of
from rack.models.standing import stands_of

#: How far each stand reads from the sum of its joints, in hundredths of a foot.
STANDS_OFF = (8, 7, 9, 8, 7, 8, 8, 9, 7, 8)


def strapped_out(rig: Rig) -> None:
    """Ten stands, every one a little longer than its joints: the depth is corrected, the joints stay."""
    rig.clock.day(20, "05:40")
    head = tallies.TallyHead(
        "strap out",
        "pins off",
        "out of the hole before casing, A-12",
        tape="T-11",
        reader="Ben Tarrow",
        writer="Ada Fenn",
    )
    pipe = rig.of_kind("drill_pipe", place="R1/3")[:30]
    tally = opened(rig, "strap out", "ben", head, pipe)
    rows = lines_of(tally)
    for n, off in enumerate(STANDS_OFF):
        joints = rows[3 * n : 3 * n + 3]
        whole = sum(row.component.length_nm or 0 for row in joints if row.component)
        cents = round(whole / A_HUNDREDTH) + off
        group = f"{joints[0].painted}-{joints[-1].painted}"
        stands.read_stand(rig.ask(f"stand {n}", "ben"), tally, group, f"{cents / 100:.2f}")
    rig.clock.day(20, "11:15")
    apart = stands_of(tally, lines_of(rig.fresh(tally))).judgement.apart
    stands.accept_correction(
        rig.ask("correction", "ola"),
        rig.fresh(tally),
        "every stand the same way: the depth was short",
        seen_nm=apart.nanometres,
    )
    closing.close(rig.ask("close strap out", "ola"), rig.fresh(tally), reason="agreed with the driller")


def laid_down(rig: Rig) -> None:
    """Written on a pencil sheet, list 1, and typed in afterwards."""
    rig.clock.day(19, "13:10")
    head = tallies.TallyHead(
        "lay-down",
        "pins off",
        "8 in collars laid down, A-12",
        tape="T-07",
        reader="Ada Fenn",
        writer="Ben Tarrow",
    )
    collars = rig.of_kind("collar", od_nm=Length.parse("8", "in").nanometres)
    tally = opened(rig, "lay-down", "ada", head, list(reversed(collars)))
    pencil.note_list(rig.ask("lay-down, list", "ada"), tally, 1, 1)
    strapped(rig, tally, "ada", spread=1)
    rig.clock.day(19, "15:00")
    closing.close(rig.ask("close lay-down", "ola"), rig.fresh(tally), reason="numbered anew as laid down")
