"""What is asked about the names on a list: numbers that stand twice, look alike, or are known already."""

from collections import defaultdict
from collections.abc import Sequence

from rack.calc.checks import Problem, asks
from rack.calc.columns import ROLES
from rack.calc.names import key_of
from rack.calc.receiving import ReadRow, and_words


def name_problems(rows: Sequence[ReadRow]) -> dict[int, list[Problem]]:
    """Return, by place in `rows`, the questions about names: a serial or painted number that stands twice.

    Both rows name each other. Two pieces may bear the same serial, so that this asks and never stops.
    Raises nothing. Source: tally check T05, common practice.
    """
    found: dict[int, list[Problem]] = defaultdict(list)
    for what, code in (("serial", "T05"), ("painted", "T06"), ("owner_no", "T05")):
        # Painted numbers and owner's numbers start again with each kind of pipe.
        groups: dict[tuple[str, str], list[int]] = defaultdict(list)
        for at, row in enumerate(rows):
            key = key_of(getattr(row, what))
            if key:
                groups[key, "" if what == "serial" or not row.spec else row.spec.key].append(at)
        for same in groups.values():
            for at in same if len(same) > 1 else ():
                others = and_words([rows[other].where for other in same if other != at])
                name = f"{ROLES[what].capitalize()} {getattr(rows[at], what)}"
                other = _other_name(what, rows[at], [rows[far] for far in same if far != at])
                found[at].append(
                    asks(
                        f"{name} stands in {others} too{other}: one joint twice, or two joints?",
                        code=code,
                        where=rows[at].where,
                        source="common practice",
                    )
                )
    _look_alikes(rows, found)
    _crossed(rows, found)
    return found


def _crossed(rows: Sequence[ReadRow], found: dict[int, list[Problem]]) -> None:
    """Ask about a painted number that is the serial of another row: two cells may have changed places."""
    serials: dict[str, int] = {key_of(row.serial): at for at, row in enumerate(rows) if key_of(row.serial)}
    for at, row in enumerate(rows):
        other = serials.get(key_of(row.painted))
        if other is not None and other != at and len(key_of(row.painted)) > 3:
            there = rows[other].where
            text = f"Painted number {row.painted} is the serial in {there}: do they belong together?"
            source = "tally check T06, common practice"
            found[at].append(asks(text, code="T06", where=row.where, source=source))


def _other_name(what: str, row: ReadRow, others: Sequence[ReadRow]) -> str:
    """Say how the other name of these pieces differs: one serial painted twice, one number on two."""
    second = {"serial": "painted", "painted": "serial"}.get(what, "")
    mine = getattr(row, second) if second else ""
    named = [getattr(other, second, "") for other in others]
    theirs = [name for name in named if name and key_of(name) != key_of(mine)]
    word = "painted" if second == "painted" else "on serial"
    return f" ({word} {mine} here and {and_words(theirs)} there)" if mine and theirs else ""


def _look_alikes(rows: Sequence[ReadRow], found: dict[int, list[Problem]]) -> None:
    """Ask about two serials that differ only by O for 0 or I for 1: probably one of them was misread."""
    groups: dict[str, dict[str, list[int]]] = defaultdict(lambda: defaultdict(list))
    for at, row in enumerate(rows):
        key = key_of(row.serial)
        if key:
            groups[key.replace("O", "0").replace("I", "1")][key].append(at)
    for spellings in groups.values():
        for key, places in spellings.items() if len(spellings) > 1 else ():
            others = [rows[at] for other, far in spellings.items() if other != key for at in far]
            text = (
                f"reads like {and_words([f'{row.serial} in {row.where}' for row in others])}: O or 0, I or 1?"
            )
            for at in places:
                found[at].append(asks(f"Serial {rows[at].serial} {text}", code="T05", where=rows[at].where))


def known_problem(row: ReadRow, painted: str = "") -> Problem:
    """Return the question about a serial that a piece at the site bears already.

    `painted` is the number that is painted on that piece; another one on the list is said too.
    `row` is that of the list. Raises nothing. Source: common practice.
    """
    other = ""
    if painted and row.painted and key_of(painted) != key_of(row.painted):
        other = f" It is painted {painted} and the list says {row.painted}: which number is on the steel?"
    return asks(
        f"A piece at this site bears the serial {row.serial} already. "
        f"The same joint coming back, or another one of that number?{other}",
        code="T06" if other else "known serial",
        where=row.where,
    )


def no_name_problem(row: ReadRow) -> Problem:
    """Return the question about a row without any name: the piece will be known by its tag alone.

    `row` is that of the list. Raises nothing. Source: common practice.
    """
    return asks(
        "No serial, painted or owner's number: entered as not readable, and known by its tag alone?",
        code="no name",
        where=row.where,
    )
