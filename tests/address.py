"""What a row of the table of addresses says: an address, the answers, what can be sent there."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tests.rig import Rig

#: In the order of the figures below. The stranger keeps the office of another site.
PEOPLE = ("crew", "supervisor", "office", "viewer", "stranger", "nobody")

LOOK = "200 200 200 200 404 302"  # a thing of this site, which every post there may look at
OWN = "200 200 200 200 200 302"  # a page about the person's own site
WORK = "200 200 200 403 404 302"  # a thing of this site, for those who work with it
DO = "302 302 302 403 404 302"  # something done to a thing of this site
POST_ONLY = "405 405 405 405 405 302"

Made = Callable[[Rig], Any]


@dataclass(frozen=True)
class Post:
    """Something sent to an address: what, and what each person is answered."""

    name: str
    body: Made
    answers: str
    at: Callable[[Rig], str] | None = None
    writes: bool = True
    json: bool = False


@dataclass(frozen=True)
class Address:
    """One route of the resolver: an address under it, the answers to GET, and what can be sent there."""

    route: str
    at: Callable[[Rig], str]
    get: str
    posts: tuple[Post, ...] = ()
    page: bool = True
    #: Whoever sends to a site knows its name; nothing else of it.
    names_sites: bool = False
    #: More addresses of the same route whose pages look different.
    states: tuple[Callable[[Rig], str], ...] = ()


def text(path: str) -> Callable[[Rig], str]:
    return lambda rig: path
