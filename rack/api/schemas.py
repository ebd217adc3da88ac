"""What goes in and out by /api/: typed, so that the OpenAPI text is true."""

from typing import Annotated, Literal
from uuid import UUID

from ninja import Schema
from pydantic import AfterValidator, AwareDatetime, ConfigDict, Field, model_validator

MOST = 500
_BIG = 2**63 - 1


def _plain(text: str) -> str:
    """Text that every database can keep."""
    if any(ord(sign) < 32 or 0xD800 <= ord(sign) <= 0xDFFF for sign in text):
        raise ValueError("has signs in it that cannot be kept")
    return text


def _of_our_time(moment: AwareDatetime) -> AwareDatetime:
    if not 1900 < moment.year < 9999:
        raise ValueError("is no moment that a clock shows")
    return moment


Id = Annotated[int, Field(ge=1, le=_BIG)]
Typed = Annotated[str, Field(max_length=40), AfterValidator(_plain)]
Painted = Annotated[str, Field(max_length=20), AfterValidator(_plain)]
Fate = Literal["stored", "repeated", "refused", "conflict", "failed"]
Moment = Annotated[AwareDatetime, AfterValidator(_of_our_time)]


class ReadingIn(Schema):
    """One entry. It reads a joint (`typed`), takes a reading back, or confirms one: exactly one of the three.

    `key` is drawn by the sender and makes the entry safe to send again. A joint is named by `line`,
    or by `painted` alone: then the line with that number is read, or a new one is put at the end.
    """

    model_config = ConfigDict(extra="forbid")

    key: UUID
    tally: Id | None = Field(None, description="The tally; needed with `typed`.")
    strap_n: Literal[1, 2] = 1
    typed: Typed = Field("", description="The length. Bare figures carry the tally's decimals at the end.")
    unit: Literal["", "ft", "in", "m", "cm", "mm"] = Field("", description="Empty: the unit of the tally.")
    line: Id | None = None
    painted: Painted = ""
    made_at: Moment | None = Field(None, description="When it was typed, by the sender's own clock.")
    confirm: bool = Field(False, description="With `typed`: the sender has looked again, it reads so.")
    takes_back: UUID | None = Field(None, description="The key of the reading to take back.")
    confirms: UUID | None = Field(None, description="The key of the reading whose question gets a yes.")

    @model_validator(mode="after")
    def one_thing(self) -> "ReadingIn":
        if sum((bool(self.typed.strip()), self.takes_back is not None, self.confirms is not None)) != 1:
            raise ValueError("Give one of the three: typed, takes_back or confirms.")
        if self.typed.strip() and self.tally is None:
            raise ValueError("Say which tally was read.")
        return self


class QuestionOut(Schema):
    code: str
    text: str


class ProblemOut(Schema):
    severity: str
    text: str


class ResultOut(Schema):
    """What became of one entry. Count and total are of its own strap, as they stand after this call.

    While a second strap is open, an entry of the first one is stored and answered without figures.
    """

    key: str
    status: Fate = Field(..., description="failed: the store did not take it; send it again.")
    line: int | None = None
    painted: str = ""
    shown: str = ""
    questions: list[QuestionOut] = []
    problems: list[ProblemOut] = []
    count: int | None = None
    total: str | None = None
    unread: int | None = None


class LineOut(Schema):
    """A line to read: `shown` is its reading in this strap, empty when it has none.

    `telescopes`: say open or closed behind the length ("31.24 closed").
    """

    line: int
    painted: str
    serial: str
    shown: str = ""
    telescopes: bool = False


class LastOut(Schema):
    """One of the last readings of this strap."""

    key: str
    line: int
    painted: str
    shown: str
    state: str
    questions: list[QuestionOut]


class StrapOut(Schema):
    """One strap of a tally as the strap page needs it; nothing of the other strap."""

    tally: int
    number: int
    strap_n: int
    unit: str
    digits: int
    open: bool
    finished: bool
    count: int
    total: str
    unread: int
    grows: bool
    follows: str
    last: list[LastOut]
    coming: list[LineOut]


class FoundOut(Schema):
    """The line that a number or serial means, or none."""

    found: LineOut | None


class RefusalOut(Schema):
    """Why the whole call was refused."""

    refused: str
    problems: list[str] = []
