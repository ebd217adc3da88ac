"""The code that a phone reads: level H, so that it is still read under dope and scratches."""

import re
from functools import cache
from typing import NamedTuple
from urllib.parse import urlsplit

from qrcode.constants import ERROR_CORRECT_H
from qrcode.exceptions import DataOverflowError
from qrcode.main import QRCode
from qrcode.util import QRData

#: Blank modules that must stay round the code.
QUIET = 4
#: Version 3 holds 35 signs of an upper-case address at level H; a longer one takes the next version.
_LEAST_VERSION = 3
#: Any mask is read; trying all eight takes most of the time that a code takes.
_MASK = 3
_RUNS = re.compile("1+")
_TAG_PATH = re.compile(r"/t/[0-9a-z]+", re.IGNORECASE)


class Code(NamedTuple):
    """A code to be drawn: `modules` on a side without the quiet zone, and its dark runs as PDF path text.

    The path has one module as its unit, its origin at the upper left corner, y upward.
    """

    modules: int
    path: str


def upper(address: str) -> str:
    """Return the address in capitals as far as it stays the same address.

    Capitals take half the room in a code. Scheme and host never mind; of the paths only /T/<code>
    is answered in both cases. Another path is left as it is.
    """
    parts = urlsplit(address)
    if _TAG_PATH.fullmatch(parts.path) and not parts.query and not parts.fragment:
        return address.upper()
    if not parts.netloc:
        return address
    head, host, tail = address.partition(parts.netloc)
    return f"{head.upper()}{host.upper()}{tail}"


def rows(text: str) -> tuple[str, ...]:
    """Return the modules of the code for `text`, one text of 0 and 1 a row, dark is 1."""
    code = QRCode(version=_LEAST_VERSION, error_correction=ERROR_CORRECT_H, mask_pattern=_MASK, border=0)
    code.add_data(QRData(text.encode("utf-8")), optimize=0)
    try:
        code.make(fit=False)
    except DataOverflowError:
        code.make(fit=True)
    return tuple("".join(["1" if dark else "0" for dark in row]) for row in code.modules)


def code(text: str) -> Code:
    """Return the code for `text`, the dark modules of each row merged into runs."""
    lines = rows(text)
    path = [_bar(y, *run.span()) for y, line in enumerate(lines) for run in _RUNS.finditer(line)]
    return Code(len(lines), " ".join(path))


@cache
def _bar(y: int, start: int, end: int) -> str:
    # It reaches a fiftieth of a module into the next row: side by side, viewers show white hairs.
    return f"{start} {-1.02 - y:.2f} {end - start} 1.02 re"


def drawn(made: Code, x: float, y: float, module: float) -> str:
    """Return the PDF text that fills the code with its upper left dark corner at x, y (all in points)."""
    return f"q {module:.4f} 0 0 {module:.4f} {x:.3f} {y:.3f} cm 0 g {made.path} f Q"
