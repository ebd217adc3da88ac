"""Picking a pipe, a connection, a casing or a bit: what calc says stands there, bad input is answered."""


import pytest
from django.urls import reverse

from rack.calc import connections, tubes, units, weights
from rack.calc.figures import figure
from tests import stock
from tests.rack.handbook import BIT, CASING, JOINT, PICKS, PIPE, figures, look, signed_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return stock.site()


@pytest.mark.parametrize("name", tubes.PIPE_CLASSES)
def test_the_pipe_page_shows_what_calc_says(here, name):
    shown = figures(look(signed_in(at=here), "pipe", **{**PIPE, "pipe_class": name}))
    right = tubes.strengths(5, 0.362, 135_000, name)
    assert shown["Tension"] == f"{right.tensile_lb:,.0f} lb"
    assert shown["Torsion"] == f"{right.torsion_ft_lb:,.0f} ft-lb"
    assert shown["Collapse"] == f"{right.collapse_psi:,.0f} psi"
    assert shown["Regime of the collapse"] == right.collapse_regime


def test_a_metric_site_reads_its_own_units_and_the_working_says_both(here):
    metric = stock.site("MET", units="metric")
    response = look(signed_in(at=metric), "pipe", **{**PIPE, "mud": "1,2", "length": "1000"})
    right = tubes.strengths(5, 0.362, 135_000, "premium")
    shown = figures(response)
    assert shown["Tension"] == f"{right.tensile_lb * 4.4482216152605 / 1000:,.1f} kN"
    assert shown["Wall"] == "0.362 in"
    every = [one for part in response.context["parts"] for one in part.figures]
    tension = next(one for one in every if one.label == "Tension")
    assert tension.worked.steps[-1] == f"{right.tensile_lb:,.0f} lb = {shown['Tension']}"
    assert shown["Capacity of the tube"].endswith(" L/m")
    ppg = units.convert(1.2, "mud", "SG", "ppg")
    assert shown["Buoyancy factor"] == figure(weights.buoyancy_factor(ppg), 4)


def test_the_connections_page_shows_what_calc_says(here):
    response = look(signed_in(at=here), "connections", **JOINT, arm="4", factor="1.1", other="NC46")
    torque = connections.make_up_torque_ft_lb(
        "NC50", 6.5, 3.25, 72_000, limit_shoulder=False, compound_factor=1.1
    )
    shown, words = figures(response), text_of(response)
    assert shown["Make-up torque"] == f"{torque:,.0f} ft-lb"
    assert shown["Line pull at that arm"] == f"{torque / 4:,.0f} lb"
    assert "NC50 does not make up with NC46." in words
    assert "5 XH" in words


def test_casing_and_bits_show_what_calc_says(here):
    client = signed_in(at=here)
    assert figures(look(client, "casing", **CASING))["Make-up loss"] == "4.8125 in"
    response = look(client, "bits", **BIT)
    assert figures(response)["May be over its size when new"] == "0 in"
    assert "contradict each other" in text_of(response)


def test_heavy_weight_pipe_says_that_the_makers_sheet_governs(here):
    response = look(signed_in(at=here), "pipe", pipe="hw/5", grade="E75")
    assert "The maker's sheet governs" in text_of(response).replace("&#x27;", "'")
    assert "verify against your standard" in text_of(response)


@pytest.mark.parametrize("page", PICKS)
def test_every_figure_opens_and_one_address_opens_them_all(here, page):
    client = signed_in(at=here)
    closed, opened = look(client, page, **PICKS[page]), look(client, page, **PICKS[page], open="1")
    count = sum(len(part.figures) for part in closed.context["parts"])
    assert count > 2
    assert closed.content.decode().count('<details class="worked">') == count
    assert opened.content.decode().count('<details class="worked" open>') == count
    assert figures(closed) == figures(opened)


@pytest.mark.parametrize(
    "page, typed, fields",
    [
        ("pipe", {"pipe": "9/99"}, {"pipe"}),
        ("pipe", {"grade": "Z"}, {"grade"}),
        ("pipe", {"wall_left": "120"}, {"wall_left"}),
        ("pipe", {"wall_left": "thin"}, {"wall_left"}),
        ("pipe", {"connection": "NC99"}, {"connection"}),
        ("pipe", {"connection": "NC50", "od": "4", "bore": "3"}, {"od"}),
        ("pipe", {"connection": "NC50", "od": "6.5", "bore": "9"}, {"bore"}),
        ("pipe", {"mud": "400"}, {"mud"}),
        ("pipe", {"mud": "1e400"}, {"mud"}),
        ("pipe", {"pull": "99999999"}, {"pull"}),
        ("pipe", {"torque": "-5"}, {"torque"}),
        ("pipe", {"length": "0/0"}, {"length"}),
        ("connections", {"connection": "NC99"}, {"connection"}),
        ("connections", {"connection": "NC10"}, {"connection"}),
        ("connections", {"connection": "BTC"}, {"connection"}),
        ("connections", {"od": ""}, {"od"}),
        ("connections", {"od": "60"}, {"od"}),
        (
            "connections",
            {"bore": "5", "arm": "40", "factor": "9", "other": "NC99"},
            {"bore", "arm", "factor", "other"},
        ),
        ("pipe", {"mud": "400", "torque": "-5", "length": "0"}, {"mud", "torque", "length"}),
        ("pipe", {"od": "1e9999999"}, {"od"}),
        ("connections", {"od": "six"}, {"od"}),
        ("casing", {"thread": "EUE"}, {"thread"}),
        ("casing", {"grade": ""}, {"grade"}),
        ("bits", {"size": "0.1"}, {"size"}),
        ("bits", {"size": ""}, {"size"}),
        ("bits", {"nozzles": "big"}, {"nozzles"}),
        ("bits", {"nozzles": "99"}, {"nozzles"}),
        ("bits", {"scheme": "mine"}, {"scheme"}),
    ],
)  # fmt: skip
def test_what_cannot_be_stands_beside_its_field_and_what_was_typed_stays(here, page, typed, fields):
    wanted = {**PICKS[page], **typed}
    response = look(signed_in(at=here), page, **wanted)
    assert response.status_code == 422
    form = response.context["form"]
    assert set(form.errors) == fields
    assert response.context["parts"] == []
    for name, value in wanted.items():
        assert form[name].value() == value


def test_odd_characters_in_the_address_are_answered(here):
    client = signed_in(at=here)
    for page, typed in PICKS.items():
        for name in typed:
            for odd in ("\0", "½", "'\"<b>", "9" * 300, "٣"):
                assert look(client, page, **{**typed, name: odd}).status_code in (200, 422)


def test_what_lies_here_is_offered_as_a_pick_and_nothing_of_another_site(here):
    stock.pieces(stock.rack(here), 1)
    stock.pieces(stock.rack(stock.site("OTH")), 1, facts=stock.CASING, first=900)
    client = signed_in(at=here)
    [(words, address)] = client.get(reverse("reference_pipe")).context["here"]
    assert "5 in 19.50" in words
    assert client.get(address).context["parts"]
    assert client.get(reverse("reference_casing")).context["here"] == []


@pytest.mark.parametrize("page", PICKS)
def test_the_queries_of_a_page_do_not_grow_with_what_lies_there(here, page, django_assert_max_num_queries):
    layer = stock.rack(here)
    stock.pieces(layer, 30)
    stock.pieces(layer, 30, facts=stock.CASING, first=900)
    client = signed_in(at=here)
    with django_assert_max_num_queries(7):
        look(client, page, **PICKS[page])
