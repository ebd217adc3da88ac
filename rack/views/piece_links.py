"""The addresses of many pieces at once, for a page that lists hundreds of them."""

from collections.abc import Callable

from django.urls import reverse

_TAG = "TAG"


def piece_addresses() -> Callable[[str], str]:
    """What makes the address of a piece's page from its tag: worked out once, not for every row.

    A tag is capitals and figures alone, so that nothing of it is written otherwise in an address.
    """
    before, after = reverse("piece", args=[_TAG]).split(_TAG)
    return lambda tag: f"{before}{tag}{after}"
