"""`manage.py test [--soak] [arguments of pytest]`: everything, on the database that is set."""

import os
import sys
from typing import Any

from django.core.management.base import BaseCommand

from rack.bootstrap import ROOT, call

WORKERS = "2"


class Command(BaseCommand):
    help = "Run every test. What follows goes to pytest; --soak runs the long counts too."
    requires_system_checks = []

    def run_from_argv(self, argv: list[str]) -> None:
        """Hand everything to pytest as it was typed, and end with its code."""
        sys.exit(call(pytest_command(argv[2:])))

    def handle(self, *args: Any, **options: Any) -> None:
        sys.exit(call(pytest_command(list(args))))


def pytest_command(asked: list[str]) -> list[str]:
    """Return the command line: two processes, unless another number was asked for."""
    # Its own data folder and cookies are the tests' affair, not those of the rig that lives here.
    for name in ("TIERBOOK_DEMO", "TIERBOOK_ADDRESS", "TIERBOOK_HASHED", "TIERBOOK_DEBUG"):
        os.environ.pop(name, None)
    os.environ["TIERBOOK_DATA"] = str(ROOT / ".data" / "test")
    shared = any(one.startswith(("-n", "--numprocesses", "-p", "--pdb")) for one in asked)
    spread = [] if shared else ["-n", WORKERS, "--dist", "worksteal"]
    return [sys.executable, "-m", "pytest", "-q", "--rootdir", str(ROOT), *spread, *asked]
