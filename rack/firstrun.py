"""The code on the console that lets the first office account be made, once.

Only whoever started the server can read it. Its digest lies in the data folder, so that a restart of
one process does not change it for the others; it is gone as soon as there is an account.
"""

import hashlib
import hmac
import os
import secrets
from pathlib import Path

from django.conf import settings
from django.contrib.auth import get_user_model

from rack.calc.tags import ALPHABET

GROUPS, LENGTH = 3, 4


def needed() -> bool:
    """Tell whether nobody has an account yet."""
    return not get_user_model().objects.exists()


def make() -> str:
    """Return a fresh code; the one before it no longer counts. Shown once, never stored in clear."""
    groups = ("".join(secrets.choice(ALPHABET) for _ in range(LENGTH)) for _ in range(GROUPS))
    code = "-".join(groups)
    handle = os.open(_file(), os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as out:
        out.write(_digest(code))
    return code


def check(typed: str) -> bool:
    """Tell whether this is the code of the console. Case, blanks and hyphens do not matter."""
    if not needed() or not _file().exists():
        return False
    return hmac.compare_digest(_digest(typed), _file().read_text(encoding="ascii"))


def done() -> None:
    """Forget the code: an account has been made."""
    _file().unlink(missing_ok=True)


def _file() -> Path:
    return Path(settings.DATA) / "first_run"


def _digest(code: str) -> str:
    # A typed O is a 0, an I or L a 1: the code is read off a screen by a person.
    plain = "".join(sign for sign in code.upper() if sign.isalnum()).translate(str.maketrans("OIL", "011"))
    return hashlib.sha256(plain.encode()).hexdigest()
