"""What disappears when two pieces are made up: the pin in the box, the thread in the coupling."""

import re
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from rack.calc import connections
from rack.calc.kinds import LENGTH_KINDS, kind_of
from rack.calc.lengths import Length
from rack.calc.lookup import Catalogue, Row, caution, number, rows
from rack.calc.specs import SpecFacts

_NM_PER_INCH = 25_400_000
#: How far a size or a weight given in metric units may be off the one it was rounded from.
_SIZE_ROUNDED_IN, _WEIGHT_ROUNDED_LB_FT = Fraction(1, 254), Decimal("0.1")
#: The shipped rows alone, for whoever has none of the office's.
SHIPPED = Catalogue()

#: A new pin may be 1/8 in short of the table, a refaced one shorter (Spec 7-2; trade guide: common practice).
NOMINAL_MARK = "nominal, ±1/8 in"


@dataclass(frozen=True)
class Loss:
    """What one made-up end takes off the length, exact, and on whose word.

    `conf` is the confidence of the table's row (A to D, M, CP), "" when no table was asked. `mark`
    is what must stand beside a length worked out with it, "" for nothing. `row` is the table's row.
    """

    length: Length
    source: str
    conf: str = ""
    row: Row = field(default_factory=dict)
    mark: str = ""


def _inches(text: str) -> Fraction:
    """Inches as people and tables write them ("9-5/8", "1.050", "4 1/2 in") as an exact fraction."""
    size = number(re.sub(r'\s*(?:"|”|in\.?|inch)$', "", text.strip()).replace(",", "."))
    if size is None or size <= 0:
        raise ValueError(f"size: {text!r} is no size in inches")
    return size


def _length(inches: Fraction) -> Length:
    nanometres = inches * _NM_PER_INCH
    if nanometres.denominator != 1:
        raise ValueError(f"{float(inches)} in is not a whole number of nanometres")
    return Length(nanometres.numerator)


def _mark(*marks: str) -> str:
    return "; ".join(mark for mark in marks if mark)


def _name(thread: str, catalogue: Catalogue) -> str:
    """The thread's name: as the office entered it, else canonical."""
    typed = thread.strip().casefold()
    for table, column in (("connections", "name"), ("makeup_loss", "thread")):
        for row in catalogue.rows(table):
            if row[column].casefold() == typed and not any(row is shipped for shipped in rows(table)):
                return row[column]
    return connections.canonical(thread, catalogue)


def _is_coupled(name: str, catalogue: Catalogue) -> bool:
    return name in connections.COUPLED or any(row["thread"] == name for row in catalogue.rows("makeup_loss"))


def _pin_loss(name: str, catalogue: Catalogue) -> Loss | None:
    """The nominal pin of a rotary shouldered thread, or None when the table has no length for it."""
    row = next((row for row in catalogue.rows("connections") if row["name"] == name), None)
    if row is None or not row["pin_length_LPC_in"]:
        return None
    words = f"pin length of {name}: {row['source']}"
    mark = _mark(NOMINAL_MARK, caution(row))
    return Loss(_length(Fraction(row["pin_length_LPC_in"])), words, row["conf"], row, mark)


def _weight(text: str) -> Decimal | None:
    try:
        return Decimal(text)
    except InvalidOperation:
        return None


def _pounds(weight: Decimal | int | str | None) -> Decimal | None:
    """The weight in lb/ft, None where it is not known (None, blank or 0)."""
    if weight is None or weight == "":
        return None
    pounds = None if isinstance(weight, bool) else _weight(str(weight))
    if pounds is None or not pounds.is_finite() or pounds < 0:
        raise ValueError(f"weight: {weight!r} is no weight; allowed is lb/ft above 0, or 0 for not known")
    return pounds or None


def coupled_row(product: str, size_in: Fraction, thread: str, weight_lb_ft: Decimal | None,
                catalogue: Catalogue = SHIPPED) -> Row | None:
    """Return the row of table "makeup_loss" for this coupling and thread, or None when there is none.

    `product` "casing" or "tubing", `size_in` the pipe's size in inches, `thread` canonical,
    `weight_lb_ft` in lb/ft or None (not known: None comes back where the lightest weight has a thread
    of its own), `catalogue` the rows in force. A size or weight rounded in metric units is the one it was
    rounded from: 0.1 mm and 0.1 lb/ft are let pass. Raises nothing. Source: table "makeup_loss".
    """
    found = [row for row in catalogue.rows("makeup_loss")
             if row["product"] == product and row["thread"] == thread
             and abs((number(row["size_in"]) or 0) - size_in) <= _SIZE_ROUNDED_IN]
    if len(found) <= 1:
        return found[0] if found else None
    if weight_lb_ft is None:
        return None
    weights = [(row, _weight(row["weight_lb_ft"])) for row in found]
    light = [row for row, own in weights
             if own is not None and abs(own - weight_lb_ft) <= _WEIGHT_ROUNDED_LB_FT]
    others = light or [row for row, own in weights if own is None]
    return others[0] if others else None


def make_up_loss(*, kind_family: str, product: str = "", size: Length | str = "", thread: str,
                 weight: Decimal | int | str | None = None, catalogue: Catalogue = SHIPPED) -> Loss | None:
    """Return what one end loses when it is made up, or None when the tables do not say.

    `kind_family` is "shouldered" or "coupled" (`Kind.family`). Shouldered: the nominal pin length of
    `thread`, marked; `product`, `size` and `weight` are not asked. Coupled: half the coupling less the
    gap at its centre, NL/2 - J, exact; `product` is "casing" or "tubing", `size` the pipe's size
    ("9-5/8" or a Length), `weight` in lb/ft, needed where the lightest weight has a thread of its own
    (without it the answer is None, unknown is not zero). `catalogue` holds the office's own rows, a
    maker's thread among them. Raises ValueError for an unknown family or thread, a size or weight that
    cannot be read, and a thread of the other family.
    Source: tables "connections" (LPC) and "makeup_loss", each row with its own source.
    """
    if kind_family not in ("shouldered", "coupled"):
        raise ValueError(f'kind_family is {kind_family!r}; it is "shouldered" or "coupled"')
    name = _name(thread, catalogue)
    if _is_coupled(name, catalogue) != (kind_family == "coupled"):
        raise ValueError(f"{name} is not a thread of {kind_family} pipe")
    if kind_family == "shouldered":
        return _pin_loss(name, catalogue)
    pounds = _pounds(weight)
    if not size:
        return None
    inches = _inches(size) if isinstance(size, str) else Fraction(size.nanometres, _NM_PER_INCH)
    row = coupled_row(product, inches, name, pounds, catalogue)
    if row is None:
        return None
    coupling, gap = number(row["coupling_length_NL_in"]), number(row["J_power_tight_in"])
    if coupling is None or gap is None:
        return None
    loss = coupling / 2 - gap
    words = f"make-up loss of {row['size_in']} {name} {product}, NL/2 - J: {row['source']}"
    return Loss(_length(loss), words, row["conf"], row, caution(row))


def _nothing(why: str) -> Loss:
    return Loss(Length(0), why)


def _pins(spec: SpecFacts) -> tuple[str, ...] | None:
    """The threads of the ends that are pins, or None when it is not known which ends are."""
    kind = kind_of(spec.kind)
    if kind.one_end and not (spec.up_conn and spec.down_conn):
        gender = spec.up_gender or spec.down_gender or kind.up or kind.down  # one end only, as a bit has
        return (spec.up_conn or spec.down_conn,) if gender == "pin" else ()
    ends = ((spec.up_gender or kind.up, spec.up_conn or spec.down_conn, bool(spec.up_conn)),
            (spec.down_gender or kind.down, spec.down_conn or spec.up_conn, bool(spec.down_conn)))
    known = [(gender, thread) for gender, thread, has_thread in ends if gender or has_thread]
    if not known or any(gender not in ("pin", "box") for gender, _ in known):
        return None
    return tuple(thread for gender, thread in known if gender == "pin")


def _tool_loss(spec: SpecFacts, measured_pin: Length | None, catalogue: Catalogue) -> Loss | None:
    pins = _pins(spec)
    if pins is None:
        return _measured(measured_pin)
    if not pins:
        return _nothing("no pin: the piece is measured face to face")
    if len(pins) == 1 and measured_pin is not None:
        return _measured(measured_pin)
    if spec.pin_nm:
        return Loss(Length(spec.pin_nm * len(pins)), "pin length of the specification", "", {}, NOMINAL_MARK)
    names = [_known_name(thread, catalogue) for thread in pins]
    losses = [_pin_loss(name, catalogue) if name else None for name in names]
    known = [loss for loss in losses if loss is not None]
    if len(known) < len(pins):
        return None
    return Loss(sum((loss.length for loss in known), Length(0)), "; ".join(loss.source for loss in known),
                max(loss.conf for loss in known), known[0].row, known[0].mark)


def _known_name(thread: str, catalogue: Catalogue) -> str:
    """The thread's name, "" when the line says none or one that nobody knows."""
    try:
        return _name(thread, catalogue) if thread else ""
    except ValueError:
        return ""


def _measured(pin: Length | None) -> Loss | None:
    return None if pin is None else Loss(pin, "measured pin")


def for_line(length_kind: str, spec: SpecFacts, *, measured_pin: Length | None = None,
             catalogue: Catalogue = SHIPPED) -> Loss | None:
    """Return what comes off one line of a tally, or None when it is not known.

    `spec` says what the piece is made to; `length_kind` is one of `kinds.LENGTH_KINDS`: "pins off" and
    "threads off" lose nothing; "overall, tool" loses the pin (the measured one where the line has it, else
    the specification's, else the nominal of the table, marked; both pins of a pin-and-pin piece, none of a
    box-and-box one); "threads on" loses the make-up loss of the thread. `measured_pin` is the pin of this
    very piece, `catalogue` the office's own rows. A thread that nobody knows gives None: a list may say
    what the tables do not.
    Raises ValueError for an unknown kind of length or piece, and for a pin less than nothing.
    Source: tables "connections" and "makeup_loss"; what is counted is common practice.
    """
    if length_kind not in LENGTH_KINDS:
        raise ValueError(f"length_kind is {length_kind!r}; there are: {'; '.join(LENGTH_KINDS)}")
    if measured_pin is not None and measured_pin < Length(0):
        raise ValueError("measured_pin is less than nothing")
    if length_kind in ("pins off", "threads off"):
        return _nothing(f"{length_kind}: nothing comes off")
    if length_kind == "overall, tool":
        return _tool_loss(spec, measured_pin, catalogue)
    if kind_of(spec.kind).one_end == "up" and (spec.up_gender or kind_of(spec.kind).up) == "box":
        return _nothing("box up: it loses nothing itself, the first joint's pin is counted at the joint")
    name = _known_name(spec.down_conn or spec.up_conn, catalogue)
    if not name:
        return None
    if not _is_coupled(name, catalogue):
        return _pin_loss(name, catalogue)
    return make_up_loss(
        kind_family="coupled", product="tubing" if name in ("EUE", "NUE") else "casing", thread=name,
        size=Length(spec.od_nm) if spec.od_nm else "", catalogue=catalogue,
        weight=Decimal(spec.weight_mlb_ft) / 1000 if spec.weight_mlb_ft else None)
