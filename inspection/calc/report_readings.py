"""A row of a report as readings and looks, so that it is judged like any other inspection."""

import re
from functools import lru_cache

from inspection.calc.classify import Verdict, classify
from inspection.calc.readings import Look, Reading
from inspection.calc.report_typed import TypedEnd, TypedJoint, TypedReport

_OK = frozenset({"ok", "okay", "good", "o.k.", "none", "nil", "clear", "pass", "passed", "/", "✓", "x ok",
                 "done", "no indication", "nothing to reject", "no", "n", "0"})  # fmt: skip
_CRACK = re.compile(r"\b(?:crack(?:s|ed)?|ck|wash(?:ed)?[ -]?out|hole)\b", re.I)
_NO_CRACK = re.compile(r"\b(?:no|not|without|nil|0)\s+(?:cracks?|cracked|indications?)\b|\bcrack[- ]free\b"
                       r"|\b(?:drain|ref\w*|std)[^|]{0,12}\bhole\b|\bcracks?\s*:?\s*(?:none|nil|no)\b"
                       r"|\bmouse ?hole\b|\bcrack test\w*|\bwashed? ?out (?:seal|thread|face)",
                       re.I)  # fmt: skip
_STATE = (("reject", ("dbr", "beyond repair", "reject", "scrap", "junk")), ("shop", ("shop", "sr")),
          ("recut", ("rc", "recut", "re-cut", "recut box", "recut pin")),
          ("reface", ("rf", "reface", "re-face", "fr", "refaced", "field reface")),
          ("ok", ("ok", "okay", "good", "done", "none", "o.k.", "accept")))  # fmt: skip
#: A wall of two inches is none: it was read in another unit.
_NO_WALL = 50_800_000
_WASHED = re.compile(r"\bwash", re.I)


def is_ok(text: str) -> bool:
    """Say whether the cell `text` has nothing to reject. Raises nothing. Source: paper samples."""
    return " ".join(text.lower().split()) in _OK


def is_clear(text: str) -> bool:
    """Say whether the cell `text` of a scan says that nothing was found: "OK", "no crack", "nil found".

    Raises nothing. Source: paper samples.
    """
    words = " ".join(text.lower().split())
    return is_ok(text) or bool(re.match(r"(?:no|nil|without|free|clear)\b", words)) or "crack free" in words


def has_crack(joint: TypedJoint) -> bool:
    """Say whether any word of `joint` is of a crack, a washout or a hole ("no crack" is none).

    Raises nothing. Source: paper samples.
    """
    return bool(_CRACK.search(_NO_CRACK.sub(" ", joint.words)))


def is_bent(joint: TypedJoint) -> bool:
    """Say whether the straightness of `joint` says bent. Raises nothing. Source: paper samples ("OK / B")."""
    return " ".join(joint.straight.lower().split()) in ("b", "bent", "bend", "crooked", "hooked", "hook end")


def end_state(text: str) -> str:
    """Return what an end's condition wants: "ok", "reface", "recut", "shop", "reject", "" unknown.

    `text` is the cell; "RF done" is ok: what was to be done was done. Raises nothing. Source: paper samples.
    """
    spelled = " ".join(re.sub(r"[^a-z0-9.\- ]", " ", text.lower()).split())
    if not spelled:
        return ""
    words = spelled.split()
    if "done" in words or spelled in ("refaced", "recutted"):
        return "ok"
    for state, known in _STATE:
        if (
            spelled in known
            or any(word in known for word in words)
            or any(" " in word and word in spelled for word in known)
        ):
            return state
    return ""


def _end(name: str, end: TypedEnd) -> list[Reading]:
    sizes = {
        "od": end.od,
        "shoulder": end.shoulder,
        "counterbore": end.counterbore,
        "tong": end.tong,
        "bore": end.bore,
        "lead": end.lead,
    }
    found = [
        Reading(what, name, nm=size.nanometres)
        for what, size in sizes.items()
        if size is not None
        and (what, name) not in (("shoulder", "pin"), ("counterbore", "pin"), ("lead", "box"))
    ]
    for what, word in (("seal", end.seal), ("threads", end.threads)):
        if word.strip():
            found.append(Reading(what, name, word="ok" if is_ok(word) else word.strip().lower()))
    if end_state(end.cond) == "reject":
        found.append(Reading("state", name, word="reject"))
    return found


def readings_of(joint: TypedJoint) -> tuple[Reading, ...]:
    """Return the readings of a row, `joint`, as found: tube, box, pin. A wall in another unit is left out.

    Raises nothing. Source: paper samples.
    """
    found = [*_end("box", joint.box), *_end("pin", joint.pin)]
    if joint.wall is not None and joint.wall.nanometres < _NO_WALL:
        found.append(Reading(_cause(joint.defect) or "wall", nm=joint.wall.nanometres))
        if _cause(joint.defect):
            found.append(Reading("wall", nm=joint.wall.nanometres))
    if joint.od is not None:
        worn = re.search(r"\bwear|worn\b", joint.defect, re.I)
        necked = re.search(r"\bneck|crush|dent|mash|stretch", joint.defect, re.I)
        found.append(Reading("od_worn" if worn and not necked else "od", nm=joint.od.nanometres))
    if joint.straight.strip():
        found.append(Reading("bent", count=int(is_bent(joint))))
    if has_crack(joint):
        found.append(Reading("crack", count=1))
    return tuple(found)


def _cause(defect: str) -> str:
    """A cut whose wall left is the wall that was read: across stays at 80 %."""
    words = defect.lower()
    if not re.search(r"\b(cuts?|gouges?|notch|slip (?:mark|damage))", words):
        return ""
    return (
        "cut_along"
        if re.search(r"along|longitudinal|axial", words)
        else ("cut_across" if re.search(r"across|transverse|circumferential", words) else "")
    )


def looks_of(joint: TypedJoint, report: TypedReport) -> tuple[Look, ...]:
    """Return the looks of one row, `joint`: each method of the scope with its result, "" where it is blank.

    `report` names the methods and the columns. Raises nothing. Source: blank = not done, paper samples.
    """
    cells = {
        "EMI": ("tube_emi", joint.emi),
        "MPI-D": ("tube_slip", joint.slip),
        "VT-T": ("tube_straight", joint.straight),
        "UTW": ("tube_wall", "ok" if joint.wall is not None and joint.wall.nanometres < _NO_WALL else ""),
        "ODG": ("tube_od", "ok" if joint.od is not None else ""),
    }
    found = []
    for method in report.head.methods:
        role, text = cells.get(method, ("", ""))
        if role and role in report.columns:
            result = "" if not text.strip() else "nothing to reject"
            if role != "tube_straight" and text.strip() and not is_clear(text):
                result = "indication"
            found.append(Look(method, result))
        else:
            found.append(Look(method, "nothing to reject"))
    return tuple(found)


@lru_cache(maxsize=4096)
def _judged(
    readings: tuple[Reading, ...], looks: tuple[Look, ...], report_key: tuple[object, ...]
) -> Verdict:
    spec, by = report_key
    return classify(readings, spec, by, looks=looks)  # type: ignore[arg-type]


def as_found(joint: TypedJoint, report: TypedReport) -> Verdict | None:
    """Return the verdict on one row, `joint`, as found, None where the head's pipe is not understood.

    `report` gives specification and scheme. Raises nothing. Source: `classify`.
    """
    if report.head.spec is None or report.head.spec.kind not in (
        *report.by.kinds,
        *(() if report.by.kinds else (report.head.spec.kind,)),
    ):
        return None
    return _judged(readings_of(joint), looks_of(joint, report), (report.head.spec, report.by.code))
