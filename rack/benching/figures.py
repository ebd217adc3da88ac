"""A measured figure, its floor and its limit, and the clock that both are taken by."""

import math
import statistics
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from django.db import connection

Statement = tuple[str, Sequence[Any]]


@dataclass(frozen=True)
class Figure:
    """One result. Where there is a floor, its limit is a ratio to it; else a figure in the unit named."""

    name: str
    unit: str
    measured: float
    limit: float
    floor: float | None = None

    @property
    def ratio(self) -> float | None:
        return self.measured / self.floor if self.floor else None

    @property
    def ok(self) -> bool:
        return (self.measured if self.ratio is None else self.ratio) <= self.limit

    def __str__(self) -> str:
        ratio = "" if self.ratio is None else f", {self.ratio:.2f} x {self.floor:.4g}"
        return f"{'ok    ' if self.ok else 'NOT OK'} {self.name}: {self.measured:.4g} {self.unit}{ratio}"

    def as_json(self) -> dict[str, Any]:
        ratio = self.ratio
        return {
            "name": self.name, "unit": self.unit, "measured": _short(self.measured),
            "floor": None if self.floor is None else _short(self.floor),
            "ratio": None if ratio is None else _short(ratio),
            "limit": self.limit, "limit_is": "ratio" if self.floor else self.unit, "ok": self.ok,
        }  # fmt: skip


def _short(value: float) -> float:
    return float(f"{value:.4g}")


def seconds(act: Callable[[], Any]) -> float:
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def p95(times: Sequence[float]) -> float:
    """The time that 95 in 100 stay within: the nearest rank."""
    return sorted(times)[math.ceil(0.95 * len(times)) - 1]


def beside(acts: Sequence[Callable[[], Any]], rounds: int) -> list[float]:
    """The median time of each act in seconds, taken in turns, so that a busy moment meets all of them."""
    times: list[list[float]] = [[] for _ in acts]
    for _ in range(rounds):
        for n, act in enumerate(acts):
            times[n].append(seconds(act))
    return [statistics.median(each) for each in times]


@contextmanager
def statements() -> Iterator[list[Statement]]:
    """Every statement that is sent meanwhile, with its values."""
    sent: list[Statement] = []

    def note(execute: Any, sql: str, params: Any, many: Any, context: Any) -> Any:
        sent.append((sql, params))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(note):
        yield sent


def ask(sent: Sequence[Statement]) -> list[list[tuple[Any, ...]]]:
    """Send the statements again and fetch every row of each."""
    rows = []
    with connection.cursor() as cursor:
        for sql, params in sent:
            cursor.execute(sql, params)
            rows.append(cursor.fetchall())
    return rows
