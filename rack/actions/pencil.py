"""What comes with a pencil sheet that is typed in: its photograph, and which printed list it was."""

from django.db import transaction
from django.db.models.functions import Coalesce, Least

from rack.actions.files import file_row, keep_bytes
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_tally
from rack.calc.checks import stops
from rack.errors import Refused
from rack.models import PencilPhoto, Tally
from rack.people import check_can

MOST_BYTES = 20 * 2**20

#: How the files begin that a camera or a scanner makes: (where, what, media).
_BEGINNINGS = (
    (0, b"\xff\xd8\xff", "image/jpeg"),
    (0, b"\x89PNG\r\n\x1a\n", "image/png"),
    (0, b"%PDF-", "application/pdf"),
    *((4, b"ftyp" + brand, "image/heic") for brand in (b"heic", b"heix", b"hevc", b"mif1", b"msf1")),
)


def note_list(asked: Asked, tally: Tally, strap_n: int, list_n: int) -> None:
    """Write down on which printed list a strap was taken; of several the oldest counts."""
    check_can(asked.hand.user, "strap", tally.site)
    with transaction.atomic():
        _, again = open_line(
            asked,
            "note list",
            tally.site,
            f"Strap {strap_n} of {tally} was written on list {list_n}",
            {"tally": tally.pk, "strap": strap_n, "list": list_n},
        )
        now = lock_tally(tally.pk)
        if again:
            return
        if not 1 <= list_n <= now.list_n:
            raise Refused(
                [
                    stops(
                        f"There is no list {list_n} of {tally}; the newest is list {now.list_n}. "
                        "The number stands at the foot of the printed sheet.",
                        code="T12",
                        measured=str(list_n),
                        limit=str(now.list_n),
                    )
                ]
            )
        older = Least(Coalesce("list_n", list_n), list_n)
        now.heads.filter(strap_n=strap_n).update(list_n=older)


def keep_photo(asked: Asked, tally: Tally, strap_n: int, data: bytes, name: str) -> PencilPhoto:
    """Keep the photograph of a pencil sheet. What it is, is read from its bytes, not from its name."""
    check_can(asked.hand.user, "strap", tally.site)
    media = media_of(data)
    digest = keep_bytes(data)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "keep pencil sheet",
            tally.site,
            f"Kept a pencil sheet of {tally}, strap {strap_n}",
            {"tally": tally.pk, "strap": strap_n, "sha256": digest},
        )
        if again:
            return PencilPhoto.objects.get(journal=line)
        file = file_row(line, 0, digest, name, media)
        return PencilPhoto.objects.create(journal=line, at=line.at, tally=tally, strap_n=strap_n, file=file)


def media_of(data: bytes) -> str:
    """What kind of picture this is. Refused when it is none, empty or too large."""
    if len(data) > MOST_BYTES:
        raise Refused(
            [
                stops(
                    f"The photo is larger than {MOST_BYTES // 2**20} MB; take it with fewer points.",
                    code="photo",
                    measured=f"{len(data) / 2**20:.1f}",
                    limit=str(MOST_BYTES // 2**20),
                    unit="MB",
                )
            ]
        )
    for place, begins, media in _BEGINNINGS:
        if data[place : place + len(begins)] == begins:
            return media
    raise Refused([stops("The photo is no JPEG, PNG, HEIC or PDF; choose the picture itself.", code="photo")])
