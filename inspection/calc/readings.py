"""What an inspector reads off a piece, in one vocabulary for page, grid and report, and what a look is."""

from dataclasses import dataclass

#: Ends and bodies a reading belongs to.
PARTS = ("tube", "box", "pin", "body")
#: What a method found, "" for what was not done.
RESULTS = ("nothing to reject", "indication", "")


@dataclass(frozen=True)
class What:
    """One thing that is read. `sort` is "wall", "od", "size", "share", "flag" or "word"; `aspect` is what
    has been looked at when it is there; `code` is the condition whose limits judge it."""

    what: str
    label: str
    parts: tuple[str, ...]
    sort: str
    code: str = ""
    aspect: str = ""


def _listed(*whats: What) -> dict[str, What]:
    return {one.what: one for one in whats}


_TUBE, _ENDS, _ANY = ("tube",), ("box", "pin"), PARTS
#: Everything that may be read, by its name in the ledger of readings.
WHATS = _listed(
    What("wall", "wall left", ("tube", "body"), "wall", "od_wear", "wall"),
    What("od", "least OD", ("tube", "box", "pin", "body"), "od", "", "od"),
    What("od_worn", "OD at even wear", _TUBE, "od", "", "od"),
    What("dent", "OD at the dent", _TUBE, "od", "dent"),
    What("necking", "OD at crushing or necking", _TUBE, "od", "necking"),
    What("stretch", "OD at the stretch", _TUBE, "od", "stretch"),
    What("string_shot", "OD at the bulge", _TUBE, "od", "string_shot"),
    What("external_corrosion", "wall left at external corrosion", _TUBE, "wall", "external_corrosion"),
    What("cut_along", "wall left at a cut along", _TUBE, "wall", "cut_along"),
    What("cut_across", "wall left at a cut across", _TUBE, "wall", "cut_across"),
    What("cut", "wall left at a cut, direction not said", _TUBE, "wall", "cut_across"),
    What("internal_pitting", "wall left at the deepest pit", _TUBE, "wall", "internal_pitting"),
    What("internal_erosion", "wall left at internal erosion", _TUBE, "wall", "internal_erosion"),
    What("slip_cut_depth", "depth of a cut in the slip area", _TUBE, "size", "slip_cut_depth"),
    What("slip_cut_adjacent", "wall beside the cut", _TUBE, "size"),
    What("slip_cut_along", "wall left at a cut along, slip area", _TUBE, "wall", "slip_cut_along"),
    What("slip_cut_across", "wall left at a cut across, slip area", _TUBE, "wall", "slip_cut_across"),
    What("slip_cut", "wall left at a cut in the slip area, direction not said", _TUBE, "wall",
         "slip_cut_across"),
    What("crack", "crack", _ANY, "flag", "crack", "cracks"),
    What("washout", "washout", _ANY, "flag", "crack"),
    What("hole", "hole", _ANY, "flag", "crack"),
    What("bent", "bent", ("tube", "body"), "flag", "", "straight"),
    What("heat_check", "heat checks", _ENDS, "flag"),
    What("shoulder", "least shoulder width", ("box",), "size", "", "shoulder"),
    What("counterbore", "counterbore", ("box",), "size", "counterbore"),
    What("tong", "tong space", _ENDS, "size"),
    What("bore", "bore", ("box", "pin", "body"), "size"),
    What("lead", "stretch in 2 in", ("pin",), "size", "lead"),
    What("seal_depth", "depth of seal damage", _ENDS, "size", "seal_depth"),
    What("seal_width", "width of seal damage", _ENDS, "share", "seal_width"),
    What("seal", "seal face", _ENDS, "word", "", "connection"),
    What("threads", "threads", _ENDS, "word", "", "connection"),
    What("hardband", "hardband", _ENDS, "word"),
    What("reface_once", "taken off at this reface", _ENDS, "size", "reface_once"),
    What("reface_total", "taken off from the bench mark in all", _ENDS, "size", "reface_total"),
    What("bench_mark", "bench mark", _ENDS, "word"),
    What("bench", "shoulder to bench mark", _ENDS, "size"),
    What("state", "what to do with the end", _ENDS, "word"),
    What("gauge", "gauge", ("body",), "size"),
    What("pad_od", "OD of the centre pad", ("tube", "body"), "size"),
    What("recess", "elevator or slip recess", ("body",), "word"),
    What("drive", "drive edges", ("body",), "word"),
    What("twist", "twist", ("body",), "word"),
)


@dataclass(frozen=True)
class Reading:
    """One reading. `nm` whole nanometres, `ppm` a share in millionths, `count` of a flag (0 = none found),
    `word` as written; `where` the place on the piece. Exactly one of the four is given; raises ValueError
    for an unknown `what`, a part it does not belong to, or none or two of them."""

    what: str
    part: str = "tube"
    nm: int | None = None
    ppm: int | None = None
    count: int | None = None
    word: str = ""
    where: str = ""

    def __post_init__(self) -> None:
        if self.what not in WHATS:
            raise ValueError(f"what: {self.what!r} is nothing that is read; there are {', '.join(WHATS)}")
        if self.part not in WHATS[self.what].parts:
            there = ", ".join(WHATS[self.what].parts)
            raise ValueError(f"part: {self.label} is read at {there}, not at {self.part!r}")
        given = [value for value in (self.nm, self.ppm, self.count) if value is not None]
        if len(given) + bool(self.word) != 1:
            raise ValueError(f"{self.what}: one of nm, ppm, count and word is given, not {len(given)}")
        if any(type(value) is not int or value < 0 for value in given):
            raise ValueError(f"{self.what}: {given[0]!r} is no whole number from 0 on")
        wants = {"flag": self.count, "word": self.word or None, "share": self.ppm}
        if wants.get(self.sort, self.nm) is None:
            raise ValueError(f"{self.what}: it is read as a {self.sort}, which is not given")

    @property
    def sort(self) -> str:
        """How it is read: "wall", "od", "size", "share", "flag" or "word"."""
        return WHATS[self.what].sort

    @property
    def label(self) -> str:
        """What it is called in a sentence."""
        return WHATS[self.what].label


@dataclass(frozen=True)
class Look:
    """One method with its result. "nothing to reject" is a look, with or without figures; "" is none.

    `part` is "" for the whole piece, else an end. Raises ValueError for another result.
    """

    method: str
    result: str
    part: str = ""

    def __post_init__(self) -> None:
        if self.result not in RESULTS:
            raise ValueError(f"result: {self.result!r} is none of nothing to reject, indication, or blank")

    @property
    def done(self) -> bool:
        """Whether it was looked at."""
        return self.result != ""

    @property
    def is_clean(self) -> bool:
        """Whether it was looked at and found nothing to reject: an indication is proved up first."""
        return self.result == "nothing to reject"
