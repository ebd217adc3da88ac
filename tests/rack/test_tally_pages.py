"""Tallies on their pages: who sees what, the list, opening one, its figures, however long."""

import re
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.test import Client
from django.urls import reverse

from rack.actions import closing, straps, tallies
from rack.calc.lengths import Length
from rack.models import Consent, Line, Tally
from tests import stock
from tests.rack.tally_desk import ROLES, do, read, signed_in, text_of

pytestmark = pytest.mark.django_db


def pages_of(tally):
    return [reverse(name, args=[tally.number]) for name in ("tally", "compare", "pencil_pdf")]


# Who


def test_nobody_signed_in_is_led_to_the_sign_in_page(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 2))
    for address in [
        reverse("tally_list"),
        reverse("tally_new"),
        reverse("tally_close", args=[1]),
        *pages_of(tally),
    ]:
        assert Client().get(address).url.startswith("/sign-in/")


def test_a_tally_of_another_site_does_not_exist(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 2))
    stranger = signed_in("eve", "supervisor", stock.site("OTH"))
    names = ("tally", "compare", "pencil_pdf", "pencil", "tally_close")
    for address in (reverse(name, args=[tally.number]) for name in names):
        assert stranger.get(address).status_code == 404
    assert do(stranger, tally, "finish", strap="1").status_code == 404
    assert "Tally 1" not in text_of(stranger.get(reverse("tally_list")))


@pytest.mark.parametrize(
    ("role", "new", "close", "change"),
    [
        ("crew", 200, 403, 302),
        ("supervisor", 200, 200, 302),
        ("office", 200, 200, 302),
        ("viewer", 403, 403, 403),
    ],
)
def test_pages_and_verbs_by_role(here, layer, ada, role, new, close, change):
    tally = stock.tally(ada, here, stock.pieces(layer, 2))
    client = signed_in(role, role, here)
    for address in [reverse("tally_list"), *pages_of(tally)]:
        assert client.get(address).status_code == 200
    assert client.get(reverse("tally_new")).status_code == new
    assert client.get(reverse("tally_close", args=[tally.number])).status_code == close
    assert do(client, tally, "numbers", count="1").status_code == change


def test_what_a_role_may_not_do_has_no_button(here, layer, ada):
    tally = stock.tally(ada, here, [])
    tallies.add_numbers(stock.asks(ada), tally, "1", 2)
    read(ada, tally, ["31.24", "31.26"])
    page = reverse("tally", args=[tally.number])
    seen = {role: text_of(signed_in(role, role, here).get(page)) for role in ROLES}
    for words, roles in (
        ("Withdraw it", {"crew", "supervisor", "office"}),
        ("new pieces</button>", {"supervisor", "office"}),
        (reverse("tally_close", args=[tally.number]), {"supervisor", "office"}),
        (reverse("strap", args=[tally.number, 1]), {"crew", "supervisor", "office"}),
    ):
        assert {role for role in ROLES if words in seen[role]} == roles


@pytest.mark.parametrize("what", ["banana", "read", "close"])
def test_a_verb_that_does_not_exist_is_not_found(here, layer, ada, what):
    tally = stock.tally(ada, here, stock.pieces(layer, 2))
    assert do(signed_in(at=here), tally, what).status_code == 404


# The list


def test_open_tallies_come_first_and_each_shows_once_over_all_pages(here, ada):
    made = [stock.tally(ada, here, title=f"t{n}") for n in range(60)]
    Tally.objects.filter(pk__in=[one.pk for one in made[10:20]]).update(open=False, revision=1)
    client, seen, address = signed_in(at=here), [], reverse("tally_list")
    while address:
        page = client.get(address).context["page"]
        seen += [tally.number for tally in page.rows]
        address = reverse("tally_list") + page.next if page.next else ""
    still_open = [n for n in range(60, 0, -1) if not 11 <= n <= 20]
    assert seen == still_open + list(range(20, 10, -1))
    second = client.get(reverse("tally_list") + client.get(reverse("tally_list")).context["page"].next)
    back = client.get(reverse("tally_list") + second.context["page"].back).context["page"]
    assert [tally.number for tally in back.rows] == still_open[:50] and not back.back


@pytest.mark.parametrize("cursor", ["x", "o", "o٣", "c-1", "o" + "9" * 30, "%00"])
def test_a_cursor_that_somebody_made_up_shows_a_page(here, ada, cursor):
    stock.tally(ada, here)
    assert signed_in(at=here).get(reverse("tally_list") + f"?after={cursor}").status_code == 200


def test_the_list_says_how_far_each_tally_is(here, layer, ada):
    pieces = stock.pieces(layer, 4)
    one, two = stock.tally(ada, here, pieces), stock.tally(ada, here, pieces, straps_wanted=2)
    read(ada, one, ["31.24"])
    read(ada, two, ["31.24"] * 4)
    client = signed_in(at=here)
    assert "first strap, 1 of 4" in text_of(client.get(reverse("tally_list")))
    straps.finish_strap(stock.asks(ada), two, 1)
    assert "second strap not begun" in text_of(client.get(reverse("tally_list")))
    straps.begin_strap(stock.asks(ada), two, 2, "T-11", "Ben", "")
    read(ada, two, ["31.24"], 2)
    assert "second strap open, 1 of 4" in text_of(client.get(reverse("tally_list")))
    straps.finish_strap(stock.asks(ada), two, 2)
    read(ada, one, ["31.24"] * 4)
    closing.close(stock.asks(stock.person("ines", "office", here)), one)
    text = text_of(client.get(reverse("tally_list")))
    assert "both straps taken" in text and "closed, revision 1" in text


def test_lists_and_pages_ask_few_questions_however_long_they_are(
    here, layer, ada, django_assert_max_num_queries
):
    tally = stock.tally(ada, here, stock.pieces(layer, 200), straps_wanted=2)
    lines = list(tally.lines.in_order())
    for line in lines:
        line.first_nm = line.second_nm = Length.parse("31.24").nanometres
    Line.objects.bulk_update(lines, ["first_nm", "second_nm"])
    straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "")
    client = signed_in(at=here)
    client.get(reverse("tally_list"))
    addresses = {
        "tally_list": [],
        "tally": [1],
        "compare": [1],
        "tally_close": [1],
        "pencil": [1],
        "pencil_pdf": [1],
    }
    for ended in (False, True):
        if ended:
            straps.finish_strap(stock.asks(ada), tally, 2)
        for name, args in addresses.items():
            with django_assert_max_num_queries(32):
                client.get(reverse(name, args=args))


# Its page


def test_the_page_adds_up_as_the_database_does(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 63))
    read(ada, tally, [f"{31 + n % 9 / 10:.1f}{n % 7}" for n in range(63)])
    exact = [line.first_nm for line in tally.lines.in_order()]
    page = signed_in(at=here).get(reverse("tally", args=[1]) + "?page=2")
    text = text_of(page)
    for nm in (sum(exact), sum(exact[:50]), sum(exact[50:60]), max(exact), min(exact)):
        assert Length(nm).shown("ft", 2) in text
    assert page.context["shown"].carried == Length(sum(exact[:50])).shown("ft", 2)
    assert [column.caption for column in page.context["shown"].columns] == ["51 to 60", "61 to 63"]


def test_the_length_made_up_can_be_opened(here, ada):
    casing = stock.pieces(stock.rack(here, "C1"), 3, facts=stock.CASING, first=900)
    tally = stock.tally(ada, here, casing, kind="threads on")
    read(ada, tally, ["40.10", "41.20", "39.95"])
    page = signed_in(at=here).get(reverse("tally", args=[1]))
    worked = page.context["facts"].worked
    losses = closing.losses_of(tally, list(tally.lines.select_related("component__spec")))
    off = sum(loss.loss_nm * loss.pins for loss in losses)
    assert off and worked.value == Length.parse("121.25") - Length(off)
    text = text_of(page)
    assert (
        "How the length made up was worked out" in text
        and "3 pins" in text
        and losses[0].source.split(";")[0] in text
    )


@pytest.mark.parametrize("page", ["0", "-1", "99", "x", "٣", "9" * 40])
def test_a_page_number_that_does_not_exist_shows_one_that_does(here, layer, ada, page):
    stock.tally(ada, here, stock.pieces(layer, 3))
    assert signed_in(at=here).get(reverse("tally", args=[1]), {"page": page}).status_code == 200


def test_a_question_is_shown_and_one_button_confirms_it(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 8))
    read(ada, tally, ["31.24"] * 7 + ["13.24"])
    client = signed_in(at=here)
    page = text_of(client.get(reverse("tally", args=[1])))
    key = re.search(r'name="reading" value="([^"]+)"', page).group(1)
    assert "It reads so" in page and "Joint 8" in page
    assert do(client, tally, "confirm", reading=key).status_code == 302
    assert Consent.objects.count() == 1
    assert "It reads so" not in text_of(client.get(reverse("tally", args=[1])))


@pytest.mark.parametrize("reading", ["", "x", "5a9688dc-a62d-4b14-9830-4dcc736b01e5"])
def test_confirming_a_reading_that_is_none_is_not_found(here, layer, ada, reading):
    tally = stock.tally(ada, here, stock.pieces(layer, 2))
    assert do(signed_in(at=here), tally, "confirm", reading=reading).status_code == 404


def test_the_day_of_a_tally_in_the_list_is_never_broken_at_its_hyphens(here, layer, ada):
    stock.tally(ada, here, stock.pieces(layer, 2))
    css = Path(finders.find("rack/tierbook.css")).read_text("utf-8")
    assert '<td role="cell" class="day"' in text_of(signed_in(at=here).get(reverse("tally_list")))
    assert ".list .day { white-space: nowrap; }" in css
