"""The facts that only one kind has: noted, moved to another specification, shown, and offered to no other."""

import re
import uuid

import pytest
from django.test import Client
from django.urls import reverse

from rack.actions import facts
from rack.auditing import audit
from rack.calc.kinds import KINDS
from rack.calc.specs import SpecFacts
from rack.errors import ChangedMeanwhile, NotAllowed, Refused
from rack.models import Component, Journal, PieceFact, Spec
from tests import stock

pytestmark = pytest.mark.django_db

BIT = SpecFacts(
    kind="bit", od_nm=215_900_000, up_conn="4-1/2 REG", up_gender="pin", facts='{"make":"insert"}'
)


@pytest.fixture
def here():
    return stock.site()


@pytest.fixture
def layer(here):
    return stock.rack(here)


@pytest.fixture
def ada(here):
    return stock.person("ada", "crew", here)


@pytest.fixture
def bit(layer):
    return stock.pieces(layer, 1, facts=BIT, first=9001)[0]


@pytest.fixture
def client(ada):
    made = Client()
    made.force_login(ada)
    return made


def again(piece):
    return Component.objects.select_related("spec").get(pk=piece.pk)


def page_of(client, piece):
    return client.get(reverse("piece", args=[piece.tag])).content.decode()


def post(client, piece, what, **body):
    page = page_of(client, piece)
    key = page.split('name="key" value="')[1].split('"')[0]
    return client.post(reverse(f"piece_{what}", args=[piece.tag]), {"key": key, **body})


def test_a_fact_of_the_specification_moves_the_piece_and_leaves_the_old_one_as_it_was(ada, layer):
    jar, other = stock.pieces(layer, 2, facts=stock.JAR, first=8001)
    facts.note_fact(stock.asks(ada), jar, {"neck_od_nm": "6-1/4", "neck_nm": "24 in"})
    assert again(jar).spec_id != other.spec_id
    assert Spec.objects.get(pk=other.spec_id).as_facts == stock.JAR
    assert facts.current_facts(again(jar)) == {
        "action": "hydraulic", "neck_od_nm": "158750000", "neck_nm": "609600000",
    }  # fmt: skip
    facts.note_fact(stock.asks(ada), again(jar), {"neck_od_nm": "", "neck_nm": ""})
    assert again(jar).spec_id == other.spec_id
    assert list(audit("default")) == []


def test_a_fact_of_the_piece_stays_with_the_piece_and_the_newest_holds(ada, bit):
    facts.note_fact(stock.asks(ada), bit, {"nozzles": "3x16"})
    facts.note_fact(stock.asks(ada), bit, {"nozzles": "3x18"})
    assert again(bit).spec_id == bit.spec_id
    assert facts.current_facts(again(bit)) == {"make": "insert", "nozzles": "18-18-18"}
    assert [row.value for row in PieceFact.objects.order_by("id")] == ["16-16-16", "18-18-18"]
    facts.note_fact(stock.asks(ada), bit, {"nozzles": ""})
    assert facts.current_facts(again(bit)) == {"make": "insert"}


@pytest.mark.parametrize(
    "typed, words",
    [
        ({"bend": "1.83"}, "no fact"),
        ({"nozzles": "sixteen", "make": "banana"}, "none of roller cone"),
        ({}, "Nothing was typed"),
        ({"make": "insert"}, "Nothing was changed"),
    ],
)
def test_what_cannot_be_noted_is_refused_in_a_sentence_and_nothing_stored(ada, bit, typed, words):
    lines = Journal.objects.count()
    with pytest.raises(Refused) as refused:
        facts.note_fact(stock.asks(ada), bit, typed)
    assert words in str(refused.value)
    assert Journal.objects.count() == lines
    assert PieceFact.objects.count() == 0


def test_a_free_tool_keeps_a_name(ada, layer):
    facts_of = SpecFacts(kind="other", od_nm=215_900_000, facts='{"name":"whipstock"}')
    tool = stock.pieces(layer, 1, facts=facts_of)[0]
    assert str(tool.spec) == "8-1/2 in whipstock"
    with pytest.raises(Refused, match="say what it is"):
        facts.note_fact(stock.asks(ada), tool, {"name": " "})


def test_noting_twice_with_one_key_writes_once(ada, bit):
    key = uuid.uuid4()
    first = facts.note_fact(stock.asks(ada, key), bit, {"nozzles": "3x16"})
    assert facts.note_fact(stock.asks(ada, key), bit, {"nozzles": "3x16"}) == first
    assert PieceFact.objects.count() == 1


def test_what_somebody_else_changed_meanwhile_is_not_written_over(ada, bit):
    seen = bit.version
    facts.note_fact(stock.asks(ada), bit, {"nozzles": "3x16"}, seen=seen)
    with pytest.raises(ChangedMeanwhile):
        facts.note_fact(stock.asks(ada), bit, {"nozzles": "3x18"}, seen=seen)


def test_a_viewer_notes_nothing(here, bit):
    with pytest.raises(NotAllowed):
        facts.note_fact(stock.asks(stock.person("vera", "viewer", here)), bit, {"nozzles": "3x16"})


@pytest.mark.parametrize("code", KINDS)
def test_the_page_of_every_kind_shows_its_drawing_and_offers_what_the_kind_has(client, layer, code):
    kind = KINDS[code]
    piece = stock.pieces(layer, 1, facts=SpecFacts(kind=code, od_nm=127_000_000))[0]
    page = page_of(client, piece)
    assert f'src="/drawings/{code}.svg"' in page
    offered = re.findall(r'id="fact_(\w+)"', page)
    offered = [name for name in offered if not name.endswith("_helptext") and name != "seen"]
    assert sorted(offered) == sorted(fact.name for fact in kind.facts)
    assert ('id="length_open"' in page) == kind.telescopes
    assert ('id="length_length"' in page) != kind.telescopes


@pytest.mark.parametrize("code", KINDS)
def test_list_and_search_find_every_kind(client, here, layer, code):
    facts_of = SpecFacts(kind=code, od_nm=127_000_000)
    one, two = stock.pieces(layer, 2, facts=facts_of, first=500)
    stock.pieces(layer, 1, facts=stock.CASING if code != "casing" else stock.DRILL_PIPE, first=900)
    rows = client.get(reverse("rack_list") + f"?kind={code}").context["page"].rows
    assert {row.pk for row in rows} == {one.pk, two.pk}
    answer = client.get(reverse("search"), {"q": KINDS[code].name})
    assert answer.context["kind"].code == code
    assert f"?kind={code}" in answer.content.decode()
    assert client.get(reverse("search"), {"q": one.serial}).url == reverse("piece", args=[one.tag])


def test_the_page_opens_the_flow_area_and_the_code_of_a_bit(client, ada, bit):
    facts.note_fact(stock.asks(ada), bit, {"nozzles": "3x16", "code": "517G"})
    page = page_of(client, bit)
    assert "0.589 in2" in page
    assert "insert: soft to medium formation" in page
    assert "extra gauge" in page


def test_a_form_that_was_refused_says_so_beside_the_field_and_keeps_what_was_typed(client, bit):
    answer = post(client, bit, "fact", make="insert", nozzles="sixteen")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Nozzles fitted:" in page
    assert 'value="sixteen"' in page
    assert PieceFact.objects.count() == 0


def test_a_form_writes_what_was_changed_and_nothing_else(client, bit):
    assert post(client, bit, "fact", make="insert", code="517G", nozzles="3x16").status_code == 302
    assert sorted(PieceFact.objects.values_list("name", "value")) == [
        ("code", "517G"), ("nozzles", "16-16-16"),
    ]  # fmt: skip
    assert "Nothing was changed" in post(
        client, bit, "fact", make="insert", code="517G", nozzles="16-16-16"
    ).content.decode()


def test_a_jar_is_taped_on_its_page_and_the_page_shows_both(client, layer):
    jar = stock.pieces(layer, 1, facts=stock.JAR, first=8001)[0]
    body = {"open": "32.15", "closed": "30.90", "holds": "closed", "kind": "overall, tool", "tape": "T-07"}
    assert post(client, jar, "length", **body).status_code == 302
    page = page_of(client, jar)
    assert "30.90 ft, closed" in page
    assert "32.15 ft" in page
    wrong = post(client, jar, "length", **{**body, "open": "3", "closed": "30.90"})
    assert wrong.status_code == 422
    assert "Were the two exchanged?" in wrong.content.decode()


def test_an_odd_length_is_asked_on_the_page_and_taken_with_the_yes(client, layer):
    joint = stock.pieces(layer, 1, lengths=["31.24"])[0]
    answer = post(client, joint, "length", length="36.42", kind="pins off")
    assert answer.status_code == 422
    assert 'name="sure"' in answer.content.decode()
    assert post(client, joint, "length", length="36.42", kind="pins off", sure="on").status_code == 302
    assert again(joint).length_nm == 3642 * 304_800_000 // 100


def test_only_a_supervisor_sees_and_ends_a_length(client, here, layer):
    joint = stock.pieces(layer, 1, lengths=["31.24"])[0]
    assert reverse("piece_ended", args=[joint.tag]) not in page_of(client, joint)
    assert post(client, joint, "ended", reason="recut").status_code == 403
    ola = Client()
    ola.force_login(stock.person("ola", "supervisor", here))
    assert post(ola, joint, "ended", reason="").status_code == 422
    assert post(ola, joint, "ended", reason="pin recut").status_code == 302
    assert "pin recut" in page_of(client, joint)


@pytest.mark.parametrize("facts_of, most", [(stock.DRILL_PIPE, 9), (stock.JAR, 11)])
def test_the_page_asks_few_questions_of_the_database(
    client, layer, facts_of, most, django_assert_max_num_queries
):
    """What a kind does not have is not asked for: pipe costs nothing for the facts of tools.

    One of the questions is the neighbour's, whose panel stands on the page.
    """
    piece = stock.pieces(layer, 1, facts=facts_of)[0]
    page_of(client, piece)
    with django_assert_max_num_queries(most):
        page_of(client, piece)
