"""`manage.py backup FILE`: everything into one file, while people go on working."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from rack.backing import backup
from rack.errors import TierbookError


class Command(BaseCommand):
    help = "Write the whole database and the kept files into one file."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", type=Path)

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        try:
            moved = backup(file)
        except (TierbookError, ValueError) as error:
            raise CommandError(str(error)) from None
        except OSError as error:
            raise CommandError(f"{file} cannot be written: {error.strerror}.") from None
        self.stdout.write(
            f"{file}: {moved.rows:,} rows of {moved.tables} tables, {moved.files:,} files. "
            "It holds the digests of passwords: keep it where only the office reads it."
        )
        if moved.missing:
            raise CommandError(
                f"The backup is written, but the bytes of {len(moved.missing)} kept files are gone from the "
                f"data folder, the first is {moved.missing[0]}."
            )
