"""What a scope asks for, what was looked at, and what a look without figures proves."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from inspection.calc.criteria import Scheme
from inspection.calc.readings import WHATS, Look, Reading
from inspection.calc.verdict import Check, Outcome
from rack.calc.checks import Severity

SCOPES = ("visual", "connections", "tube", "full")
ENDS = ("box", "pin")
_SOURCE = "what a scope asks for: trade guide 2 and 12, common practice"


@dataclass(frozen=True)
class Ask:
    """One thing a scope asks for: its name, whether it belongs to the tube or the joint, the readings that
    answer it, the methods that look at it, and whether it is a figure that makes a class."""

    label: str
    group: str
    whats: tuple[str, ...]
    methods: tuple[str, ...]
    figure: bool = False


#: What may be asked for.
ASKED: dict[str, Ask] = {
    "wall": Ask("wall", "tube", ("wall",), ("UTW", "FLUT"), figure=True),
    "od": Ask("OD of the tube", "tube", ("od", "od_worn", "dent", "necking"), ("ODG",), figure=True),
    "tube visual": Ask("visual look at the tube", "tube", ("bent",), ("VT-T",)),
    "tube cracks": Ask("cracks of the tube", "tube", ("crack", "washout", "hole"),
                       ("EMI", "FLUT", "MPI-D", "UTS")),
    "joint od": Ask("OD of the tool joint", "joint", ("od",), ("DIM1", "DIM2", "DIM3"), figure=True),
    "shoulder": Ask("shoulder width", "joint", ("shoulder",), ("DIM1", "DIM2", "DIM3"), figure=True),
    "connection": Ask("visual look at the connections", "joint", ("seal", "threads", "state"), ("VT-C",)),
    "connection cracks": Ask("cracks of the connections", "joint", ("crack",), ("MPI-F", "PT", "UTC")),
}
_DRILL_PIPE = {
    "visual": ("tube visual", "connection"),
    "connections": ("connection", "joint od", "shoulder"),
    "tube": ("wall", "od", "tube visual", "tube cracks"),
    "full": ("wall", "od", "tube visual", "tube cracks", "connection", "joint od", "shoulder"),
}
_COUPLED = {"visual": ("tube visual", "connection"), "connections": ("connection",),
            "tube": ("wall", "tube visual"), "full": ("wall", "tube visual", "connection")}
_OTHERS = {"visual": ("connection",), "connections": ("connection", "connection cracks"), "tube": (),
           "full": ("connection", "connection cracks")}
_COUPLED_KINDS = frozenset({"casing", "tubing", "pup_joint", "marker_joint"})


def covers(done: str, booked: str) -> bool:
    """Say whether an inspection of the scope `done` answers one of the scope `booked`; no unit.

    Raises nothing. Source: a full inspection has every look of the others, common practice; a service is one
    of its own.
    """
    return done == booked or (done == "full" and booked in SCOPES)


def asked_for(kind: str, scope: str, asked: Iterable[str] | None = None) -> frozenset[str]:
    """Return what `scope` asks for at a `kind` of piece: keys of `ASKED`; `asked` overrides it.

    No unit. Raises ValueError for an unknown scope or key. Source: trade guide 2 and 12, common practice;
    tong space and counterbore are optional under RP 7G and asked for by no scope.
    """
    if scope not in SCOPES:
        raise ValueError(f"scope: {scope!r} is none of {', '.join(SCOPES)}")
    if asked is not None:
        keys = frozenset(asked)
        if keys - set(ASKED):
            raise ValueError(f"asked: {sorted(keys - set(ASKED))[0]!r} is none of {', '.join(ASKED)}")
        return keys
    table = _DRILL_PIPE if kind == "drill_pipe" else _COUPLED if kind in _COUPLED_KINDS else _OTHERS
    return frozenset(table[scope])


def looked_at(
    readings: Sequence[Reading], looks: Sequence[Look], wanted: Iterable[str], scheme: Scheme, *,
    acceptance: str = "", unused: bool = False, ends: Sequence[str] = ENDS,
) -> list[Check]:
    """Return one check for each thing that is `wanted`: looked at, looked at without a figure, or not.

    `readings` and `looks` are what was done, `scheme` the classes, `acceptance` the class that a look
    without a figure proves, `unused`: never run; `ends` are those the piece has, and each is asked for by
    itself. Raises nothing. Source: trade guide 12: "done, nothing to reject" is a look, a method without
    result is none, and an indication is proved up first.
    """  # fmt: skip
    found = [check for key in ASKED if key in set(wanted)
             for part in _parts_of(ASKED[key], ends)
             for check in _one(ASKED[key], part, readings, looks, scheme, acceptance, unused=unused)]
    found += [_indication(look) for look in looks if look.result == "indication"]
    return found


def _parts_of(ask: Ask, ends: Sequence[str]) -> tuple[str, ...]:
    """The parts at which a thing is asked for: the tube once, each end by itself, a shoulder at the box."""
    if ask.group == "tube":
        return ("tube",)
    return tuple(end for end in ends if any(end in WHATS[what].parts for what in ask.whats))


def _one(
    ask: Ask, part: str, readings: Sequence[Reading], looks: Sequence[Look], scheme: Scheme,
    acceptance: str, *, unused: bool,
) -> Iterator[Check]:  # fmt: skip
    parts = ("tube", "body") if part == "tube" else (part,)
    if any(one.what in ask.whats and one.part in parts for one in readings):
        if not ask.figure:  # a figure has a check of its own
            yield _seen(ask, part, scheme, unused=unused)
        return
    done = [look.method for look in looks if look.is_clean and look.method in ask.methods
            and look.part in ("", *parts)]
    name = f"{ask.label}, {part}" if part in ENDS else ask.label
    if not done:
        yield Check(ask.label, part, f"{name[:1].upper()}{name[1:]}: not looked at.",
                    Outcome.UNKNOWN, Severity.ASKS, source=_SOURCE, conf="CP")
    elif not ask.figure:
        yield _seen(ask, part, scheme, unused=unused)
    elif acceptance:
        yield Check(ask.label, part, f"{name[:1].upper()}{name[1:]}: {done[0]} done, nothing to "
                    f"reject at {acceptance}.", Outcome.PASSES, Severity.NOTE, allows=acceptance,
                    measured="nothing to reject", source=_SOURCE, conf="CP")
    else:
        yield Check(ask.label, part, f"{name[:1].upper()}{name[1:]}: {done[0]} done, nothing to "
                    "reject, without a figure and without a class it was accepted to.", Outcome.UNKNOWN,
                    Severity.ASKS, measured="nothing to reject", source=_SOURCE, conf="CP")


def _seen(ask: Ask, part: str, scheme: Scheme, *, unused: bool) -> Check:
    """Looked at: by itself it allows the best class a piece of its kind can have."""
    best = scheme.names[0]
    if best == "Class 1" and not unused:
        best = scheme.names[1]
    name = f"{ask.label}, {part}" if part in ENDS else ask.label
    return Check(ask.label, part, f"{name[:1].upper()}{name[1:]}: looked at.", Outcome.PASSES,
                 Severity.NOTE, allows=best, measured="looked at", source=_SOURCE, conf="CP")


def _indication(look: Look) -> Check:
    """An indication is proved up before anything passes."""
    part = look.part if look.part in ("box", "pin") else "joint" if _is_of_joint(look.method) else "tube"
    return Check(look.method, part, f"{look.method}: an indication; prove it up before it is classed.",
                 Outcome.UNKNOWN, Severity.ASKS, measured="indication", source=_SOURCE, conf="CP")


def _is_of_joint(method: str) -> bool:
    return any(method in ask.methods for ask in ASKED.values() if ask.group == "joint")


