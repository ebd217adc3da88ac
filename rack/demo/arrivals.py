"""What came to the demo rig: the lists of four senders, each with what people did about it."""

import mimetypes
from pathlib import Path

from rack.actions import pieces, receiving
from rack.actions.files import keep_bytes
from rack.demo.rig import Rig
from rack.exchange.delivery import read_delivery
from rack.models import Component, Delivery

LISTS = Path(__file__).resolve().parents[2] / "fixtures" / "demo"


def collars_and_tools(rig: Rig) -> None:
    """The heaviest lies lowest; what is short has a stand of its own."""
    rig.clock.day(41, "10:05")
    receive(
        rig,
        "heavy_weight_and_collars.tsv",
        "R1/1",
        "pins off",
        sender="Gantry Lending",
        ticket="4471",
        truck="MK 2214",
    )
    rig.clock.day(41, "15:30")
    receive(
        rig,
        "bottom_assembly.csv",
        "Tools/1",
        "overall, tool",
        sender="Nordmoen Tool Hire",
        ticket="4479",
        truck="boat, lift 3",
    )


def drill_pipe(rig: Rig) -> None:
    """Eighty-four joints, counted and right; the upper half goes on the next layer."""
    rig.clock.day(39, "09:15")
    receive(
        rig,
        "drill_pipe.csv",
        "R1/2",
        "pins off",
        sender="Gantry Lending",
        ticket="4468",
        truck="MK 2210",
        hand_count=84,
    )
    rig.clock.day(39, "13:40")
    move(rig, "lot 1 up", rig.of_kind("drill_pipe")[42:], "R1/3")


def rental_pipe(rig: Rig) -> None:
    """A workbook that damaged three serials: accepted as it is, the steel is looked at afterwards."""
    rig.clock.day(35, "11:20")
    receive(
        rig,
        "drill_pipe_rental.xlsx",
        "R1/4",
        "pins off",
        sender="Fjellhus Mietgestänge",
        ticket="7-2290",
        truck="FH 88",
        hand_count=72,
    )
    rig.clock.day(35, "16:00")
    move(rig, "lot 2 up", rig.of_kind("drill_pipe", place="R1/4")[36:], "R1/5")


def casing(rig: Rig) -> None:
    """A page total that is a foot out, and a joint that is on the list and not on the boat."""
    rig.clock.day(23, "08:40")
    receive(
        rig,
        "casing.csv",
        "R2/1",
        "threads on",
        sender="Gantry Lending",
        ticket="4502",
        truck="boat, lifts 1 to 9",
        hand_count=99,
        left_out={90},
    )
    joints = rig.of_kind("casing")
    rig.clock.day(23, "12:10")
    move(rig, "casing 2", joints[34:67], "R2/2")
    move(rig, "casing 3", joints[67:], "R2/3")
    rig.clock.day(22, "09:00")
    receive(
        rig,
        "casing_parts.xlsx",
        "Tools/1",
        "threads on",
        sender="Kettlewick Tubulars",
        ticket="88-017",
        truck="box 14",
    )


def tubing(rig: Rig) -> None:
    rig.clock.day(9, "10:30")
    receive(
        rig,
        "tubing.tsv",
        "R2/4",
        "threads on",
        sender="Kettlewick Tubulars",
        ticket="88-031",
        truck="boat, lift 2",
        hand_count=40,
    )


def receive(
    rig: Rig,
    name: str,
    path: str,
    kind: str,
    *,
    sender: str,
    ticket: str,
    truck: str,
    hand_count: int | None = None,
    left_out: frozenset[int] | set[int] = frozenset(),
) -> Delivery:
    """Accept a list of fixtures/demo with its questions confirmed. `left_out` are painted numbers."""
    data = (LISTS / name).read_bytes()
    read = read_delivery(data, name, length_kind=kind)
    gone = {(row.part, row.row) for row in read.rows if row.painted in {str(n) for n in left_out}}
    if gone:
        read = read_delivery(data, name, length_kind=kind, left_out=frozenset(gone))
    keep_bytes(data)
    receipt = receiving.Receipt(
        place=rig.place(path),
        file_name=name,
        media=mimetypes.guess_type(name)[0] or "text/plain",
        sender=sender,
        owner=sender,
        confirmed=True,
        ticket=ticket,
        truck=truck,
        hand_count=hand_count,
    )
    return receiving.accept(rig.ask(f"receive {name}", "ines"), read, receipt)


def move(rig: Rig, name: str, some: list[Component], path: str, who: str = "ada") -> None:
    pieces.move_pieces(rig.ask(name, who), some, rig.place(path))
