"""A delivery list of 2,000 rows, from the bytes of the file to the pieces in the register."""

import csv
import io
import uuid
from collections.abc import Iterator
from functools import partial

from rack.actions import receiving
from rack.actions.files import keep_bytes
from rack.actions.journal import Asked, Hand
from rack.benching import stock
from rack.benching.figures import Figure, seconds
from rack.exchange.delivery import read_delivery
from rack.models import Delivered, Place

ROWS = 2000
MOST_S = 5
TURNS = 3


def figures() -> Iterator[Figure]:
    place = Place.objects.layers().order_by("pk")[0]
    times = []
    for _ in range(TURNS):
        times.append(seconds(partial(_receive, _list(), place)))
    yield Figure(f"a list of {ROWS:,} rows received", "s", max(times), MOST_S)


def _receive(data: bytes, place: Place) -> None:
    def known(serials: list[str]) -> dict[str, str]:
        return receiving.known_serials(place.site, serials)

    read = read_delivery(data, "bench.csv", known_serials=known)
    keep_bytes(data)
    asked = Asked(uuid.uuid4(), Hand(stock.user()))
    done = receiving.accept(asked, read, receiving.Receipt(place, "bench.csv", "text/csv", confirmed=True))
    stored = Delivered.objects.filter(delivery=done, fate="accepted").count()
    if stored != ROWS:
        raise RuntimeError(f"{stored} of {ROWS} rows were accepted")


def _list() -> bytes:
    """A list as a yard sends it, with serials that nobody has yet."""
    lot = uuid.uuid4().hex[:6].upper()
    sink = io.StringIO()
    out = csv.writer(sink)
    out.writerow(["No.", "Serial", "Description", "Length ft"])
    for n in range(1, ROWS + 1):
        length = f"{30 + n * 7919 % 200 / 100:.2f}"
        out.writerow([n, f"B{lot}-{n:04d}", "Drill pipe 5 in 19.50 lb/ft S-135 NC50 R2", length])
    return sink.getvalue().encode()
