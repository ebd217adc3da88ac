"""`manage.py restore FILE`: an empty database from a backup, on either kind of database."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from rack.backing import restore
from rack.errors import TierbookError


class Command(BaseCommand):
    help = "Fill an empty database from a backup; nothing is ever loaded over something."
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", type=Path)

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        try:
            moved = restore(file)
        except TierbookError as error:
            raise CommandError(str(error)) from None
        except OSError as error:
            raise CommandError(f"{error.filename or file} cannot be written: {error.strerror}.") from None
        self.stdout.write(f"Restored {moved.rows:,} rows of {moved.tables} tables and {moved.files:,} files.")
