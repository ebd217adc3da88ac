"""The parts of which a closed sheet is made: joints, losses, findings, stands: plain values."""

from dataclasses import dataclass
from typing import NamedTuple


class Withdrawn(NamedTuple):
    """A line struck off before closing, and why."""

    painted: str
    serial: str
    reason: str


@dataclass(frozen=True)
class Hands:
    """Whose hands took one strap, and with which tape."""

    strap_n: int
    tape: str = ""
    reader: str = ""
    writer: str = ""


@dataclass(frozen=True)
class SheetLine:
    """One joint in sheet order.

    `n` counts from 1; `nm` is the length that holds, `first_nm` and `second_nm` the readings behind
    it, `loss_nm` what comes off this pin when it is made up (None = not known, 0 = nothing), all in
    whole nanometres. `note` is what a person confirmed: "confirmed: reads 36.12".
    """

    n: int
    painted: str
    serial: str
    tag: str
    item: str
    nm: int
    first_nm: int | None = None
    second_nm: int | None = None
    loss_nm: int | None = None
    loss_source: str = ""
    loss_conf: str = ""
    note: str = ""

    @property
    def name(self) -> str:
        """What the joint is called on the rack: its painted number, else its place on the sheet."""
        return self.painted or str(self.n)


@dataclass(frozen=True)
class SheetLoss:
    """One make-up loss (whole nanometres) and how many pins it comes off."""

    what: str
    loss_nm: int
    source: str
    conf: str
    pins: int


@dataclass(frozen=True)
class SheetFinding:
    """What comparing the straps found: signature, the lines (`n`) it names, in words, what to do."""

    code: str
    lines: tuple[int, ...]
    words: str
    do: str


@dataclass(frozen=True)
class SheetSample:
    """Count times the average of the joints drawn: `lines` (`n`) by lot from `code`, lengths in nm.

    `expected_nm` is the count times the average, `sum_nm` what it is held against, called `against`;
    `limit_nm` three standard errors of that product, computed.
    """

    code: str
    lines: tuple[int, ...]
    mean_nm: int
    expected_nm: int
    sum_nm: int
    limit_nm: int
    against: str


@dataclass(frozen=True)
class SheetStand:
    """One stand on the way out: its place from the bit, its lines (`n`), their sum and what was read, nm."""

    number: int
    lines: tuple[int, ...]
    joints_nm: int
    read_nm: int


@dataclass(frozen=True)
class SheetCorrection:
    """What was accepted to add to the depth (whole nm): by whom, when (ISO text with zone) and why."""

    nm: int
    by: str
    at: str
    reason: str
