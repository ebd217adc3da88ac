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
    State("in_transit", "in transit", ("received",)),
    State("received", "received", ("accepted", "at_inspection", "in_repair", "returned", "scrapped")),
    State("accepted", "accepted", ("at_inspection", "in_repair", "returned", "scrapped", "in_transit")),
    State("at_inspection", "at inspection", ("received", "accepted", "in_repair", "scrapped")),
    State("in_repair", "in repair", ("received", "at_inspection", "scrapped")),
    State("returned", "returned", ("received",)),
    State("scrapped", "scrapped", ()),
)

STATES: dict[str, State] = {state.code: state for state in _TABLE}

#: States in which a piece lies at the site and takes room on a rack.
ON_SITE = ("received", "accepted")


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
