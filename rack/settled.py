"""What a server has loaded before its first page stays for good; the collector need not look at it again."""

import gc
from importlib import import_module

from django.conf import settings


def settle() -> None:
    """Load every page, then put all that is loaded out of the garbage collector's way.

    Left to it, some hundred thousand things that never go would be walked through in the midst of every
    tenth page or so, and that page would come a tenth of a second late.
    """
    import_module(settings.ROOT_URLCONF)
    gc.collect()
    gc.freeze()
