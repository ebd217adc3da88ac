"""The rack list, searching, a piece's page, racks and accounts: by role, by size, by bad input."""

import pytest
from django.test import Client
from django.urls import reverse

from rack.actions import pieces as actions
from rack.actions import straps
from rack.models import Component, Journal, Mark, Place, Post
from tests import stock

pytestmark = pytest.mark.django_db


def signed_in(name="ada", role="crew", at=None, **more):
    client = Client()
    client.force_login(stock.person(name, role, at, **more))
    return client


def key_in(response):
    text = response.content.decode()
    return text.split('name="key" value="')[1].split('"')[0]


def test_nobody_signed_in_is_led_to_the_sign_in_page(here, layer):
    stock.person("ada", "crew", here)
    for name in ("rack_list", "search", "place_list", "accounts"):
        assert Client().get(reverse(name)).url.startswith("/sign-in/")


def test_an_account_without_a_post_is_told_what_to_do(here):
    response = signed_in("eve", "").get(reverse("rack_list"))
    assert response.status_code == 403
    assert "Ask the office" in response.content.decode()


def test_the_list_shows_each_piece_once_over_all_its_pages(here, layer):
    stock.pieces(layer, 123)
    client = signed_in(at=here)
    seen, address = [], reverse("rack_list")
    while address:
        response = client.get(address)
        page = response.context["page"]
        seen += [piece.serial for piece in page.rows]
        address = reverse("rack_list") + page.next if page.next else ""
    assert seen == sorted(f"KD{4101 + n}" for n in range(123))


def test_back_leads_to_the_page_before(here, layer):
    stock.pieces(layer, 120)
    client = signed_in(at=here)
    first = client.get(reverse("rack_list")).context["page"]
    second = client.get(reverse("rack_list") + first.next).context["page"]
    back = client.get(reverse("rack_list") + second.back).context["page"]
    assert [piece.pk for piece in back.rows] == [piece.pk for piece in first.rows]


@pytest.mark.parametrize("cursor", ["x", "KD4101.", ".5", "KD4101.99999999999999999999999", "%00.5", "ÄÖ.-1"])
def test_a_cursor_that_somebody_made_up_shows_a_page(here, layer, cursor):
    stock.pieces(layer, 3)
    assert signed_in(at=here).get(reverse("rack_list") + f"?after={cursor}").status_code == 200


def test_the_list_asks_few_questions_of_the_database_however_long_it_is(
    here, layer, django_assert_max_num_queries
):
    stock.pieces(layer, 60)
    client = signed_in(at=here)
    client.get(reverse("rack_list"))
    with django_assert_max_num_queries(8):
        client.get(reverse("rack_list"))


def test_count_and_total_length_are_those_of_the_choice(here, layer):
    stock.pieces(layer, 3, lengths=["31.24", "30.97", "31.55"])
    stock.pieces(stock.rack(here, "C1"), 2, facts=stock.CASING, first=900)
    client = signed_in(at=here)
    everything = client.get(reverse("rack_totals")).content.decode()
    drill_pipe = client.get(reverse("rack_totals") + "?kind=drill_pipe").content.decode()
    assert "<dd>5</dd>" in everything and "<dd>2</dd>" in everything
    assert "<dd>3</dd>" in drill_pipe and "93.76 ft" in drill_pipe


@pytest.mark.parametrize(
    "query",
    [
        "kind=drill_pipe",
        "size=5 in 19.50",
        "grade=S-135",
        "connection=NC50",
        "state=received",
        "state=held",
    ],
)
def test_each_choice_narrows_the_list(here, layer, query):
    held = stock.pieces(layer, 1)[0]
    actions.put_hold(stock.asks(stock.person("ben", "crew", here)), held, "bent")
    stock.pieces(stock.rack(here, "C1"), 1, facts=stock.CASING, first=900)
    rows = signed_in(at=here).get(reverse("rack_list") + "?" + query).context["page"].rows
    assert held in rows
    assert len(rows) == (2 if query == "state=received" else 1)


def test_a_choice_that_does_not_exist_is_said_and_nothing_breaks(here, layer):
    stock.pieces(layer, 1)
    assert signed_in(at=here).get(reverse("rack_list") + "?kind=banana&layer=xyz").status_code == 200


@pytest.mark.parametrize(
    ("typed", "by"),
    [
        ("kd-4102", "serial"),
        ("KD 4102", "serial"),
        ("KD41", "serial begins so"),
        ("102", "serial ends so"),
    ],
)
def test_a_piece_is_found_by_all_or_part_of_its_serial(here, layer, typed, by):
    stock.pieces(layer, 3)
    stock.pieces(layer, 1, first=990)
    response = signed_in(at=here).get(reverse("search"), {"q": typed})
    if response.status_code == 302:
        assert response.url == reverse("piece", args=[Component.objects.get(serial="KD4102").tag])
    else:
        assert {found.by for found in response.context["found"]} == {by}


def test_a_piece_is_found_by_its_tag_its_painted_and_its_owners_number(here, layer):
    piece = stock.pieces(layer, 2)[1]
    actions.write_mark(stock.asks(stock.person("ben", "crew", here)), piece, "owner", "GL-77 B")
    client = signed_in(at=here)
    page = reverse("piece", args=[piece.tag])
    for typed in (piece.tag, piece.tag.lower(), "gl77b", "2"):
        assert client.get(reverse("search"), {"q": typed}).url == page


@pytest.mark.parametrize("typed", ["", "   ", "-", "nothing like it", "x" * 500, "\x00", "%", "'; --"])
def test_a_search_that_finds_nothing_says_so(here, layer, typed):
    stock.pieces(layer, 1)
    response = signed_in(at=here).get(reverse("search"), {"q": typed})
    assert response.status_code == 200 and not response.context["found"]


def test_the_address_of_a_tag_ignores_case_and_says_when_the_check_is_wrong(here, layer):
    piece = stock.pieces(layer, 1)[0]
    client = signed_in(at=here)
    for code in (piece.tag, piece.tag.lower()):
        for letter in ("T", "t"):
            assert client.get(f"/{letter}/{code}").url == reverse("piece", args=[piece.tag])
    wrong = piece.tag[:-2] + ("A" if piece.tag[-2] != "A" else "B") + piece.tag[-1]
    response = client.get(f"/T/{wrong}")
    assert response.status_code == 404
    assert "check" in response.content.decode()


def test_a_piece_of_another_site_does_not_exist(here, layer):
    piece = stock.pieces(layer, 1)[0]
    stranger = signed_in("eve", "office", stock.site("OTH"))
    for address in (reverse("piece", args=[piece.tag]), f"/T/{piece.tag}"):
        assert stranger.get(address).status_code == 404
    assert not stranger.get(reverse("search"), {"q": piece.serial}).context["found"]
    assert stranger.post(reverse("piece_hold", args=[piece.tag]), {"reason": "x"}).status_code == 404


@pytest.mark.parametrize(
    ("role", "status"), [("crew", 302), ("supervisor", 302), ("office", 302), ("viewer", 403)]
)
def test_holding_by_role(here, layer, role, status):
    piece = stock.pieces(layer, 1)[0]
    client = signed_in(role, role, here)
    key = (
        key_in(client.get(reverse("place_list"))) if role in ("supervisor", "office") else stock.uuid.uuid4()
    )
    response = client.post(reverse("piece_hold", args=[piece.tag]), {"reason": "slip cut", "key": str(key)})
    assert response.status_code == status
    piece.refresh_from_db()
    assert piece.holds_n == (1 if status == 302 else 0)


def test_the_same_form_sent_twice_holds_once(here, layer):
    piece = stock.pieces(layer, 1)[0]
    client = signed_in(at=here)
    form = {"reason": "slip cut", "key": str(stock.uuid.uuid4())}
    for _ in range(2):
        client.post(reverse("piece_hold", args=[piece.tag]), form)
    piece.refresh_from_db()
    assert piece.holds_n == 1


def test_a_form_without_its_key_is_refused_with_a_sentence(here, layer):
    piece = stock.pieces(layer, 1)[0]
    response = signed_in(at=here).post(reverse("piece_hold", args=[piece.tag]), {"reason": "slip cut"})
    assert response.status_code == 400 and "without its key" in response.content.decode()


def test_the_page_of_a_piece_says_its_length_on_whose_word_and_its_time(here, layer):
    piece = stock.pieces(layer, 1, lengths=["31.24"])[0]
    client = signed_in(at=here)
    actions.put_hold(stock.asks(stock.person("ben", "crew", here)), piece, "slip cut, box end")
    text = client.get(reverse("piece", args=[piece.tag])).content.decode()
    for words in (
        "31.24 ft",
        "pins off",
        "list a.csv",
        "slip cut, box end",
        "S-135",
        "R1, layer 1",
        "Held: do not use",
    ):
        assert words in text


def test_a_blind_reading_stays_off_the_page_of_its_piece(here, layer):
    ada = stock.person("ada", "crew", here)
    tally = stock.tally(ada, here, stock.pieces(layer, 2), straps_wanted=2)
    for line in tally.lines.in_order():
        straps.read(stock.asks(ada), straps.Reading(tally, "31.87", 1, line))
    client = signed_in("ola", "supervisor", here)
    page = reverse("piece", args=[tally.lines.first().component.tag])
    assert "31.87" in client.get(page).content.decode()
    straps.finish_strap(stock.asks(ada), tally, 1)
    assert "31.87" not in client.get(page).content.decode()


def test_a_name_written_down_shows_and_the_old_one_is_still_found(here, layer):
    piece = stock.pieces(layer, 1)[0]
    client = signed_in(at=here)
    form = {"what": "painted", "text": "36A", "key": str(stock.uuid.uuid4())}
    client.post(reverse("piece_name", args=[piece.tag]), form)
    assert "36A" in client.get(reverse("piece", args=[piece.tag])).content.decode()
    assert Mark.objects.filter(component=piece).count() == 2


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"name": "", "layers": "3"}, "required"),
        ({"name": "R/9", "layers": "3"}, "without a slash"),
        ({"name": "R9", "layers": "0"}, "greater than or equal to 1"),
        ({"name": "R9", "layers": "many"}, "whole number"),
        ({"name": "R1", "layers": "2"}, "already"),
    ],
)
def test_a_rack_that_cannot_be_is_refused_and_what_was_typed_stays(here, layer, typed, words):
    client = signed_in("ines", "office", here)
    before = Place.objects.count()
    response = client.post(reverse("place_list"), {**typed, "key": str(stock.uuid.uuid4())})
    text = response.content.decode()
    assert words in text and f'value="{typed["layers"]}"' in text
    assert Place.objects.count() == before


@pytest.mark.parametrize(
    ("role", "status"), [("crew", 403), ("supervisor", 403), ("viewer", 403), ("office", 200)]
)
def test_accounts_are_the_offices(here, role, status):
    assert signed_in(role, role, here).get(reverse("accounts")).status_code == status


def test_the_office_makes_an_account_changes_its_role_and_ends_it(here):
    client = signed_in("ines", "office", here)
    form = {"full_name": "Åse Ødegård", "username": "ase", "role": "crew", "password": "rolling-stock-88"}
    client.post(reverse("accounts"), {**form, "key": str(stock.uuid.uuid4())})
    post = Post.objects.get(user__username="ase")
    signed = Client().post(reverse("login"), {"username": "ase", "password": "rolling-stock-88"})
    assert (signed.status_code, post.role) == (302, "crew")
    page = reverse("account", args=[post.pk])
    client.post(page, {"what": "role", "role": "viewer", "key": str(stock.uuid.uuid4())})
    assert Post.objects.get(user__username="ase", ended_on=None).role == "viewer"
    client.post(
        reverse("account", args=[Post.objects.get(user__username="ase", ended_on=None).pk]),
        {"what": "end", "key": str(stock.uuid.uuid4())},
    )
    assert not Post.objects.filter(user__username="ase", ended_on=None).exists()


def test_the_last_office_post_cannot_be_ended(here):
    client = signed_in("ines", "office", here)
    post = Post.objects.get(role="office")
    response = client.post(
        reverse("account", args=[post.pk]), {"what": "end", "key": str(stock.uuid.uuid4())}
    )
    assert response.status_code == 422 and "last office post" in response.content.decode()


@pytest.mark.parametrize("password", ["short", "1234567890", "password12"])
def test_a_weak_password_is_refused_with_the_reason(here, password):
    client = signed_in("ines", "office", here)
    form = {"full_name": "Eve", "username": "eve", "role": "crew", "password": password}
    response = client.post(reverse("accounts"), {**form, "key": str(stock.uuid.uuid4())})
    assert response.status_code == 422 and "password" in response.content.decode()
    assert not Post.objects.filter(user__username="eve").exists()


def test_a_browser_is_known_again_by_its_cookie_and_the_journal_says_which_device_wrote(here, layer):
    piece = stock.pieces(layer, 1)[0]
    client = signed_in(at=here)
    client.get(reverse("rack_list"))
    cookie = client.cookies["tierbook_device"]
    assert cookie["httponly"] and cookie["samesite"] == "Lax"
    form = {"reason": "slip cut", "key": str(stock.uuid.uuid4())}
    client.post(reverse("piece_hold", args=[piece.tag]), form)
    client.get(reverse("rack_list"))
    assert client.cookies["tierbook_device"].value == cookie.value
    assert str(Journal.objects.get(verb="hold").device_id) == cookie.value
