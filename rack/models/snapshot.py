"""One moment of the database, for what reads all of it while people go on writing."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connections, transaction

ALIAS = "snapshot"


@contextmanager
def snapshot() -> Iterator[str]:
    """Open a second connection whose reads all see the same moment; gives its alias for `.using()`.

    A deferred transaction on SQLite and REPEATABLE READ on PostgreSQL: neither waits for a writer
    nor lets one wait.
    """
    second = connections["default"].copy(ALIAS)
    if second.vendor == "sqlite":
        second.settings_dict["OPTIONS"]["transaction_mode"] = "DEFERRED"
    connections[ALIAS] = second
    try:
        with transaction.atomic(using=ALIAS):
            if second.vendor == "postgresql":
                with second.cursor() as cursor:
                    cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield ALIAS
    finally:
        second.close()
        del connections[ALIAS]
