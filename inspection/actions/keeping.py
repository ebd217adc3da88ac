"""Keeping what comes with an inspection: report and photos. The bytes first, their rows with the record."""

from inspection.actions.found import Kept
from inspection.calc.filetypes import PHOTOS, REPORTS, media_of
from rack.actions.files import keep_bytes
from rack.calc.checks import stops
from rack.errors import Refused

_LONGEST_NAME = 120


def keep_report(data: bytes, name: str) -> Kept:
    """Keep the bytes of a report and say what they are. Writes no row; safe to repeat."""
    return _kept(data, name, REPORTS, "report")


def keep_photo(data: bytes, name: str) -> Kept:
    """Keep the bytes of a photo and say what they are. Writes no row; safe to repeat."""
    return _kept(data, name, PHOTOS, "photo")


def _kept(data: bytes, name: str, allowed: tuple[str, ...], what: str) -> Kept:
    clean = "".join(sign if sign.isprintable() and sign not in '/\\"' else "_" for sign in name).strip()
    clean = clean[-_LONGEST_NAME:] or what
    try:
        media = media_of(data, allowed)
    except ValueError as wrong:
        raise Refused([stops(f"{clean}: {wrong}", code="file", where=what)]) from None
    return Kept(keep_bytes(data), clean, media)
