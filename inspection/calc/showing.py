"""Criteria and intervals as a page shows them: every row with its source and confidence beside it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from inspection.calc.criteria import Scheme
from inspection.calc.due import amount
from inspection.calc.lookup import CONFIDENCE, SOURCES, Row, rows
from inspection.calc.rules import ONE_TENTH, Rule, governing, over_of, soon_of
from rack.calc.kinds import KINDS, kind_of
from rack.calc.standing import BASIS_WORDS

#: The tables whose limits belong to the classes of a scheme.
_OF_SCHEME = {
    "api_rp7g2_2009": ("api_rp7g2_2009/tube",),
    "api_rp7g2_2009_components": ("api_rp7g2_2009/components",),
    "gost_33006_2_2014": ("gost_33006_2_2014/tube",),
    "api_rp5c1": ("api_rp5c1_not_seen/body",),
    "ds1_4th": ("ds1_4th/seen_limits",),
}
#: Limits that were seen and belong to no ladder of classes.
ELSEWHERE = ("ns2_2015/coring", "ns2_2015/seen_limits", "api_rp7g_1998_addendum_2003/seen_limits",
             "maker_documents/seen_limits", "several_documents/seen_limits")  # fmt: skip
_SIGNS = {">=": "≥", "<=": "≤"}
#: Circumstances that a piece is known to be in; days of storage are counted nowhere.
COUNTED = ("steel", "non-magnetic", "drilled inside", "lifting")


@dataclass(frozen=True)
class LimitShown:
    """A limit as it is read: of what, for which class, what it wants, whose word that is."""

    component: str
    condition: str
    step: str
    wants: str
    source: str
    conf: str
    note: str

    @property
    def confidence(self) -> str:
        """How sure it is, in words."""
        return confidence_words(self.conf)


@dataclass(frozen=True)
class IntervalShown:
    """An interval that holds, for all kinds that share it. `counted` is False where nothing counts it."""

    kinds: str
    only: str
    due: str
    since: str
    soon: str
    over: str
    whose: str
    stops: bool
    source: str
    conf: str
    note: str
    counted: bool = True

    @property
    def confidence(self) -> str:
        """How sure it is, in words; "" where the office entered it."""
        return confidence_words(self.conf)


def confidence_words(letter: str) -> str:
    """Return what a `letter` means: "M: from memory, verify against your standard"; "" for none.

    Raises ValueError for what is no letter. Source: the letters of the tables.
    """
    if not letter:
        return ""
    if letter not in CONFIDENCE:
        raise ValueError(f"conf: {letter!r} is none of {', '.join(CONFIDENCE)}")
    words = CONFIDENCE[letter] if letter == "CP" else f"{letter}: {CONFIDENCE[letter]}"
    return f"{words}, verify against your standard" if letter in "DM" else words


def limits_shown(tables: Sequence[str]) -> tuple[LimitShown, ...]:
    """Return every row of these `tables` of limits ("folder/name") as it is read, in the order of the table.

    Units as each row names them. Raises KeyError for an unknown table. Source: each row's own.
    """
    found = []
    for table in tables:
        for row in rows(table):
            found.append(LimitShown(row["component"], row["condition"], row["class"], _wants(row),
                                    row["source"], row["conf"], row["note"]))
    return tuple(found)


def limits_of(one: Scheme) -> tuple[LimitShown, ...]:
    """Return the limits that were seen of the scheme `one`, empty where none was. Raises nothing.

    Units as each row names them. Source: each row's own.
    """
    return limits_shown([table for table in _OF_SCHEME.get(one.code, ()) if table in SOURCES])


def _wants(row: Row) -> str:
    if not row["limit"]:
        return f"{row['quantity']}: not in the source"
    unit = "" if row["unit"] in ("-", "") else f" {row['unit']}"
    of = f" of the {row['reference']}" if row.get("reference") and row["unit"] == "%" else ""
    sign = _SIGNS.get(row["op"], "" if row["op"] in ("=", "range", "table") else row["op"])
    return " ".join(f"{row['quantity']} {sign} {row['limit']}{unit}{of}".split())


def intervals_shown(
    rules: Sequence[Rule], service: str, on: date, margin: Fraction = ONE_TENTH
) -> tuple[IntervalShown, ...]:
    """Return what of `rules` holds `on` a day in `service`, alike ones of several kinds together.

    `margin` is the site's share for "soon". Raises ValueError as `governing`. Source: each rule's own.
    """
    kinds: dict[Rule, list[str]] = {}
    for kind in KINDS:
        own = [rule for rule in rules if rule.kind in ("", kind)]
        held: dict[Rule, None] = {}
        for only in dict.fromkeys(("", *(rule.only for rule in own))):
            held |= dict.fromkeys(governing(own, kind, service, on, circumstances=[only]))
        for rule in held:
            kinds.setdefault(_of_any(rule), []).append(kind_of(kind).name)
    return tuple(_interval(rule, names, margin) for rule, names in kinds.items())


def _soon(rule: Rule, margin: Fraction) -> str:
    """Months have no parts: soon is a share of their days before due."""
    if rule.clock == "months" and rule.soon is None:
        return f"{float(100 * margin):g} % of its days before"
    return amount(rule.clock, soon_of(rule, margin))


def _of_any(rule: Rule) -> Rule:
    return Rule(**{**rule.__dict__, "kind": ""})


def _interval(rule: Rule, names: list[str], margin: Fraction) -> IntervalShown:
    whose = "common practice" if rule.authority == "default" and rule.conf else rule.authority
    return IntervalShown(
        ", ".join(names) if len(names) < len(KINDS) else "every kind", rule.only,
        amount(rule.clock, rule.due), BASIS_WORDS[rule.basis], _soon(rule, margin),
        amount(rule.clock, over_of(rule)), "our own" if whose == "default" else whose,
        rule.authority != "default", rule.source, rule.conf, rule.note,
        rule.only in ("", *COUNTED),
    )  # fmt: skip
