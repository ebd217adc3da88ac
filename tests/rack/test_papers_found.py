"""Paper is found by its code: as a scanner reads the address, or as somebody types the code."""

import pytest
from django.test import Client

from rack.models import CasingSheet, LoadSheet, Sheet, StringSheet
from tests.rig import Rig, build

pytestmark = pytest.mark.django_db

PAPER = [("B", StringSheet), ("S", Sheet), ("C", CasingSheet), ("L", LoadSheet)]


@pytest.fixture
def rig() -> Rig:
    return build()


def search(user, text: str):
    client = Client()
    client.force_login(user)
    return client.get("/find/", {"q": text})


@pytest.mark.parametrize("letter, model", PAPER)
def test_a_code_that_paper_bears_opens_its_page(rig, letter, model):
    code = model.objects.exclude(code=None)[0].code
    spellings = (code, code.lower(), f"{code[:3]}-{code[3:]}")
    for typed in spellings:
        assert search(rig.who["crew"], typed).headers["Location"] == f"/{letter}/{code}/", typed


@pytest.mark.parametrize("letter, model", PAPER)
@pytest.mark.parametrize("words", ["https://sandholm.example/{}/{}", "{}/{}", "/{}/{}/", "http://x/{}/{}.pdf"])
def test_an_address_that_a_scanner_reads_opens_its_page(rig, letter, model, words):
    code = model.objects.exclude(code=None)[0].code
    answer = search(rig.who["crew"], words.format(letter, code))
    assert answer.headers["Location"] == f"/{letter}/{code}/"


def test_the_address_of_a_tag_opens_the_piece(rig):
    tag = rig.pieces[0].tag
    assert search(rig.who["crew"], f"https://sandholm.example/T/{tag}").headers["Location"] == f"/T/{tag}"


def test_paper_of_another_site_is_not_found_by_its_code(rig):
    answer = search(rig.who["stranger"], rig.bha.code)
    assert answer.status_code == 200 and not answer.context["found"]


def test_an_address_elsewhere_never_leads_out_of_the_program(rig):
    answer = search(rig.who["crew"], f"https://elsewhere.example/B/{rig.bha.code}")
    assert answer.headers["Location"].startswith("/B/")
