"""The page of a joint that has turned for years: five thousand entries of the ledgers speak of it."""

import uuid
from collections.abc import Iterator
from datetime import timedelta

from django.apps import apps
from django.test import Client
from django.utils import timezone

from rack.actions import running, strings, wells
from rack.actions.doing import Said
from rack.actions.journal import Asked, Hand
from rack.actions.legs import post_legs
from rack.actions.runs import RunEnd, RunHead, begin_run, end_run
from rack.benching import stock
from rack.benching.figures import Figure, p95, seconds
from rack.calc.hours import Leg
from rack.models import Component, Place
from rack.models.journal import PieceEntry

ENTRIES = 5_000
#: A run is so many tours of four lines each.
TOURS, LINES = 30, 4
LOADS = 60
MOST_MS = 150
HOUR = 3600


def entries_of(piece: Component) -> int:
    """How many rows all ledgers together hold of a piece."""
    ledgers = [model for model in apps.get_models() if issubclass(model, PieceEntry)]
    return sum(model._default_manager.filter(component=piece).count() for model in ledgers)


def worn(entries: int = ENTRIES) -> Component:
    """A joint that was posted tour by tour, run after run, until its ledgers hold as many entries."""
    site = Place.objects.layers().order_by("pk")[0].site
    rows = Component.objects.at(site).filter(spec__kind="drill_pipe", holds_n=0, state="received")
    piece = rows.exclude(length_nm=None).order_by("pk")[0]
    well = wells.add_well(_asked(), site, wells.WellFacts(f"Worn {uuid.uuid4().hex[:6]}"))
    string = strings.begin_string(_asked(), site, strings.StringHead(well, title="bench"))
    at = timezone.now() - timedelta(hours=entries * 12 // 10 + TOURS * 3 * LINES)
    running.join(_asked(), string, [piece], Said(at, None, "bench"))
    while entries_of(piece) < entries:
        run = begin_run(_asked(), string, RunHead(in_at=at), "bench")
        for _ in range(TOURS):
            begins = [at + timedelta(hours=3 * n) for n in range(LINES)]
            post_legs(_asked(), run, [
                Leg(one, one + timedelta(hours=3), 10**12, 10**12 + 10**10, 2 * HOUR, HOUR, 3 * HOUR,
                    3 * HOUR, 3 * HOUR, 110)
                for one in begins
            ], "bench")  # fmt: skip
            at += timedelta(hours=3 * LINES)
        end_run(_asked(), run, RunEnd(at), "bench")
    return piece


def figures() -> Iterator[Figure]:
    piece = worn()
    client = Client(HTTP_HOST="127.0.0.1")
    client.force_login(stock.user(), backend="django.contrib.auth.backends.ModelBackend")
    at = f"/piece/{piece.tag}/"

    def load() -> None:
        if client.get(at).status_code != 200:
            raise RuntimeError(f"{at} did not answer")

    load()
    late = p95([seconds(load) for _ in range(LOADS)]) * 1000
    yield Figure(f"page of a piece with {entries_of(piece):,} entries, p95", "ms", late, MOST_MS)


def _asked() -> Asked:
    return Asked(uuid.uuid4(), Hand(stock.user()))
