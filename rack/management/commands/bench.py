"""`manage.py bench`: how fast it is at a fleet's size, as JSON, each figure beside its floor or limit."""

import json
import os
import platform
import sys
import time
from argparse import ArgumentParser
from collections.abc import Callable, Iterator
from typing import Any

from django.apps import apps
from django.core.management.base import BaseCommand
from django.db import connection
from django.utils.module_loading import import_string

from rack.auditing import audit
from rack.benching import clients, hours, lists, papers, stock, strings, year
from rack.benching.figures import Figure, seconds
from rack.benching.home import home
from rack.benching.pages import Pages
from rack.models.snapshot import snapshot
from rack.settled import settle

Part = Callable[[dict[str, str]], Iterator[Figure]]


def _audit(environment: dict[str, str]) -> Iterator[Figure]:
    """Last of all: whatever was measured left no kept figure wrong."""
    with snapshot() as using:
        began = time.perf_counter()
        found = sum(1 for _ in audit(using))
    yield Figure("audit: differences", "n", found, 0)
    yield Figure("audit", "s", time.perf_counter() - began, MOST_AUDIT_S)


MOST_AUDIT_S = 60
PARTS: dict[str, Part] = {
    "pages": lambda environment: Pages().figures(),
    "tags": lambda environment: papers.figures(),
    "clients": clients.figures,
    "lists": lambda environment: lists.figures(),
    "strings": lambda environment: strings.figures(),
    "hours": lambda environment: hours.figures(),
    "year": lambda environment: year.figures(),
    "audit": _audit,
}
#: Measured only where it is named: it takes a minute by itself.
BY_NAME = ("year",)


def all_parts() -> dict[str, Part]:
    """The parts of the rack, then those of its neighbours: what they write is audited nowhere else."""
    more = {
        name: import_string(dotted)
        for app in apps.get_app_configs()
        for name, dotted in getattr(app, "bench_parts", {}).items()
    }
    return {**PARTS, **more}


class Command(BaseCommand):
    help = "Measure at 250,000 pieces in a database of its own, and say in JSON what is within its limit."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--pieces", type=int, default=250_000, help="default %(default)s")
        parser.add_argument("--keep", action="store_true", help="keep the database for another run")
        parser.add_argument("--only", choices=all_parts(), help="one part alone")

    def handle(self, *args: Any, pieces: int, keep: bool, only: str | None, **options: Any) -> None:
        before = os.getloadavg()[:1]  # a busy machine explains a late page
        with home(pieces, keep=keep) as environment:
            made = seconds(lambda: stock.fill(pieces))
            self.stderr.write(f"{pieces:,} pieces made in {made:.1f} s")
            figures: list[Figure] = []
            parts = all_parts()
            settle()  # as the server does before its first page
            for part in (only,) if only else [name for name in parts if name not in BY_NAME]:
                for figure in parts[part](environment):
                    self.stderr.write(str(figure))
                    figures.append(figure)
        ok = all(figure.ok for figure in figures)
        report = {
            "database": connection.vendor,
            "pieces": pieces,
            "python": platform.python_version(),
            "load": [round(one, 1) for one in (*before, *os.getloadavg()[:1])],
            "ok": ok,
            "figures": [figure.as_json() for figure in figures],
        }
        self.stdout.write(json.dumps(report, indent=1))
        if not ok:
            sys.exit(1)
