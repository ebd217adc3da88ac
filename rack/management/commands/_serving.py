"""What `demo` and `serve` share: the migrations, and waitress behind a sentence when the port is taken."""

from typing import Any

from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

THREADS = 8
# A file of deliveries or a photo of a pencil sheet; more is a mistake.
LARGEST_BODY = 64 * 1024 * 1024


def pending() -> bool:
    """Tell whether a migration waits."""
    executor = MigrationExecutor(connection)
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def migrate() -> None:
    """Bring the database up to date, before several threads open it."""
    if pending():
        call_command("migrate", interactive=False, verbosity=0)


def waitress_server(host: str, port: int, **more: Any) -> Any:
    """Return a server that holds its port already, or refuse in a sentence."""
    from waitress.server import create_server

    from rack.wsgi import application

    try:
        return create_server(
            application,
            host=host,
            port=port,
            threads=THREADS,
            ident="Tierbook",
            max_request_body_size=LARGEST_BODY,
            **more,
        )
    except OSError as error:
        hint = "is another Tierbook running? Choose another with --port."
        raise CommandError(f"Port {port} of {host} cannot be had ({error.strerror}): {hint}") from None


def port_number(text: str) -> int:
    """Read a port; argparse turns the ValueError into its own sentence."""
    port = int(text)
    if not 1 <= port <= 65535:
        raise ValueError(text)
    return port
