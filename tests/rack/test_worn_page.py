"""The page of a piece that turned for years asks the database no more than that of one that turned once."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from rack.actions.legs import post_legs
from tests import runs, stock
from tests.rack.tally_desk import signed_in
from tests.runs import leg

pytestmark = pytest.mark.django_db


def test_the_page_of_a_piece_asks_no_more_when_its_ledgers_grow(ada, ola, layer, here):
    joint = stock.pieces(layer, 1, lengths=["31.50"])[0]
    string = runs.string(ola, layer)
    runs.join(ada, string, [joint], hours=0)
    run = runs.run(ola, string)
    client = signed_in("vera", "viewer", here)
    asked = []
    for n in range(3):
        lines = [leg(8 * n + m, 8 * n + m + 1) for m in range(8)]
        post_legs(stock.asks(ada), run, lines, "as the sheet has it")
        client.get(f"/piece/{joint.tag}/")  # what is read once and kept is read by now
        with CaptureQueriesContext(connection) as queries:
            assert client.get(f"/piece/{joint.tag}/").status_code == 200
        asked.append(len(queries))
    assert asked == [asked[0]] * 3 and asked[0] <= 12, asked
