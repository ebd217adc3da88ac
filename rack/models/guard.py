"""The database itself refuses to change a ledger, on SQLite and on PostgreSQL.

Installed after every migrate and not in a migration: a later column change makes SQLite rebuild
the table, and its triggers are gone without a word.
"""

from collections.abc import Iterator

from django.apps import apps
from django.db import connections, models

from rack.models.journal import Entry, Journal

WORDS = "a ledger only grows: put it right by an entry that reverses it"

_POSTGRES_FUNCTION = f"""
CREATE OR REPLACE FUNCTION ledger_refuses() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '{WORDS}' USING ERRCODE = 'integrity_constraint_violation';
END $$
"""


def ledgers() -> list[type[models.Model]]:
    """Every concrete ledger of every app; nobody has to remember a list."""
    return [model for model in apps.get_models() if issubclass(model, Entry | Journal)]


def triggers(table: str, vendor: str) -> Iterator[tuple[str, str]]:
    """The name and the statement of each trigger that guards `table`."""
    if vendor == "sqlite":
        for event in ("UPDATE", "DELETE"):
            name = f"{table}_no_{event.lower()}"
            yield (
                name,
                (
                    f"CREATE TRIGGER IF NOT EXISTS {name} BEFORE {event} ON {table} "
                    f"BEGIN SELECT RAISE(ABORT, '{WORDS}'); END"
                ),
            )
        return
    yield (
        f"{table}_no_change",
        (
            f"CREATE OR REPLACE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION ledger_refuses()"
        ),
    )
    yield (
        f"{table}_no_truncate",
        (
            f"CREATE OR REPLACE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION ledger_refuses()"
        ),
    )


def install(using: str = "default") -> None:
    """Put every missing trigger on every ledger table that exists."""
    connection = connections[using]
    present = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(_POSTGRES_FUNCTION)
        for model in ledgers():
            if model._meta.db_table in present:
                for _, statement in triggers(model._meta.db_table, connection.vendor):
                    cursor.execute(statement)


def missing(using: str = "default") -> list[str]:
    """The names of triggers that should guard a ledger and do not (or are switched off)."""
    connection = connections[using]
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        else:
            cursor.execute("SELECT tgname FROM pg_trigger WHERE NOT tgisinternal AND tgenabled <> 'D'")
        there = {row[0] for row in cursor.fetchall()}
    wanted = [name for model in ledgers() for name, _ in triggers(model._meta.db_table, connection.vendor)]
    return [name for name in wanted if name not in there]
