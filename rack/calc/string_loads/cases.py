"""What the loads of a string are asked for, and the string cut into sections of one specification."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.bodies import TUBE_CLASSES
from rack.calc.chain import Link, length_of
from rack.calc.lengths import Length
from rack.calc.loads import USABLE
from rack.calc.rules.plan import Passing, Plan
from rack.calc.specs import SpecFacts, describe


@dataclass(frozen=True)
class LoadCase:
    """What the loads are worked out for, None where nobody said.

    Mud in ppg, weight on bit and the rig's limit in lb, inclination in degrees; `bit_factor` keeps the
    neutral point below the drill pipe; `usable` is the share of strength a design may use; a stand is
    `stand_joints` joints; `tong_arm_ft` in ft; `compound_factor` is on the can.
    """

    mud_ppg: float | None = None
    weight_on_bit_lb: float | None = None
    inclination_deg: float = 0
    bit_factor: float = 1.15
    usable: float = USABLE
    rig_limit_lb: float | None = None
    stand_joints: int = 3
    tong_arm_ft: float | None = None
    compound_factor: float = 1.0
    passes: tuple[Passing, ...] = ()


def case_of(plan: Plan, *, rig_limit_lb: float | None = None, tong_arm_ft: float | None = None,
            stand_joints: int = 3) -> LoadCase:  # fmt: skip
    """Return the load case of a `plan`, with what only the rig knows.

    `rig_limit_lb` in lb and `tong_arm_ft` in ft, None when not known; `stand_joints` is a count. Raises
    nothing. Source: the plan.
    """
    return LoadCase(plan.mud_ppg, plan.weight_on_bit_lb, plan.inclination_deg, plan.bit_factor,
                    rig_limit_lb=rig_limit_lb, stand_joints=stand_joints, tong_arm_ft=tong_arm_ft,
                    passes=plan.passes)  # fmt: skip


@dataclass(frozen=True)
class Run:
    """Consecutive links of one specification and class, numbered `first` to `last` from the bit.

    Where classes are mixed by turns the run is one, and `pipe_class` the lowest in it; "" when one of them
    is not known. `length` is None when one of them is not.
    """

    first: int
    last: int
    links: tuple[Link, ...]
    pipe_class: str

    @property
    def spec(self) -> SpecFacts:
        """The specification of all of them."""
        return self.links[0].spec

    @property
    def name(self) -> str:
        """What the section is called: its description and class, or the ident of a single piece."""
        if len(self.links) == 1 and self.links[0].named and self.links[0].count == 1:
            return self.links[0].ident
        return ", ".join(part for part in (describe(self.spec), self.pipe_class) if part)

    @property
    def count(self) -> int:
        """The number of pieces."""
        return sum(link.count for link in self.links)

    @property
    def length(self) -> Length | None:
        """The length of all of them, None when one is not known."""
        return length_of(self.links)


def _same(one: Link, other: Link) -> bool:
    """Whether two links are of one specification and the facts that change a weight are alike."""
    return one.spec == other.spec and one.facts.get("surface") == other.facts.get("surface")


def runs_of(links: Sequence[Link]) -> tuple[Run, ...]:
    """Return the sections of a string: consecutive links of one specification and class.

    `links` count from the bit upward (lengths exact). Where the classes of one specification come by turns
    they are one section with the lowest of them. Raises nothing. Source: common practice.
    """
    by_spec: list[list[tuple[int, Link]]] = []
    for n, link in enumerate(links, 1):
        if by_spec and _same(by_spec[-1][-1][1], link):
            by_spec[-1].append((n, link))
        else:
            by_spec.append([(n, link)])
    return tuple(run for numbered in by_spec for run in _by_class(numbered))


def _by_class(numbered: list[tuple[int, Link]]) -> list[Run]:
    pieces: list[list[tuple[int, Link]]] = []
    for n, link in numbered:
        if pieces and pieces[-1][-1][1].pipe_class == link.pipe_class:
            pieces[-1].append((n, link))
        else:
            pieces.append([(n, link)])
    classes = [piece[0][1].pipe_class for piece in pieces]
    if len(classes) != len(set(classes)):
        pieces = [numbered]
    return [_run(piece) for piece in pieces]


def _run(piece: list[tuple[int, Link]]) -> Run:
    links = tuple(link for _, link in piece)
    return Run(piece[0][0], piece[-1][0], links, lowest(links))


def lowest(links: Sequence[Link]) -> str:
    """Return the lowest class among `links` as it is given, "" when one is not known; no unit.

    A class on no ladder counts as lower than all that are. Raises nothing. Source: RP 7G.
    """
    classes = [link.pipe_class for link in links]
    if not all(classes):
        return ""
    ladder = list(dict.fromkeys(TUBE_CLASSES.values()))

    def depth(said: str) -> int:
        known = TUBE_CLASSES.get(said.strip().lower())
        return len(ladder) if known is None else ladder.index(known)

    return max(classes, key=depth)
