"""The letters of everything printed: DejaVu, embedded, so that every name shows as it is spelt."""

from functools import lru_cache
from pathlib import Path
from threading import Lock

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

TEXT = "Tierbook"
BOLD = "Tierbook-Bold"
FIGURES = "Tierbook-Figures"
BOLD_FIGURES = "Tierbook-BoldFigures"

_FILES = {
    TEXT: "DejaVuSans.ttf",
    BOLD: "DejaVuSans-Bold.ttf",
    FIGURES: "DejaVuSansMono.ttf",
    BOLD_FIGURES: "DejaVuSansMono-Bold.ttf",
}
_registering = Lock()


def register() -> None:
    """Make the four faces known to the PDF writer; the second call costs nothing."""
    with _registering:
        known = set(pdfmetrics.getRegisteredFontNames())
        for name, file in _FILES.items():
            if name not in known:
                pdfmetrics.registerFont(TTFont(name, str(Path(__file__).parent / file)))


def clean(text: str) -> str:
    """Return `text` on one line: runs of blanks and line ends become one blank, control signs go."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())


def width(text: str, font: str, size: float) -> float:
    """Return how wide `text` is in points."""
    return float(pdfmetrics.stringWidth(text, font, size))


@lru_cache(maxsize=4096)
def size_to_fit(text: str, font: str, size: float, room: float, least: float) -> float:
    """Return the largest size up to `size` at which `text` fits in `room` points, never under `least`."""
    wide = width(text, font, size)
    return size if wide <= room else max(least, int(size * room / wide * 10) / 10)


@lru_cache(maxsize=4096)
def wrap(text: str, font: str, size: float, room: float) -> tuple[str, ...]:
    """Return `text` cut into lines of at most `room` points, at blanks where there are any."""
    lines: list[str] = []
    line = ""
    for word in clean(text).split(" "):
        longer = f"{line} {word}" if line else word
        if width(longer, font, size) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        *full, line = _pieces(word, font, size, room)
        lines += full
    return (*lines, line)


def _pieces(word: str, font: str, size: float, room: float) -> list[str]:
    """A word longer than the line (a serial) is cut after a hyphen or stroke, else where the line ends."""
    pieces = [""]
    for sign in word:
        last = pieces[-1]
        if last and width(last + sign, font, size) > room:
            cut = max(last.rfind(mark) for mark in "-/_.") + 1
            cut = cut if cut > len(last) // 3 else len(last)
            pieces[-1:] = [last[:cut], last[cut:]]
        pieces[-1] += sign
    return pieces
