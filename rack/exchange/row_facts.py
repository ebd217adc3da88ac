"""What the columns of a row say of the piece, each read by its role and laid over the words of the item."""

from dataclasses import replace
from typing import Any

from rack.calc import item_parts as parts
from rack.calc.checks import Problem, asks
from rack.calc.items import Facts, facts_of, over, settle
from rack.calc.specs import SpecFacts
from rack.exchange.cells import Cell

#: The roles of columns that say what the piece is.
SPEC_ROLES = (
    "kind",
    "od",
    "bore",
    "wall",
    "weight",
    "grade",
    "range",
    "connection",
    "up_conn",
    "down_conn",
    "tj_od",
    "tj_bore",
)


def spec_of(
    item: str, said: dict[str, Cell], default_item: str
) -> tuple[SpecFacts | None, tuple[Problem, ...]]:
    """Return the specification of a row and every problem: item, columns, and the default under both."""
    facts = facts_of(item) if item else Facts()
    facts = over(facts, _column_facts(said, facts))
    if default_item:
        facts = _filled(facts, facts_of(default_item))
    spec, problems = settle(facts)
    return spec, tuple(_named(each, item) for each in problems)


def _named(problem: Problem, item: str) -> Problem:
    """Name the words that do not say a kind, so that the sentence stands by itself."""
    if problem.code == "kind" and item and item not in problem.text:
        return replace(problem, text=f"“{item[:60]}”: {problem.text[:1].lower()}{problem.text[1:]}")
    return problem


def _filled(facts: Facts, default: Facts) -> Facts:
    """Return `facts` with what the default says of the rest; a fact of the row always stands."""
    missing = {
        name: getattr(default, name)
        for name in default.__dataclass_fields__
        if name != "problems" and not getattr(facts, name) and not (name == "kind" and facts.kind_word)
    }
    return replace(facts, **missing, problems=tuple(dict.fromkeys((*facts.problems, *default.problems))))


def _column_facts(said: dict[str, Cell], item: Facts) -> Facts:
    """Return the facts that the columns of a row say, each read by its role."""
    made: dict[str, Any] = {}
    problems: list[Problem] = []
    if "kind" in said:
        facts = facts_of(said["kind"].text)
        made.update(kind=facts.kind, kind_word=facts.kind_word)
        if facts.extra:
            made["extra"] = facts.extra
        if not facts.kind_word:
            problems.append(asks(f"“{said['kind'].text}” is no kind of piece that is known.", code="kind"))
    for role in ("od", "bore", "wall", "tj_od", "tj_bore"):
        if role in said:
            word = {
                "od": "Diameter",
                "bore": "Bore",
                "wall": "Wall",
                "tj_od": "Tool joint OD",
                "tj_bore": "Tool joint bore",
            }[role]
            unit = said[role].column.unit or ("in" if role != "wall" else "")
            unit = said[role].column.unit if role in ("od", "wall") else unit
            made[f"{role}_nm"], found = parts.read_size(said[role].text, unit, word)
            problems += found
    for role, read in (("grade", parts.read_grade), ("range", parts.read_range)):
        if role in said:
            made[role], found = read(said[role].text)
            problems += found
    problems += _threads(said, made)
    if "weight" in said:
        kind = str(made.get("kind") or item.kind)
        cell = said["weight"]
        made["weight_mlb_ft"], found = parts.read_weight(
            cell.text, cell.column.unit, kind, int(made.get("od_nm") or item.od_nm)
        )
        problems += found
    return Facts(**made, problems=tuple(problems))  # type: ignore[arg-type]


def _threads(said: dict[str, Cell], made: dict[str, Any]) -> list[Problem]:
    problems: list[Problem] = []
    if "connection" in said:
        text = said["connection"].text
        thread, genders, found = parts.read_thread(text)
        two = facts_of(text) if found else Facts()
        if two.up_conn and two.down_conn and two.up_conn != two.down_conn:
            made.update(
                up_conn=two.up_conn,
                up_gender=two.up_gender,
                down_conn=two.down_conn,
                down_gender=two.down_gender,
            )
        else:
            made.update(up_conn=thread, down_conn=thread)
            if len(genders) == 2:
                up, down = sorted(genders)
                made.update(up_gender=up, down_gender=down)
            problems += found
    for role, gender in (("up_conn", "up_gender"), ("down_conn", "down_gender")):
        if role in said:
            thread, genders, found = parts.read_thread(said[role].text)
            made.update({role: thread, gender: genders[0] if genders else ""})
            problems += found
    return problems
