"""Which clock counts for which kind of piece, and how a run is shared to it: rows of a table, not code."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from rack.calc import lookup
from rack.calc.kinds import kind_of

WHOLE_RUN = "whole run"
BY_JOINT = "by joint"
POLICIES: tuple[str, ...] = (WHOLE_RUN, BY_JOINT)
#: What is printed beside the hours, so that nobody takes the safe side for a measurement.
POLICY_WORDS: Mapping[str, str] = MappingProxyType(
    {
        WHOLE_RUN: "credited the whole run, the safe side",
        BY_JOINT: "credited by joint, from the connection at which it joined to the time it left",
    }
)


@dataclass(frozen=True)
class Rule:
    """How one kind is counted: `clocks` the ledger's clocks it keeps, the first one the one limits go by.

    `policy` is "whole run" or "by joint"; `counts` and `not_counted` say in words what does and does not
    turn the clock; `source`, `conf` and `note` are those of the row.
    """

    component: str
    clocks: tuple[str, ...]
    policy: str
    counts: str
    not_counted: str
    source: str
    conf: str
    note: str


def _rule(row: lookup.Row) -> Rule:
    return Rule(
        row["component"], tuple(row["clocks"].split()), row["policy"], row["counts"], row["does_not_count"],
        lookup.source_in_words(row["source"]), row["conf"], row["note"],
    )  # fmt: skip


@cache
def rules() -> Mapping[str, Rule]:
    """Return the counting rule of every kind, by the kind's code.

    Takes nothing, raises nothing. Source: table hours_basis, common practice row by row.
    """
    found = {kind: _rule(row) for row in lookup.rows("hours_basis") for kind in row["kinds"].split()}
    return MappingProxyType(found)


@cache
def worn_kinds() -> tuple[str, ...]:
    """Return the codes of the kinds that stay in the well and earn the hours turned inside them.

    Takes nothing, raises nothing. Source: table hours_basis, row "casing (wear)".
    """
    row = next(row for row in lookup.rows("hours_basis") if row["component"] == "casing (wear)")
    return tuple(row["kinds"].split())


def rule_for(kind: str) -> Rule:
    """Return the counting rule of `kind`, a code of `rack.calc.kinds`.

    Raises ValueError naming a kind that does not exist. Source: table hours_basis, common practice.
    """
    return rules()[kind_of(kind).code]


@cache
def turning(*, below_motor: bool) -> tuple[str, ...]:
    """Return the line's clocks during which a piece turns: rotating, and sliding too below a motor.

    `below_motor` says that a motor of the string is above the piece (no unit). Raises nothing.
    Source: table hours_basis, common practice: below a motor the parts turn while sliding.
    """
    rows = lookup.rows("hours_basis")
    if below_motor:
        row = next(row for row in rows if not row["kinds"])
    else:
        row = next(row for row in rows if "drill_pipe" in row["kinds"].split())
    return tuple(f"{word}_s" for word in row["turning"].split())


def policy_for(kind: str, policy: Mapping[str, str] | None = None) -> str:
    """Return how `kind` is credited: "whole run" or "by joint".

    `kind` is a code of `rack.calc.kinds`, `policy` what the office chose, kind -> policy, over the table.
    Raises ValueError for another policy or an unknown kind. Source: table hours_basis; the whole run is the
    safe side (common practice).
    """
    chosen = (policy or {}).get(kind) or rule_for(kind).policy
    if chosen not in POLICIES:
        raise ValueError(f"policy: {chosen!r} for {kind} is unknown; allowed are {', '.join(POLICIES)}")
    return chosen
