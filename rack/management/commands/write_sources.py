"""Write docs/sources.md from the shipped tables."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from rack.calc.sources import sources_page


class Command(BaseCommand):
    help = "Write docs/sources.md, the list of every shipped table with its source."

    def handle(self, *args: Any, **options: Any) -> None:
        page = Path(settings.BASE_DIR) / "docs" / "sources.md"
        page.parent.mkdir(exist_ok=True)
        page.write_text(sources_page(), encoding="utf-8")
        self.stdout.write(f"{page.name} names {page.read_text(encoding='utf-8').count('### ')} tables.")
