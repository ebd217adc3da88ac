"""Pencil first: a written sheet typed in; blind, by role, sent twice, half wrong."""

import uuid
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from rack.actions import closing, straps
from rack.calc.lengths import Length
from rack.models import PencilPhoto, Strap, Tally
from tests import stock
from tests.rack.tally_desk import DAY, HEAD, JPEG, form_of, read, send, signed_in, text_of

pytestmark = pytest.mark.django_db

TO_COME = (timezone.now() + timedelta(days=3)).date().isoformat()


@pytest.fixture
def tally(here, layer, ada):
    return stock.tally(ada, here, stock.pieces(layer, 30), straps_wanted=2)


def first_lengths(tally):
    return [line.first_nm for line in tally.lines.standing().in_order()]


# Typing in


def test_rows_stand_in_the_order_of_the_sheet_25_a_page(here, tally):
    client = signed_in(at=here)
    pages = [client.get(reverse("pencil", args=[1]), {"page": n}).context["rows"] for n in (1, 2)]
    assert [row.painted for row in pages[0]] == [str(n) for n in range(1, 26)]
    assert [row.painted for row in pages[1]][:6] == ["26", "27", "28", "29", "30", ""]
    assert all(len(rows) == 25 for rows in pages)


def test_a_sheet_is_stored_with_its_own_hands_tape_and_date(here, tally):
    client = signed_in("ben", "crew", here)
    response = send(client, tally, form_of(client, tally), ["3124", "31,26", "", "31 ft 3 in"])
    assert response.status_code == 302 and "page=2" in response.url and "tape=T-03" in response.url
    assert [Length(nm).shown("ft", 2) for nm in first_lengths(tally) if nm] == ["31.24", "31.26", "31.25"]
    one = Strap.objects.order_by("id").first()
    assert (one.tape, one.hands) == ("T-03", "Cleo, Dag")
    assert one.journal.made_at.astimezone(here.zone).strftime("%Y-%m-%d %H:%M") == f"{DAY} 14:20"


def test_the_same_page_sent_twice_stores_each_row_once(here, tally):
    client = signed_in("ben", "crew", here)
    form = form_of(client, tally)
    for _ in range(2):
        photo = SimpleUploadedFile("sheet.jpg", JPEG)
        assert send(client, tally, form, ["3124", "3126"], photo=photo).status_code == 302
    assert Strap.objects.count() == 2 and PencilPhoto.objects.count() == 1


def test_a_bad_row_keeps_what_was_typed_with_a_sentence_and_the_good_ones_are_stored(here, tally):
    client = signed_in("ben", "crew", here)
    form = form_of(client, tally)
    response = send(client, tally, form, ["3124", "thirty-one", "3126", "0"])
    text = text_of(response)
    assert response.status_code == 422
    assert Strap.objects.count() == 2 and "2 readings stored" in text
    rows = response.context["rows"]
    assert [(row.typed, bool(row.sentences)) for row in rows[:4]] == [
        ("", False),
        ("thirty-one", True),
        ("", False),
        ("0", True),
    ]
    assert rows[1].key == form["key-1"] and rows[0].key != form["key-0"]
    assert all(
        sentence in text.replace("&quot;", '"').replace("&#x27;", "'") for sentence in rows[3].sentences
    )


def test_a_bad_row_put_right_is_stored_and_nothing_else_is_stored_again(here, tally):
    client = signed_in("ben", "crew", here)
    form = form_of(client, tally)
    send(client, tally, form, ["3124", "x1"])
    assert send(client, tally, form, ["3124", "3126"]).status_code == 302
    assert Strap.objects.count() == 2


def test_a_row_that_was_stored_and_is_sent_with_another_length_says_so(here, tally):
    client = signed_in("ben", "crew", here)
    form = form_of(client, tally)
    send(client, tally, form, ["3124"])
    response = send(client, tally, form, ["3142"])
    assert response.status_code == 422 and "stored already" in text_of(response)
    assert response.context["rows"][0].typed == "3142" and response.context["rows"][0].key != form["key-0"]
    assert Strap.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("date", "", "required"),
        ("date", "sometime", "valid date"),
        ("tape", "", "required"),
        ("date", TO_COME, "still to come"),
        ("date", "1926-03-14", "ten years"),
        ("at", "25:70", "valid time"),
        ("reader", "x" * 61, "at most 60"),
    ],
)
def test_a_head_that_cannot_be_stores_nothing_and_every_row_stays(here, tally, field, typed, words):
    client = signed_in("ben", "crew", here)
    response = send(client, tally, {**form_of(client, tally), field: typed}, ["3124", "3126"])
    assert response.status_code == 422 and words in text_of(response)
    assert [row.typed for row in response.context["rows"][:2]] == ["3124", "3126"]
    assert not Strap.objects.exists()


def test_a_list_that_grows_takes_new_numbers_from_the_sheet(here, ada):
    tally = stock.tally(ada, here)
    client = signed_in("ben", "crew", here)
    form = form_of(client, tally)
    assert [form[f"painted-{n}"] for n in range(3)] == ["1", "2", "3"]
    response = send(client, tally, {**form, "painted-2": "2A"}, ["3124", "3126", "3128"] + ["3130"] * 22)
    assert response.status_code == 302 and "page=2" in response.url
    assert [line.painted for line in tally.lines.in_order()][:4] == ["1", "2", "2A", "4"]
    assert tally.lines.count() == 25


def test_a_new_number_without_a_name_is_asked_for(here, tally):
    client = signed_in("ben", "crew", here)
    form = form_of(client, tally, page=2)
    response = send(client, tally, form, ["", "", "", "", "", "3124"])
    assert response.status_code == 422 and "its painted number" in text_of(response)
    assert any(row.typed == "3124" for row in response.context["rows"])


def test_a_line_of_another_tally_is_not_written(here, tally, ada):
    other = stock.tally(ada, here, [])
    straps.read(stock.asks(ada), straps.Reading(other, "31.50", 1, painted="7"))
    client = signed_in("ben", "crew", here)
    form = {**form_of(client, tally), "line-0": str(other.lines.get().pk), "painted-0": ""}
    assert send(client, tally, form, ["3124"]).status_code == 422
    assert Strap.objects.filter(line__tally=other).count() == 1


@pytest.mark.parametrize("change", [{"key": ""}, {"key-0": "x"}])
def test_a_page_without_its_keys_is_refused(here, tally, change):
    client = signed_in("ben", "crew", here)
    assert send(client, tally, {**form_of(client, tally), **change}, ["3124"]).status_code == 400
    assert not Strap.objects.exists()


def test_a_reading_that_looks_wrong_is_stored_and_asks(here, tally, ada):
    read(ada, tally, ["31.24"] * 8)
    client = signed_in("ben", "crew", here)
    response = send(client, tally, form_of(client, tally), [""] * 8 + ["1324"])
    assert response.status_code == 302 and tally.lines.get(painted="9").questions_n == 1
    assert "asks whether it reads so" in text_of(client.get(response.url))


# Who, and blind


@pytest.mark.parametrize(
    ("role", "status"), [("crew", 200), ("supervisor", 200), ("office", 200), ("viewer", 403)]
)
def test_typing_in_by_role(here, tally, role, status):
    client = signed_in(role, role, here)
    assert client.get(reverse("pencil", args=[1])).status_code == status
    if status == 403:
        form = {**HEAD, "key": str(uuid.uuid4()), "key-0": str(uuid.uuid4()), "painted-0": "1"}
        assert send(client, tally, form, ["3124"]).status_code == 403


def test_nobody_signed_in_types_nothing(here, tally):
    assert Client().get(reverse("pencil", args=[1])).url.startswith("/sign-in/")


def test_a_second_sheet_begins_the_second_strap_and_shuts_the_first_away(here, tally, ada):
    read(ada, tally, ["31.87"] * 30)
    client = signed_in("ben", "crew", here)
    form = form_of(client, tally, strap=2)
    response = send(client, tally, form, ["3124", "zzz"])
    assert tally.heads.get(strap_n=2).hands == "Cleo, Dag" and "31.87" not in text_of(response)
    assert send(client, tally, form, ["3124", "3126"]).status_code == 302
    assert tally.lines.get(painted="2").second_nm == Length.parse("31.26").nanometres
    assert tally.heads.filter(strap_n=2).count() == 1


def test_the_first_sheet_cannot_be_typed_or_seen_while_the_second_strap_is_open(here, tally, ada):
    client = signed_in("ben", "crew", here)
    form = form_of(client, tally)
    send(client, tally, form, ["3187"], photo=SimpleUploadedFile("first.jpg", JPEG))
    straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "")
    photo = PencilPhoto.objects.get()
    assert "31.87" not in text_of(client.get(reverse("pencil", args=[1]), {"strap": "1"}))
    assert send(client, tally, form, ["3188"]).status_code == 409
    assert client.get(reverse("pencil_photo", args=[1, photo.pk])).status_code == 409
    assert "first.jpg" not in text_of(client.get(reverse("tally", args=[1])))


def test_a_closed_tally_takes_no_sheet(here, ada, layer):
    tally = stock.tally(ada, here, stock.pieces(layer, 1))
    client = signed_in(at=here)
    form = form_of(client, tally)
    read(ada, tally, ["31.24"])
    closing.close(stock.asks(stock.person("ines", "office", here)), Tally.objects.get())
    assert send(client, tally, form, ["3126"]).status_code == 409
    assert "is closed" in text_of(client.get(reverse("pencil", args=[1])))
