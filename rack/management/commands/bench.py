"""`manage.py bench`: how fast it is at a fleet's size, as JSON, each figure beside its floor or limit."""

import json
import platform
import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.db import connection

from rack.benching import stock
from rack.benching.figures import seconds
from rack.benching.home import home
from rack.benching.pages import Pages

PARTS = ("pages",)


class Command(BaseCommand):
    help = "Measure at 250,000 pieces in a database of its own, and say in JSON what is within its limit."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--pieces", type=int, default=250_000, help="default %(default)s")
        parser.add_argument("--keep", action="store_true", help="keep the database for another run")
        parser.add_argument("--only", choices=PARTS, help="one part alone")

    def handle(self, *args: Any, pieces: int, keep: bool, only: str | None, **options: Any) -> None:
        with home(pieces, keep=keep) as environment:
            made = seconds(lambda: stock.fill(pieces))
            self.stderr.write(f"{pieces:,} pieces made in {made:.1f} s")
            figures = []
            for part in (only,) if only else PARTS:
                for figure in self._part(part, environment):
                    self.stderr.write(str(figure))
                    figures.append(figure)
        ok = all(figure.ok for figure in figures)
        self.stdout.write(json.dumps({
            "database": connection.vendor, "pieces": pieces, "python": platform.python_version(),
            "ok": ok, "figures": [figure.as_json() for figure in figures],
        }, indent=1))  # fmt: skip
        if not ok:
            sys.exit(1)

    def _part(self, part: str, environment: dict[str, str]) -> Any:
        if part == "pages":
            return Pages().figures()
        raise ValueError(part)
