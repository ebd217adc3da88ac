"""The one field of our own: text that is compared byte by byte on every database."""

from django.db import models

#: Sorts after every text that `calc.names.key_of` can give.
LAST = chr(0x10FFFF)


class KeyField(models.CharField):
    """Searched text in code-point order.

    A prefix search is a range over the index. Under a linguistic collation PostgreSQL would sort
    letters and digits otherwise than SQLite does, and a range or a page by key would lose rows.
    """

    def db_parameters(self, connection):
        collation = "C" if connection.vendor == "postgresql" else None
        return {**super().db_parameters(connection), "collation": collation}
