"""Slips planted in an invented BHA sheet, each with the words that must name it."""

from decimal import Decimal

from tests.rack.exchange.bha_paper import Planted, Sheet


def cell(number: int, column: str, text: str) -> Planted:
    return lambda sheet: sheet.row(number).update({column: text})


def then(*steps: Planted) -> Planted:
    def plant(sheet: Sheet) -> None:
        for step in steps:
            step(sheet)

    return plant


def worked(number: int, column: str, text: str) -> Planted:
    """Another value, with everything worked out from it."""
    return then(cell(number, column, text), Sheet.total_up)


def head(label: str, text: str) -> Planted:
    return lambda sheet: sheet.set_head(label, text)


def swap(old: str, new: str) -> Planted:
    return lambda sheet: sheet.swap_head(old, new)


def foot(label: str, text: str) -> Planted:
    return lambda sheet: sheet.set_foot(label, text)


def without(number: int) -> Planted:
    return lambda sheet: sheet.rows.remove(sheet.row(number))


def slip(number: int, by: str) -> Planted:
    """A cumulative length that is wrong and carried on."""

    def plant(sheet: Sheet) -> None:
        for row in sheet.rows:
            if int(row["No"]) >= number:
                row["Cum. ft"] = f"{Decimal(row['Cum. ft']) + Decimal(by):.2f}"
        sheet.set_foot("BHA length", sheet.rows[-1]["Cum. ft"])

    return plant


def section(number: int, count: int, length: str = "") -> Planted:
    """The heavy-weight from a number on in one row."""

    def plant(sheet: Sheet) -> None:
        rows = sheet.rows[number - 1 : number - 1 + count]
        total = sum(Decimal(row["Length ft"]) for row in rows)
        rows[0].update({"Qty": str(count), "Serial": "", "Length ft": length or f"{total:.2f}"})
        del sheet.rows[number : number - 1 + count]
        sheet.number()
        sheet.total_up()

    return plant


def top_down(sheet: Sheet) -> None:
    sheet.rows.reverse()
    sheet.number()


def laid_down(*, counted: bool) -> Planted:
    def plant(sheet: Sheet) -> None:
        row = sheet.row(20)
        row["Remarks"] = "laid down, box galled"
        if not counted:
            length, weight = row["Length ft"], row["Weight lb"]
            row["Length ft"] = "0.00"
            sheet.total_up()
            row |= {"Length ft": length, "Weight lb": weight, "Cum. ft": ""}

    return plant


def no_cum(sheet: Sheet) -> None:
    for row in sheet.rows:
        row["Cum. ft"] = ""


FAULTS: dict[str, tuple[Planted, str]] = {
    "cumulative slip carried on": (slip(9, "0.90"), "No. 9 (DC 6 1/2 spiral) does not follow"),
    "cumulative slip says how it goes on": (
        slip(9, "0.90"), "0.90 ft too much; every one after it carries it",
    ),
    "one cumulative wrong": (cell(9, "Cum. ft", "199.99"), "goes on from the right sum"),
    "length left out": (slip(13, "-30.16"), "Its length was left out"),
    "length counted twice": (slip(13, "30.16"), "Its length was counted twice"),
    "number missing": (
        without(9), "Number 9 stands nowhere on the sheet, and the cumulative lengths jump by",
    ),
    "number skipped": (then(*(cell(n, "No", str(n + 1)) for n in range(20, 9, -1))),
                       "Number 10 stands nowhere on the sheet, and the cumulative lengths go on "
                       "without a jump"),
    "number twice": (cell(10, "No", "9"), "No. 9 stands twice"),
    "row moved": (then(cell(9, "No", "90"), cell(10, "No", "9"), cell(9, "No", "9"), lambda sheet: sheet.row(
        "90").update({"No": "10"})), "The numbers go from 10 to 9"),
    "row without a number": (cell(10, "No", ""), "Without a number: row"),
    "a section in one row": (section(15, 6), "6 pieces in one row"),
    "the length of one of a section": (section(15, 6, "30.41"), "the length of one of them, perhaps"),
    "serial twice": (cell(16, "Serial", "hw 41"), "Serial hw 41 stands twice"),
    "see list": (cell(16, "Serial", "see list"), "the list must be tied"),
    "no serial": (cell(16, "Serial", ""), "Without a serial: No. 16"),
    "bit with its pin, in words": (
        cell(1, "Remarks", "TFA 1.086, length incl. pin"), "is with its pin; less",
    ),
    "bit with its pin, by its length": (worked(1, "Length ft", "1.45"), "With its pin?"),
    "pins counted everywhere": (swap("Lengths ft, pins not counted", "Lengths ft, pins counted"),
                                "every pin is counted twice"),
    "jar open or closed": (cell(12, "Remarks", ""), "open or closed is not said"),
    "jar of neither length": (worked(12, "Length ft", "30.70"), "is neither of 31.45 ft and 29.95 ft"),
    "jar open shorter than closed": (cell(12, "Remarks", "open 29.95, closed 31.45"), "exchanged"),
    "jar said closed, length open": (cell(12, "Remarks", "open 31.45, closed 29.95, run closed"),
                                     "is said to stand closed, and its length is the one open"),
    "bore of the tube": (then(cell(15, "Item", "Drill pipe 5 in 19.50 S-135"), cell(15, "ID in", "4.276"),
                              worked(15, "lb/ft", "22.6")), "is that of the tube; tool joints of this size"),
    "gauge wider than the hole": (cell(4, "Gauge in", "8 5/8"), "gauge 8-5/8 in is wider than the hole"),
    "bit wider than the drift": (then(head("Hole", "8 5/8 in"), cell(1, "OD in", "8 5/8"),
                                      cell(1, "Gauge in", "8 5/8")),
                                 "wider than the drift of the last casing"),
    "bit not the hole": (
        then(cell(1, "OD in", "8 3/8"), cell(1, "Gauge in", "8 3/8")), "the head says a hole of",
    ),
    "bore wider than the body": (cell(9, "ID in", "6 3/4"), "is not less than the OD"),
    "gauge under the body": (cell(4, "Gauge in", "6 1/2"), "the gauge 6-1/2 in is less than the OD"),
    "fishing neck blank": (then(cell(9, "FN OD", ""), cell(9, "FN lgth ft", "")), "has not a fishing neck's"),
    "fishing neck wider than the body": (cell(9, "FN OD", "6 3/4"), "the fishing neck 6-3/4 in is wider"),
    "fishing neck longer than the piece": (cell(7, "FN lgth ft", "3.10"), "is longer than the piece"),
    "OD blank": (cell(12, "OD in", ""), "has not an OD"),
    "ID blank": (cell(9, "ID in", ""), "has not an ID"),
    "length blank": (cell(9, "Length ft", ""), "has not a length"),
    "missing crossover": (then(without(7), Sheet.number, Sheet.total_up), "a crossover is missing"),
    "box on box": (cell(3, "Conn. down", "NC50 BOX"), "box on box (NC50)"),
    "pin on pin": (cell(3, "Conn. up", "NC50 PIN"), "pin on pin (NC50)"),
    "bit pin on a pin": (cell(2, "Conn. down", "4 1/2 REG PIN"), "pin on pin (4-1/2 REG)"),
    "unknown thread": (cell(9, "Conn. up", "ZX-77 BOX"), "“ZX-77” is not in the tables"),
    "connection blank": (cell(9, "Conn. up", ""), "an end has no connection"),
    "lb/ft times length": (cell(9, "Weight lb", "265"), "A decimal is lost, perhaps"),
    "collar's lb/ft": (worked(9, "lb/ft", "880"), "is written; steel of that OD and ID weighs"),
    "collar's lb/ft by a digit": (worked(9, "lb/ft", "68.0"), "steel of that OD and ID weighs 88.0 lb/ft"),
    "tool heavier than steel": (worked(5, "lb/ft", "970"), "a solid bar weighs"),
    "heavy-weight's lb/ft": (worked(16, "lb/ft", "4.93"), "A decimal is lost, perhaps"),
    "foot length": (foot("BHA length", "486.17 ft"), "The foot says 486.17 ft of BHA"),
    "foot air": (foot("Weight in air", "43,760 lb"), "The foot says 43,760 lb in air"),
    "foot mud": (foot("Weight in mud", "34,767 lb"), "That is the weight in air"),
    "foot below the jar": (
        foot("Weight below jar", "14,000 lb in mud"), "The foot says 14,000 lb below the jar",
    ),
    "foot with the jar in it": (foot("Weight below jar", "22,893 lb in air"), "The jar itself is in it"),
    "foot without the jar": (lambda sheet: sheet.foot.pop(3), "does not say the weight below the jar"),
    "hours do not add up": (cell(9, "Total", "301.75"), "are 201.75 h; 301.75 is written"),
    "rotating hours on a motor": (then(cell(2, "This run", "41.00"), cell(2, "Total", "53.50")),
                                  "41.00 are the rotating hours"),
    "rotating clock on a motor": (then(cell(2, "This run", "41.00"), cell(2, "Total", "53.50"),
                                       cell(2, "Clock", "rot")), "of a motor the circulating hours count"),
    "no clock": (cell(9, "Clock", ""), "No clock is named at No. 9; the kind decides"),
    "odd clock": (cell(9, "Clock", "moon"), "“moon” is no clock"),
    "more hours than the run": (then(cell(9, "This run", "45.00"), cell(9, "Total", "205.75")),
                                "more than the whole run"),
    "bit hours": (then(cell(1, "This run", "40.00"), cell(1, "Total", "40.00")), "a bit turns the whole run"),
    "head's clocks": (swap("on bottom 51.75", "on bottom 57.75"), "the first cannot be more"),
    "sliding without a motor": (then(cell(2, "Item", "Filter sub"), cell(2, "Clock", "circ")),
                                "h sliding, and no motor"),
    "day ambiguous": (cell(9, "Last insp.", "03/04/25"), "which is the month?"),
    "day to come": (cell(9, "Last insp.", "28-Jan-27"), "which is still to come"),
    "no day": (cell(9, "Last insp.", "31-Feb-26"), "is no day"),
    "day blank": (cell(9, "Last insp.", ""), "No day of inspection at No. 9"),
    "bit rerun without hours": (head("Bit No.", "5RR1"), "is a rerun, and"),
    "used bit without a rerun": (then(cell(1, "Hrs since insp.", "20.00"), cell(1, "Total", "71.75"),
                                      cell(1, "Last insp.", "10-Jan-26")), "no rerun (RR)"),
    "another bit number": (cell(1, "Remarks", "TFA 1.086, bit no. 6"), "row 6 says bit 6"),
    "two bits": (cell(3, "Item", "Bit, PDC"), "are both bits"),
    "no bit": (cell(1, "Item", "Float sub"), "no bit or other hole-making tool"),
    "flow area": (cell(1, "Remarks", "TFA 1.068"), "3x16 2x18 make 1.086 in2"),
    "sensor below its tool": (head("Survey sensor to bit", "35.90 ft"), "lies in No. 4"),
    "sensor by its place in the tool": (cell(5, "Remarks", "survey sensor 6.20 ft above the lower shoulder"),
                                        "has it 6.20 ft higher, which is 43.30 ft"),
    "sensor without a tool": (cell(5, "Item", "NMDC"), "no measuring tool stands"),
    "depth out above depth in": (head("Depth out", "6655"), "is less than depth in"),
    "depth in above the shoe": (head("Depth in", "7312"), "is above the last shoe"),
    "string longer than the hole": (then(head("Depth in", "400"), head("Depth out", "420"), swap(
        "9 5/8 47# shoe 7388", "9 5/8 47# shoe 380")), "more than the depth of 420.00 ft"),
    "metres in a row": (worked(9, "Length ft", "9.18"), "metres, perhaps (30.12 ft)"),
    "metres in a row, cumulative in feet": (
        cell(9, "Length ft", "9.19"), "The length stands in metres, perhaps",
    ),
    "headings mix": (
        lambda sheet: sheet.columns.__setitem__(13, "Cum. m"), "The headings mix feet and metres",
    ),
    "head says metres": (swap("Lengths ft, pins not counted", "Lengths m, pins not counted"),
                         "The head says lengths in m, the columns ft"),
    "numbered from the top": (then(top_down, no_cum), "The numbers count from the top down"),
    "head says from the top": (swap("Numbered from the bit", "Numbered from the top"),
                               "The head says that the numbers count from the top"),
    "laid down and counted": (
        laid_down(counted=True), "is laid down and its 30.46 ft are counted all the same",
    ),
    "no such length": (cell(9, "Length ft", "thirty"), "Row 14, length"),
    "no kind": (cell(9, "Item", "Thingummy"), "names no kind of piece"),
}  # fmt: skip

#: What must stay silent: roundings, spellings, and lawful variety.
NEAR_MISSES: dict[str, Planted] = {
    "a cumulative rounded by 0.01 ft": cell(9, "Cum. ft", "161.22"),
    "decimal sizes": then(cell(4, "OD in", "6.75"), cell(4, "ID in", "2.8125"), cell(4, "Gauge in", "8.375")),
    "two names of one thread": then(cell(3, "Conn. up", "4-1/2 IF BOX"), cell(4, "Conn. down", "NC 50 PIN")),
    "full gauge": cell(4, "Gauge in", "8 1/2"),
    "a weight rounded to the pound": cell(9, "Weight lb", "2652"),
    "a foot to the hundred": foot("Weight in air", "34,800 lb"),
    "a foot below the jar in air": foot("Weight below jar", "20,000 lb"),
    "a day in letters": cell(9, "Last insp.", "3 April 2025"),
    "a day as a standard has it": cell(9, "Last insp.", "2025-04-03, report 1182"),
    "a day whose month is plain": cell(9, "Last insp.", "28/01/26"),
    "hours below rotary on a rental": then(cell(6, "Clock", "below rotary"), cell(6, "This run", "86.00"),
                                           cell(6, "Total", "116.00")),
    "rotating and sliding below a motor": then(cell(3, "Clock", "rot+slide"), cell(3, "This run", "55.25"),
                                               cell(3, "Total", "85.25")),
    "a piece picked up later": then(cell(20, "This run", "12.00"), cell(20, "Total", "42.00")),
    "a rerun with hours": then(head("Bit No.", "5RR1"), cell(1, "Hrs since insp.", "20.00"),
                               cell(1, "Total", "71.75"), cell(1, "Last insp.", "10-Jan-26")),
    "an under-reamer that opens below": then(cell(4, "Item", "Under-reamer"), cell(4, "Gauge in", "9 7/8"),
                                             head("Hole", "9 7/8 in")),
    "a jar closed": then(cell(12, "Remarks", "closed, clamp on"), Sheet.total_up),
    "drawn as it hangs": lambda sheet: sheet.rows.reverse(),
    "counted from the top and said so": then(top_down, no_cum, swap("Numbered from the bit",
                                                                    "Numbered from the top")),
    "the sensor by its place": then(cell(5, "Remarks", "survey sensor 15.30 ft above the lower shoulder")),
    "a collar with recesses": worked(9, "lb/ft", "85.0"),
    "a collar with a zip lift groove": worked(9, "lb/ft", "91.5"),
}  # fmt: skip
