"""What an end of a joint needs against what the report says, and what a repair that was done leaves open."""

import re
from collections.abc import Iterator

from inspection.calc.ends import STATES
from inspection.calc.report_readings import as_found, end_state
from inspection.calc.report_typed import TypedJoint, TypedReport
from inspection.calc.verdict import Outcome
from rack.calc.checks import Problem, asks

_CP = "common practice"
_NS2 = "NS-2 Repair Procedures rev.1 (2015), items 1-5"
DONE = re.compile(
    r"\b(?:rf|rc|reface|refaced|recut|recuts|chased?)\b.*\bdone\b|\bdone\b.*\b(?:rf|rc|reface|recut)\b"
    r"|\b(?:was|were|been) (?:refaced|recut)\b|\b(?:refaced|re-faced|recutted)\b", re.I)  # fmt: skip
BENCH = re.compile(r"\b(?:bench ?mark|bm|b/m)\b", re.I)
NO_BENCH = re.compile(r"\b(?:no|without|w/o|missing|gone)\s+(?:a\s+)?(?:bench ?mark|bm|b/m)\b"
                       r"|\b(?:bench ?mark|bm|b/m)\s+(?:gone|missing|not)\b", re.I)  # fmt: skip
_NEW_LENGTH = re.compile(
    r"\b(?:new|re-?measured|re-?strapped|after)\b[^|;]*\b(?:lgth|length|l)\b"
    r"|\b(?:lgth|length)\b[^|;]*\b(?:new|now|after)\b|\b(?:re-?measured|re-?strapped)\b", re.I)  # fmt: skip
#: A bent joint that was put right before it was classed.
STRAIGHTENED = re.compile(r"\bstraightened\b|\bstr\.?\s+done\b|\bstraight now\b", re.I)


def ask(joint: TypedJoint, text: str, code: str, **more: str) -> Problem:
    """Return a question about one `joint`: its name and `text`, with the `code` of the check.

    `more` are fields of a problem. Raises nothing. Source: common practice unless `more` says.
    """
    return asks(f"{joint.said[:1].upper()}{joint.said[1:]}: {text}", code=code, where=joint.where,
                source=more.pop("source", _CP), **more)


def end_problems(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    """Yield where what an end of `joint` needs by its readings is not what the `report` says of it.

    Raises nothing. Source: limits as `classify`; words of the paper samples.
    """
    verdict = as_found(joint, report)
    for name, end in (("box", joint.box), ("pin", joint.pin)):
        said = end_state(end.cond)
        if end.cond and not said:
            yield ask(joint, f"“{end.cond[:30]}” at the {name}: what does that end need?", "cond")
        if said != "ok" or verdict is None or DONE.search(end.cond) or end.cond.lower() == "done":
            continue
        needs = [
            check
            for check in verdict.checks
            if check.part == name
            and check.outcome in (Outcome.REPAIR, Outcome.REJECTS)
            and check.code not in ("state",)
        ]
        worst = max(needs, key=lambda check: STATES.index(check.repair or "ok"), default=None)
        if worst is not None and not _done_in(joint, name):
            yield ask(
                joint,
                f"the {name} is said to be {end.cond}. {worst.words}",
                "cond",
                measured=worst.measured,
                limit=worst.limit,
                unit=worst.unit,
                source=worst.source,
            )


def _done_in(joint: TypedJoint, end: str) -> bool:
    return bool(DONE.search(joint.remarks))


def repair_problems(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    """Yield what a reface or recut that was done leaves open: the length is void, a bench mark is needed.

    `joint` is the row of `report`. Raises nothing. Source: NS-2 repair procedures; trade guide 12.
    """
    told = [name for name, end in (("box", joint.box), ("pin", joint.pin)) if DONE.search(end.cond)]
    if not told and not DONE.search(joint.remarks):
        return
    where = " and ".join(told) or "an end"
    faced = _is_faced(joint)
    if faced and NO_BENCH.search(joint.words):
        yield ask(
            joint,
            f"{where} refaced without a bench mark: not allowed.",
            "bench",
            source=_NS2,
        )
    elif faced and not BENCH.search(joint.words):
        yield ask(
            joint,
            f"{where} refaced, and no bench mark is mentioned: was there one?",
            "bench",
            source=_NS2,
        )
    if not _NEW_LENGTH.search(joint.words):
        yield ask(joint, f"{where} refaced or recut: the length is void, and no new one is given.", "length")


def _is_faced(joint: TypedJoint) -> bool:
    return bool(re.search(r"\brf\b|re-?fac", joint.words))
