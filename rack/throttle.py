"""How often a password may be wrong: for a name at one address, for a name anywhere, for an address.

A rig shares one address, so an address waits only after many more wrong passwords than a name does.
"""

import uuid
from typing import Any

from axes.handlers.database import AxesDatabaseHandler
from axes.helpers import get_client_username
from django.conf import settings
from django.db.models import Sum
from django.http import HttpRequest

from rack.models import Journal

DEVICE_COOKIE = "tierbook_device"


class Throttle(AxesDatabaseHandler):
    """Counts the wrong passwords in three ways, each against its own limit, and tells the worst.

    The settings name the three in this order: name and address together, name, address.
    """

    def get_failures(self, request: HttpRequest, credentials: dict[str, Any] | None = None) -> int:
        """The worst count, in parts of the one limit that the library knows."""
        limit = settings.AXES_FAILURE_LIMIT
        here, anywhere, address = (
            attempts.aggregate(n=Sum("failures_since_start"))["n"] or 0
            for attempts in self.get_user_attempts(request, credentials)
        )
        worst = max(here, address * limit // settings.WRONG_AT_ADDRESS)
        if anywhere >= settings.WRONG_FOR_NAME and not _own_device(request, credentials):
            worst = max(worst, limit)
        return int(worst)

    def reset_user_attempts(self, request: HttpRequest, credentials: dict[str, Any] | None = None) -> int:
        """Signing in clears what this name did at this address, and nothing that others tried from there."""
        name = get_client_username(request, credentials)
        address = getattr(request, "axes_ip_address", "")  # axes puts it there
        return int(self.reset_attempts(ip_address=address, username=name)) if name else 0


def _own_device(request: HttpRequest, credentials: dict[str, Any] | None) -> bool:
    """Whether the person has worked from this device before: a stranger cannot make that cookie up."""
    name = get_client_username(request, credentials)
    try:
        ident = uuid.UUID(request.COOKIES.get(DEVICE_COOKIE, ""))
    except ValueError:
        return False
    return bool(name) and Journal.objects.filter(device=ident, by__username=name).exists()
