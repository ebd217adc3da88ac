"""What an entry of the table of kinds says, and what a fact of its own is."""

from dataclasses import dataclass
from fractions import Fraction

#: How a length was taken, in the hands' words (trade guide 11, common practice).
LENGTH_KINDS = {
    "pins off": "box face to pin shoulder, the pin is not counted",
    "threads on": "face of coupling to end of pin, make-up loss still to come off",
    "threads off": "face of coupling to the make-up mark on the pin",
    "overall, tool": "end to end, the pin is counted",
}

SHOULDERED = ("pins off", "overall, tool")
COUPLED = ("threads on", "threads off")
TOOL = ("overall, tool", "pins off")

#: How a telescoping tool stood when it was measured; "" for what does not telescope (law 2).
STANDS = ("open", "closed")

#: How a fact is written and read; `rack.calc.facts` reads each sort.
SORTS = ("size", "length", "choice", "yes", "date", "degrees", "text", "bit code", "nozzles")


@dataclass(frozen=True)
class Fact:
    """One fact that only some kinds have.

    `sort` is one of `SORTS`. `of` is "spec" where it makes two pieces different things (it is then part
    of the specification's key) and "piece" where it is a matter of this very piece, set anew on the rig.
    `unit` is what a bare number is taken to be in; `low` and `high` are the ends of what is taken at all,
    in that unit; outside of `usual` it is taken and noted. `words` are what lists write for each value,
    lower case; `tags` the words that stand beside a size which is this fact and not the diameter.
    `in_name`: the value belongs to the description ("non-magnetic", "PDC").
    """

    name: str
    label: str
    sort: str
    of: str = "spec"
    unit: str = ""
    low: Fraction | None = None
    high: Fraction | None = None
    usual: tuple[int, int] | None = None
    choices: tuple[str, ...] = ()
    words: tuple[tuple[str, str], ...] = ()
    tags: tuple[str, ...] = ()
    in_name: bool = False
    required: bool = False
    help: str = ""


@dataclass(frozen=True)
class Kind:
    """One kind of piece.

    `up` and `down` are the usual genders of the ends ("" = either or none). `lengths` are the
    kinds of length it may be measured by, the usual one first. `by_doors`: a reading is judged
    against the wide doors of drill pipe. `family`: "shouldered" or "coupled", which decides what
    is lost when two pieces are made up. `words` are what lists call it, lower case. `one_end` names
    the only end that has a thread ("up", "down", "" for both). `alike`: both ends usually bear the same
    thread. `telescopes`: it has a length open and a length closed. `facts` is what only this kind has.
    """

    code: str
    name: str
    plural: str
    family: str
    up: str
    down: str
    lengths: tuple[str, ...]
    words: tuple[str, ...]
    by_doors: bool = False
    in_casing: bool = False
    one_end: str = ""
    alike: bool = True
    telescopes: bool = False
    facts: tuple[Fact, ...] = ()

    def fact(self, name: str) -> Fact:
        """Return the fact of this name. Raises ValueError naming it when the kind has none such.

        `name` is that of a fact in `facts`. Source: house style.
        """
        for fact in self.facts:
            if fact.name == name:
                return fact
        there = ", ".join(fact.name for fact in self.facts) or "none"
        raise ValueError(f"a {self.name} has no fact {name!r}; there are: {there}")
