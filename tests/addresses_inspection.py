"""The rows of inspection in the table of addresses; without the app there are none."""

from django.apps import apps

from tests.address import OWN, Address, text

_ROWS = (
    Address("due/", text("/due/"), OWN),
)  # fmt: skip

INSPECTION_AREA = _ROWS if apps.is_installed("inspection") else ()
