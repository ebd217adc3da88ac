"""`manage.py serve`: the site for a real rig, always over TLS.

Behind a proxy that speaks TLS it is waitress; with a certificate of its own it is gunicorn, since
waitress speaks no TLS.
"""

import contextlib
import os
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection, connections

from rack import firstrun
from rack.bootstrap import ROOT
from rack.management.commands._serving import THREADS, migrate, pending, port_number, waitress_server

# Extensions of htmx that no page loads; one of them imports what is not there, which stops the hashing.
UNUSED_SCRIPTS = ["hx-*.js"]

ONE_OF_TWO = (
    "Say how TLS is done: --behind-proxy (a proxy on this machine speaks TLS) "
    "or --certificate FILE --key FILE."
)


class Command(BaseCommand):
    help = "Serve the site: behind a TLS proxy, or with a certificate of its own."
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--behind-proxy", action="store_true", help="a proxy speaks TLS (waitress)")
        parser.add_argument(
            "--proxy-address", default="127.0.0.1", help="the one whose word is taken, default %(default)s"
        )
        parser.add_argument("--certificate", metavar="FILE", help="with --key: speak TLS here (gunicorn)")
        parser.add_argument("--key", metavar="FILE")
        parser.add_argument("--host", help="default 127.0.0.1 behind a proxy, else all of this machine's")
        parser.add_argument("--port", type=port_number, help="default 8000 behind a proxy, else 8443")

    def handle(self, *args: Any, **options: Any) -> None:
        check(options)
        prepare()
        if firstrun.needed():
            self.stdout.write(f"Nobody has an account yet. Begin at {settings.ADDRESS}/ with this code:")
            self.stdout.write(f"\n    {firstrun.make()}\n")
            self.stdout.flush()
        connections.close_all()
        if options["behind_proxy"]:
            self.behind_proxy(options)
        else:
            self.with_certificate(options)

    def behind_proxy(self, options: dict[str, Any]) -> None:
        # waitress itself puts the last hop's word for the client's address and scheme in place, from
        # this one proxy, and drops such headers from anybody else.
        server = waitress_server(
            options["host"] or "127.0.0.1",
            options["port"] or 8000,
            trusted_proxy=options["proxy_address"],
            trusted_proxy_count=1,
            trusted_proxy_headers={"x-forwarded-for", "x-forwarded-proto"},
            clear_untrusted_proxy_headers=True,
        )
        self.stdout.write(f"Serving {settings.ADDRESS} behind the proxy at {options['proxy_address']}.")
        self.stdout.flush()
        with contextlib.suppress(KeyboardInterrupt):
            server.run()

    def with_certificate(self, options: dict[str, Any]) -> None:
        host, port = options["host"] or "0.0.0.0", options["port"] or 8443
        self.stdout.write(f"Serving {settings.ADDRESS} on port {port}.")
        self.stdout.flush()
        os.chdir(ROOT)
        os.execv(sys.executable, gunicorn_command(host, port, options["certificate"], options["key"]))


def gunicorn_command(host: str, port: int, certificate: str, key: str) -> list[str]:
    """Return the command line: one process on SQLite, whose writers queue anyway, four on PostgreSQL."""
    workers = 4 if connection.vendor == "postgresql" else 1
    return [
        sys.executable, "-m", "gunicorn", "rack.wsgi:application",
        "--bind", f"{host}:{port}",
        "--certfile", str(Path(certificate).resolve()),
        "--keyfile", str(Path(key).resolve()),
        "--workers", str(workers),
        "--threads", str(THREADS),
        "--forwarded-allow-ips", "",
        "--no-control-socket",
    ]  # fmt: skip


def check(options: dict[str, Any]) -> None:
    """Refuse whatever would send a password in clear, or print codes that open nothing."""
    if not os.environ.get("TIERBOOK_ADDRESS", "").strip():
        raise CommandError(
            "TIERBOOK_ADDRESS is not set: write the address people will type, such as "
            "https://tally.rig.example. It is printed on every tag and sheet."
        )
    if not settings.HTTPS:
        raise CommandError(f"TIERBOOK_ADDRESS is {settings.ADDRESS!r}: a rig is served over https:// only.")
    if settings.DEBUG:
        raise CommandError("TIERBOOK_DEBUG is set: its error pages show the program to anybody.")
    own = options["certificate"] or options["key"]
    if bool(options["behind_proxy"]) == bool(own):
        raise CommandError(ONE_OF_TWO)
    if own:
        check_certificate(options["certificate"], options["key"])


def check_certificate(certificate: str | None, key: str | None) -> None:
    if os.name == "nt":
        raise CommandError("A certificate of its own works on Linux and macOS only; here use --behind-proxy.")
    if not certificate or not key:
        raise CommandError("--certificate and --key belong together.")
    for file in (certificate, key):
        if not os.access(file, os.R_OK):
            raise CommandError(f"{file} cannot be read.")


def prepare() -> None:
    """Bring an empty database up to date and gather the static files; an old database is left alone."""
    if pending():
        if connection.introspection.table_names():
            raise CommandError(
                "The database is of an older Tierbook: first `manage.py backup FILE`, then "
                "`manage.py migrate`."
            )
        migrate()
    call_command("collectstatic", interactive=False, verbosity=0, ignore_patterns=UNUSED_SCRIPTS)
