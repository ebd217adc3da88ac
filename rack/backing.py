"""Writing a backup from one moment of the database, and filling an empty database from one.

These two are the only ones that move whole tables. Neither writes a line of the journal: the
restored one must be, to the last row, the one that was kept.
"""

import base64
import datetime
import hashlib
import os
import tempfile
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.apps import apps as current_apps
from django.contrib.auth import get_user_model
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import DatabaseError, connection, connections, models, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.graph import MigrationGraph
from django.db.migrations.recorder import MigrationRecorder

from rack.actions.files import path_of
from rack.errors import TierbookError, UnreadableFile
from rack.exchange.archive import DAMAGED, Archive, ArchiveWriter, Table
from rack.models import File
from rack.models.snapshot import snapshot

KEPT_APPS = ("rack", "inspection")
PAGE = 2000


class CannotRestore(TierbookError):
    """The database at hand cannot take this backup."""

    status = 409


@dataclass(frozen=True)
class Moved:
    """What went into a backup or came out of one; `missing` are kept files whose bytes are gone."""

    tables: int
    rows: int
    files: int
    missing: tuple[str, ...] = ()


def backup(path: Path) -> Moved:
    """Write a backup of this moment. Nothing is at `path` before it is complete.

    Raises TierbookError where something stands at `path` already.
    """
    if path.exists():
        raise TierbookError(f"{path} is there already; choose another name.")
    handle, name = tempfile.mkstemp(dir=path.absolute().parent, prefix=path.name, suffix=".part")
    os.close(handle)  # made with mode 600: it holds the digests of passwords
    part = Path(name)
    try:
        with snapshot() as using:
            moved = _write(part, using)
        with part.open("rb") as written:
            os.fsync(written.fileno())
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
    return moved


def restore(path: Path) -> Moved:
    """Fill this empty database from a backup, whole or not at all, and bring it up to date.

    Raises UnreadableFile for what is no backup or is damaged, CannotRestore where the database has
    rows or does not fit.
    """
    with Archive(path) as archive:
        archive.check()
        _fit_tables(archive)
        by_table = _models_of(archive)
        _check_empty(by_table.values())
        for sha256 in archive.files:
            _restore_file(archive, sha256)
        try:
            rows = _load(archive, by_table)
        except (DatabaseError, ValidationError) as error:
            raise UnreadableFile(f"{DAMAGED}its rows do not fit together ({error}).") from error
        moved = Moved(len(archive.tables), rows, len(archive.files))
    call_command("migrate", interactive=False, verbosity=0)
    return moved


# Writing


def _write(part: Path, using: str) -> Moved:
    rows = 0
    kept = _kept_models()
    with ArchiveWriter(part, _applied(using)) as archive:
        for model in kept:
            columns = [str(field.column) for field in model._meta.concrete_fields]
            rows += archive.table(model._meta.db_table, columns, _rows_of(model, using))
        missing, files = [], 0
        for sha256 in File.objects.using(using).order_by("pk").values_list("sha256", flat=True).iterator():
            if path_of(sha256).exists():
                archive.file(sha256, path_of(sha256))
                files += 1
            else:
                missing.append(sha256)
    return Moved(len(kept), rows, files, tuple(missing))


def _kept_models() -> list[type[models.Model]]:
    """Return what is kept: everything of ours, and the accounts. Sessions and throttles are not."""
    ours = [
        model
        for model in current_apps.get_models(include_auto_created=True)
        if model._meta.app_label in KEPT_APPS and model._meta.managed and not model._meta.proxy
    ]
    return [get_user_model(), *ours]


def _applied(using: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for app, name in sorted(MigrationRecorder(connections[using]).applied_migrations()):
        found.setdefault(app, []).append(name)
    return found


def _rows_of(model: type[models.Model], using: str) -> Iterator[list[Any]]:
    """Return the rows of a table in the order of their keys, a page at a time."""
    names = [field.attname for field in model._meta.concrete_fields]
    at = names.index(model._meta.pk.attname)
    table = model._base_manager.using(using).order_by("pk").values_list(*names)
    page = list(table[:PAGE])
    while page:
        yield from ([_plain(value) for value in row] for row in page)
        page = list(table.filter(pk__gt=page[-1][at])[:PAGE])


def _plain(value: Any) -> Any:
    """Return a value as JSON knows it; the field reads it back by its own `to_python`."""
    if isinstance(value, datetime.datetime | datetime.date | datetime.time):
        return value.isoformat()
    if isinstance(value, uuid.UUID):
        return str(value)
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(bytes(value)).decode()
    return value


# Reading


def _fit_tables(archive: Archive) -> None:
    """Bring a database without tables to the state of the backup; refuse one in another state."""
    executor = MigrationExecutor(connection)
    wanted = {(app, name) for app, names in archive.migrations.items() for name in names}
    if unknown := sorted(wanted - set(executor.loader.disk_migrations)):
        raise CannotRestore(
            "This backup was made by a newer Tierbook, or by one with other parts "
            f"({'.'.join(unknown[0])} is unknown here); restore it with that one."
        )
    applied = set(executor.loader.applied_migrations)
    if not applied:
        executor.migrate(_last_of(wanted, executor.loader.graph))
    elif applied != wanted:
        raise CannotRestore(
            "The tables of this database are of another version than the backup. Name a database without "
            "tables: they are made as the backup needs them, and brought up to date after it."
        )


def _last_of(wanted: set[tuple[str, str]], graph: MigrationGraph) -> list[tuple[str, str]]:
    """Return the migrations that no other one of their app builds on: the others come with them."""
    return [
        node
        for node in sorted(wanted)
        if not any(child.key[0] == node[0] and child.key in wanted for child in graph.node_map[node].children)
    ]


def _models_of(archive: Archive) -> dict[str, type[models.Model]]:
    """Return the models as they were when the backup was made, by table."""
    loader = MigrationExecutor(connection).loader
    state = loader.project_state([(app, name) for app, names in archive.migrations.items() for name in names])
    by_table = {model._meta.db_table: model for model in state.apps.get_models(include_auto_created=True)}
    for table in archive.tables:
        model = by_table.get(table.name)
        known = {field.column for field in model._meta.concrete_fields} if model else set()
        if known != set(table.columns):
            raise UnreadableFile(f"{DAMAGED}the table {table.name} has other columns than its version knows.")
    return {table.name: by_table[table.name] for table in archive.tables}


def _check_empty(kept: Any) -> None:
    for model in kept:
        if model._base_manager.exists():
            raise CannotRestore(
                "This database is not empty: a backup is never loaded over something. Name an empty one."
            )


def _restore_file(archive: Archive, sha256: str) -> None:
    """Put a kept file in its place. Named by its digest, so a load that fails later leaves no harm."""
    try:
        path = path_of(sha256)
    except ValueError:
        raise UnreadableFile(f"{DAMAGED}it lists a file without a digest.") from None
    path.parent.mkdir(parents=True, exist_ok=True)
    digest = hashlib.sha256()
    with tempfile.NamedTemporaryFile(dir=path.parent, delete=False) as part:
        for chunk in archive.bytes_of(sha256):
            digest.update(chunk)
            part.write(chunk)
        part.flush()
        os.fsync(part.fileno())
    Path(part.name).replace(path)


def _load(archive: Archive, by_table: dict[str, type[models.Model]]) -> int:
    rows = 0
    with transaction.atomic():
        for table in archive.tables:
            rows += _load_table(archive, table, by_table[table.name])
        connection.check_constraints()
        # Explicit keys do not advance PostgreSQL's sequences.
        with connection.cursor() as cursor:
            for statement in connection.ops.sequence_reset_sql(no_style(), list(by_table.values())):
                cursor.execute(statement)
    return rows


def _load_table(archive: Archive, table: Table, model: type[models.Model]) -> int:
    """Insert the rows as they were: no default, no clock of a field gets in between."""
    by_column = {str(field.column): field for field in model._meta.concrete_fields}
    fields = [by_column[column] for column in table.columns]
    quote = connection.ops.quote_name
    columns = ", ".join(quote(str(field.column)) for field in fields)
    marks = ", ".join(["%s"] * len(fields))
    statement = f"INSERT INTO {quote(table.name)} ({columns}) VALUES ({marks})"
    count, page = 0, []
    with connection.cursor() as cursor:
        for row in archive.rows(table):
            page.append(
                [
                    field.get_db_prep_save(field.to_python(value), connection)
                    for field, value in zip(fields, row, strict=True)
                ]
            )
            count += 1
            if len(page) == PAGE:
                cursor.executemany(statement, page)
                page = []
        if page:
            cursor.executemany(statement, page)
    return count
