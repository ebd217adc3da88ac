"""What is the same for many rows is said once for the list: notes, and the questions of one word."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import replace

from rack.calc.checks import Problem, Severity, asks, note
from rack.calc.receiving import ReadRow, and_words

#: NOTEs of these codes are the same for every row that has them.
_NOTED_ONCE = frozenset({"metric", "weight", "item", "mark", "rounded", "grade"})
#: ASKS of these codes go to the list when so many rows or more ask the very same.
_ASKED_ONCE = {"class": 2, "feet-inches": 2, "grade": 6, "connection": 6}

#: Of these the words differ from row to row and the question is one: the first stands for all.
_ONE_QUESTION = {"feet-inches"}

_Key = tuple[str, str]


def said_once(rows: Sequence[ReadRow]) -> tuple[list[ReadRow], list[Problem]]:
    """Return the rows without what the list says for them, and what it says, with the rows it is about.

    How a metric weight was read, or what a letter of a class means, is one question and not three hundred.
    """
    noted: Counter[_Key] = Counter()
    asked: dict[_Key, list[str]] = defaultdict(list)
    for row in rows:
        for each in row.problems:
            key = _key(each)
            if each.severity is Severity.NOTE and each.code in _NOTED_ONCE:
                noted[key] += 1
            elif each.severity is Severity.ASKS and each.code in _ASKED_ONCE and row.fate != "left out":
                asked[key].append(row.where)
    often = {key: where for key, where in asked.items() if len(where) >= _ASKED_ONCE[key[0]]}
    once = [note(f"{text} ({_rows(count)})", code=code) for (code, text), count in noted.items()]
    first = {_key(each): each.text for row in reversed(rows) for each in row.problems}
    once += [
        asks(f"{first[code, text]} ({_rows(len(where))}: {and_words(where)})", code=code)
        for (code, text), where in often.items()
    ]
    return [_without(row, often) for row in rows], once


def _key(problem: Problem) -> _Key:
    return problem.code, "" if problem.code in _ONE_QUESTION else problem.text


def _without(row: ReadRow, often: dict[_Key, list[str]]) -> ReadRow:
    own = tuple(
        each
        for each in row.problems
        if not (each.severity is Severity.NOTE and each.code in _NOTED_ONCE)
        and not (each.severity is Severity.ASKS and _key(each) in often)
    )
    return row if len(own) == len(row.problems) else replace(row, problems=own)


def _rows(count: int) -> str:
    return "one row" if count == 1 else f"{count} rows"
