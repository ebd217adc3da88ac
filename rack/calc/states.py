"""The states of a piece and the moves that are allowed between them: one table."""

from dataclasses import dataclass

from rack.calc.checks import Problem, stops


@dataclass(frozen=True)
class State:
    """A state: its name on the screen, and the states that may follow it."""

    code: str
    name: str
    then: tuple[str, ...]


_TABLE = (
    State("on_order", "on order", ("in_transit", "received")),
    State("in_transit", "in transit", ("received", "accepted", "at_inspection", "in_repair", "returned")),
    State(
        "received", "received",
        ("accepted", "in_string", "at_inspection", "in_repair", "in_transit", "returned", "scrapped"),
    ),
    State(
        "accepted", "accepted",
        ("in_string", "at_inspection", "in_repair", "in_transit", "returned", "scrapped"),
    ),
    State(
        "in_string", "in the hole", ("in_derrick", "received", "accepted", "left_in_well", "lost_in_hole")
    ),
    State("in_derrick", "in the derrick", ("in_string", "received", "accepted")),
    State("at_inspection", "at inspection", ("received", "accepted", "in_repair", "returned", "scrapped")),
    State("in_repair", "in repair", ("received", "at_inspection", "returned", "scrapped")),
    State("left_in_well", "run and left in the well", ("received",)),
    State("lost_in_hole", "lost in hole", ("received",)),
    State("returned", "returned", ("received",)),
    State("scrapped", "scrapped", ()),
)

STATES: dict[str, State] = {state.code: state for state in _TABLE}

#: States in which a piece lies at the site and takes room on a rack.
ON_SITE = ("received", "accepted")

#: States of a piece that belongs to a string at work.
IN_A_STRING = ("in_string", "in_derrick")

#: States of a piece that stays below when its string has come out.
BELOW = frozenset(("left_in_well", "lost_in_hole"))

#: States that a person writes down on the page of a piece. The others come with what brings them
#: about: a load that is sent, a string that is run.
BY_HAND = ("received", "accepted", "at_inspection", "in_repair", "returned", "scrapped")

#: States that something in the program leads to; a choice on the screen offers no other.
REACHED = (*BY_HAND, "in_transit", "in_string", "in_derrick", "left_in_well", "lost_in_hole")

#: States in which a piece still presses on the place where it lies.
PRESSING = ("received", "accepted", "at_inspection", "in_repair", "scrapped")

#: States in which a piece is not at the site and not in the derrick or the string: no list of what is due
#: names it unless it is asked for.
AWAY = ("on_order", "in_transit", "left_in_well", "lost_in_hole", "returned", "scrapped")


def by_hand(before: str) -> tuple[str, ...]:
    """Return the states that a person may write down for a piece in state `before`, in table order.

    Raises KeyError for a state that is none. Source: blueprint of this project, common practice.
    """
    return tuple(code for code in STATES[before].then if code in BY_HAND and before != "in_transit")


def move_problems(serial: str, before: str, after: str) -> list[Problem]:
    """Return why a piece may not go from state `before` to `after`; an empty list allows it.

    `serial` is the name to say. Both states are codes of `STATES`; raises ValueError for another.
    Source: blueprint of this project, common practice.
    """
    for code in (before, after):
        if code not in STATES:
            raise ValueError(f"there is no state {code!r}; there are: {', '.join(STATES)}")
    if before == after or after in STATES[before].then:
        return []
    allowed = ", ".join(STATES[code].name for code in STATES[before].then) or "nothing"
    text = (
        f"{serial} is {STATES[before].name} and cannot become {STATES[after].name}; next can be: {allowed}."
    )
    return [stops(text, code="state", where=serial, measured=STATES[after].name, limit=allowed)]


def states_page() -> str:
    """Return docs/states.md: the table of this file, and its diagram, as Markdown text.

    Takes nothing and raises nothing. Source: `STATES`; common practice.
    """
    followers = {one.name: ", ".join(STATES[code].name for code in one.then) for one in _TABLE}
    rows = [f"| {name} | {after or 'nothing'} |" for name, after in followers.items()]
    arrows = [f"    {one.code} --> {code}" for one in _TABLE for code in one.then]
    names = [f"    {one.code} : {one.name}" for one in _TABLE]
    lines = [
        "# States of a piece",
        "",
        "Written by `manage.py write_sources` from `rack/calc/states.py`; change it there.",
        "",
        "A piece is in one state at a time. Holds are a separate fact: any number of them, in any state.",
        "A state changes only by an action, which writes a line that stays.",
        "",
        "| state | may become |",
        "|---|---|",
        *rows,
        "",
        "```mermaid",
        "stateDiagram-v2",
        *names,
        *arrows,
        "```",
    ]
    return "\n".join(lines) + "\n"


def hand_problems(serial: str, before: str, after: str) -> list[Problem]:
    """Return why a person may not write down that a piece in state `before` is now `after`.

    `serial` is the name to say. What only a load or a string brings about is refused with the way to
    it. Raises ValueError for a state that is none. Source: blueprint of this project, common practice.
    """
    if not move_problems(serial, before, after) and (before == after or after in by_hand(before)):
        return []
    allowed = ", ".join(STATES[code].name for code in by_hand(before)) or "nothing"
    if before == "in_transit":
        text = f"{serial} is on its way; receive its load, or take the load back."
    elif after == "in_transit":
        text = f"{serial} goes on its way when the load that it is on is sent."
    else:
        text = (
            f"{serial} is {STATES[before].name} and cannot become {STATES[after].name}; next can be: "
            f"{allowed}."
        )
    return [stops(text, code="state", where=serial, measured=STATES[after].name, limit=allowed)]
