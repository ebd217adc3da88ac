"""Strings: pipe pulled from 10,000 joints, the page and the paper of a string of 700 pieces, one move."""

import uuid
from collections.abc import Iterator
from functools import partial

from django.test import Client
from django.utils import timezone

from rack.actions import plans, running, strings, wells
from rack.actions.journal import Asked, Hand
from rack.benching import stock
from rack.benching.figures import Figure, p95, seconds
from rack.calc.choosing import Want, choose
from rack.calc.lengths import Length
from rack.models import Component, Place, Site, String
from rack.models.unloading import lying_on_racks

JOINTS, IN_THE_HOLE, ROUNDS = 10_000, 700, 21
MOST_PULL_S, MOST_PAGE_MS, MOST_MOVE_MS, MOST_PAPER_MS = 1.0, 200, 50, 500
#: Paper that judges the whole string for the answers that it prints.
PAPERS = (("handover", "handover.pdf"), ("BHA sheet", "bha/"), ("rules", "rules/"))


def figures() -> Iterator[Figure]:
    """Ten thousand joints of one site, all on its racks; then a string of 700 of them."""
    place = Place.objects.layers().order_by("pk")[0]
    site, pieces = place.site, _joints(place)
    lot = pieces[0].spec.key
    want = Want(lot, Length.parse("3000 m"))
    lying = len(lying_on_racks(site))
    times = [seconds(lambda: choose(lying_on_racks(site), want)) for _ in range(3)]
    yield Figure(f"pulled from {lying:,} joints", "s", max(times), MOST_PULL_S)
    string = _string(site, pieces[:IN_THE_HOLE])
    puts = [plans.Put(piece) for piece in pieces[:IN_THE_HOLE]]
    plan = plans.begin_plan(_asked(), site, plans.PlanHead("bench"), puts)
    yield from _moves(string, pieces[IN_THE_HOLE:])
    del pieces  # no server holds ten thousand joints while it answers
    client = Client(HTTP_HOST="127.0.0.1")
    client.force_login(stock.user(), backend="django.contrib.auth.backends.ModelBackend")
    session = client.session
    session["site"] = site.pk
    session.save()
    at = f"/strings/{string.number}/"
    page = _p95(client, at)
    yield Figure(f"page of a string of {IN_THE_HOLE} pieces, p95", "ms", page, MOST_PAGE_MS)
    papers = [(what, f"{at}{rest}") for what, rest in PAPERS]
    for what, there in [*papers, ("pick list", f"/plans/{plan.number}/picks.pdf")]:
        yield Figure(f"{what} of {IN_THE_HOLE} pieces, p95", "ms", _p95(client, there), MOST_PAPER_MS)


def _p95(client: Client, at: str) -> float:
    """What a page takes in ms, once it was asked for."""
    client.get(at)
    return p95([seconds(lambda: _ok(client, at)) for _ in range(ROUNDS)]) * 1000


def _ok(client: Client, at: str) -> None:
    if client.get(at).status_code != 200:
        raise RuntimeError(f"{at} did not answer")


def _asked() -> Asked:
    return Asked(uuid.uuid4(), Hand(stock.user()))


def _joints(place: Place) -> list[Component]:
    """Joints that lie on the racks of the first site, with a length, of one lot."""
    here = Component.objects.at(place.site).filter(state__in=("received", "accepted"), place__layer__gt=0)
    lot = here.exclude(length_nm=None).filter(spec__kind="drill_pipe").values_list("spec", flat=True)[0]
    # From the far end: the other parts of the bench work with the first pieces.
    rows = here.exclude(length_nm=None).filter(spec=lot, holds_n=0).select_related("spec").order_by("-pk")
    return list(rows[:JOINTS])


def _string(site: Site, pieces: list[Component]) -> String:
    well = wells.add_well(_asked(), site, wells.WellFacts(f"bench {timezone.now():%H%M%S%f}"))
    string = strings.begin_string(_asked(), site, strings.StringHead(well))
    running.join(_asked(), string, pieces)
    return string


def _moves(string: String, free: list[Component]) -> Iterator[Figure]:
    times = [seconds(partial(running.join, _asked(), string, [one])) for one in free[:ROUNDS]]
    yield Figure("a joint made up, median", "ms", sorted(times)[len(times) // 2] * 1000, MOST_MOVE_MS)
