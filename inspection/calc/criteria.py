"""The schemes of classes: each with its edition, its own order from the best, and the limits seen of it.

A class is known by scheme, edition and name together, never by a colour: one white band is new on drill
pipe and critical service on a work string. Where no limit was seen a class is recorded as given.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from inspection.calc.lookup import SOURCES, number, rows
from rack.calc.kinds import KINDS

#: The scheme that a kind of piece is judged by where the site follows no other.
_USUAL = {"drill_pipe": "api_rp7g2_2009"}
_COMPONENTS = "api_rp7g2_2009_components"
_LIMIT_TABLES = ("tube", "body", "components", "coring")


@dataclass(frozen=True)
class Step:
    """One class of a scheme. `rank` 1 is the best; `use` says whether such a piece may go in the hole."""

    name: str
    rank: int
    use: bool
    bands: str
    colour: str
    source: str
    conf: str
    note: str


@dataclass(frozen=True)
class Limit:
    """What a class wants of one condition: `op` ">=" or "<=" `value` in `unit` of `reference`."""

    code: str
    step: str
    op: str
    value: Fraction
    unit: str
    reference: str
    source: str
    conf: str
    note: str


@dataclass(frozen=True)
class Scheme:
    """A list of classes in its own order. `computed` is False where names are known and no limits."""

    code: str
    folder: str
    ladder: str
    document: str
    edition: str
    title: str
    kinds: tuple[str, ...]
    computed: bool
    superseded_by: str
    source: str
    conf: str
    note: str
    steps: tuple[Step, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The classes, the best first."""
        return tuple(step.name for step in self.steps)

    @property
    def last(self) -> str:
        """The worst class: what a crack makes of it."""
        return self.steps[-1].name

    @property
    def said(self) -> str:
        """Document and edition in words, to be stored and shown with every class."""
        return f"{self.document} ({self.edition})"

    def step(self, name: str) -> Step:
        """Return the class of this `name`. Raises ValueError naming the classes there are.

        Source: the scheme's table of classes.
        """
        for step in self.steps:
            if step.name.casefold() == name.strip().casefold():
                return step
        raise ValueError(f"class: {name!r} is no class of {self.said}; there are {', '.join(self.names)}")

    def worst(self, names: Iterable[str]) -> str:
        """Return the worst of `names`, "" where there is none; unknown ones ("") are left out.

        Raises ValueError for a class of another scheme. Source: the worst single condition decides
        (RP 7G-2, from memory).
        """
        known = [self.step(name) for name in names if name]
        return max(known, key=lambda step: step.rank).name if known else ""

    def falls_short(self, name: str, wanted: str) -> bool:
        """Say whether class `name` is below the class `wanted`; without a wanted one nothing is.

        Raises ValueError as `step`. Source: the scheme's table of classes.
        """
        return bool(name and wanted) and self.is_worse(name, wanted)

    def is_worse(self, one: str, other: str) -> bool:
        """Say whether class `one` is worse than `other`; raises ValueError as `step`.

        Source: the scheme's table of classes.
        """
        return self.step(one).rank > self.step(other).rank


def _steps(folder: str, ladder: str) -> tuple[Step, ...]:
    found = [row for row in rows(f"{folder}/classes") if row["ladder"] == ladder]
    return tuple(
        Step(row["class"], int(row["rank"]), row["use"] == "yes", row["bands"], row["band_colour"],
             row["source"], row["conf"], row["note"])
        for row in found
    )  # fmt: skip


@cache
def schemes() -> tuple[Scheme, ...]:
    """Return every scheme this program knows, old editions too. Takes nothing, raises nothing.

    Source: table "schemes/schemes" and the classes of each folder.
    """
    return tuple(
        Scheme(row["code"], row["folder"], row["ladder"], row["document"], row["edition"], row["title"],
               tuple(row["kinds"].split()), row["computed"] == "yes", row["superseded_by"], row["source"],
               row["conf"], row["note"], _steps(row["folder"], row["ladder"]))
        for row in rows("schemes/schemes")
    )  # fmt: skip


def scheme(code: str) -> Scheme:
    """Return the scheme of this `code`. Raises ValueError naming the codes there are. Source: `schemes()`."""
    for one in schemes():
        if one.code == code:
            return one
    raise ValueError(f"scheme: there is no scheme {code!r}; there are {', '.join(s.code for s in schemes())}")


def scheme_said(code: str) -> str:
    """Return what a scheme is called on a page; a `code` that no table knows is shown as it was recorded.

    "" for none. Raises nothing. Source: `schemes()`.
    """
    return next((one.said for one in schemes() if one.code == code), code)


def schemes_for(kind: str) -> tuple[Scheme, ...]:
    """Return the schemes that may judge a `kind` of piece, the usual one first.

    Accept, repair, reject serves every kind that has no ladder of its own. Raises ValueError for an
    unknown kind. Source: trade guide 1.6; table "schemes/schemes".
    """
    if kind not in KINDS:
        raise ValueError(f"kind: {kind!r} is no kind of piece")
    found = [one for one in schemes() if kind in one.kinds]
    found.sort(key=lambda one: one.code != _USUAL.get(kind, ""))
    return tuple(found) or (scheme(_COMPONENTS),)


@cache
def limits(code: str, condition: str) -> tuple[Limit, ...]:
    """Return what the classes of scheme `code` want of `condition`, the best class first.

    `condition` is a code like "od_wear" (limits in the unit each row names). A class without a figure of
    its own, like "whatever is worse", is not listed. Raises ValueError for an unknown scheme.
    Source: the tables of the scheme's folder.
    """
    one = scheme(code)
    found = []
    for name in _LIMIT_TABLES:
        if not one.computed or f"{one.folder}/{name}" not in SOURCES:
            continue
        for row in rows(f"{one.folder}/{name}"):
            if row["code"] == condition and row["op"] in (">=", "<=") and row["class"] in one.names:
                value = number(row["limit"])
                if value is not None:
                    found.append(Limit(condition, row["class"], row["op"], value, row["unit"],
                                       row["reference"], row["source"], row["conf"], row["note"]))
    return tuple(sorted(found, key=lambda limit: one.step(limit.step).rank))


@cache
def fixed_limit(code: str) -> Limit:
    """Return a limit that belongs to no class: "lead", "reface_once", "reface_total", "bench_pin",
    "bench_box", "seal_depth", "seal_width", "counterbore" (in, or % of the seal width).

    `code` is one of these (no unit). Raises ValueError for another one. Source: each row's own.
    """
    for table in ("api_rp7g2_2009/components", "ns2_2015/seen_limits", "ns2_2015/coring"):
        for row in rows(table):
            value = number(row["limit"]) if row["code"] == code else None
            if value is not None:
                return Limit(code, "", row["op"], value, row["unit"], row.get("reference", ""),
                             row["source"], row["conf"], row["note"])
    raise ValueError(f"code: there is no limit {code!r}")


def below_all(one: Scheme, found: tuple[Limit, ...]) -> str:
    """Return the class of `one` for what meets none of the limits in `found`: the next after the last.

    Raises ValueError where `found` is empty. Source: "anything worse than the class 2 limit" is class 3.
    """
    if not found:
        raise ValueError("found: no limit is known, so that nothing can be below it")
    rank = one.step(found[-1].step).rank
    return one.steps[min(rank, len(one.steps) - 1)].name


def at_first_use(code: str, name: str) -> str:
    """Return the class that class `name` of scheme `code` becomes by its first run: Class 1 is premium.

    Raises ValueError for an unknown scheme or class. Source: drill pipe ranges and classes, trade article;
    common practice.
    """
    one = scheme(code)
    step = one.step(name)
    if step.name == "Class 1" and "Premium" in one.names:
        return "Premium"
    return step.name
