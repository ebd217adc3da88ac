"""The rows and the head of a BHA sheet that is printed: plain facts, whole numbers only."""

from dataclasses import dataclass


@dataclass(frozen=True)
class BhaLine:
    """One piece, or a section by count, with its place in the string.

    Lengths and sizes are whole nanometres, 0 or None = not known. `nm` is the length of all `count` pieces,
    `cum_nm` the distance of the top from the bit, `sensor_nm` that of its sensor. `mlb_ft` is the weight in
    1/1000 lb/ft and `weight_from` where it comes from, `mlb` the whole weight in air in 1/1000 lb.
    `down` and `up` are threads with their gender. `stands` is "open", "closed" or "" of a telescoping tool.
    """

    n: int
    ident: str
    item: str
    kind: str
    tag: str = ""
    serial: str = ""
    count: int = 1
    named: bool = True
    od_nm: int = 0
    bore_nm: int = 0
    least_bore_nm: int = 0
    tj_od_nm: int = 0
    gauge_nm: int = 0
    blade_nm: int = 0
    neck_od_nm: int = 0
    neck_nm: int = 0
    down: str = ""
    down_gender: str = ""
    up: str = ""
    up_gender: str = ""
    nm: int | None = None
    cum_nm: int | None = None
    mlb_ft: int = 0
    weight_from: str = ""
    mlb: int | None = None
    sensor_nm: int | None = None
    bend: str = ""
    stands: str = ""
    opened_nm: int | None = None
    closed_nm: int | None = None
    remark: str = ""

    @property
    def connections(self) -> tuple[str, str]:
        """The lower and the upper end in words: "NC50 pin", "NC50 box"."""
        return f"{self.down} {self.down_gender}".strip(), f"{self.up} {self.up_gender}".strip()

    @property
    def bottom_nm(self) -> int | None:
        """How far its lower end is from the bit, None where it is not known."""
        return None if self.cum_nm is None or self.nm is None else self.cum_nm - self.nm


@dataclass(frozen=True)
class BhaHead:
    """What stands over the sheet; texts as they are shown, "" where not known, sizes in whole nanometres.

    `mud_mppg` is the mud weight in 1/1000 ppg, `hours` pairs of a clock and its hours as text.
    """

    site_code: str
    site_name: str
    title: str
    well: str = ""
    bha_no: str = ""
    bit_no: str = ""
    run_no: str = ""
    hole_nm: int = 0
    depth_in_nm: int | None = None
    depth_out_nm: int | None = None
    mud_mppg: int | None = None
    casing: str = ""
    hours: tuple[tuple[str, str], ...] = ()
    lengths: str = "pins off; a tool as it stands in the hole"


@dataclass(frozen=True)
class BelowJar:
    """What hangs below a jar: the number of its row, the weight in air and in mud in 1/1000 lb; None where
    a weight, or the mud, is not known."""

    n: int
    air_mlb: int | None
    mud_mlb: int | None
