"""The head of a delivery and the columns remembered for its sender, by the page and by the command."""

import io
import json

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from rack.actions import places
from rack.models import Component, Delivered, Delivery, Journal, RememberedMapping
from tests import stock

pytestmark = pytest.mark.django_db

PIPE = "5 in 19.50 lb/ft S-135 NC50 Range 2"
LIST = f"Serial,Item,Length ft,Mark\nMK1,{PIPE},31.24,17\nMK2,{PIPE},30.97,18\n"
BLOCKS = f"Item: {PIPE} drill pipe\nNo,Length ft,No,Length ft\n1,31.20,3,31.05\n2,31.10,4,30.95\n"


@pytest.fixture
def here():
    return stock.site()


@pytest.fixture
def layer(here):
    return stock.rack(here)


@pytest.fixture
def office(here):
    client = Client()
    client.force_login(stock.person("ines", "office", here))
    return client


def upload(client, layer, text=LIST, name="list.csv", **head):
    file = SimpleUploadedFile(name, text.encode())
    return client.post(
        reverse("receive"), {"file": file, "place": layer.pk, "sender": "Gantry Lending", **head}
    )


def key():
    return str(stock.uuid.uuid4())


def accept(client, page, **more):
    return client.post(page, {"what": "accept", "key": key(), **more})


def set_mark_as_painted(client, page):
    form = client.get(page).context["mapping_form"]
    fields = {name: form[name].value() or "" for name in form.fields}
    return client.post(page, {**fields, "role-0-3": "painted", "what": "mapping", "key": key()})


def test_ticket_order_truck_and_hand_count_are_kept_with_the_delivery(office, layer):
    page = upload(office, layer, ticket="T-77", order_no="PO 12", truck="Barge 3", hand_count="2").url
    text = office.get(page).content.decode()
    assert all(each in text for each in ("T-77", "PO 12", "Barge 3"))
    accept(office, page)
    one = Delivery.objects.get()
    assert (one.ticket, one.order_no, one.truck, one.hand_count_n) == ("T-77", "PO 12", "Barge 3", 2)
    text = office.get(reverse("delivery", args=[one.pk])).content.decode()
    assert "T-77" in text and "2, as on the list" in text


def test_a_head_that_nobody_filled_in_is_kept_empty(office, layer):
    accept(office, upload(office, layer).url)
    one = Delivery.objects.get()
    assert (one.ticket, one.order_no, one.truck, one.hand_count_n) == ("", "", "", None)
    assert "Counted by hand" not in office.get(reverse("delivery", args=[one.pk])).content.decode()


@pytest.mark.parametrize(
    "count, words, landed",
    [
        ("1", "one piece is short landed", "1, 1 short landed"),
        ("4", "2 pieces are over landed", "4, 2 over landed"),
    ],
)
def test_a_count_by_hand_that_is_not_the_list_is_asked_and_named(office, layer, count, words, landed):
    page = upload(office, layer, hand_count=count).url
    assert words in office.get(page).content.decode()
    assert accept(office, page).status_code == 422
    assert not Component.objects.exists()
    assert accept(office, page, confirmed="yes").status_code == 302
    assert landed in office.get(reverse("delivery", args=[Delivery.objects.get().pk])).content.decode()


def test_leaving_out_what_did_not_land_makes_the_count_agree(office, layer):
    page = upload(office, layer, hand_count="1").url
    office.post(page, {"what": "toggle", "row": "|3", "key": key()})
    assert accept(office, page).status_code == 302
    assert Component.objects.count() == 1


@pytest.mark.parametrize("count", ["-1", "two", "1e9", "99999999"])
def test_a_hand_count_that_is_no_count_is_refused_in_a_sentence(office, layer, count):
    answer = upload(office, layer, hand_count=count)
    assert answer.status_code == 422
    assert not Journal.objects.exists()


def test_columns_set_for_a_sender_are_used_on_the_next_list_and_it_is_said(office, layer):
    page = upload(office, layer).url
    assert set_mark_as_painted(office, page).status_code == 302
    accept(office, page)
    second = upload(office, layer, LIST.replace("MK", "NK"), sender="gantry  lending").url
    text = office.get(second).content.decode()
    assert f'at <a href="{reverse("delivery", args=[Delivery.objects.get().pk])}"' in text
    assert "painted 17" in text
    assert RememberedMapping.objects.count() == 1


def test_remembered_columns_can_be_set_aside_for_one_list(office, layer):
    page = upload(office, layer).url
    set_mark_as_painted(office, page)
    accept(office, page)
    second = upload(office, layer, LIST.replace("MK", "NK")).url
    office.post(second, {"what": "plain", "key": key()})
    text = office.get(second).content.decode()
    assert "painted 17" not in text and "Forget these columns" not in text
    assert RememberedMapping.objects.exists()


def test_remembered_columns_are_forgotten_by_a_button_and_the_journal_says_so(office, layer):
    page = upload(office, layer).url
    set_mark_as_painted(office, page)
    accept(office, page)
    second = upload(office, layer, LIST.replace("MK", "NK")).url
    office.post(second, {"what": "forget", "key": key()})
    assert not RememberedMapping.objects.exists()
    assert "Forgot how the columns" in Journal.objects.latest("id").sentence
    assert (
        "painted 17" not in office.get(upload(office, layer, LIST.replace("MK", "OK")).url).content.decode()
    )


def test_columns_are_not_used_for_another_sender_site_or_headings(office, here, layer):
    page = upload(office, layer).url
    set_mark_as_painted(office, page)
    accept(office, page)
    other = upload(office, layer, LIST.replace("MK", "NK"), sender="Derrick Hire").url
    assert "Forget these columns" not in office.get(other).content.decode()
    headed = upload(office, layer, LIST.replace("Mark", "Colour")).url
    assert "Forget these columns" not in office.get(headed).content.decode()


def test_the_last_accepted_list_of_a_sender_counts(office, layer):
    page = upload(office, layer).url
    set_mark_as_painted(office, page)
    accept(office, page)
    second = upload(office, layer, LIST.replace("MK", "NK")).url
    office.post(second, {"what": "plain", "key": key()})
    accept(office, second)
    third = upload(office, layer, LIST.replace("MK", "OK")).url
    assert "painted 17" not in office.get(third).content.decode()


def test_joints_of_blocks_side_by_side_are_left_out_one_by_one_and_kept_apart(office, layer):
    page = upload(office, layer, BLOCKS).url
    assert "block 2" in office.get(page).content.decode()
    office.post(page, {"what": "toggle", "row": ", block 2|3", "key": key()})
    accept(office, page)
    assert Component.objects.count() == 3
    kept = Delivered.objects.filter(fate="accepted").order_by("id").values_list("sheet", "row_n")
    assert list(kept) == [(", block 1", 3), (", block 1", 4), (", block 2", 4)]


def command(tmp_path, *options, text=LIST, name="list.csv") -> str:
    path = tmp_path / name
    path.write_text(text)
    out = io.StringIO()
    call_command("receive", str(path), *options, stdout=out, stderr=out)
    return out.getvalue()


def test_the_command_keeps_the_head_and_names_what_is_short(here, layer, tmp_path):
    stock.person("ines", "office", here)
    said = command(tmp_path, "--check", "--hand-count", "1")
    assert "one piece is short landed" in said
    with pytest.raises(CommandError, match="short landed"):
        command(tmp_path, "--user", "ines", "--place", "R1/1", "--hand-count", "1")
    assert not Delivery.objects.exists()
    head = ["--ticket", "T-77", "--order", "PO 12", "--truck", "Barge 3", "--hand-count", "2"]
    command(tmp_path, "--user", "ines", "--place", "R1/1", *head)
    one = Delivery.objects.get()
    assert (one.ticket, one.order_no, one.truck, one.hand_count_n) == ("T-77", "PO 12", "Barge 3", 2)


def test_the_json_of_the_command_keeps_its_names_with_a_count_by_hand(here, tmp_path):
    made = json.loads(command(tmp_path, "--check", "--json", "--hand-count", "3"))
    assert set(made) == {"refused", "rows", "totals", "counted", "problems"}
    assert any("over landed" in each["text"] for each in made["problems"])


def test_the_command_leaves_out_a_joint_of_a_block_by_its_number(here, tmp_path):
    made = json.loads(command(tmp_path, "--check", "--json", "--leave-out", "3", text=BLOCKS))
    assert [row["fate"] for row in made["rows"]] == ["accepted", "accepted", "left out", "accepted"]
    assert [row["row"] for row in made["rows"]] == [1, 2, 3, 4]


def test_a_list_can_be_received_on_a_place_to_lay_aside(office, here):
    """Rejects and pieces for inspection go to the trestle at once, also where there is no rack yet."""
    aside = places.add_aside(stock.asks(User.objects.get(username="ines")), here, "Trestle")
    assert str(aside) in office.get(reverse("receive")).content.decode()
    office.post(upload(office, aside).url, {"what": "accept", "key": str(stock.uuid.uuid4())})
    assert {piece.place for piece in Component.objects.all()} == {aside}
