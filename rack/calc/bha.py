"""The BHA sheet: every piece from the bit upward with what a fisherman needs of it, and what it comes to.

The content is one immutable text, like that of a closed tally: canonical JSON of text and whole numbers, so
that a printed revision can be drawn again from its text alone. Nothing is looked up again later.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields, replace
from fractions import Fraction
from typing import Any

from rack.calc.bha_lines import BelowJar, BhaHead, BhaLine
from rack.calc.bha_words import item_words, weight_words
from rack.calc.bodies import Bodies
from rack.calc.chain import Link, placed
from rack.calc.checks import Problem, stops
from rack.calc.lookup import Catalogue
from rack.calc.losses import SHIPPED
from rack.calc.units import NM
from rack.calc.weights import STEEL_PPG

__all__ = ["CAUTIONS", "BelowJar", "BhaContent", "BhaHead", "BhaLine", "check", "content_of", "known_weight",
           "line_of"]  # fmt: skip

#: What the sheet carries (trade guide 9 and 12).
CAUTIONS = (
    "Local law, the contract and the maker's sheet come first.",
    "Lengths and diameters are those last read. Caliper every piece that goes in before it goes in.",
    "A jar carries a mandrel clamp: it comes off at the rotary going in and goes on coming out.",
    "A cocked jar can go off at surface. Nobody stands in line with a string that hangs on a jar.",
    "Keep hands off the make-up point. Tongs and spinners are for trained hands.",
)
_MANY = 1000


@dataclass(frozen=True)
class BhaContent:
    """Everything that a BHA sheet says. Lengths in nm, weights in 1/1000 lb, instants as ISO text with zone.

    `air_mlb`, `mud_mlb` and `length_nm` are None where a row lacks what they need; `no_weight` and
    `no_length` name those rows by number. `least_bore_nm` is the least bore known, at row `least_bore_n`,
    and `no_bore` the rows whose bore is not known. `notes` are overrides and remarks printed on the sheet.
    """

    head: BhaHead
    unit: str
    digits: int
    revision: int
    code: str
    made_at: str
    made_by: str
    lines: tuple[BhaLine, ...]
    count: int
    length_nm: int | None
    air_mlb: int | None
    mud_mlb: int | None
    below_jars: tuple[BelowJar, ...]
    least_bore_nm: int
    least_bore_n: int
    no_length: tuple[int, ...] = ()
    no_weight: tuple[int, ...] = ()
    no_bore: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS
    program: str = "Tierbook"

    def to_text(self) -> str:
        """Return the canonical JSON text. Raises ValueError where a value is not text, whole or yes/no.

        Source: the rules of a closed tally's text.
        """
        values = asdict(self)
        _refuse_inexact(values, "sheet")
        return json.dumps(values, sort_keys=True, separators=(",", ":"), ensure_ascii=False)

    @classmethod
    def from_text(cls, text: str) -> "BhaContent":
        """Return the sheet that `text` was made from. Raises ValueError when it is no such text.

        Source: `to_text`.
        """
        try:
            values = json.loads(text, parse_float=_no_fraction, parse_constant=_no_fraction)
            lacking = {one.name for one in fields(cls)} - set(values)
            if lacking:
                raise KeyError("missing: " + ", ".join(sorted(lacking)))
            made = {**values, **_rebuilt(values)}
            return cls(**made)
        except (KeyError, TypeError, AttributeError, json.JSONDecodeError, RecursionError) as error:
            raise ValueError(f"not the text of a BHA sheet: {error}") from None

    def digest(self) -> str:
        """Return the sha256 of the canonical text in UTF-8, as 64 hex digits. Raises what `to_text` does.

        Source: the rules of a closed tally's text.
        """
        return hashlib.sha256(self.to_text().encode()).hexdigest()


def _rebuilt(values: Mapping[str, Any]) -> dict[str, Any]:
    hours = tuple(tuple(pair) for pair in values["head"]["hours"])
    return {
        "head": BhaHead(**{**values["head"], "hours": hours}),
        "lines": tuple(BhaLine(**line) for line in values["lines"]),
        "below_jars": tuple(BelowJar(**jar) for jar in values["below_jars"]),
        **{name: tuple(values[name]) for name in ("no_length", "no_weight", "no_bore", "notes", "cautions")},
    }


def content_of(
    head: BhaHead, links: Sequence[Link], *, unit: str, digits: int, revision: int, code: str, made_at: str,
    made_by: str, remarks: Mapping[int, str] | None = None, notes: Sequence[str] = (),
    catalogue: Catalogue = SHIPPED,
) -> BhaContent:  # fmt: skip
    """Return the sheet of a string: `links` from the bit upward under this `head`.

    `unit` ("ft", "m") and `digits` say how lengths are shown, `revision` and `code` name the paper,
    `made_at` is an ISO instant and `made_by` a name. `remarks` holds a remark by row number from 1, `notes`
    what is printed under the sheet, `catalogue` the rows in force. Raises nothing: what is not known is said
    so. Source: addition, RP 7G.
    """
    said, bodies = remarks or {}, Bodies(catalogue)
    lines = tuple(
        replace(
            line_of(at.n, at.link, None if at.bottom is None else at.bottom.nanometres, bodies),
            remark=said.get(at.n, ""),
        )
        for at in placed(links)
    )
    base = BhaContent(
        head,
        unit,
        digits,
        revision,
        code,
        made_at,
        made_by,
        lines,
        0,
        None,
        None,
        None,
        (),
        0,
        0,
        notes=tuple(notes),
    )
    return replace(base, **_sums(head, lines))


def _sums(head: BhaHead, lines: Sequence[BhaLine]) -> dict[str, Any]:
    """What the rows come to."""
    air = _total(lines)
    bores = [(line.least_bore_nm, line.n) for line in lines if line.least_bore_nm and not _is_bit(line)]
    least = min(bores, default=(0, 0))
    jars = [at for at, line in enumerate(lines) if line.kind == "jar"]
    below = []
    for at in jars:
        weight = _total(lines[:at])
        below.append(BelowJar(lines[at].n, weight, _in_mud(weight, head.mud_mppg)))
    known = [line.nm for line in lines if line.nm is not None]
    return {
        "count": sum(line.count for line in lines),
        "length_nm": sum(known) if len(known) == len(lines) else None,
        "air_mlb": air,
        "mud_mlb": _in_mud(air, head.mud_mppg),
        "below_jars": tuple(below),
        "least_bore_nm": least[0],
        "least_bore_n": least[1],
        "no_length": tuple(line.n for line in lines if line.nm is None),
        "no_weight": tuple(line.n for line in lines if line.mlb is None),
        "no_bore": tuple(line.n for line in lines if not line.least_bore_nm and not _is_bit(line)),
    }


def _is_bit(line: BhaLine) -> bool:
    return line.kind in ("bit", "core_bit")


def _total(lines: Sequence[BhaLine]) -> int | None:
    known = [line.mlb for line in lines if line.mlb is not None]
    return sum(known) if len(known) == len(lines) else None


def known_weight(lines: Sequence[BhaLine], mud_mppg: int | None) -> tuple[int | None, int | None]:
    """Return what those of `lines` weigh whose weight is known, in air and in mud of `mud_mppg`, 1/1000 lb.

    It is what the string weighs at least. None for no known weight, or no known mud. Raises nothing.
    Source: addition, RP 7G.
    """
    known = [line.mlb for line in lines if line.mlb is not None]
    air = sum(known) if known else None
    return air, _in_mud(air, mud_mppg)


def _in_mud(mlb: int | None, mud_mppg: int | None) -> int | None:
    """RP 7G: 1 - ppg/65.5 of the weight in air, rounded once."""
    if mlb is None or mud_mppg is None or not 0 <= mud_mppg < STEEL_PPG * _MANY:
        return None
    return round(mlb * (1 - Fraction(mud_mppg, _MANY) / Fraction(str(STEEL_PPG))))


def line_of(n: int, link: Link, bottom_nm: int | None, bodies: Bodies) -> BhaLine:
    """Return row `n` of the sheet: the `link` whose lower end is `bottom_nm` whole nm from the bit.

    `bottom_nm` is None above a piece whose length is not known. Its weight is that of `bodies` in lb/ft, as
    the loads have it. Raises ValueError for a kind that is none. Source: the facts of the piece over those
    of its specification; `Bodies` for the weight.
    """
    spec = link.spec
    facts = {name: str(value) for name, value in json.loads(spec.facts).items()} | dict(link.facts)
    nm = link.length.nanometres if link.length is not None else None
    weight = bodies.of(link).weight
    sensor = _whole(facts, "sensor_nm")
    bores = [size for size in (spec.bore_nm, spec.tj_bore_nm) if size]
    return BhaLine(
        n=n,
        ident=link.ident,
        item=item_words(spec),
        kind=spec.kind,
        tag=link.tag,
        serial=link.serial,
        count=link.count,
        named=link.named,
        od_nm=spec.od_nm,
        tj_od_nm=spec.tj_od_nm,
        bore_nm=spec.bore_nm,
        least_bore_nm=min(bores, default=0),
        gauge_nm=_whole(facts, "gauge_measured_nm") or _whole(facts, "gauge_nm") or 0,
        blade_nm=_whole(facts, "blade_nm") or 0,
        neck_od_nm=_whole(facts, "neck_od_nm") or 0,
        neck_nm=_whole(facts, "neck_nm") or 0,
        down=spec.down_conn,
        down_gender=spec.down_gender,
        up=spec.up_conn,
        up_gender=spec.up_gender,
        nm=nm,
        cum_nm=bottom_nm + nm if bottom_nm is not None and nm is not None else None,
        mlb_ft=0 if weight.value is None else round(Fraction(weight.value) * _MANY),
        weight_from=weight_words(weight),
        mlb=_weight(nm, weight.value),
        sensor_nm=bottom_nm + sensor if bottom_nm is not None and sensor is not None else None,
        bend=facts.get("bend", ""),
        stands=link.stands,
        opened_nm=link.opened.nanometres if link.opened is not None else None,
        closed_nm=link.closed.nanometres if link.closed is not None else None,
    )


def _whole(facts: Mapping[str, str], name: str) -> int | None:
    value = facts.get(name, "")
    return int(value) if value.isascii() and value.isdigit() else None


def _weight(nm: int | None, lb_ft: float | None) -> int | None:
    """Rounded once, from the weight a foot as it was worked out: the sums are those of the loads."""
    return None if nm is None or not lb_ft else round(Fraction(lb_ft) * _MANY * nm / NM["ft"])


def check(content: BhaContent) -> tuple[Problem, ...]:
    """Recompute every sum of `content` from its rows and return a STOPS for each that disagrees.

    () when all agree. Raises nothing: a sheet that does not add up is an answer. Source: addition.
    """
    fresh = _sums(content.head, content.lines)
    found = [
        stops(
            f"{name.removesuffix('_nm').removesuffix('_mlb').replace('_', ' ')} on the sheet is "
            f"{getattr(content, name)!r}, the rows give {right!r}.",
            code="sheet",
            where=name,
        )
        for name, right in fresh.items()
        if getattr(content, name) != right
    ]
    below: int | None = 0
    for n, line in enumerate(content.lines, 1):
        top = None if below is None or line.nm is None else below + line.nm
        if line.n != n or line.cum_nm != top:
            found.append(
                stops(
                    f"Row {n} of the sheet does not follow from the rows below it.",
                    code="sheet",
                    where=f"row {n}",
                )
            )
        below = top
    return tuple(found)


def _no_fraction(text: str) -> int:
    raise ValueError(f"not the text of a BHA sheet: {text} is not a whole number")


def _refuse_inexact(value: object, where: str) -> None:
    """Only text, whole numbers, yes/no and blanks: a fraction would print differently one day."""
    if isinstance(value, Mapping):
        for name, inner in value.items():
            _refuse_inexact(inner, f"{where}.{name}")
    elif isinstance(value, list | tuple):
        for at, inner in enumerate(value):
            _refuse_inexact(inner, f"{where}[{at}]")
    elif not (value is None or isinstance(value, str | int)):
        raise ValueError(f"{where} is {value!r}; a sheet holds only text and whole numbers")
