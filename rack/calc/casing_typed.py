"""A casing running tally as somebody typed it: its rows held against one another.

Figures are taken as they stand on the paper and never put right; what does not follow from what is
said as a problem that names the row, the joint and the figure.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from statistics import median_low

from rack.calc.casing_checks import names
from rack.calc.checks import Problem, asks, note, stops
from rack.calc.lengths import ZERO, Length
from rack.calc.names import key_of


@dataclass(frozen=True)
class TypedRow:
    """One row of the sheet. `kind` is "joint" or a part's code, `row` its line in the file; lengths are
    as typed, None for a blank. `left` says that its remark takes it out of the hole."""

    row: int
    name: str
    kind: str = "joint"
    run: str = ""
    mill: Length | None = None
    first: Length | None = None
    second: Length | None = None
    eff: Length | None = None
    total: Length | None = None
    weight: str = ""
    grade: str = ""
    drift: str = ""
    centralizers: int | None = None
    minutes: int | None = None
    remarks: str = ""
    left: bool = False
    locked: bool = False
    short: bool = False

    @property
    def said(self) -> str:
        """What the row is called in a sentence."""
        return f"joint {self.name}" if self.kind == "joint" else self.name

    @property
    def strap(self) -> Length | None:
        return self.first if self.first is not None else self.second


@dataclass(frozen=True)
class TypedSheet:
    """Head, rows and foot of the sheet; None or () where the paper does not say."""

    rows: tuple[TypedRow, ...]
    unit: str = "ft"
    digits: int = 2
    kind: str = ""
    string: str = ""
    loss: Length | None = None
    datum: Length | None = None
    hole: Length | None = None
    received: int | None = None
    track: int | None = None
    marker_after: str = ""
    to_run: int | None = None
    spare: int | None = None
    spare_names: tuple[str, ...] = ()
    left_out: int | None = None
    left_names: tuple[str, ...] = ()
    on_rack: int | None = None
    rack_names: tuple[str, ...] = ()
    total: Length | None = None
    shoe: Length | None = None
    stick_up: Length | None = None
    landing: Length | None = None
    centralizers: int | None = None
    centralizer_names: tuple[str, ...] = ()
    has_drift: bool = False
    limits: tuple[Length, Length] | None = field(default=None)

    def shown(self, length: Length, more: int = 0) -> str:
        """Return a `length` as the sheet writes it, with `more` figures. Raises nothing. Source: law 1."""
        return length.shown(self.unit, self.digits + more)

    @property
    def step(self) -> Length:
        """One step of the last figure."""
        return Length.parse(f"{10 ** -self.digits:.{self.digits}f}", self.unit)

    @property
    def ran(self) -> list[TypedRow]:
        """The rows that went into the hole and count below the landing shoulder."""
        return [row for row in self.rows if not row.left and row.kind not in ("landing", "running_tool")]

    @property
    def has_foot(self) -> bool:
        said = (self.to_run, self.spare, self.left_out, self.on_rack, self.total, self.shoe)
        return any(one is not None for one in said)

    @property
    def last(self) -> Length | None:
        """The last running total that is written."""
        return next((row.total for row in reversed(self.ran) if row.total is not None), None)

    @property
    def pin_loss(self) -> Length | None:
        """What one pin loses: as the head says it, else what most joints lose."""
        if self.loss is not None:
            return self.loss
        offs = [row.strap - row.eff for row in self.ran
                if row.kind == "joint" and row.strap is not None and row.eff is not None]
        return Length(median_low(off.nanometres for off in offs)) if offs else None


def numbers(sheet: TypedSheet) -> Iterator[Problem]:
    """Yield what is wrong with the numbers of the `sheet`: twice, missing, the order of the runs.
    Raises nothing. Source: tally checks T04, T05 and T10."""
    seen: dict[str, TypedRow] = {}
    for row in sheet.rows:
        if row.kind != "joint":
            continue
        key = key_of(row.name)
        if key in seen:
            yield stops(f"Joint {row.name} stands twice: in row {seen[key].row} and in row {row.row}.",
                        code="T05", where=f"row {row.row}", source="T05")
        seen.setdefault(key, row)
    elsewhere = {key_of(name) for name in (*sheet.spare_names, *sheet.left_names, *sheet.rack_names)}
    whole = [int(key) for key in seen if key.isascii() and key.isdigit() and len(key) < 6]
    top = max(whole, default=0)
    if sheet.has_foot and sheet.received and sheet.received < 5000:
        top = max(top, sheet.received - sum(not key.isdigit() for key in seen))
    there = set(whole)
    missing = [str(n) for n in range(1, top + 1) if n not in there and str(n) not in elsewhere]
    last = max(whole, default=0)
    kept = (sheet.spare if sheet.spare is not None else sheet.on_rack) or 0
    unnamed = [text for text in missing if int(text) > last]
    if not sheet.spare_names and not sheet.rack_names and len(unnamed) <= kept:
        missing = missing[: len(missing) - len(unnamed)]  # the spare joints are counted and not named
    if missing:
        yield asks(f"Number {names(missing)} stand{'s' if len(missing) == 1 else ''} nowhere on the sheet: "
                   "skipped, spare, or left out?", code="T04", where=names(missing), source="T04")
    runs = [(row, int(row.run)) for row in sheet.rows if row.run.isascii() and row.run.isdigit()
            and len(row.run) < 6]
    for (_, a), (row, b) in zip(runs, runs[1:], strict=False):
        if b != a + 1:
            yield asks(f"The run order goes from {a} to {b}: a row was put in or taken out by hand.",
                       code="T11", where=f"row {row.row}", source="T11")


def chain(sheet: TypedSheet) -> Iterator[Problem]:
    """Yield every running total of the `sheet` that does not follow from the one below it.
    Raises nothing. Source: tally check T08."""
    before, slips = ZERO, []
    known = True
    for row in sheet.rows:
        if row.kind in ("landing", "running_tool"):
            continue
        if row.total is None:
            known = known and (row.left or row.eff is None)
            continue
        if row.left:
            if row.eff is not None and row.total == before + row.eff and row.eff != ZERO:
                yield stops(f"{_cap(row.said)} is not run (“{row.remarks}”) and stands in the total all the "
                            f"same: {sheet.shown(row.eff)} {sheet.unit} too much from here on.", code="T10",
                            where=f"row {row.row}", source="T10")
            before = row.total
            continue
        if known and row.eff is not None and row.total != before + row.eff:
            slips.append((row, before, row.total - before - row.eff))
        before, known = row.total, True
    for one, other in list(zip(slips, slips[1:], strict=False)):
        if one in slips and one[2] + other[2] == ZERO and sheet.rows.index(other[0]) == (
                sheet.rows.index(one[0]) + 1):
            slips = [slip for slip in slips if slip not in (one, other)]
            row, wrong = one[0], one[0].total or ZERO
            yield stops(f"The running total at {row.said} does not follow: {sheet.shown(wrong)} is written, "
                        f"{sheet.shown(wrong - one[2])} is the sum; the next one goes on rightly."
                        f"{_turned(one[2], sheet)}", code="T08", where=f"row {row.row}", source="T08")
    small = [slip for slip in slips if abs(slip[2]) <= sheet.step]
    if len(small) > 3:
        yield note(f"{len(small)} running totals are a last figure off: rounded line by line, not once.",
                   code="T08", source="T08")
        slips = [slip for slip in slips if slip not in small]
    for row, before, apart in slips:
        assert row.eff is not None and row.total is not None
        yield stops(
            f"The running total at {row.said} does not follow: {sheet.shown(before)} and "
            f"{sheet.shown(row.eff)} make {sheet.shown(before + row.eff)}, {sheet.shown(row.total)} is "
            f"written, {sheet.shown(abs(apart))} too {'much' if apart > ZERO else 'little'}; every "
            f"total after it carries that on.{_turned(apart, sheet)}", code="T08", where=f"row {row.row}",
            source="T08")


def losses(sheet: TypedSheet) -> Iterator[Problem]:
    """Yield where the make-up loss of the `sheet` is forgotten, taken twice, or counted n-1.
    Raises nothing. Source: tally check T13; losses by pins, trade guide 11."""
    loss = sheet.pin_loss
    if loss is None or loss <= ZERO:
        return
    forgotten, twice, shoe, odd = [], [], [], []
    rows = [row for row in sheet.rows if row.strap is not None and row.eff is not None]
    for row in rows:
        assert row.eff is not None
        pin = ZERO if row.kind in ("shoe", "slips", "running_tool") or sheet.kind == "threads off" else loss
        straps = [one for one in (row.first, row.second) if one is not None]
        if any(one - pin == row.eff for one in straps) or _between(straps, pin, row.eff):
            continue
        near = min(straps, key=lambda one: abs(one - pin - row.eff))  # type: ignore[operator]
        off = near - row.eff
        if pin == ZERO and row.kind == "shoe" and off == loss:
            shoe.append(row)
        elif off == ZERO and pin != ZERO:
            forgotten.append(row)
        elif off == pin + loss:
            twice.append(row)
        elif abs(off - pin) > sheet.step:
            odd.append((row, near, pin))
    yield from _all_or_some(forgotten, rows, "is forgotten", sheet, loss)
    yield from _all_or_some(twice, rows, "is taken twice" if sheet.kind != "threads off" else
                            "is taken off lengths that are threads off already", sheet, loss)
    for row in shoe:
        yield stops(f"The shoe stands box up and loses nothing itself; {sheet.shown(loss)} {sheet.unit} are "
                    "taken off it.", code="T13", where=f"row {row.row}", source="T13")
    for row, near, pin in odd:
        assert row.eff is not None
        apart = row.eff - (near - pin)
        yield stops(f"{_cap(row.said)}: {sheet.shown(near)} less {sheet.shown(pin)} make "
                    f"{sheet.shown(near - pin)}, {sheet.shown(row.eff)} is written.{_turned(apart, sheet)}",
                    code="T08", where=f"row {row.row}", source="T08")
    yield from _by_count(sheet, loss)


def _by_count(sheet: TypedSheet, loss: Length) -> Iterator[Problem]:
    """The foot's total against lengths less losses counted by pins."""
    straps = [row.strap for row in sheet.ran]
    if sheet.total is None or None in straps or sheet.kind == "threads off":
        return
    pins = sum(row.kind not in ("shoe", "slips") for row in sheet.ran)
    gross = sum((strap for strap in straps if strap is not None), ZERO)
    right = gross - loss * pins
    door = min(sheet.step * max(len(straps) // 2, 1), Length(loss.nanometres // 4))
    for count, words in ((pins - 1, "joints less one"), (0, "none"), (2 * pins, "each pin twice")):
        if abs(sheet.total - (gross - loss * count)) <= door < abs(sheet.total - right):
            yield stops(f"The total {sheet.shown(sheet.total)} takes {count} make-up losses ({words}); "
                        f"{pins} pins stand in a box: {sheet.shown(right)}.", code="T13", source="T13")
            return


def _all_or_some(
    rows: Sequence[TypedRow], of: Sequence[TypedRow], what: str, sheet: TypedSheet, loss: Length
) -> Iterator[Problem]:
    if not rows:
        return
    where = "every joint" if len(rows) > 3 and len(rows) >= len(of) - 2 else names([row.said for row in rows])
    yield stops(f"The make-up loss of {sheet.shown(loss)} {sheet.unit} {what} at {where}.", code="T13",
                where=f"row {rows[0].row}", source="T13")


def _between(straps: Sequence[Length], pin: Length, eff: Length) -> bool:
    """Whether the effective length comes from the mean of two straps, rounded either way."""
    if len(straps) != 2:
        return False
    low, high = sorted(straps)
    return low - pin <= eff <= high - pin and (high - low) <= Length(15_240_000)


def lengths(sheet: TypedSheet) -> Iterator[Problem]:
    """Yield lengths of the `sheet` outside the range, in another unit, or alone against the mill's list.
    Raises nothing. Source: tally checks T07 and T14, table "ranges"."""
    if sheet.limits is not None:
        low, high = sheet.limits
        judged = [row for row in sheet.rows if row.kind == "joint" and not row.short]
        out = [(row, row.strap) for row in judged
               if row.strap is not None and not low <= row.strap <= high]
        other = [(row, strap) for row, strap in out if _other_unit(strap, sheet)]
        joints = [row for row in sheet.rows if row.kind == "joint" and row.strap is not None]
        word = "metres" if sheet.unit == "ft" else "feet"
        if other and len(other) == len(joints) and len(joints) > 1:
            yield stops(f"Every length looks like {word}: the sheet says {sheet.unit}.", code="T14",
                        source="T14")
            return
        for row, strap in out:
            guess = f"; {word}, perhaps" if (row, strap) in other else ""
            yield asks(f"{_cap(row.said)} is {sheet.shown(strap)} {sheet.unit}, outside {sheet.shown(low)} "
                       f"to {sheet.shown(high)}{guess}.", code="T14" if guess else "T07",
                       where=f"row {row.row}", source="table ranges")
    apart = {row.row: row.mill - row.strap for row in sheet.rows
             if row.kind == "joint" and row.mill is not None and row.strap is not None}
    if len(apart) < 5:
        return
    usual = Length(median_low(one.nanometres for one in apart.values()))
    for row in sheet.rows:
        if row.row in apart and abs(apart[row.row] - usual) > Length(91_440_000):
            assert row.mill is not None and row.strap is not None
            yield asks(f"{_cap(row.said)}: the mill's list has {sheet.shown(row.mill)}, the strap "
                       f"{sheet.shown(row.strap)}; the others do not differ so.", code="T07",
                       where=f"row {row.row}", source="T07")


def _other_unit(strap: Length, sheet: TypedSheet) -> bool:
    """Whether the figure would be a good length in the other unit."""
    assert sheet.limits is not None
    figure = sheet.shown(strap, 4).replace(",", "")
    low, high = sheet.limits
    return low <= Length.parse(figure, "m" if sheet.unit == "ft" else "ft") <= high


def _turned(apart: Length, sheet: TypedSheet) -> str:
    """A guess for a difference: figures that changed places differ by a multiple of nine."""
    steps = abs(apart).in_shown_units(sheet.unit, sheet.digits)
    return " Figures changed places, perhaps." if steps and steps % 9 == 0 else ""


def _cap(text: str) -> str:
    return text[:1].upper() + text[1:]


