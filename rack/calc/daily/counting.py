"""What one row of a daily report counts for: each clock with how much, and in words why or why not."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rack.calc.checks import Problem, asks, note
from rack.calc.daily import words
from rack.calc.daily.rows import DailyRow
from rack.calc.daily.words import Said

COUNTED, NOT_COUNTED, ASK = "counted", "not counted", "to be said"

_ON_WIRE = re.compile(r"\b(?:log|logging|wire ?line|slick ?line|perforate|coiled tubing|e-line)\b")
_BY_PIPE = re.compile(r"\b(?:dp|drill ?pipe|tlc|pcl|pipe conveyed|hwdp)\b")
_CUTTING_CODE = re.compile(
    r"(?:^|-- ?)(?:drill|drilling|ream|reaming|core|coring|mill|hole open\w*|under ?ream\w*)$"
)
_BY_CODE = {"ream": words.REAM, "reaming": words.REAM, "core": words.CORE, "coring": words.CORE,
            "mill": words.MILL}  # fmt: skip


@dataclass(frozen=True)
class Counted:
    """How much of a row one clock counts: `s` whole seconds, None = unknown, at most `most_s`; and `why`."""

    s: int | None
    most_s: int | None
    why: str


@dataclass(frozen=True)
class Judged:
    """What a row counts for: `verdict`, the `work` in it, `clocks` by the line's clocks, and its problems."""

    verdict: str
    work: str
    clocks: Mapping[str, Counted]
    problems: tuple[Problem, ...]

    @property
    def counted_or_open(self) -> bool:
        """Whether some rotation is proposed, or asked for."""
        return self.clocks["rotating_s"].s != 0


@dataclass(frozen=True)
class Depths:
    """Depths of the bit about a row in nanometres: `before` it, at its `end`, and the `deepest` so far."""

    before: int | None = None
    end: int | None = None
    deepest: int | None = None

    @property
    def made_hole(self) -> bool:
        """Whether the row ends deeper than the hole ever was; false where nobody knows."""
        return self.end is not None and self.deepest is not None and self.end > self.deepest


def judged(row: DailyRow, lasts: int | None, depths: Depths) -> Judged:
    """Return what `row` counts for, by the words of its remark first and its code after.

    `lasts` is how long it lasts in whole seconds (None unknown), `depths` those about it in nanometres. A
    row coded as drilling whose words say tripping does not turn. Words of tripping and of turning in one
    row leave the time unknown, at most the row's: a person says how much. Raises nothing. Source: table
    hours_basis and words seen in daily reports, common practice.
    """
    said = words.said_in(row.remark)
    problems: list[Problem] = []
    turning = set(said.turning)
    if not turning and _CUTTING_CODE.search(row.activity.casefold().strip()):
        found = _by_code(row, said, depths, problems)
        if found is None:
            return _asked(row, lasts, said, depths, problems)
        turning = found
    if _is(row.state, "fail"):
        how = asks if turning else note
        _say(problems, how, row, "D07", f"Row {row.n} is marked “fail”: look whether its time counts.")
    clocks = _turned(row, lasts, said, turning, problems)
    clocks["circulating_s"] = _circulated(lasts, said, turning)
    clocks["below_rotary_s"] = _below(row, lasts, said, depths, turned=bool(turning))
    rotated = clocks["rotating_s"], clocks["sliding_s"]
    if any(one.s is None for one in rotated) and (turning or lasts is None):
        verdict = ASK
    else:
        verdict = COUNTED if any(one.s for one in rotated) else NOT_COUNTED
    return Judged(verdict, _work(said, turning), MappingProxyType(clocks), tuple(problems))


def _say(
    problems: list[Problem], how: Callable[..., Problem], row: DailyRow, code: str, text: str
) -> None:
    problems.append(how(text, code=code, where=f"row {row.n}"))


def _is(text: str, word: str) -> bool:
    return text.strip().casefold().startswith(word)


def _by_code(
    row: DailyRow, said: Said, depths: Depths, problems: list[Problem]
) -> set[str] | None:
    """A row coded as cutting whose words name no work that turns: by its depth, or None = nobody can say."""
    quiet = said.work & {words.TRIP, words.STILL, words.HANDLE, words.CIRCULATE, words.PUMP, words.MOMENT}
    if depths.made_hole and words.TRIP not in quiet:
        _say(problems, asks, row, "D06", f"Row {row.n}: its words do not say so, but it is coded "
             f"“{row.activity}” and made hole: counted whole. Is it right?")  # fmt: skip
        last = row.activity.casefold().split()[-1]
        return {_BY_CODE.get(last, words.DRILL)}
    if quiet:
        _say(problems, note, row, "D05", f"Row {row.n} is coded “{row.activity}”, its words say "
             f"{words.named(quiet)}: no rotation is counted.")  # fmt: skip
        return set()
    return None


def _asked(
    row: DailyRow, lasts: int | None, said: Said, depths: Depths, problems: list[Problem]
) -> Judged:
    why = f"coded “{row.activity}”, but neither its words nor its depth say that anything turned"
    _say(problems, asks, row, "D06", f"Row {row.n} is {why}. How long did it?")
    names = ("rotating_s", "sliding_s", "circulating_s", "bottom_s")
    clocks = {name: Counted(None, lasts, why) for name in names}
    clocks["below_rotary_s"] = _below(row, lasts, said, depths, turned=False)
    return Judged(ASK, "not said", MappingProxyType(clocks), tuple(problems))


def _work(said: Said, turning: set[str]) -> str:
    if turning:
        return words.named(turning - {words.ROTATE} or turning)
    for work in (words.TRIP, words.CIRCULATE, words.STILL, words.HANDLE, words.PUMP):
        if work in said.work:
            return work
    return "other"


def _turned(
    row: DailyRow, lasts: int | None, said: Said, turning: set[str], problems: list[Problem]
) -> dict[str, Counted]:
    none = Counted(0, 0, _why_not(row, said))
    if not turning:
        if words.MOMENT in said.work:
            _say(problems, note, row, "D08", f"Row {row.n} turned for a moment (a weight, a torque or some "
                 "turns): not counted.")  # fmt: skip
        return {"rotating_s": none, "sliding_s": none, "bottom_s": none}
    names = words.named(turning)
    if words.TRIP in said.work or _only_rotating(said, turning):
        other = "tripping" if words.TRIP in said.work else "no circulating"
        why = f"words of {names} and of {other} stand in one row: how long it turned is not said"
        _say(problems, asks, row, "D09", f"Row {row.n}: {why}. It is at most the row's time.")
        unknown = Counted(None, lasts, why)
        none_slid = Counted(0, 0, "no word of sliding")
        cut = turning & {words.DRILL, words.CORE, words.SLIDE}
        return {"rotating_s": unknown, "sliding_s": unknown if words.SLIDE in turning else none_slid,
                "bottom_s": unknown if cut else Counted(0, 0, "no word of drilling")}  # fmt: skip
    whole = Counted(lasts, lasts, f"the row says {names}")
    return _split(row, lasts, said, turning, whole, problems)


def _only_rotating(said: Said, turning: set[str]) -> bool:
    """Rotation without pumps is a tool that is set or freed more often than a string that turns for hours."""
    return turning == {words.ROTATE} and not said.work & {words.CIRCULATE, words.PUMP}


def _split(
    row: DailyRow, lasts: int | None, said: Said, turning: set[str], whole: Counted, problems: list[Problem]
) -> dict[str, Counted]:
    zero = Counted(0, 0, "no word of sliding")
    rotating, sliding = whole, zero
    if words.SLIDE in turning:
        if turning & (words.TURNING - {words.SLIDE, words.DRILL}):
            stated = _stated_slide(row.remark, lasts)
            why = "the row rotates and slides"
            if stated is None or lasts is None:
                why += ", and how long each is not said"
                rotating = sliding = Counted(None, lasts, why)
                _say(problems, asks, row, "D10", f"Row {row.n}: {why}. Split it.")
            else:
                sliding = Counted(stated, stated, f"{why}; sliding stands in it")
                rotating = Counted(lasts - stated, lasts - stated, f"{why}; the rest of the row")
        else:
            sliding, rotating = whole, Counted(0, 0, "the row says sliding: above the motor nothing turns")
    if _LINER.search(words.folded(row.remark)):
        _say(problems, note, row, "D16", f"Row {row.n} turns a liner or casing: it and its running string "
             "turned, not the drilling string.")  # fmt: skip
    cut = turning & {words.DRILL, words.CORE, words.SLIDE}
    other = turning & {words.REAM, words.MILL, words.CEMENT} or said.work & {words.CIRCULATE}
    if not cut:
        bottom = Counted(0, 0, f"{words.named(turning)} makes no new hole")
    elif other:
        bottom = Counted(None, lasts, "drilling and other work stand in one row")
        _say(problems, note, row, "D11", f"Row {row.n}: drilling and other work stand in one row; the time "
             "on bottom is not said.")  # fmt: skip
    else:
        bottom = whole
    if words.STILL in said.work and turning:
        _say(problems, note, row, "D12", f"Row {row.n}: a check, a test or a wait stands in it too; the "
             "whole row is counted, the safe side.")  # fmt: skip
    return {"rotating_s": rotating, "sliding_s": sliding, "bottom_s": bottom}


_LINER = re.compile(r"\b(?:rotat\w*|ream\w*) (?:the )?(?:liner|casing|csg)\b")
_SLID_FOR = re.compile(
    r"\bslid(?:e|ing)?\b[^.;]{0,20}?(?<![\d.,])(\d{1,2})(?:[.,](\d{1,2}))? ?(%|h(?:rs?|ours?)?\b)"
)


def _stated_slide(remark: str, lasts: int | None) -> int | None:
    """Seconds of sliding that the remark states, in hours or in percent of the row."""
    found = _SLID_FOR.search(words.folded(remark))
    if found is None or lasts is None:
        return None
    part = found[2] or "0"
    hundredths = int(found[1]) * 100 + int(part) * 10 ** (2 - len(part))
    seconds = lasts * hundredths // 10_000 if found[3] == "%" else 36 * hundredths
    return seconds if seconds <= lasts else None


def _why_not(row: DailyRow, said: Said) -> str:
    if words.TRIP in said.work:
        return "tripping is not rotation, whatever its code"
    if words.MOMENT in said.work:
        return "it turned for a weight, a torque or some turns only"
    if said.work & {words.CIRCULATE, words.PUMP}:
        return "pumps on without a word of rotation"
    return "no word of rotation"


def _circulated(lasts: int | None, said: Said, turning: set[str]) -> Counted:
    wet = (said.work | turning) & words.WET
    if turning & {words.DRILL, words.CORE, words.CEMENT, words.REAM, words.MILL, words.SLIDE} and (
        words.TRIP not in said.work
    ):
        return Counted(lasts, lasts, "circulating takes in drilling, reaming and milling")
    if wet & {words.CIRCULATE} or (turning and wet):
        whole = turning and words.TRIP not in said.work
        if said.work & {words.TRIP, words.STILL, words.HANDLE} and not whole:
            return Counted(None, lasts, "circulating and other work stand in one row")
        return Counted(lasts, lasts, "the row says circulating")
    if words.PUMP in wet:
        if said.work & {words.TRIP, words.STILL, words.HANDLE}:
            return Counted(0, 0, "a slug or a fill while other work went on: some minutes, not counted")
        return Counted(None, lasts, "something was pumped; how long is not said")
    if turning:
        return Counted(None, lasts, "the row turns, and says nothing of the pumps")
    return Counted(0, 0, "no word of the pumps")


def _below(row: DailyRow, lasts: int | None, said: Said, depths: Depths, *, turned: bool) -> Counted:
    if turned:
        return Counted(lasts, lasts, "the string turned in the hole")
    if _ON_WIRE.search(row.activity.casefold()) and not _BY_PIPE.search(row.remark.casefold()):
        return Counted(0, 0, "on wire: no string in the hole")
    if depths.end is None:
        return Counted(None, lasts, "the row has no depth")
    if depths.end > 0:
        return Counted(lasts, lasts, "the string was in the hole at the end of the row")
    if depths.before:
        return Counted(None, lasts, "the string came out of the hole during the row")
    return Counted(0, 0, "no depth, and no string in the hole before it")
