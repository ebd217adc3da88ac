"""Finding paper by what it bears: the address of its code as a scanner reads it, or the code alone."""

import re

from django.db.models import QuerySet
from django.urls import reverse

from rack.calc.tags import read_code
from rack.models import CasingSheet, LoadSheet, Sheet, StringSheet

#: The letter before a code in an address, what bears it, and the page that it opens.
PAPERS = (("S", Sheet, "sheet"), ("B", StringSheet, "bha_sheet"), ("C", CasingSheet, "casing_sheet"),
          ("L", LoadSheet, "load_sheet"))  # fmt: skip
_ADDRESS = re.compile(r"(?:^|/)([TSBCL])/([0-9A-Z-]{7,9})(?:\.[A-Z]+)?/?$", re.IGNORECASE)


def address_in(text: str) -> str:
    """The page that a scanned address or "B/K7Q2M9A" leads to, "" for a text that is none."""
    found = _ADDRESS.search(text.strip())
    if not found:
        return ""
    letter, code = found[1].upper(), found[2].upper().replace("-", "")
    if letter == "T":
        return reverse("tag", args=[code])
    return next(reverse(page, args=[code]) for one, _, page in PAPERS if one == letter)


def paper_of(user: object, text: str) -> str:
    """The page of the paper that bears this code, among those that `user` may see; "" for none."""
    try:
        code = read_code(text, "sheet")
    except ValueError:
        return ""
    for _, model, page in PAPERS:
        rows: QuerySet = model.objects.for_user(user)
        if rows.filter(code=code).exists():
            return reverse(page, args=[code])
    return ""
