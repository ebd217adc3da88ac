"""`manage.py token USER`: a token for a device or a script, shown once."""

import uuid
from argparse import ArgumentParser
from typing import Any

from django.contrib.auth import get_user_model
from django.core.management.base import BaseCommand, CommandError

from rack.actions.journal import Asked, Hand
from rack.actions.people import make_token


class Command(BaseCommand):
    help = "Make a token with the rights of a user. It is shown once: only its digest is kept."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("user", metavar="USER", help="the name the user signs in with")
        parser.add_argument("--name", default="made on the console", help="what the token is for")

    def handle(self, *args: Any, user: str, name: str, **options: Any) -> None:
        owner = get_user_model().objects.filter(username=user, is_active=True).first()
        if owner is None:
            raise CommandError(f"Nobody signs in here as {user!r}.")
        self.stdout.write(make_token(Asked(uuid.uuid4(), Hand(user=None)), owner, name))
