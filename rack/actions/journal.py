"""Opening the journal line of an action: who, when, and whether it was done before."""

import hashlib
import json
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User
from django.db import connection
from django.utils import timezone

from rack.errors import AlreadyUsed
from rack.models import Device, Journal, Site


@dataclass(frozen=True)
class Hand:
    """Who writes, from which device, and when by their own clock."""

    user: User | None
    device: Device | None = None
    made_at: datetime | None = None


@dataclass(frozen=True)
class Asked:
    """What is asked of an action: the key that makes it safe to repeat, and the hand.

    `at` is the moment of the server's clock, None for now. Only a history that is written afterwards
    names it (the demo rig); it lies between the newest line of the journal and now.
    """

    key: UUID
    hand: Hand
    at: datetime | None = None


def body_digest(verb: str, body: dict[str, Any]) -> str:
    """The digest of what was asked, the same for the same request whatever the order of its fields."""
    text = json.dumps([verb, body], sort_keys=True, separators=(",", ":"), ensure_ascii=False, default=str)
    return hashlib.sha256(text.encode()).hexdigest()


def open_line(
    asked: Asked, verb: str, site: Site | None, sentence: str, body: dict[str, Any]
) -> tuple[Journal, bool]:
    """Open the journal line of this key, inside the caller's transaction.

    Returns the line and whether it was there already: then nothing may be written again and the
    caller reads the first answer back from the rows that carry this line. The same key for
    something else raises AlreadyUsed.
    """
    if not connection.in_atomic_block:
        raise RuntimeError("open_line belongs inside the transaction of its action")
    digest = body_digest(verb, body)
    hand = asked.hand
    first: dict[str, Any] = {
        "body_digest": digest,
        "verb": verb,
        "site": site,
        "by": hand.user,
        "device": hand.device,
        "made_at": hand.made_at,
        "at": partial(_moment, asked.at),  # asked only where the line is new
        "sentence": sentence,
        "facts": json.dumps(body, sort_keys=True, ensure_ascii=False, default=str),
    }
    line, made = Journal.objects.get_or_create(key=asked.key, defaults=first)
    if not made and (line.body_digest != digest or line.by_id != getattr(hand.user, "pk", None)):
        raise AlreadyUsed(
            "This entry was already used for something else. Load the page again and repeat it."
        )
    return line, not made


def _moment(named: datetime | None) -> datetime:
    """Now, or the moment that was named. The times of the journal never run backwards."""
    now = timezone.now()
    if named is None:
        return now
    newest = Journal.objects.order_by("-id").values_list("at", flat=True).first()
    if named > now or (newest and named < newest):
        raise ValueError(f"{named:%Y-%m-%d %H:%M:%S} is not between the newest line of the journal and now")
    return named
