"""`manage.py audit_ledger`: are the kept figures still what the ledgers say, and the triggers there."""

import time
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from rack.auditing import audit
from rack.models import Component, Journal
from rack.models.snapshot import snapshot


class Command(BaseCommand):
    help = "Rebuild every kept figure from the ledgers and name each difference. Changes nothing."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--most", type=int, default=100, help="differences to print, default %(default)s")

    def handle(self, *args: Any, most: int, **options: Any) -> None:
        began, found = time.monotonic(), 0
        with snapshot() as using:
            for difference in audit(using):
                found += 1
                if found <= most:
                    self.stdout.write(str(difference))
            lines = Journal.objects.using(using).count()
            pieces = Component.objects.using(using).count()
        took = time.monotonic() - began
        looked = f"{pieces:,} pieces and {lines:,} lines of the journal, {took:.1f} s"
        if found:
            raise CommandError(f"{found} differences in {looked}. Keep a backup before anything is changed.")
        self.stdout.write(f"No difference: {looked}.")
