"""Receive a delivery list from the command line: what the page does, in one line."""

import json
import uuid
from argparse import ArgumentParser
from dataclasses import replace
from pathlib import Path
from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import BaseCommand, CommandError

from rack.actions import receiving as actions
from rack.actions.files import keep_bytes
from rack.actions.journal import Asked, Hand
from rack.calc.receiving import DeliveryList, Mapping, ReadRow, hand_count_problems
from rack.errors import Refused, TierbookError, UnreadableFile
from rack.exchange.delivery import as_json, read_delivery
from rack.exchange.delivery_json import refused_as_json
from rack.exchange.remembered import with_remembered
from rack.models import Place, Site


class FileRefused(CommandError):
    """The file is no list. To say so is what `--check` is for; without it nothing was received."""


class Command(BaseCommand):
    help = "Read a delivery list; with a user and a place, accept it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument(
            "--check", action="store_true", help="only read and say what was found; store nothing"
        )
        parser.add_argument("--json", action="store_true", help="print one JSON object")
        parser.add_argument("--user", help="who receives; needed to accept")
        parser.add_argument("--site", default="", help="code of the site; not needed while there is one")
        parser.add_argument("--place", default="", help="layer, such as R1/1; not needed while there is one")
        parser.add_argument("--sender", default="")
        parser.add_argument("--owner", default="")
        parser.add_argument("--ticket", default="", help="number of the delivery ticket")
        parser.add_argument("--order", default="", help="number of the order")
        parser.add_argument("--truck", default="", help="truck or boat that brought the pieces")
        parser.add_argument("--hand-count", type=int, default=None, help="how many were counted by hand")
        parser.add_argument(
            "--length-unit", default=None, help="unit of lengths that name none: ft, m, in, mm"
        )
        parser.add_argument("--length-kind", default=None, help='how lengths were taken, such as "pins off"')
        parser.add_argument("--item", default="", help="what the pieces are where a row does not say")
        parser.add_argument(
            "--leave-out",
            default="",
            metavar="ROWS",
            help="rows to leave out, by line of the file or, in blocks, by the list's number: 17,33,41",
        )
        parser.add_argument("--confirm", action="store_true", help="the questions were looked at; accept")
        parser.add_argument(
            "--reason", default="", help="why they are laid on a rack that then carries more than it may"
        )

    def handle(self, *, file: Path, check: bool, **options: Any) -> None:
        if not options["json"]:
            read, site, data = self._read_file(file, options, check=check)
            self._say(read)
            if not check and site:
                self.stdout.write(self._accept(data, read, file.name, site, options))
            return
        # One object is all that stands on the standard output, whatever happens; the rest is said beside it.
        found: dict[str, Any] | None = None
        try:
            read, site, data = self._read_file(file, options, check=check)
            found = as_json(read)
            if not check and site:
                self.stderr.write(self._accept(data, read, file.name, site, options))
        except CommandError as refused:
            found = {**(found or refused_as_json("")), "refused": str(refused)}
            if not (check and isinstance(refused, FileRefused)):
                raise
        finally:
            if found is not None:
                self.stdout.write(json.dumps(found, ensure_ascii=False))

    def _read_file(
        self, file: Path, options: dict[str, Any], *, check: bool
    ) -> tuple[DeliveryList, Site | None, bytes]:
        """The list as it is read, the site where it is received (none needed to check), its bytes."""
        try:
            data = file.read_bytes()
        except OSError as error:
            raise FileRefused(f"{file} cannot be read: {error.strerror}.") from None
        here = not check or options["site"]
        site = self._one(Site.objects.open(), "code", options["site"], "site") if here else None
        try:
            return self._read(data, file.name, site, {**options, "check": check}), site, data
        except UnreadableFile as refused:
            raise FileRefused(str(refused)) from None

    def _read(self, data: bytes, name: str, site: Site | None, options: dict[str, Any]) -> DeliveryList:
        plain = read_delivery(data, name)
        rows = {int(part) for part in options["leave_out"].replace(",", " ").split()}
        read = read_delivery(
            data,
            name,
            mapping=None if options["length_unit"] else self._mapping(plain, site, options["sender"]),
            length_unit=options["length_unit"],
            length_kind=options["length_kind"],
            default_item=options["item"],
            left_out=frozenset((row.part, row.row) for row in plain.rows if _number(row) in rows),
            known_serials=(lambda serials: actions.known_serials(site, serials)) if site else None,
        )
        landed = hand_count_problems(options["hand_count"], read.rows) if options["check"] else []
        return replace(read, problems=(*read.problems, *landed))

    def _mapping(self, plain: DeliveryList, site: Site | None, sender: str) -> Mapping | None:
        """The columns as they were set for this sender before, when the headings are the same."""
        before = actions.remembered(site, sender) if site and sender else None
        made = with_remembered(plain.mapping, Mapping.from_json(before.mapping)) if before else None
        if made is not None and before is not None:
            self.stderr.write(f"The columns are read as they were set at delivery {before.delivery_id}.")
        return made

    def _say(self, read: DeliveryList) -> None:
        for row in read.rows:
            said = "; ".join(f"{problem.severity}: {problem.text}" for problem in row.problems)
            if said or row.fate != "accepted":
                self.stdout.write(f"{row.where}: {row.name} {row.fate}. {said}")
        for total in read.totals:
            self.stdout.write(f"{total.where}: {total.text}")
        for problem in read.problems:
            self.stdout.write(f"{problem.severity}: {problem.text}")
        counted = read.counted
        self.stdout.write(
            f"{counted.read} rows read, {counted.accepted} to be accepted, {counted.left_out} left out, "
            f"{counted.stopped} that cannot be accepted, {counted.sum_rows} sum rows, "
            f"{counted.blank_rows} blank."
        )

    def _accept(
        self, data: bytes, read: DeliveryList, name: str, site: Site, options: dict[str, Any]
    ) -> str:
        """Store the list; the sentence comes back that says so."""
        if not options["user"]:
            raise CommandError("Say who receives with --user NAME, or only read the list with --check.")
        user = User.objects.filter(username=options["user"], is_active=True).first()
        if user is None:
            raise CommandError(f"There is no account {options['user']}.")
        place = self._one(Place.objects.on(site).open().layers(), "path", options["place"], "layer")
        keep_bytes(data)
        receipt = actions.Receipt(
            place=place,
            file_name=name,
            sender=options["sender"],
            owner=options["owner"],
            confirmed=options["confirm"],
            ticket=options["ticket"],
            order_no=options["order"],
            truck=options["truck"],
            hand_count=options["hand_count"],
            reason=options["reason"],
        )
        try:
            done = actions.accept(Asked(uuid.uuid4(), Hand(user)), read, receipt)
        except Refused as refused:
            lines = "\n".join(f"{problem.severity}: {problem.text}" for problem in refused.problems)
            raise CommandError(f"Not accepted; nothing was stored.\n{lines}") from None
        except TierbookError as refused:
            raise CommandError(str(refused)) from None
        return f"{done.journal.sentence}, as delivery {done.pk}."

    def _one(self, rows: Any, field: str, wanted: str, what: str) -> Any:
        """The row that is named, or the only one there is."""
        found = list((rows.filter(**{field: wanted}) if wanted else rows).order_by(field)[:2])
        if len(found) == 1:
            return found[0]
        names = ", ".join(rows.order_by(field).values_list(field, flat=True)[:20])
        raise CommandError(
            f"Name one {what} with --{'place' if what == 'layer' else what}; there are: {names or 'none'}."
        )


def _number(row: ReadRow) -> int:
    """The number by which a row is named: its line, in blocks side by side the list's own number."""
    return int(row.listed_number) if row.block and row.listed_number.isdecimal() else row.row
