"""What disappears when two pieces are made up: the pin in the box, the thread in the coupling."""

import re
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from rack.calc import connections
from rack.calc.kinds import LENGTH_KINDS, kind_of
from rack.calc.lengths import Length
from rack.calc.lookup import Row, caution, number, rows
from rack.calc.specs import SpecFacts

_NM_PER_INCH = 25_400_000

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


def _pin_loss(thread: str) -> Loss | None:
    """The nominal pin of a rotary shouldered thread, or None when the table has no length for it."""
    name = connections.canonical(thread)
    row = next((row for row in rows("connections") if row["name"] == name), None)
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


def coupled_row(product: str, size_in: Fraction, thread: str, weight_lb_ft: Decimal | None) -> Row | None:
    """Return the row of table "makeup_loss" for this coupling and thread, or None when there is none.

    `product` "casing" or "tubing", `size_in` the pipe's size in inches, `thread` canonical,
    `weight_lb_ft` in lb/ft or None (not known: None comes back where the lightest weight has a thread
    of its own). Raises nothing. Source: table "makeup_loss".
    """
    found = [row for row in rows("makeup_loss")
             if row["product"] == product and row["thread"] == thread and number(row["size_in"]) == size_in]
    if len(found) <= 1:
        return found[0] if found else None
    if weight_lb_ft is None:
        return None
    light = [row for row in found if _weight(row["weight_lb_ft"]) == weight_lb_ft]
    return (light or [row for row in found if _weight(row["weight_lb_ft"]) is None])[0]


def make_up_loss(*, kind_family: str, product: str = "", size: Length | str = "", thread: str,
                 weight: Decimal | int | str | None = None) -> Loss | None:
    """Return what one end loses when it is made up, or None when the tables do not say.

    `kind_family` is "shouldered" or "coupled" (`Kind.family`). Shouldered: the nominal pin length of
    `thread`, marked; `product`, `size` and `weight` are not asked. Coupled: half the coupling less the
    gap at its centre, NL/2 - J, exact; `product` is "casing" or "tubing", `size` the pipe's size
    ("9-5/8" or a Length), `weight` in lb/ft, needed where the lightest weight has a thread of its own
    (without it the answer is None, unknown is not zero). Raises ValueError for an unknown family or
    thread, a size or weight that cannot be read, and a thread of the other family.
    Source: tables "connections" (LPC) and "makeup_loss", each row with its own source.
    """
    if kind_family not in ("shouldered", "coupled"):
        raise ValueError(f'kind_family is {kind_family!r}; it is "shouldered" or "coupled"')
    name = connections.canonical(thread)
    if (name in connections.COUPLED) != (kind_family == "coupled"):
        raise ValueError(f"{name} is not a thread of {kind_family} pipe")
    if kind_family == "shouldered":
        return _pin_loss(name)
    pounds = None if weight in (None, "", 0) else _weight(str(weight))
    if weight not in (None, "", 0) and (pounds is None or not pounds.is_finite() or pounds <= 0):
        raise ValueError(f"weight is {weight!r}; it is lb/ft above 0")
    if not size:
        return None
    inches = _inches(size) if isinstance(size, str) else Fraction(size.nanometres, _NM_PER_INCH)
    row = coupled_row(product, inches, name, pounds)
    if row is None:
        return None
    loss = Fraction(row["coupling_length_NL_in"]) / 2 - Fraction(row["J_power_tight_in"])
    words = f"make-up loss of {row['size_in']} {name} {product}, NL/2 - J: {row['source']}"
    return Loss(_length(loss), words, row["conf"], row, caution(row))


def _nothing(why: str) -> Loss:
    return Loss(Length(0), why)


def _pins(spec: SpecFacts) -> tuple[str, ...] | None:
    """The threads of the ends that are pins, or None when it is not known which ends are."""
    kind = kind_of(spec.kind)
    if kind.up and not kind.down and not (spec.up_conn and spec.down_conn):
        gender = spec.up_gender or spec.down_gender or kind.up  # one end only, as a bit has
        return (spec.up_conn or spec.down_conn,) if gender == "pin" else ()
    ends = ((spec.up_gender or kind.up, spec.up_conn or spec.down_conn, bool(spec.up_conn)),
            (spec.down_gender or kind.down, spec.down_conn or spec.up_conn, bool(spec.down_conn)))
    known = [(gender, thread) for gender, thread, has_thread in ends if gender or has_thread]
    if not known or any(gender not in ("pin", "box") for gender, _ in known):
        return None
    return tuple(thread for gender, thread in known if gender == "pin")


def _tool_loss(spec: SpecFacts, measured_pin: Length | None) -> Loss | None:
    pins = _pins(spec)
    if pins is None:
        return _measured(measured_pin)
    if not pins:
        return _nothing("no pin: the piece is measured face to face")
    if len(pins) == 1 and measured_pin is not None:
        return _measured(measured_pin)
    if spec.pin_nm:
        return Loss(Length(spec.pin_nm * len(pins)), "pin length of the specification", "", {}, NOMINAL_MARK)
    losses = [_pin_loss(thread) if thread else None for thread in pins]
    if any(loss is None for loss in losses):
        return None
    known = [loss for loss in losses if loss is not None]
    return Loss(sum((loss.length for loss in known), Length(0)), "; ".join(loss.source for loss in known),
                max(loss.conf for loss in known), known[0].row, known[0].mark)


def _measured(pin: Length | None) -> Loss | None:
    return None if pin is None else Loss(pin, "measured pin")


def for_line(length_kind: str, spec: SpecFacts, *, measured_pin: Length | None = None) -> Loss | None:
    """Return what comes off one line of a tally, or None when it is not known.

    `length_kind` is one of `kinds.LENGTH_KINDS`: "pins off" and "threads off" lose nothing; "overall,
    tool" loses the pin (the measured one where the line has it, else the specification's, else the
    nominal of the table, marked; both pins of a pin-and-pin piece, none of a box-and-box one); "threads
    on" loses the make-up loss of the thread. `measured_pin` is the pin of this very piece. Raises
    ValueError for an unknown kind of length or piece and for an unknown thread; a negative pin too.
    Source: tables "connections" and "makeup_loss"; what is counted is common practice.
    """
    if length_kind not in LENGTH_KINDS:
        raise ValueError(f"length_kind is {length_kind!r}; there are: {'; '.join(LENGTH_KINDS)}")
    if measured_pin is not None and measured_pin < Length(0):
        raise ValueError("measured_pin is less than nothing")
    if length_kind in ("pins off", "threads off"):
        return _nothing(f"{length_kind}: nothing comes off")
    if length_kind == "overall, tool":
        return _tool_loss(spec, measured_pin)
    thread = spec.down_conn or spec.up_conn
    if not thread:
        return None
    family = "coupled" if connections.is_coupled(thread) else "shouldered"
    if family == "shouldered":
        return _pin_loss(thread)
    return make_up_loss(
        kind_family=family, product="tubing" if connections.canonical(thread) in ("EUE", "NUE") else "casing",
        size=Length(spec.od_nm) if spec.od_nm else "", thread=thread,
        weight=Decimal(spec.weight_mlb_ft) / 1000 if spec.weight_mlb_ft else None)
