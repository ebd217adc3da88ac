"""A row of a report as it is recorded: ends and readings by stage, what stays words."""

import re
from collections.abc import Iterator

from inspection.calc.class_words import read_bands
from inspection.calc.effects import Ends
from inspection.calc.methods import scopes_reset
from inspection.calc.readings import Look, Reading
from inspection.calc.report_readings import end_state, is_bent, is_clear, is_ok, readings_of
from inspection.calc.report_repairs import BENCH, DONE, NO_BENCH, STRAIGHTENED
from inspection.calc.report_typed import TypedEnd, TypedJoint, TypedReport

_PAST = ((r"re-?faced", "reface"), (r"re-?cut", "recut"))
_WORDS = ("seal", "threads")


def ends_of(joint: TypedJoint) -> Ends:
    """Return what is to be done with box and pin of `joint` as found and after repair.

    "RF done" is reface as found and ok after. No unit; raises nothing. Source: columns of the paper samples.
    """
    (box_found, box_after), (pin_found, pin_after) = _end(joint, "box"), _end(joint, "pin")
    return Ends(box_found, box_after, pin_found, pin_after)


def _end(joint: TypedJoint, name: str) -> tuple[str, str]:
    end: TypedEnd = getattr(joint, name)
    wanted = end_state(_without_done(end.cond)) if end.cond else ""
    told = bool(DONE.search(end.cond)) or "done" in end.cond.lower().split()
    if told and wanted in ("", "ok"):
        wanted = next((state for word, state in _PAST if re.search(word, end.cond, re.I)), wanted)
    if told:
        return (wanted, "ok") if wanted not in ("", "ok") else ("ok", "ok")
    remark = next(
        (part for part in re.split(r"[,;|]", joint.remarks) if DONE.search(part) and _is_of(part, name)), ""
    )
    if remark:
        worked = end_state(_without_done(remark)) or wanted
        return (worked if worked not in ("", "ok") else "reface", "ok")
    return wanted, ""


def _without_done(text: str) -> str:
    return re.sub(r"\b(?:done|was|were|been)\b", " ", text, flags=re.I)


def _is_of(remark: str, end: str) -> bool:
    """Whether a remark is of this end: it names it, or it names none and so means both."""
    words = remark.lower()
    named = [one for one in ("box", "pin") if re.search(rf"\b{one}\b", words)]
    return end in named or (not named and "both" in words)


def reads_of(joint: TypedJoint) -> tuple[tuple[Reading, str], ...]:
    """Return the readings of `joint`, each with its stage "found" or "after", in the order of the row.

    What was mended is read again as good; a stretch whose threads were cut away is no reading any more, see
    `seen_of`. Sizes in nm; raises nothing. Source: readings as `readings_of`; trade guide 12.
    """
    ends, found = ends_of(joint), list(readings_of(joint))
    if _recut(ends):
        found = [one for one in found if (one.what, one.part) != ("lead", "pin")]
    return (*((one, "found") for one in found), *_after(joint, ends))


def _after(joint: TypedJoint, ends: Ends) -> Iterator[tuple[Reading, str]]:
    for name, found, after in (("box", ends.box_found, ends.box_after),
                               ("pin", ends.pin_found, ends.pin_after)):  # fmt: skip
        end: TypedEnd = getattr(joint, name)
        if found in ("", "ok") or after != "ok":
            continue
        for what in _WORDS if found != "reface" else ("seal",):
            word = getattr(end, what)
            if word.strip() and not is_ok(word):
                yield Reading(what, name, word="ok"), "after"
        marked = "no" if NO_BENCH.search(joint.words) else "yes" if BENCH.search(joint.words) else ""
        if marked:
            yield Reading("bench_mark", name, word=marked), "after"
    if is_bent(joint) and STRAIGHTENED.search(joint.words):
        yield Reading("bent", count=0), "after"


def _recut(ends: Ends) -> bool:
    return ends.pin_found in ("recut", "shop") and ends.pin_after == "ok"


def is_mended(joint: TypedJoint) -> bool:
    """Say whether the tube of `joint` was put right before it was classed. Raises nothing.

    Source: words of the paper samples.
    """
    return is_bent(joint) and bool(STRAIGHTENED.search(joint.words))


def seen_of(joint: TypedJoint) -> tuple[tuple[str, str], ...]:
    """Return what no figure of `joint` says, each with its place: defects, coating, hardband, cells in words.

    No unit; raises nothing. Source: columns of the paper samples.
    """
    found = [(joint.defect, "tube")]
    if joint.coating:
        found.append((f"internal coating {joint.coating}", "tube"))
    for role, text in (("EMI", joint.emi), ("slip and upset", joint.slip)):
        if text.strip() and not is_clear(text):
            found.append((f"{role}: {text}", "tube"))
    for name in ("box", "pin"):
        end: TypedEnd = getattr(joint, name)
        if end.hardband and not is_ok(end.hardband):
            found.append((f"hardband {end.hardband}", name))
        if end.cond and not is_ok(end.cond):
            found.append((f"said of the end: {end.cond}", name))
    if _recut(ends_of(joint)) and joint.pin.lead is not None:
        found.append((f"stretch as found {joint.pin.lead.shown('in', 3)} in, before it was recut", "pin"))
    return tuple((text[:200], where) for text, where in found if text.strip())


def paint_of(joint: TypedJoint) -> str:
    """Return the paint of `joint`, "" where its cell is no paint (it is kept in the remarks then).

    No unit; raises nothing. Source: bands as `read_bands`.
    """
    return joint.bands if joint.bands and read_bands(joint.bands) else ""


def remarks_of(joint: TypedJoint) -> str:
    """Return the remarks of `joint` with what has no column of its own. Raises nothing. Source: the row."""
    parts = [joint.remarks]
    if joint.bands and not paint_of(joint):
        parts.append(f"bands: {joint.bands}")
    if joint.stencil:
        parts.append(f"stencil {joint.stencil}")
    return "; ".join(part for part in parts if part)[:300]


def scope_of(report: TypedReport) -> str:
    """Return the widest scope that the methods of `report` make: "full", "tube", "connections", "visual".

    No unit; raises nothing. Source: `scopes_reset`.
    """
    kind = report.head.spec.kind if report.head.spec else "drill_pipe"
    reset = scopes_reset([Look(method, "nothing to reject") for method in report.head.methods], kind)
    if {"tube", "connections"} <= reset:
        return "full"
    return next((scope for scope in ("full", "tube", "connections") if scope in reset), "visual")
