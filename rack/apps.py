from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate


def keep_the_ledgers(sender: AppConfig, using: str, **kwargs: Any) -> None:
    """Put the triggers back after every migration: on SQLite a rebuilt table has lost them."""
    from .models import guard

    guard.install(using)


class RackConfig(AppConfig):
    name = "rack"
    verbose_name = "The rack"

    def ready(self) -> None:
        post_migrate.connect(keep_the_ledgers, dispatch_uid="rack.keep_the_ledgers")
