"""Finding a piece by any of its names: exactly, by how it begins, by its last digits."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import QuerySet

from rack.calc.names import key_of, last_first
from rack.calc.tags import read_code
from rack.models.fields import LAST
from rack.models.pieces import Component, Mark

MOST = 50


@dataclass(frozen=True)
class Found:
    """A piece and by what it was found: "serial", "painted number begins so"."""

    piece: Component
    by: str


def find(pieces: "QuerySet[Component]", text: str, most: int = MOST) -> list[Found]:
    """The pieces that `text` names, the closest likeness first, each once, at most `most`.

    When something bears exactly this name, nothing that merely resembles it is shown.
    """
    key = key_of(text)
    if not key:
        return []
    exact = _each_once(_exactly(pieces, text, key, most), most)
    return exact or _each_once(_likely(pieces, key, most), most)


def _exactly(pieces: "QuerySet[Component]", text: str, key: str, most: int) -> Iterator[Found]:
    code = _code(text)
    if code:
        yield from (Found(piece, "tag") for piece in pieces.filter(tag=code))
    yield from (Found(piece, "serial") for piece in pieces.filter(serial_key=key).order_by("id")[:most])
    yield from _by_marks(pieces, Mark.objects.filter(text_key=key), "", most)


def _likely(pieces: "QuerySet[Component]", key: str, most: int) -> Iterator[Found]:
    begins = pieces.filter(serial_key__gte=key, serial_key__lt=key + LAST).order_by("serial_key", "id")
    yield from (Found(piece, "serial begins so") for piece in begins[:most])
    yield from _by_marks(
        pieces, Mark.objects.filter(text_key__gte=key, text_key__lt=key + LAST), " begins so", most
    )
    yek = last_first(key)
    ends = pieces.filter(serial_yek__gte=yek, serial_yek__lt=yek + LAST).order_by("serial_yek", "id")
    yield from (Found(piece, "serial ends so") for piece in ends[:most])
    yield from _by_marks(
        pieces, Mark.objects.filter(text_yek__gte=yek, text_yek__lt=yek + LAST), " ends so", most
    )


def _by_marks(
    pieces: "QuerySet[Component]", marks: "QuerySet[Mark]", likeness: str, most: int
) -> Iterator[Found]:
    rows = marks.filter(component__in=pieces.order_by()).select_related("component", "component__spec")
    for mark in rows.order_by("text_key", "id")[:most]:
        ended = ", until " + mark.ended.isoformat() if mark.ended else ""
        yield Found(mark.component, mark.get_what_display() + likeness + ended)


def _each_once(found: Iterator[Found], most: int) -> list[Found]:
    once: dict[int, Found] = {}
    for one in found:
        once.setdefault(one.piece.pk, one)
        if len(once) >= most:
            break
    return list(once.values())


def _code(text: str) -> str:
    try:
        return read_code(text)
    except ValueError:
        return ""
