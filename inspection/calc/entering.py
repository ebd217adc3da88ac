"""What is asked for when an inspection is typed in: the fields of a kind of piece, and how each is read."""

import re
from dataclasses import dataclass

from inspection.calc.criteria import limits
from inspection.calc.readings import WHATS, Reading
from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts
from rack.calc.units import NM

#: Sizes at a piece are typed in one of these.
UNITS = ("in", "mm")
#: No size that is read at a piece is larger: 100 in.
LARGEST_NM = 100 * NM["in"]
#: What an end needs, in words.
STATES_SAID = {
    "ok": "OK", "straighten": "straighten", "reface": "reface", "recut": "recut", "shop": "to the shop",
    "reject": "beyond repair",
}  # fmt: skip
#: What is chosen for a seal face or for threads.
WORDS = ("ok", "scratched", "pitted", "dented", "worn", "galled", "torn", "stretched", "washed", "broken",
         "cracked")  # fmt: skip

_TUBE = (
    "wall", "od", "od_worn", "dent", "necking", "stretch", "string_shot", "external_corrosion",
    "internal_pitting", "internal_erosion", "cut_along", "cut_across", "slip_cut_depth", "slip_cut_adjacent",
    "slip_cut_along", "slip_cut_across", "crack", "washout", "hole", "bent",
)  # fmt: skip
_END = (
    "od", "shoulder", "bore", "counterbore", "tong", "lead", "seal", "seal_depth", "seal_width", "threads",
    "hardband", "heat_check", "crack", "washout", "reface_once", "reface_total", "bench_mark", "bench",
)  # fmt: skip
_BODY = ("wall", "od", "bore", "crack", "washout", "hole", "bent")
_MORE = {
    "heavy_weight": ("pad_od", "recess"), "collar": ("recess",), "kelly": ("drive", "twist"),
    "stabilizer": ("gauge",), "reamer": ("gauge",), "hole_opener": ("gauge",), "bit": ("gauge",),
    "core_bit": ("gauge",),
}  # fmt: skip
#: Kinds whose wall is read, and kinds with couplings.
WALLED = frozenset({"casing", "tubing", "pup_joint", "marker_joint", "drill_pipe", "heavy_weight", "kelly"})
#: Not measured at the ends of pipe with couplings, or of tools without tool joints.
_ROTARY = frozenset({"shoulder", "counterbore", "tong", "lead", "reface_once", "reface_total", "bench_mark",
                     "bench", "hardband"})  # fmt: skip
COUPLED = frozenset({"casing", "tubing", "pup_joint", "marker_joint"})
_MANY = frozenset({"slip_cut_adjacent"})
_HELPS = {
    "seal_width": "% of the width", "slip_cut_adjacent": "both sides: 0.352; 0.349",
}  # fmt: skip


@dataclass(frozen=True)
class Field:
    """One thing that may be typed of a piece: what, and at which part."""

    what: str
    part: str

    @property
    def name(self) -> str:
        """Its name in a form: "box-od"."""
        return f"{self.part}-{self.what}"

    @property
    def label(self) -> str:
        """What it is called, with a capital."""
        said = WHATS[self.what].label
        return said[:1].upper() + said[1:]

    @property
    def sort(self) -> str:
        """How it is read: "size", "share", "flag" or "word"; walls and ODs are sizes."""
        sort = WHATS[self.what].sort
        return "size" if sort in ("wall", "od") else sort

    @property
    def help(self) -> str:
        """What to type, "" where the label says it."""
        return _HELPS.get(self.what, "")


def body_of(kind: str, by: str) -> str:
    """Return the part that the body of a `kind` of piece is read as under scheme `by`: "tube" or "body".

    No unit. Raises ValueError for an unknown scheme. Source: what each scheme has limits for.
    """
    return "tube" if kind == "drill_pipe" or limits(by, "od_wear") else "body"


def ends_of(spec: SpecFacts) -> tuple[str, ...]:
    """Return the ends of a piece of `spec`: "box", "pin"; both where it is not known (no unit).

    Raises nothing. Source: the specification.
    """
    known = {spec.up_gender, spec.down_gender} & {"box", "pin"}
    return tuple(end for end in ("box", "pin") if end in known or not known)


def fields_for(spec: SpecFacts, by: str) -> tuple[Field, ...]:
    """Return what may be read of a piece of `spec` under scheme `by`, tube or body first, then box and pin.

    Raises ValueError for an unknown scheme. Source: the vocabulary of readings; no unit.
    """
    body = body_of(spec.kind, by)
    names = _TUBE if body == "tube" else (*_BODY, *_MORE.get(spec.kind, ()))
    found = [Field(what, body) for what in names if what != "wall" or spec.kind in WALLED]
    for end in ends_of(spec):
        found += [Field(what, end) for what in _END
                  if end in WHATS[what].parts and not (spec.kind in COUPLED and what in _ROTARY)]
    return tuple(found)


def read_size(text: str, unit: str) -> int:
    """Return a size typed in `text` in nm: "5 1/2", "0.362", "0,362", "9.2 mm"; `unit` "in" or "mm" counts
    where the text names none. A comma is a decimal mark: no size here has thousands.

    Raises ValueError with a sentence for what is no size. Source: exact units; common practice.
    """
    alone = "," in text and "." not in text
    decimal = "," if alone and (unit == "in" or not re.search(r",\d{3}\b", text)) else ""
    nm = Length.parse(text, unit, decimal=decimal).nanometres
    if nm > LARGEST_NM:
        raise ValueError(f"“{text.strip()[:40]}” is no size of a piece: nothing here is over 100 in.")
    return nm


def typed_with_unit(text: str, unit: str) -> str:
    """Return what was typed with its unit, `unit`, where it names none: "9.2" is "9.2 mm".

    `text` as typed. Raises nothing. Source: none needed.
    """
    plain = " ".join(text.split())
    return plain if any(sign.isalpha() or sign in "\"'″′" for sign in plain) else f"{plain} {unit}"


def read(field: Field, text: str, unit: str = "in") -> tuple[Reading, ...]:
    """Return what was typed in `text` for a `field` as readings; () where nothing was typed.

    `unit` is "in" or "mm". Raises ValueError with a sentence that names the field and what is wrong.
    Source: the vocabulary of readings.
    """
    plain = " ".join(text.split())
    if not plain:
        return ()
    try:
        if field.what in _MANY:
            parts = [one for one in plain.split(";") if one.strip()]
            return tuple(Reading(field.what, field.part, nm=read_size(one, unit)) for one in parts)
        return (_one(field, plain, unit),)
    except ValueError as wrong:
        raise ValueError(f"{field.label}, {field.part}: {wrong}") from None


def _one(field: Field, text: str, unit: str) -> Reading:
    if field.sort == "size":
        return Reading(field.what, field.part, nm=read_size(text, unit))
    if field.sort == "flag":
        return Reading(field.what, field.part, count=_count(text))
    if field.sort == "share":
        return Reading(field.what, field.part, ppm=_share(text))
    if len(text) > 80:
        raise ValueError("keep it under 80 letters.")
    return Reading(field.what, field.part, word=text)


def _count(text: str) -> int:
    words = {"none": 0, "no": 0, "0": 0, "none found": 0, "ok": 0, "found": 1, "yes": 1, "x": 1}
    spelled = text.lower()
    if spelled in words:
        return words[spelled]
    if spelled.isascii() and spelled.isdigit() and len(spelled) < 4:
        return int(spelled)
    raise ValueError(f"“{text[:40]}” is not understood; type 0 for none found, or how many.")


def _share(text: str) -> int:
    plain = text.removesuffix("%").strip().replace(",", ".")
    if not re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,4})?", plain):
        raise ValueError(f"“{text[:40]}” is no percentage; type 25 for a quarter.")
    whole, _, rest = plain.partition(".")
    found = int(whole) * 10_000 + int(rest.ljust(4, "0"))
    if found > 1_000_000:
        raise ValueError(f"“{text[:40]}” is more than the whole.")
    return found
