"""Where a Chromium is on this machine: the distribution's own, never a download."""

import os
import shutil
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")
PLACES = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
HINT = "no Chromium here; apt-get install chromium, or name one in TIERBOOK_CHROMIUM"


def chromium() -> str | None:
    """Return the path of a Chromium, or None. TIERBOOK_CHROMIUM names one and is believed."""
    named = os.environ.get("TIERBOOK_CHROMIUM", "").strip()
    if named:
        return named
    found = [path for path in map(shutil.which, NAMES) if path]
    return next(iter(found), None) or next((place for place in PLACES if Path(place).exists()), None)
