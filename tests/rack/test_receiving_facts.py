"""What a list says of one piece alone is shown in the preview and stored on the piece when it is accepted."""

import json

import pytest

from rack.actions.facts import current_facts
from rack.models import Component, Delivered, PieceFact, Strap
from rack.models.lengths import standing_lengths
from tests.rack.test_receiving_head import accept, here, layer, office, upload
from tests.stock import feet

__all__ = ["here", "layer", "office"]
pytestmark = pytest.mark.django_db
LIST = (
    "Serial;Item;Length ft;Length open ft;Length closed ft;Nozzles;Gauge in;Remarks\n"
    "B1;8-1/2 in tricone bit 4-1/2 REG;0.95;;;3x16;;IADC 517G\n"
    "J1;6-1/2 in hydraulic jar NC50;;32.15;30.90;;;\n"
    "S1;8 in stabilizer NC50;5.10;;;;12-1/4;gauge measured 12.20\n"
    "M1;6-3/4 in mud motor 4-1/2 REG;24.00;;;;;bend 9.9\n"
)


def test_facts_are_shown_beside_the_typing_and_stored_on_acceptance(office, layer) -> None:
    page = upload(office, layer, text=LIST, name="tools.csv").url
    shown = office.get(page).content.decode()
    assert "16-16-16, in 32nds of an inch" in shown and "3x16" in shown
    assert "closed; open" in shown
    assert "9.9 is outside of 0 to 5 degrees" in shown
    assert accept(office, page, confirmed="yes").status_code == 302
    bit, jar, stabilizer, motor = (Component.objects.get(serial=name) for name in ("B1", "J1", "S1", "M1"))
    assert current_facts(bit) | {"make": ""} == {"make": "", "nozzles": "16-16-16", "code": "517G"}
    assert PieceFact.objects.get(component=bit, name="nozzles").typed == "3x16"
    assert current_facts(stabilizer)["gauge_nm"] == "311150000"
    assert stabilizer.spec.as_facts.facts.count("311150000") == 1
    assert not PieceFact.objects.filter(component=motor).exists()
    known = standing_lengths([jar.pk])[jar.pk]
    assert {name: row.nm for name, row in known.items()} == {"open": feet("32.15"), "closed": feet("30.90")}
    assert (jar.length_nm, jar.length_by.stands) == (feet("30.90"), "closed")
    assert Strap.objects.filter(component=jar).count() == 2
    kept = json.loads(Delivered.objects.get(component=bit).read)
    assert kept["facts"] == {"code": "517G", "nozzles": "16-16-16"}
