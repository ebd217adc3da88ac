"""Files that were handed in: the list that came with a delivery, the photo of a pencil sheet."""

from django.db import models

from rack.models.journal import Entry


class File(Entry):
    """What was handed in, by the digest of its bytes; the bytes lie under `files/` in the data folder."""

    sha256 = models.CharField(max_length=64, unique=True)
    size = models.PositiveBigIntegerField()
    media = models.CharField(max_length=100)
    typed_name = models.CharField(max_length=200)

    def __str__(self) -> str:
        return self.typed_name
