"""An empty database leads to one page, and that page works once, for whoever reads the console."""

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from rack import firstrun
from rack.models import Place, Post, Site
from tests import stock

pytestmark = pytest.mark.django_db

FORM = {
    "full_name": "Ines Holt", "username": "ines", "password": "rolling-stock-88", "site_name": "Sandholm 3",
    "site_code": "sh3", "tz": "Europe/Oslo", "units": "us", "rack": "R1", "layers": "3",
}  # fmt: skip


def begin(**more):
    return Client().post(reverse("begin"), {**FORM, "key": str(stock.uuid.uuid4()), **more})


def test_an_empty_database_leads_to_the_page_that_begins():
    client = Client()
    assert client.get("/", follow=True).redirect_chain[-1][0] == reverse("begin")
    assert client.get(reverse("begin")).status_code == 200


def test_the_code_of_the_console_makes_account_site_and_rack_once():
    code = firstrun.make()
    assert begin(code=code.lower()).url == reverse("rack_list")
    assert (Site.objects.get().code, Place.objects.layers().count()) == ("SH3", 3)
    assert Post.objects.get().role == "office"
    assert begin(code=code, username="eve").url == reverse("login")
    assert User.objects.count() == 1


@pytest.mark.parametrize("code", ["", "AAAA-AAAA-AAAA", "x" * 41])
def test_another_code_makes_nothing_and_what_was_typed_stays(code):
    firstrun.make()
    response = begin(code=code)
    assert "Sandholm 3" in response.content.decode()
    assert not User.objects.exists() and not Site.objects.exists()


@pytest.mark.parametrize(("wrong", "words"), [
    ({"tz": "Moon/Base"}, "no time zone Moon/Base"), ({"password": "short"}, "too short"),
    ({"layers": "0"}, "greater than or equal to 1"), ({"site_code": "a b"}, "letters, digits and hyphens"),
    ({"rack": "R/1"}, "without a slash"),
])  # fmt: skip
def test_a_wrong_field_is_said_and_nothing_is_made(wrong, words):
    response = begin(code=firstrun.make(), **wrong)
    assert words in response.content.decode()
    assert not User.objects.exists() and not Site.objects.exists()
