"""What a rule writes into: the string, the plan, what was found and what could not be judged, each once."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from rack.calc.bodies import Bodies, Body
from rack.calc.chain import Link, Placed, placed
from rack.calc.checks import Problem, Severity
from rack.calc.kinds import kind_of
from rack.calc.rules.plan import Plan
from rack.calc.rules.table import RULES

_SHOWN = 4


@dataclass(frozen=True)
class Found(Problem):
    """A problem of a string. `places` are the numbers from the bit of the pieces that it is about,
    `pieces` their idents and `keys` their keys, in the same order; all are empty when it is about the string
    as a whole. `rules` are the codes of all rules that could not be judged, when that is what it says."""

    places: tuple[int, ...] = ()
    pieces: tuple[str, ...] = ()
    keys: tuple[int, ...] = ()
    rules: tuple[str, ...] = ()


def names_of(links: Sequence[Link]) -> str:
    """Return idents as a sentence has them: "A, B and C", "A, B, C, D and 12 more"; no unit.

    `links` are the pieces, at least one. Raises nothing. Source: common practice.
    """
    idents = list(dict.fromkeys(link.ident for link in links))
    if len(idents) > _SHOWN + 1:
        return f"{', '.join(idents[:_SHOWN])} and {len(idents) - _SHOWN} more"
    return idents[0] if len(idents) == 1 else f"{', '.join(idents[:-1])} and {idents[-1]}"


def where_of(places: Sequence[int]) -> str:
    """Return places as people say them: "piece 3", "pieces 3 to 9 and 12"; `places` sorted numbers from 1.

    Raises nothing; no place gives "". Source: common practice.
    """
    runs: list[list[int]] = []
    for n in places:
        if runs and n == runs[-1][1] + 1:
            runs[-1][1] = n
        else:
            runs.append([n, n])
    parts = [str(a) if a == b else f"{a} and {b}" if b == a + 1 else f"{a} to {b}" for a, b in runs]
    if not parts:
        return ""
    listed = parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
    return f"{'piece' if len(places) == 1 else 'pieces'} {listed}"


@dataclass
class Judging:
    """One string being judged: `placed` from the bit upward, the plan, the bodies of its pieces.

    `only_tells` are codes of rules that in this plan only tell: their unknowns do so too.
    """

    links: Sequence[Link]
    plan: Plan
    bodies: Bodies
    found: list[Found] = field(default_factory=list)
    _missing: dict[str, dict[int, set[str]]] = field(default_factory=dict)
    only_tells: set[str] = field(default_factory=set)
    _not_given: dict[str, set[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.placed: tuple[Placed, ...] = placed(self.links)

    @property
    def coupled(self) -> bool:
        """Whether this is a list of casing or tubing: it begins with a coupled piece (no unit)."""
        return bool(self.links) and kind_of(self.links[0].spec.kind).family == "coupled"

    def body(self, at: Placed) -> Body:
        """Return the body of the piece `at`. Raises nothing for a known kind. Source: `Bodies`."""
        return self.bodies.of(at.link)

    def of(self, *kinds: str) -> list[Placed]:
        """Return the pieces of these `kinds` (codes) from the bit upward. Raises nothing. Source: itself."""
        return [at for at in self.placed if at.link.spec.kind in kinds]

    def say(self, code: str, text: str, about: Sequence[Placed] = (), *, severity: Severity | None = None,
            where: str = "", measured: str = "", limit: str = "", unit: str = "",
            source: str = "") -> None:  # fmt: skip
        """Note a problem of rule `code` in the sentence `text`, `about` these pieces.

        `severity`, `where` and `source` stand for those of the rule and the places; `measured`, `limit`
        and `unit` are text as read. Raises nothing. Source: the rule's own.
        """
        rule, places = RULES[code], tuple(dict.fromkeys(at.n for at in about))
        links = [self.placed[n - 1].link for n in places]
        place = where or where_of(sorted(places)) or "the string"
        self.found.append(Found(severity or rule.severity, text, code, place, measured, limit, unit,
                                source or rule.source, places, tuple(link.ident for link in links),
                                tuple(link.key for link in links)))  # fmt: skip

    def missing(self, code: str, what: str, about: Sequence[Placed]) -> None:
        """Note that rule `code` needs `what` ("bore") of these pieces and nobody knows it; told once.

        `about` are the pieces (no unit). Raises nothing. Source: law 8 of this project.
        """
        for at in about:
            self._missing.setdefault(what, {}).setdefault(at.n, set()).add(code)

    def lacks_size(self, code: str, at: Placed) -> None:
        """Note for rule `code` what of OD and bore of the piece `at` is not known; both when both are not.

        Raises nothing. Source: law 8 of this project.
        """
        body = self.body(at)
        for what, size in (("OD", body.od_in), ("bore", body.bore_in)):
            if size is None:
                self.missing(code, what, (at,))

    def not_given(self, code: str, what: str) -> None:
        """Note that rule `code` needs `what` ("hole size") of the plan and nobody said it; told once.

        Raises nothing. Source: law 8 of this project.
        """
        self._not_given.setdefault(what, set()).add(code)

    def problems(self) -> list[Found]:
        """Return everything found, by rule and then from the bit upward, then what could not be judged.

        Takes nothing, raises nothing. Source: law 9 of this project.
        """
        order = {code: n for n, code in enumerate(RULES)}
        all_of_them = [*self.found, *self._unknown_pieces(), *self._unknown_plan()]
        return sorted(all_of_them, key=lambda one: (order[one.code], one.places[:1], bool(one.rules)))

    def _unknown_pieces(self) -> list[Found]:
        found = []
        for what, by_place in self._missing.items():
            grouped: dict[tuple[str, ...], list[Placed]] = {}
            for n in sorted(by_place):
                grouped.setdefault(tuple(sorted(by_place[n])), []).append(self.placed[n - 1])
            for codes, about in grouped.items():
                places = tuple(at.n for at in about)
                links = [at.link for at in about]
                text = f"The {what} of {names_of(links)} is not known. {_judged(codes)}"
                found.append(Found(self._weakest(codes), text, code=codes[0], where=where_of(places),
                                   source=RULES[codes[0]].source, places=places,
                                   pieces=tuple(link.ident for link in links),
                                   keys=tuple(link.key for link in links), rules=codes))  # fmt: skip
        return found

    def _weakest(self, codes: Sequence[str]) -> Severity:
        """What is not known stops nobody: it asks where a rule would ask or stop, else it only tells."""
        told = (code in self.only_tells or RULES[code].severity is Severity.NOTE for code in codes)
        return Severity.NOTE if all(told) else Severity.ASKS

    def _unknown_plan(self) -> list[Found]:
        found = []
        for what, wanted in self._not_given.items():
            codes = tuple(sorted(wanted))
            text = f"The {what} is not given in the plan. {_judged(codes)}"
            found.append(Found(Severity.NOTE, text, code=codes[0], where="plan",
                               source=RULES[codes[0]].source, rules=codes))  # fmt: skip
        return found


def _judged(codes: Sequence[str]) -> str:
    words = [RULES[code].words.rstrip(".") for code in codes]
    return f"Not judged without it: {'; '.join(one[:1].lower() + one[1:] for one in words)}."
