"""`manage.py demo [--port N] [--fresh]`: an invented rig on this machine, in a database of its own."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth import get_user_model
from django.core.management.base import BaseCommand, CommandError
from django.db import connections, transaction

from rack.management.commands._serving import migrate, port_number, waitress_server
from rack.startup import DEMO_PORT


class Command(BaseCommand):
    help = "Show an invented rig on 127.0.0.1. What is entered is kept until --fresh."
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=port_number, default=DEMO_PORT, help="default %(default)s")
        parser.add_argument("--fresh", action="store_true", help="start over with a new demo database")

    def handle(self, *args: Any, port: int, fresh: bool, **options: Any) -> None:
        if not settings.DEMO:
            raise CommandError("Start the demo by `python3 manage.py demo`.")
        # The port first: a second demo on the same port must not take the first one's database away.
        server = waitress_server("127.0.0.1", port)
        if fresh:
            remove(Path(settings.DATABASES["default"]["NAME"]))
        migrate()
        self.fill()
        self.stdout.write(self.words(port))
        self.stdout.flush()
        try:
            server.run()
        except KeyboardInterrupt:
            self.stdout.write("The demo has stopped; what was entered is kept.")
        finally:
            connections.close_all()

    def fill(self) -> None:
        """Load the invented rig into an empty database: the whole of it or nothing."""
        from rack import demo

        if get_user_model().objects.exists():
            return
        self.stdout.write("Loading the invented rig ...")
        self.stdout.flush()
        with transaction.atomic():
            demo.load()

    def words(self, port: int) -> str:
        from rack import demo

        lines = [f"The demo rig is open at http://127.0.0.1:{port}/ (stop it with Ctrl-C)", "", "Sign in as:"]
        lines += [f"  {one.role:<12} {one.username:<8} {demo.PASSWORD}" for one in demo.PEOPLE]
        return "\n".join(lines)


def remove(file: Path) -> None:
    """Remove the demo database and the two files SQLite keeps beside it; nothing else."""
    connections.close_all()
    for suffix in ("", "-wal", "-shm"):
        file.with_name(file.name + suffix).unlink(missing_ok=True)
