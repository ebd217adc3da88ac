"""A reading that the sender's list has for that very joint too is not asked about; another one is."""

import json

import pytest

from rack.actions import closing, straps
from rack.models import Component, Strap
from rack.models.lengths import listed_length
from tests import stock
from tests.stock import feet

pytestmark = pytest.mark.django_db


@pytest.fixture
def ada():
    return stock.person("ada", "supervisor", stock.site())


def listed(ada, lengths: list[str], kind: str = "pins off"):
    """A tally of pieces whose lengths came with their list, the last one far off the others."""
    site = ada.posts.get().site
    made = stock.pieces(stock.rack(site), len(lengths), lengths=lengths)
    return stock.tally(ada, site, made, kind=kind)


def asks(by, tally, painted: str, typed: str) -> list[str]:
    line = tally.lines.get(painted=painted)
    strap = straps.read(stock.asks(by), straps.Reading(tally, typed, 1, line))
    return [one["code"] for one in json.loads(strap.questions) if one["severity"] == "ASKS"]


LENGTHS = ["31.24", "31.31", "31.18", "31.40", "31.27", "31.35", "28.50"]


def test_a_short_joint_is_short_in_the_list_too_and_nobody_is_asked(ada) -> None:
    tally = listed(ada, LENGTHS)
    assert Component.objects.get(serial="KD4107").length_nm == feet("28.50")
    for n, typed in enumerate(LENGTHS[:-1], start=1):
        asks(ada, tally, str(n), typed)
    assert asks(ada, tally, "7", "28.55") == []
    assert asks(ada, tally, "7", "28.70") == ["T07"]


def test_a_list_of_another_kind_of_length_vouches_for_nothing(ada) -> None:
    tally = listed(ada, LENGTHS, kind="overall, tool")
    for n, typed in enumerate(LENGTHS[:-1], start=1):
        asks(ada, tally, str(n), typed)
    assert asks(ada, tally, "7", "28.55") == ["T07"]


def test_what_a_tally_said_is_no_list(ada) -> None:
    tally = listed(ada, LENGTHS[:2])
    for n, typed in enumerate(LENGTHS[:2], start=1):
        asks(ada, tally, str(n), typed)
    piece = Component.objects.get(serial="KD4101")
    assert listed_length(piece, "pins off") is not None
    straps.finish_strap(stock.asks(ada), tally, 1)
    tally.refresh_from_db()
    closing.close(stock.asks(ada), tally, reason="a test")
    piece.refresh_from_db()
    assert piece.length_nm and Strap.objects.get(pk=piece.length_by_id).line_id
    assert listed_length(piece, "pins off") is None
