"""What is known of the tools beside their threads: nozzles, bends, clamps, necks, lengths open and closed."""

from rack.actions import facts, lengths, pieces
from rack.demo.rig import Rig

#: Serial -> what somebody noted, as it was typed.
NOTED: dict[str, dict[str, str]] = {
    "BIT 1221": {"nozzles": "3x16"},
    "BIT 1222": {"nozzles": "7x12", "gauge_measured_nm": "12 1/4"},
    "BIT 85-2": {"nozzles": "16-16-18", "gauge_measured_nm": "8 7/16"},
    "BIT 85-3": {"nozzles": "3x14"},
    "BIT 85-4": {"nozzles": "6x11"},
    "BIT 85-5": {"nozzles": "6x12"},
    "MTR 675-4": {"lobes": "7/8, 5.0", "bend": "1.5", "neck_od_nm": "6 1/2", "neck_nm": "24"},
    "MTR 675-6": {"lobes": "7/8, 5.0", "bend": "1.83", "neck_od_nm": "6 1/2", "neck_nm": "24"},
    "MTR 800-2": {"lobes": "4/5, 3.6", "bend": "1.15"},
    "JAR 7": {"clamp": "on", "neck_od_nm": "6 1/4", "neck_nm": "18"},
    "JAR 9": {"clamp": "on"},
    "JAR 81": {"clamp": "off"},
    "FS 5": {"float": "ported"},
    "PLS 65-3": {"sensor_nm": "17.32 ft"},
    "GR 65-2": {"sensor_nm": "11.08 ft", "body": "collar"},
    "STB 8511": {"gauge_measured_nm": "8 1/2"},
    "STB 8513": {"gauge_measured_nm": "8 11/32"},
    "RR 85-1": {"gauge_measured_nm": "8 1/2"},
    "CB 675-30": {"core_nm": "4"},
    "CB 675-90": {"core_nm": "4"},
    "DC 80-01": {"neck_od_nm": "8", "neck_nm": "30"},
    "XO 31": {"neck_od_nm": "6 1/2", "neck_nm": "22"},
}
#: Stators, by how many days before today they were fitted.
STATORS = {"MTR 675-4": 320, "MTR 675-6": 64, "MTR 800-2": 133}
#: Serial -> open, closed, and which of them holds in the hole.
TELESCOPES = {
    "JAR 7": ("33.48", "32.15", "open"),
    "JAR 9": ("30.75", "29.80", "closed"),
    "JAR 81": ("34.90", "33.40", "open"),
    "ACC 3": ("21.80", "20.62", "open"),
    "SHK 2": ("14.85", "14.20", "closed"),
    "BMP 1": ("12.85", "11.35", "closed"),
}


def facts_of_the_tools(rig: Rig) -> None:
    rig.clock.day(30, "08:15")
    for serial, typed in NOTED.items():
        if serial in STATORS:
            typed = {**typed, "stator_on": rig.days_ago(STATORS[serial]).isoformat()}
        there = facts.current_facts(rig.piece(serial))  # some of it stood on the list it came with
        typed = {name: text for name, text in typed.items() if name not in there}
        if typed:
            facts.note_fact(rig.ask(f"facts {serial}", "ben"), rig.piece(serial), typed)
    rig.clock.day(30, "11:10")
    for serial, what, text in (
        ("MTR 675-4", "owner", "NTH-M-0674"),
        ("MTR 675-6", "owner", "NTH-M-0676"),
        ("JAR 7", "owner", "NTH-J-0007"),
        ("KY 4", "stencil", "SH3 KY4"),
        ("NM 65-01", "rfid", "E280 6894 0000 4011"),
        ("NM 65-02", "rfid", "E280 6894 0000 4012"),
    ):
        pieces.write_mark(rig.ask(f"{what} of {serial}", "ada"), rig.piece(serial), what, text)


def lengths_open_and_closed(rig: Rig) -> None:
    rig.clock.day(29, "09:00")
    for serial, (opened, closed, holds) in TELESCOPES.items():
        both = [
            lengths.Taped(opened, "overall, tool", "open"),
            lengths.Taped(closed, "overall, tool", "closed"),
        ]
        taking = lengths.Taking("T-11", "Ben Tarrow, Ada Fenn", holds)
        lengths.strap_piece(rig.ask(f"both of {serial}", "ben"), rig.piece(serial), both, taking, sure=True)


def short_pieces_are_taped(rig: Rig) -> None:
    """A recut ends a length: the saver sub has none until it is taped again."""
    rig.clock.day(28, "10:20")
    lengths.end_length(rig.ask("recut", "ola"), rig.piece("SS 22"), "pin recut at Nordmoen")
    for serial, typed in (("XO 31", "3.02"), ("XO 33", "2.97"), ("BS 12", "3.11"), ("STB 8512", "5.62")):
        taped = [lengths.Taped(typed, "overall, tool")]
        taking = lengths.Taking("T-11", "Ben Tarrow, Ada Fenn")
        lengths.strap_piece(rig.ask(f"tape {serial}", "ada"), rig.piece(serial), taped, taking, sure=True)
