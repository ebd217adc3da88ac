"""Keeping the bytes of a file that was handed in, by their digest, under the data folder."""

import hashlib
import os
import tempfile
from pathlib import Path

from django.conf import settings

from rack.models import File, Journal


def keep_bytes(data: bytes) -> str:
    """Write the bytes under their digest and return it. Safe to repeat; writes no row.

    Renamed into place when complete, so that a killed process leaves no half file under a digest.
    """
    digest = hashlib.sha256(data).hexdigest()
    path = path_of(digest)
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=path.parent, delete=False) as part:
            part.write(data)
            part.flush()
            os.fsync(part.fileno())
        os.replace(part.name, path)
    return digest


def path_of(digest: str) -> Path:
    """Where the bytes with this digest lie. Raises ValueError for a text that is no digest."""
    if len(digest) != 64 or not set(digest) <= set("0123456789abcdef"):
        raise ValueError("not a digest: " + digest[:80])
    return Path(settings.DATA) / "files" / digest[:2] / digest


def bytes_of(digest: str) -> bytes:
    """The bytes with this digest. Raises FileNotFoundError when they were never kept."""
    return path_of(digest).read_bytes()


def file_row(line: Journal, seq: int, digest: str, name: str, media: str) -> File:
    """The row of a file that was kept; the first name it came under stays."""
    row, _ = File.objects.get_or_create(
        sha256=digest,
        defaults={
            "journal": line,
            "seq": seq,
            "at": line.at,
            "size": path_of(digest).stat().st_size,
            "media": media[:100],
            "typed_name": name[:200],
        },
    )
    return row
