"""The last days of the demo rig: what is under way and waits for somebody."""

from rack.actions import straps, tallies
from rack.actions.arriving import Came, arrive
from rack.actions.loads import LoadHead, Put, open_load, put_in, send
from rack.demo.deck import A_HUNDREDTH, opened, strapped
from rack.demo.loads import fresh
from rack.demo.rig import Rig
from rack.models import Tally


def tubing_waits_for_closing(rig: Rig) -> None:
    rig.clock.day(4, "07:30")
    head = tallies.TallyHead(
        "tubing",
        "threads on",
        "3-1/2 in tubing, Holme A-7",
        tape="T-11",
        reader="Ben Tarrow",
        writer="Ada Fenn",
    )
    tally = opened(rig, "tubing", "ben", head, rig.of_kind("tubing"))
    strapped(rig, tally, "ben", spread=1)
    straps.finish_strap(rig.ask("tubing done", "ben"), rig.fresh(tally), 1)


def slips_between_two_straps(rig: Rig) -> None:
    """Twenty-five joints, strapped twice: four slips are to be found, and two of them cancel."""
    rig.clock.day(3, "07:10")
    head = tallies.TallyHead(
        "rack",
        "pins off",
        "drill pipe on R1, layer 2",
        2,
        tape="T-07",
        reader="Ada Fenn",
        writer="Ben Tarrow",
    )
    tally = opened(rig, "slips", "ada", head, rig.of_kind("drill_pipe", place="R1/2")[15:40])
    strapped(rig, tally, "ada", spread=1)
    straps.finish_strap(rig.ask("slips, first done", "ada"), rig.fresh(tally), 1)
    rig.clock.day(3, "13:00")
    straps.begin_strap(rig.ask("slips, second", "ben"), rig.fresh(tally), 2, "T-11", "Ben Tarrow", "Ada Fenn")
    _second_with_slips(rig, rig.fresh(tally))
    straps.finish_strap(rig.ask("slips, second done", "ben"), rig.fresh(tally), 2)


def _second_with_slips(rig: Rig, tally: Tally) -> None:
    """Two digits changed places, a foot more, a foot less, and one read from the wrong mark."""
    swapped, chance = False, rig.chance("slips, second strap")
    for n, row in enumerate(tally.lines.standing().in_order()):
        cents = round((row.first_nm or 0) / A_HUNDREDTH)
        off = chance.choice((-1, 0, 0, 0, 1))
        digits = f"{cents % 100:02}"
        if n >= 4 and not swapped and abs(int(digits) - int(digits[::-1])) >= 9:
            cents, swapped = cents - int(digits) + int(digits[::-1]), True
            off = 0
        cents += {9: 100, 14: -100, 21: 6}.get(n, off)
        asked = rig.ask(f"slips, second {n}", "ben")
        straps.read(asked, straps.Reading(tally, f"{cents / 100:.2f}", 2, row))


def rental_goes_back(rig: Rig) -> None:
    """Twelve joints of the rental go home with their return note, and are counted there."""
    rig.clock.day(2, "08:00")
    head = LoadHead(
        "return", to="Fjellhus Mietgestänge, yard", carrier="Boat Marlo", remark="hire ends today"
    )
    load = open_load(rig.ask("load 3", "ada"), rig.site, head)
    joints = rig.of_kind("drill_pipe", place="R1/5")[-12:]
    put_in(rig.ask("load 3, bundle A", "ada"), load, joints[:6], Put("A", "both"))
    put_in(rig.ask("load 3, bundle B", "ada"), load, joints[6:11], Put("B", "both"))
    put_in(rig.ask("load 3, single", "ada"), load, joints[11:], Put("B", "pin", "box protector lost"))
    send(rig.ask("send load 3", "ines"), load)
    rig.clock.day(2, "11:45")
    came = Came(everything=True, remark="counted by Fjellhus on the quay")
    arrive(rig.ask("load 3 arrives", "ines"), fresh(load), came)


def second_strap_is_open(rig: Rig) -> None:
    """Blind: while this lasts nobody sees what the first strap read."""
    rig.clock.day(2, "12:30")
    head = tallies.TallyHead(
        "rack", "pins off", "rental pipe, layer 4", 2, tape="T-07", reader="Ada Fenn", writer="Ben Tarrow"
    )
    tally = opened(rig, "blind", "ada", head, rig.of_kind("drill_pipe", place="R1/4")[:24])
    strapped(rig, tally, "ada", spread=1)
    rig.clock.day(1, "07:00")
    straps.begin_strap(
        rig.ask("blind, second", "ben"), rig.fresh(tally), 2, "T-11", "Ben Tarrow", "Ola Brandt"
    )
    strapped(rig, rig.fresh(tally), "ben", 2, until=10, spread=1)


def pencil_sheet_is_out(rig: Rig) -> None:
    """The sheet was printed and went out on the deck; nothing is typed in yet."""
    rig.clock.day(1, "13:15")
    head = tallies.TallyHead("string", "pins off", "collars for the 8-1/2 in section, pencil sheet is out")
    collars = [one for one in rig.of_kind("collar") if one.spec.up_conn == "NC50"]
    opened(rig, "pencil", "ada", head, collars)


def load_is_being_made_up(rig: Rig) -> None:
    rig.clock.day(1, "15:00")
    head = LoadHead("inspection", to="Kvalby Inspection, quay 4", carrier="Boat Marlo")
    load = open_load(rig.ask("load 4", "ben"), rig.site, head)
    put_in(rig.ask("load 4, lift 1", "ben"), load, rig.of_kind("heavy_weight")[:4], Put("1", "both"))


def strap_is_being_taken(rig: Rig) -> None:
    """Right now: eleven joints are read and the last of them asks a question."""
    rig.clock.minutes_ago(30)
    head = tallies.TallyHead(
        "rack", "pins off", "drill pipe on R1, layer 3", tape="T-07", reader="Ada Fenn", writer="Ben Tarrow"
    )
    tally = opened(rig, "being strapped", "ada", head, rig.of_kind("drill_pipe", place="R1/3"))
    strapped(rig, tally, "ada", until=11, spread=1, slips={10: "13.12"})
