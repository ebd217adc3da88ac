"""Head and foot of an inspection report: labels, each with what stands beside it."""

import re
from collections.abc import Mapping, Sequence

from inspection.calc.criteria import Scheme, scheme, schemes
from inspection.calc.report_mapping import plain
from inspection.calc.report_typed import Instrument, Person, ReportFoot, ReportHead
from inspection.exchange.report_cells import day
from rack.calc.checks import Problem, asks
from rack.calc.connections import canonical
from rack.calc.items import read_item
from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts

_LABELS = {
    "number": ("REPORTNO", "REPORT", "REPORTNUMBER", "REPORTNR"),
    "job": ("JOBTICKET", "JOB", "TICKET", "JOBNO"),
    "order": ("CUSTOMERORDER", "ORDER", "PO", "PURCHASEORDER"), "place": ("PLACE", "LOCATION", "YARD"),
    "first": ("DATESTARTED", "STARTED", "FIRSTDAY", "FROM", "DATE", "DATEFROM", "STARTDATE"),
    "last": ("DATEFINISHED", "FINISHED", "LASTDAY", "TO", "DATETO", "ENDDATE", "DATECOMPLETED"),
    "inspectors": ("INSPECTORS", "INSPECTOR", "INSPECTEDBY"),
    "pipe": ("PIPE", "LOT", "TUBULAR", "MATERIAL", "SIZE", "ITEM"),
    "connection": ("CONNECTION", "CONN", "THREAD"),
    "joint": ("TOOLJOINTNEW", "TOOLJOINT", "TJNEW", "TJ", "NEWTOOLJOINT"), "hardband": ("HARDBAND", "HB"),
    "scope": ("SCOPE", "METHODS", "PROGRAMME", "SERVICES"),
    "acceptance": ("ACCEPTANCE", "CRITERIA", "ACCEPTANCECRITERIA", "STANDARD"),
    "addendum": ("CUSTOMERADDENDUM", "ADDENDUM"), "equipment": ("EQUIPMENT", "INSTRUMENTS", "CALIBRATION"),
    "customer": ("CUSTOMER", "CLIENT", "WEATHER", "RIG", "WELL", "GRADE", "WEIGHT", "RANGE"),
}  # fmt: skip
_LABEL = {key: name for name, keys in _LABELS.items() for key in keys}
#: What a head may say, in the order of the page.
HEAD_NAMES = ("company", "number", "job", "order", "place", "first", "last", "inspectors", "pipe",
              "connection", "joint", "hardband", "scope", "acceptance", "addendum", "equipment")  # fmt: skip
_LISTED = ("inspectors", "scope", "equipment")
#: Words of a scope -> method, the first that fits of each method.
_METHODS = (
    ("VT-T", r"visual[^,;]*\btube|full[- ]length visual|\bvt-?t\b|\bvti\b"),
    ("VT-C", r"visual[^,;]*\bconnection|\bvt-?c\b|\bvtc\b|thread inspection|visual connection"),
    ("ODG", r"\bod gaug|\bodg\b|outside diameter gaug|od calip"),
    ("UTW", r"\but wall|ultrasonic wall|wall thickness|\butw\b"), ("EMI", r"\bemi\b|electromagnetic"),
    ("FLUT", r"full[- ]length ul|\bflut\b"),
    ("MPI-D", r"\b(?:mt|mpi|magnetic)\b[^,;]*\b(?:slip|upset|ends?|critical)"
              r"|slip[^,;]*\b(?:mt|mpi|magnetic)"),
    ("UTS", r"\b(?:ut|ultrasonic)\b[^,;]*\b(?:slip|upset|end area)"),
    ("MPI-F", r"black ?light|fluorescent|\bmpi-?f\b"), ("PT", r"\b(?:liquid )?penetrant\b|\bpt\b|\blpi\b"),
    ("DIM2", r"dim(?:ensional)? ?2\b"), ("DIM1", r"dim(?:ensional)? ?1\b|tool[- ]joint dim|dimension"),
    ("HCK", r"heat check"), ("CORR", r"\bipc\b|coating"),
)  # fmt: skip
_DUE = re.compile(r"\b(?:cal(?:ibration|ibrated|\.)?\s*)?"
                  r"(?:due|valid (?:to|until)|exp(?:\.|ires|iry)?|until)\s*:?\s*"
                  r"(\d{1,4}[-./ ]?[A-Za-z0-9]+[-./ ]?\d{0,4})", re.I)  # fmt: skip
_LEVEL = re.compile(r"\b(?:lvl|level|l)\s*\.?\s*(III|II|I|3|2|1)\b", re.I)
_TO = re.compile(r"\b(?:to|until|exp(?:\.|ires|iry)?|valid (?:to|until))\s*:?\s*"
                 r"(\d{1,4}[-./ ]?[A-Za-z0-9]+[-./ ]?\d{0,4}|[A-Za-z]{3,9}[-. ]\d{2,4})", re.I)  # fmt: skip


def labelled(rows: Sequence[Sequence[str]]) -> dict[str, list[str]]:
    """Return the cells beside each label that is known, or behind its colon."""
    found: dict[str, list[str]] = {}
    for cells in rows:
        name = ""
        for cell in cells:
            text = " ".join(cell.split())
            if not text:
                continue
            before, colon, after = text.partition(":")
            label = _LABEL.get(plain(before if colon else re.sub(r"\(.*?\)", "", text)), "")
            if label:
                name = label
                if after.strip():
                    found.setdefault(name, []).append(after.strip())
            elif name:
                found.setdefault(name, []).append(text)
    return found


def head_texts(rows: Sequence[Sequence[str]]) -> dict[str, str]:
    """Return what the head says, by the names of `HEAD_NAMES`, "" where it says nothing."""
    labels = labelled(rows)
    found = {name: (labels.get(name) or [""])[0][:300] for name in HEAD_NAMES}
    found |= {name: "; ".join(labels.get(name, ()))[:600] for name in _LISTED}
    found["company"] = next((cell.strip()[:80] for cells in rows[:3] for cell in cells if cell.strip()), "")
    return found


def head_of(
    rows: Sequence[Sequence[str]], problems: list[Problem], *, said: Mapping[str, str] | None = None
) -> ReportHead:
    """Return the head; a day that cannot be read, or pipe that is not understood, is named in `problems`.

    `said` is what a person put right, by the names of `HEAD_NAMES`; it takes the place of what stands there.
    """
    texts = head_texts(rows) | {name: text for name, text in (said or {}).items() if name in HEAD_NAMES}

    def first(name: str) -> str:
        return texts[name]

    def the_day(name: str) -> object:
        text = first(name)
        when, doubtful = day(text)
        if text and when is None:
            why = "may be two different days" if doubtful else "is no day that can be read"
            problems.append(asks(f"The date “{text[:30]}” {why}.", code="days", where=name))
        return when

    acceptance = first("acceptance")
    by, accepted_to = acceptance_of(acceptance)
    scope = first("scope")
    begun, ended = the_day("first"), the_day("last")
    return ReportHead(
        company=first("company")[:80],
        number=first("number")[:40], job=first("job")[:40], order=first("order")[:40],
        place=first("place")[:80],
        first_day=begun, last_day=ended, inspectors=_people(first("inspectors")),  # type: ignore[arg-type]
        spec=_spec(first("pipe"), first("connection"), first("joint")), hardband=first("hardband")[:60],
        scope=scope, methods=_methods(scope), acceptance=acceptance[:120], scheme=by,
        accepted_to=accepted_to, addendum=first("addendum")[:120],
        instruments=_instruments([first("equipment")]),
    )  # fmt: skip


def _people(text: str) -> tuple[Person, ...]:
    found = []
    for part in re.split(r"[;\n]| and ", text):
        if not part.strip():
            continue
        level, until = _LEVEL.search(part), _TO.search(part)
        name = re.split(r",|\blevel\b|\blvl\b|\(", part, flags=re.I)[0].strip()
        found.append(
            Person(
                name[:60], f"Level {level[1].upper()}" if level else "", day(until[1])[0] if until else None
            )
        )
    return tuple(found[:20])


def _instruments(cells: Sequence[str]) -> tuple[Instrument, ...]:
    found = []
    for cell in cells:
        for part in cell.split(";"):
            due = _DUE.search(part)
            name = re.split(r"\bcal(?:\.|ibration|ibrated)?\b|\bdue\b", part, flags=re.I)[0].strip(" ,:")
            if name:
                found.append(Instrument(name[:60], day(due[1])[0] if due else None))
    return tuple(found[:40])


def _methods(scope: str) -> tuple[str, ...]:
    words = scope.lower()
    found = [code for code, pattern in _METHODS if re.search(pattern, words)]
    if re.search(r"visual tube and connections?", words):
        found = ["VT-T", "VT-C", *(code for code in found if code not in ("VT-T", "VT-C"))]
    return tuple(found)


def acceptance_of(text: str) -> tuple[str, str]:
    """Return scheme and class that an acceptance names: "DS-1 4th ed., Premium"; "" where it does not.

    A document without its edition names no scheme: the reader is told which one is used.
    """
    words = text.lower()
    by: Scheme | None = None
    if re.search(r"\bds-?1\b", words):
        by = scheme("ds1_4th")
    elif re.search(r"7g-?2|10407", words):
        by = (
            scheme("api_rp7g2_2020" if "2020" in words else "api_rp7g2_2009")
            if re.search(r"20(?:09|15|20)", words)
            else None
        )
    names = {name for one in ([by] if by else schemes()[:1]) for name in one.names}
    named = next((name for name in sorted(names, key=len, reverse=True) if name.lower() in words), "")
    return by.code if by else "", named


def _spec(pipe: str, connection: str, joint: str) -> SpecFacts | None:
    """The lot as one specification; tool joint new as "6 5/8 x 3 1/2"."""
    words = f"{pipe} {connection}".strip()
    if not pipe:
        return None
    try:
        spec = read_item(f"{words} drill pipe"[:300])[0] or read_item(f"{pipe} drill pipe"[:300])[0]
    except ValueError:
        return None
    if spec is None or spec.kind != "drill_pipe":
        return spec
    values = dict(vars(spec))
    if connection and not spec.up_conn:
        try:
            name = canonical(connection)
            values.update(up_conn=name, up_gender="box", down_conn=name, down_gender="pin")
        except ValueError:
            pass
    sizes = re.split(r"\s*[x×]\s*", joint, flags=re.I)
    for field, text in zip(("tj_od_nm", "tj_bore_nm"), sizes, strict=False):
        try:
            values[field] = Length.parse(text, "in").nanometres
        except ValueError:
            continue
    return SpecFacts(**values)


_COUNTS = (
    ("inspected", r"(?:total )?(?:joints )?inspected"), ("Premium", r"premium|prem"),
    ("Class 1", r"class 1|new"),
    ("Class 2", r"class 2|cl\.? ?2"), ("Class 3", r"class 3|cl\.? ?3"), ("Scrap", r"scrap|reject(?:ed)?"),
    ("RF", r"rf|refaced?|to reface"), ("RC", r"rc|recuts?|to recut"), ("bent", r"bent"),
    ("DBR", r"dbr|damaged beyond repair"),
)  # fmt: skip


def foot_of(rows: Sequence[Sequence[str]]) -> ReportFoot:
    """Return the foot: what it counts, whether it is signed, whether it says "joints listed only"."""
    cells = [" ".join(cell.split()) for line in rows for cell in line if cell.strip()]
    text = " | ".join(cells)[:4000]
    counts: dict[str, int] = {}
    for what, words in _COUNTS:
        behind = (rf"(?:^|[|,;]\s*|\btotal )\b(?:{words})\b\s*(?:joints?|jts?)?\s*[:=|]?\s*[|]?\s*"
                  r"(\d{1,5})(?![\d/.\w])")  # fmt: skip
        before = rf"(?:^|[|,;]\s*)(\d{{1,5}})\s*(?:x|jts?|joints?)?\s*\b(?:{words})\b"
        found = re.search(behind, text, re.I) or re.search(before, text, re.I)
        if found:
            counts[what] = int(found[1])
    signed = bool(re.search(r"\bsign|\binspector\b\s*[:|]|\bfor (?:the )?(?:company|customer)", text, re.I))
    return ReportFoot(tuple(counts.items()), signed, "listed only" in text.lower(), there=bool(cells))
