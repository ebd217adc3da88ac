"""Write the pages of docs/ that come from the program itself: the sources of its tables, the states."""

from pathlib import Path
from typing import Any

from django.apps import apps
from django.conf import settings
from django.core.management.base import BaseCommand
from django.utils.module_loading import import_string

from rack.calc.sources import sources_page
from rack.calc.states import states_page


class Command(BaseCommand):
    help = "Write docs/sources.md, every shipped table with its source, and docs/states.md."

    def handle(self, *args: Any, **options: Any) -> None:
        page = Path(settings.BASE_DIR) / "docs" / "sources.md"
        page.parent.mkdir(exist_ok=True)
        # An app with tables of its own names the function that lists them.
        parts = [getattr(app, "sources_part", "") for app in apps.get_app_configs()]
        more = [import_string(part)() for part in parts if part]
        page.write_text(sources_page(more), encoding="utf-8")
        page.with_name("states.md").write_text(states_page(), encoding="utf-8")
        self.stdout.write(f"{page.name} names {page.read_text(encoding='utf-8').count('### ')} tables.")
