"""Twenty people who read joints at once, and one who turns the pages of the rack list meanwhile."""

import json
import subprocess
import sys
import threading
import time
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.client import HTTPConnection
from itertools import islice
from typing import Any

from django.conf import settings
from django.db.models import Count, Q
from django.test import Client

from rack.actions.journal import Asked, Hand
from rack.actions.people import make_token
from rack.actions.tallies import TallyHead, TallyLines, open_tally
from rack.benching import stock
from rack.benching.figures import Figure, p95
from rack.bootstrap import ROOT
from rack.models import Component, Line, Tally

CLIENTS, READINGS = 20, 100
#: Two at a tally: one reads the even lines, one the odd.
A_TALLY = 2
PATIENCE_S = 180
MOST_ANSWER_MS = 1000
MOST_LIST_MS = 300
#: Somebody turns a page so often.
TURN_S = 0.25


@dataclass
class Heard:
    """What the clients heard: seconds to each answer, and every answer that was not "stored"."""

    answers: list[float] = field(default_factory=list)
    odd: list[str] = field(default_factory=list)
    pages: list[float] = field(default_factory=list)


def figures(environment: dict[str, str]) -> Iterator[Figure]:
    tallies = [_tally(n) for n in range(CLIENTS // A_TALLY)]
    lines = [list(tally.lines.in_order().values_list("pk", flat=True)) for tally in tallies]
    heard, over = Heard(), threading.Event()
    with _server(environment) as port:
        reads = [
            _reader(port, tallies[n // A_TALLY].pk, lines[n // A_TALLY][n % A_TALLY :: A_TALLY], heard)
            for n in range(CLIENTS)
        ]
        leafing = threading.Thread(target=_leaf, args=(port, heard, over), daemon=True)
        leafing.start()
        began = time.perf_counter()
        _together(reads)
        took = time.perf_counter() - began
        over.set()
        leafing.join(PATIENCE_S)
    once = Count("straps", filter=Q(straps__strap_n=1, straps__reverses=None))
    counted = Line.objects.filter(tally__in=tallies).annotate(n=once)
    who = f"{CLIENTS} clients with {READINGS} readings each"
    yield Figure(f"{who}: joints not stored exactly once", "n", counted.exclude(n=1).count(), 0)
    yield Figure(f"{who}: answers other than stored", "n", len(heard.odd), 0)
    yield Figure(f"{who}: p95 of an answer", "ms", p95(heard.answers) * 1000, MOST_ANSWER_MS)
    yield Figure(f"{who}: p95 of the rack list meanwhile", "ms", p95(heard.pages) * 1000, MOST_LIST_MS)
    yield Figure(f"{who}: all of it", "s", took, PATIENCE_S)


def _tally(n: int) -> Tally:
    """A tally of pieces, open, with a line for each reading that will come."""
    wanted = A_TALLY * READINGS
    pieces = list(islice(Component.objects.order_by("pk").iterator(), n * wanted, (n + 1) * wanted))
    head = TallyHead("rack", "pins off", title=f"Bench {n + 1}", tape="T-07", reader="A", writer="B")
    asked = Asked(uuid.uuid4(), Hand(stock.user()))
    numbers = tuple(str(k + 1) for k in range(wanted))

    return open_tally(asked, pieces[0].site, head, lines=TallyLines(pieces, numbers))


def _reader(port: int, tally: int, lines: list[int], heard: Heard) -> Callable[[], None]:
    """One client: sends the next reading when the answer to the last is there."""
    user = stock.user()
    head = {
        "Authorization": f"Bearer {make_token(Asked(uuid.uuid4(), Hand(user)), user, 'bench')}",
        "Content-Type": "application/json",
    }

    def reads() -> None:
        wire = HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
        for n, line in enumerate(lines):
            typed = f"{31 + (line * 7919 % 100) / 100:.2f}"
            entry = {"key": str(uuid.uuid4()), "tally": tally, "line": line, "strap_n": 1, "typed": typed}
            began = time.perf_counter()
            wire.request("POST", "/api/readings", json.dumps([entry]), head)
            answer = wire.getresponse()
            text = answer.read()
            heard.answers.append(time.perf_counter() - began)
            status = json.loads(text)[0]["status"] if answer.status == 200 else f"{answer.status} at {n}"
            if status != "stored":
                heard.odd.append(status)
        wire.close()

    return reads


def _leaf(port: int, heard: Heard, over: threading.Event) -> None:
    client = Client(HTTP_HOST="127.0.0.1")
    client.force_login(stock.user(), backend="django.contrib.auth.backends.ModelBackend")
    name = settings.SESSION_COOKIE_NAME
    head = {"Cookie": f"{name}={client.cookies[name].value}"}
    wire = HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
    while not over.is_set():
        began = time.perf_counter()
        wire.request("GET", "/", headers=head)
        answer = wire.getresponse()
        answer.read()
        heard.pages.append(time.perf_counter() - began)
        if answer.status != 200:
            heard.odd.append(f"the rack list answered {answer.status}")
        over.wait(TURN_S)
    wire.close()


def _together(acts: list[Callable[[], None]]) -> None:
    failed: list[BaseException] = []

    def run(act: Callable[[], Any]) -> None:
        try:
            act()
        except BaseException as wrong:
            failed.append(wrong)

    threads = [threading.Thread(target=run, args=(act,), daemon=True) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(PATIENCE_S)
    if failed:
        raise failed[0]
    if any(thread.is_alive() for thread in threads):
        raise TimeoutError(f"the clients were not done after {PATIENCE_S} s")


@contextmanager
def _server(environment: dict[str, str]) -> Iterator[int]:
    """A real server in a process of its own, on a free port of this machine alone."""
    command = [sys.executable, "-m", "rack.benching.server"]
    with subprocess.Popen(command, cwd=ROOT, env=environment, stdout=subprocess.PIPE) as server:
        try:
            said = server.stdout.readline() if server.stdout else b""
            if not said.strip().isdigit():
                raise RuntimeError("the server of the bench did not start")
            yield int(said)
        finally:
            server.terminate()
            server.wait(PATIENCE_S)
