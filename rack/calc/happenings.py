"""What a string goes through besides its hours: kinds of events, what is counted, and who must look after."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Happening:
    """One kind of event: its `code`, its `name` for a page, the `units` in which its amount may be written.

    `counts` says what the amount is, "" where there is none; `look` is what is looked at afterwards;
    `named` is the name that its consequences have where it is another than the code;
    `whole` says that every piece in the hole went through it, else it is of the pieces that are named.
    """

    code: str
    name: str
    units: tuple[str, ...] = ()
    counts: str = ""
    look: str = ""
    whole: bool = True
    named: str = ""

    @property
    def cause(self) -> str:
        """The name under which what follows from it is looked up: blows up and down are one jarring."""
        return self.named or self.code


_FORCE = ("lbf", "kN", "t")
_TORQUE = ("ft-lbf", "N m")
#: Source of the list and of what is looked at: trade guide 4, common practice.
_ALL = (
    Happening("jar_up", "jarring up", ("hits",), "hits", "the jar, the pins and boxes near it",
              named="jarring"),
    Happening("jar_down", "jarring down", ("hits",), "hits", "the jar, the pins and boxes near it",
              named="jarring"),
    Happening("overpull", "overpull", _FORCE, "pull above the weight", "stretched pins, the slip area"),
    Happening("over_torque", "over-torque", _TORQUE, "torque", "pins and boxes, swelled boxes"),
    Happening("stall", "motor stall", ("times",), "times", "the motor"),
    Happening("twist_off", "twist-off", (), "", "the joints each side of the break"),
    Happening("washout", "washout", (), "", "the joints each side of it"),
    Happening("string_shot", "string shot", ("shots",), "shots", "the connection that was shot at"),
    Happening("h2s", "hydrogen sulphide", ("ppm",), "content", "high-strength joints and tools"),
    Happening("one_depth", "rotation at one depth across a dogleg", ("turns",), "turns",
              "the tubes that lay in the dogleg", named="dogleg"),
    Happening("corrosion", "corrosion by the mud", (), "", "the bore and the slip area of the pipe"),
    Happening("dropped", "dropped or struck", (), "", "the piece itself", whole=False),
    Happening("heat", "heat", ("°C", "°F"), "temperature", "seals, elastomers, electronics"),
    Happening("fishing", "fishing", (), "", "everything below the fishing tool"),
)  # fmt: skip
HAPPENINGS: Mapping[str, Happening] = MappingProxyType({one.code: one for one in _ALL})
#: Those whose amount is the blows that a jar has given.
HITS = ("jar_up", "jar_down")


def happening_of(code: str) -> Happening:
    """Return the kind of event with this `code`. Raises ValueError naming the code when there is none.

    Source: trade guide 4, common practice.
    """
    if code not in HAPPENINGS:
        raise ValueError(f"there is no event called {code!r}; there are: {', '.join(HAPPENINGS)}")
    return HAPPENINGS[code]
