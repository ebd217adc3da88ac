"""What a tally is long when its pieces are made up, with the working that a reader can redo."""

from collections.abc import Sequence

from rack.calc.lengths import Length
from rack.calc.sheets import SheetLoss
from rack.calc.worked import Worked


def made_up_worked(total: Length, losses: Sequence[SheetLoss], *, unit: str, digits: int) -> Worked:
    """Return the length of a tally made up: its total less each loss times its pins.

    `losses` in nm, one entry a kind of loss; what is written is in `unit` ("ft" or "m") with `digits`
    figures, a loss with one more, each rounded once. `value` is the exact Length. Raises ValueError
    for another unit or digits. Source: trade guide 11, losses counted by pins, common practice.
    `total` is the sum of the tally as measured.
    """

    def written(nm: int, more: int = 0) -> str:
        return f"{Length(nm).shown(unit, digits + more)} {unit}"

    off = sum(loss.loss_nm * loss.pins for loss in losses)
    value = Length(total.nanometres - off)
    inputs = {"total": f"{written(total.nanometres)}"}
    steps = []
    for number, loss in enumerate(losses, start=1):
        name = f"loss {number}"
        whose = f", {loss.what}" if loss.what else ""
        one, all_of_them = written(loss.loss_nm, 1), written(loss.loss_nm * loss.pins, 1)
        inputs[name] = f"{one} a pin, {_pins(loss.pins)}{whose}"
        steps.append(f"{name} = {loss.pins} x {one} = {all_of_them}")
    made_up = written(value.nanometres)
    steps.append(f"length made up = {written(total.nanometres)} - {written(off, 1)} = {made_up}")
    steps.append(f"exactly {total.nanometres:,} nm - {off:,} nm = {value.nanometres:,} nm")
    sources = dict.fromkeys(
        f"{loss.source}{f' (confidence {loss.conf})' if loss.conf else ''}" for loss in losses
    )
    source = "; ".join(sources) or "nothing comes off: a length of this kind is the length made up"
    return Worked(value, unit, "length made up = total - sum of (loss x pins)", inputs, tuple(steps), source)


def _pins(count: int) -> str:
    return f"{count} pin{'' if count == 1 else 's'}"
