"""What rack hands over to its neighbours, by the dotted names of settings.NEIGHBOURS.

Five lists: received, happened, panels, audits, api. Rack calls what is listed and knows nothing more
of it; with the lists empty it stands alone.
"""

from typing import Any

from django.conf import settings
from django.utils.module_loading import import_string

LISTS = ("received", "happened", "panels", "audits", "api")


def neighbours(name: str) -> list[Any]:
    """Return what is listed under a name, in the order of the list."""
    if name not in LISTS:
        raise KeyError(f"rack hands nothing over as {name!r}; there are {', '.join(LISTS)}")
    return [import_string(dotted) for dotted in settings.NEIGHBOURS.get(name, [])]
