"""Work on the deck: strapping what came, reading serials, holding what is damaged, sorting it out."""

from rack.actions import closing, pieces, straps, tallies
from rack.demo.arrivals import move
from rack.demo.rig import Rig
from rack.models import Component, Hold, Strap, Tally

#: A hundredth of a foot in nanometres: what a tape is read to.
A_HUNDREDTH = 3_048_000


def opened(rig: Rig, name: str, who: str, head: tallies.TallyHead, some: list[Component]) -> Tally:
    """Open a tally on these pieces, painted with the numbers that they bear."""
    painted = rig.painted([one.pk for one in some])
    numbers = [str(painted.get(one.pk, n)) for n, one in enumerate(some, start=1)]
    lines = tallies.TallyLines(some, numbers if len(set(numbers)) == len(numbers) else ())
    return tallies.open_tally(rig.ask(f"open {name}", who), rig.site, head, lines=lines)


def strapped(
    rig: Rig,
    tally: Tally,
    who: str,
    strap_n: int = 1,
    *,
    until: int | None = None,
    slips: dict[int, str] | None = None,
    spread: int = 0,
) -> None:
    """Read the lines in order, each up to `spread` hundredths off its known length.

    `slips` are readings, by line from 0, that come out as they are given here.
    """
    chance = rig.chance(f"{tally.title}, strap {strap_n}")
    rows = list(tally.lines.standing().in_order().select_related("component"))
    for n, row in enumerate(rows[:until]):
        assert row.component is not None
        cents = round((row.component.length_nm or 0) / A_HUNDREDTH) + chance.randint(-spread, spread)
        typed = (slips or {}).get(n) or f"{cents / 100:.2f}"
        name = f"{tally.title}, strap {strap_n}, line {n}"
        straps.read(rig.ask(name, who), straps.Reading(tally, typed, strap_n, row))


def first_lift_is_strapped(rig: Rig) -> None:
    rig.clock.day(38, "07:20")
    head = tallies.TallyHead(
        "delivery", "pins off", "drill pipe, first lift", tape="T-07", reader="Ada Fenn", writer="Ben Tarrow"
    )
    tally = opened(rig, "first lift", "ada", head, rig.of_kind("drill_pipe", place="R1/2")[:15])
    strapped(rig, tally, "ada", spread=1)
    rig.clock.day(38, "13:00")
    closing.close(rig.ask("close first lift", "ola"), rig.fresh(tally), reason="counted with the ticket")


def serials_are_read_on_the_steel(rig: Rig) -> None:
    """What the spreadsheet damaged: one is read on the pin, one on a stencil, one is not readable."""
    rig.clock.day(34, "09:30")
    by_exponent, by_date, by_letter = rig.pieces("4.20E+07", "2026-01-02", "FH2O451")
    pieces.write_mark(rig.ask("stencil 1", "ada"), by_exponent, "stencil", "FH20419")
    pieces.write_mark(rig.ask("stencil 2", "ada"), by_letter, "stencil", "FH20451")
    pieces.put_hold(
        rig.ask("no serial", "ada"),
        by_date,
        "serial on the list is a date, the stamp cannot be read: ask Fjellhus",
    )


def heavy_weight_is_strapped(rig: Rig) -> None:
    """Closed, and opened again two days later: a joint had been reported wrong. Two revisions."""
    rig.clock.day(33, "08:00")
    head = tallies.TallyHead(
        "rack", "pins off", "heavy-weight, as it lies", tape="T-07", reader="Ben Tarrow", writer="Ada Fenn"
    )
    tally = opened(rig, "heavy-weight", "ben", head, rig.of_kind("heavy_weight"))
    strapped(rig, tally, "ben", spread=1, slips={11: "30.06"})
    row = list(tally.lines.in_order())[11]
    reading = Strap.objects.standing().get(line=row, strap_n=1)
    straps.confirm(rig.ask("heavy-weight 12 reads so", "ben"), reading)
    rig.clock.day(33, "14:10")
    closing.close(rig.ask("close heavy-weight", "ola"), rig.fresh(tally), reason="one short joint confirmed")
    rig.clock.day(31, "07:45")
    closing.revise(
        rig.ask("revise heavy-weight", "ola"),
        rig.fresh(tally),
        "joint 12 was written 30.06 and lies there with 30.60",
    )
    straps.read(rig.ask("heavy-weight 12 again", "ada"), straps.Reading(tally, "30.60", 1, row))
    rig.clock.day(31, "08:30")
    closing.close(rig.ask("close heavy-weight again", "ola"), rig.fresh(tally), reason="joint 12 taped again")


def holds(rig: Rig) -> None:
    rig.clock.day(8, "09:10")
    pipe = rig.of_kind("drill_pipe", place="R1/2")
    for name, who, piece, reason in (
        ("hold 1", "ada", pipe[22], "slip cut near the box, wants a look"),
        ("hold 2", "ben", pipe[30], "one yellow band on the tube, the list says Premium"),
        ("hold 3", "ada", rig.piece("DC 65-03"), "box face galled after the reface"),
        ("hold 4", "ola", rig.piece("BIT 85-2"), "outer row broken, dull grade not written yet"),
        ("hold 5", "ben", rig.piece("SS 22"), "pin stretched, does not pass the lead gauge"),
        ("hold 6", "ada", rig.of_kind("casing")[-27], "dent 3 ft from the coupling, drift to be run"),
        ("hold 7", "ben", rig.piece("FH20430"), "bent, seen rolling on the rack"),
    ):
        pieces.put_hold(rig.ask(name, who), piece, reason)
    rig.clock.day(7, "15:20")
    found = Hold.objects.get(component=rig.piece("DC 65-03"), what="put")
    pieces.release_hold(rig.ask("release", "ola"), found, "face dressed and looked at, within the bench mark")
    move(rig, "lay aside", [pipe[22], rig.piece("FH20430"), rig.of_kind("casing")[-27]], "Aside", "ben")


def shop_and_rental(rig: Rig) -> None:
    """Pieces in every state that a hand may write down."""
    rig.clock.day(6, "10:00")
    for name, state, serials in (
        (
            "accepted",
            "accepted",
            (
                "MTR 675-6",
                "PLS 65-3",
                "GR 65-2",
                "RS 675-1",
                "BIT 85-4",
                "BIT 85-5",
                "STB 8511",
                "STB 8512",
                "JAR 9",
                "XO 31",
            ),
        ),
        ("inspector on board", "at_inspection", ("DC 65-04", "DC 65-05", "NM 65-01", "LS 61")),
        ("to the bench", "in_repair", ("SS 22", "LKV 3")),
        ("scrap", "scrapped", ("BIT 1751",)),
    ):
        for serial in serials:
            asked = rig.ask(f"{name} {serial}", "ola")
            pieces.change_state(asked, rig.piece(serial), state)
