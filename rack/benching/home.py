"""The database that the bench works on: never the one that people use."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import connection, connections

from rack.environment import secret_key

SUFFIX = "_bench"


@contextmanager
def home(pieces: int, *, keep: bool) -> Iterator[dict[str, str]]:
    """Lead the default connection to the bench's own database; gives the environment of a second process.

    A database kept from an earlier run of as many pieces is used again.
    """
    folder = Path(settings.DATA) / f"bench-{pieces}"
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    (folder / "files").mkdir(exist_ok=True)
    plain = connection.settings_dict["NAME"], settings.DATA, settings.SECRET_KEY
    name = str(folder / "tierbook.sqlite3")
    if connection.vendor == "postgresql":
        name = f"{plain[0]}{SUFFIX}_{pieces}"
        _make(name)
    connections.close_all()
    connection.settings_dict["NAME"], settings.DATA = name, folder
    settings.SECRET_KEY = secret_key(folder)  # the second process signs with the key of its folder
    try:
        call_command("migrate", interactive=False, verbosity=0)
        yield _environment(folder, name)
    finally:
        connections.close_all()
        connection.settings_dict["NAME"], settings.DATA, settings.SECRET_KEY = plain
        if not keep:
            _drop(name)
            shutil.rmtree(folder, ignore_errors=True)


def _environment(folder: Path, name: str) -> dict[str, str]:
    there = {**os.environ, "TIERBOOK_DATA": str(folder)}
    if connection.vendor == "postgresql":
        there["DATABASE_URL"] = urlunsplit(urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}"))
    return there


def _make(name: str) -> None:
    if not name.isidentifier():
        raise CommandError(f"{name} cannot be the name of a database; name another in DATABASE_URL.")
    with connection._nodb_cursor() as cursor:
        cursor.execute("SELECT 1 FROM pg_database WHERE datname = %s", [name])
        if not cursor.fetchone():
            cursor.execute(f'CREATE DATABASE "{name}"')


def _drop(name: str) -> None:
    if connection.vendor == "postgresql":
        with connection._nodb_cursor() as cursor:
            cursor.execute(f'DROP DATABASE IF EXISTS "{name}"')
