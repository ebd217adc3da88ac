"""A list comes in by the page and by the command: nothing before acceptance, then all or nothing."""

import html
import io
import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from rack.models import Component, Delivered, Delivery, Journal, Mark, Strap
from tests import stock

pytestmark = pytest.mark.django_db

TIDY = (
    "Serial,Painted no,Item,Length ft,Class\n"
    "KD1,1,5 in 19.50 lb/ft S-135 NC50 Range 2,31.24,Premium\n"
    "KD2,2,5 in 19.50 lb/ft S-135 NC50 Range 2,30.97,Class 2\n"
)
#: Metres in a semicolon list of another language, a serial twice, a length missing, a sum row.
MESSY = (
    "Lieferschein 17;;;\n;;;\nSerien-Nr;AD mm;Gew kg/m;Güte;Verb.;Länge m\n"
    "HB1;127,0;29,02;G 105;NC50;9,640\nHB1;127,0;29,02;G105;NC50;9,382\nHB3;127,0;29,02;G105;NC50;\n"
    "Summe;;;;;19,022\n"
)


@pytest.fixture
def office(here):
    client = Client()
    client.force_login(stock.person("ines", "office", here))
    return client


def upload(client, layer, text=TIDY, name="list.csv"):
    data = text if isinstance(text, bytes) else text.encode("latin-1")
    return client.post(
        reverse("receive"),
        {"file": SimpleUploadedFile(name, data), "place": layer.pk, "sender": "Gantry Lending"},
    )


def key():
    return str(stock.uuid.uuid4())


def accept(client, page, **more):
    return client.post(page, {"what": "accept", "key": key(), **more})


def test_nothing_is_stored_before_a_list_is_accepted(office, layer):
    page = upload(office, layer).url
    text = office.get(page).content.decode()
    assert "31.24" in text and "KD1" in text
    assert not Component.objects.exists() and not Journal.objects.exists()


def test_accepting_makes_a_piece_with_tag_names_and_length_of_every_row(office, layer):
    page = upload(office, layer).url
    assert accept(office, page).status_code == 302
    pieces = {piece.serial: piece for piece in Component.objects.all()}
    assert set(pieces) == {"KD1", "KD2"}
    assert pieces["KD1"].length_nm == 3124 * 3_048_000
    assert pieces["KD1"].place == layer and pieces["KD1"].state == "received"
    assert len({piece.tag for piece in pieces.values()}) == 2
    assert Mark.objects.get(component=pieces["KD2"], what="painted").text == "2"
    assert pieces["KD1"].length_by.hands == "list list.csv"
    assert json.loads(Delivered.objects.get(row_n=3).typed)["pipe_class"] == "Class 2"


def test_the_same_form_sent_twice_receives_once(office, layer):
    page = upload(office, layer).url
    form = {"what": "accept", "key": key()}
    first, again = office.post(page, form), office.post(page, form)
    assert first.url == again.url
    assert Component.objects.count() == 2


def test_the_same_file_once_more_is_said_and_needs_a_yes(office, layer):
    page = upload(office, layer).url
    accept(office, page)
    refused = accept(office, page)
    assert refused.status_code == 422
    assert "same file was accepted on" in refused.content.decode()
    assert Component.objects.count() == 2
    assert accept(office, page, confirmed="yes").status_code == 302


def test_a_messy_list_shows_all_its_faults_and_is_accepted_only_with_a_yes(office, layer):
    page = upload(office, layer, MESSY).url
    text = office.get(page).content.decode()
    for words in ("HB1", "9,640", "NC50", "Summe", "127,0", "they agree", "No length"):
        assert words in text
    assert accept(office, page).status_code == 422
    assert not Component.objects.exists()
    assert accept(office, page, confirmed="yes").status_code == 302
    assert Component.objects.count() == 3
    assert Component.objects.get(serial="HB3").length_nm is None
    assert Strap.objects.filter(typed="9,640", typed_unit="m", nm=9_640_000_000).count() == 1


def test_what_a_row_said_stands_beside_it_after_the_list_is_accepted(office, layer):
    """Whoever opens the delivery later sees which serial came damaged, not only who read the list."""
    page = upload(office, layer, MESSY).url
    accept(office, page, confirmed="yes")
    done = Delivery.objects.get()
    said = [problem.text for row in Delivered.objects.filter(delivery=done) for problem in row.problems]
    text = html.unescape(office.get(reverse("delivery", args=[done.pk])).content.decode())
    assert said and all(sentence in text for sentence in said)


def test_a_row_left_out_becomes_no_piece_and_stays_listed(office, layer):
    page = upload(office, layer).url
    office.post(page, {"what": "toggle", "row": "|3", "key": key()})
    accept(office, page)
    assert [piece.serial for piece in Component.objects.all()] == ["KD1"]
    done = Delivery.objects.get()
    assert Delivered.objects.get(delivery=done, row_n=3).fate == "left out"
    assert "KD2" in office.get(reverse("delivery", args=[done.pk])).content.decode()


def test_a_row_left_out_can_be_taken_in_again(office, layer):
    page = upload(office, layer).url
    for _ in range(2):
        office.post(page, {"what": "toggle", "row": "|3", "key": key()})
    accept(office, page)
    assert Component.objects.count() == 2


def test_the_columns_can_be_corrected(office, layer):
    page = upload(office, layer, TIDY.replace("Serial,", "Thing,")).url
    form = office.get(page).context["mapping_form"]
    fields = {name: form[name].value() or "" for name in form.fields}
    fields["role-0-0"] = "serial"
    office.post(page, {**fields, "what": "mapping", "key": key()})
    assert [row.serial for row in office.get(page).context["read"].rows] == ["KD1", "KD2"]


def test_a_row_that_cannot_be_read_stops_the_whole_list(office, layer):
    page = upload(office, layer, TIDY.replace("30.97", "thirty")).url
    assert accept(office, page, confirmed="yes").status_code == 422
    assert not Component.objects.exists()


@pytest.mark.parametrize(
    ("data", "name"),
    [
        (b"", "empty.csv"),
        (b"%PDF-1.7 nothing", "list.csv"),
        (b"\x89PNG\r\n\x1a\n....", "photo.xlsx"),
        (b"PK\x03\x04broken", "list.xlsx"),
        (b"dear all,\nthe boat is late\n", "letter.csv"),
        (b"\x00\x01\x02" * 50, "x.csv"),
    ],
)
def test_a_file_that_is_no_list_is_refused_in_one_sentence_and_nothing_is_kept(
    office, layer, data_folder, data, name
):
    response = upload(office, layer, data, name)
    assert response.status_code == 422
    assert response.context["form"].errors["file"]
    assert not list((data_folder / "files").rglob("*")) and not Journal.objects.exists()


def test_a_place_of_another_site_cannot_be_chosen(office):
    other = stock.rack(stock.site("OTH"))
    assert upload(office, other).status_code == 422


@pytest.mark.parametrize(
    ("role", "status"), [("crew", 403), ("viewer", 403), ("supervisor", 200), ("office", 200)]
)
def test_receiving_by_role(here, layer, role, status):
    client = Client()
    client.force_login(stock.person(role, role, here))
    assert client.get(reverse("receive")).status_code == status
    assert upload(client, layer).status_code == (302 if status == 200 else 403)


def test_a_list_that_another_person_is_reading_is_not_at_hand(here, office, layer):
    page = upload(office, layer).url
    client = Client()
    client.force_login(stock.person("ola", "supervisor", here))
    assert "Choose the file again" in client.get(page).content.decode()


def test_a_delivery_of_another_site_does_not_exist(office, layer):
    accept(office, upload(office, layer).url)
    client = Client()
    client.force_login(stock.person("eve", "office", stock.site("OTH")))
    assert client.get(reverse("delivery", args=[Delivery.objects.get().pk])).status_code == 404


def run(path, *args):
    out = io.StringIO()
    call_command("receive", str(path), *args, stdout=out)
    return out.getvalue()


@pytest.fixture
def tidy_file(tmp_path):
    file = tmp_path / "list.csv"
    file.write_text(TIDY)
    return file


def test_the_command_checks_and_stores_nothing(tidy_file):
    found = json.loads(run(tidy_file, "--check", "--json"))
    assert set(found) >= {"refused", "rows", "totals", "counted"}
    row = found["rows"][0]
    assert set(row) >= {
        "row",
        "serial",
        "painted",
        "item",
        "kind",
        "grade",
        "connection",
        "pipe_class",
        "length_nm",
        "problems",
    }
    assert (row["row"], row["serial"], row["kind"], row["connection"]) == (2, "KD1", "drill pipe", "NC50")
    assert row["length_nm"] == 3124 * 3_048_000
    assert found["counted"]["accepted"] == 2
    assert not Component.objects.exists()


def test_the_command_says_the_refusal_in_the_same_shape(tmp_path):
    file = tmp_path / "letter.csv"
    file.write_text("dear all,\nthe boat is late\n")
    found = json.loads(run(file, "--check", "--json"))
    assert found["refused"] and found["rows"] == []
    file.write_text("serial,item,length ft\nKD1,5 in 19.50 lb/ft S-135 NC50,31.24\n")
    good = json.loads(run(file, "--check", "--json"))
    assert (found.keys(), found["counted"].keys()) == (good.keys(), good["counted"].keys())


def run_beside(path, *args):
    """Standard output, standard error, and the refusal the command ends with."""
    out, beside, refused = io.StringIO(), io.StringIO(), ""
    try:
        call_command("receive", str(path), *args, stdout=out, stderr=beside)
    except CommandError as error:
        refused = str(error)
    return json.loads(out.getvalue()), beside.getvalue(), refused


def test_a_refused_file_ends_the_command_with_an_error_when_it_was_to_be_received(tmp_path, here):
    """A script that receives must not take a refusal for a delivery."""
    file = tmp_path / "letter.csv"
    file.write_text("dear all,\nthe boat is late\n")
    found, _, refused = run_beside(file, "--json", "--user", "ines")
    assert refused and found["refused"] == refused and found["rows"] == []


def test_a_list_that_nobody_may_accept_is_one_object_with_its_rows_and_why(tidy_file, here, layer):
    stock.person("vic", "viewer", here)
    found, _, refused = run_beside(tidy_file, "--json", "--user", "vic", "--place", "R1/1")
    assert refused and found["refused"] == refused and len(found["rows"]) == 2
    assert not Component.objects.exists()


def test_an_accepted_list_is_one_object_and_the_sentence_stands_beside_it(tidy_file, here, layer):
    stock.person("ines", "office", here)
    found, beside, refused = run_beside(tidy_file, "--json", "--user", "ines", "--place", "R1/1", "--confirm")
    assert (found["refused"], refused) == (None, "") and "as delivery" in beside
    assert Component.objects.count() == found["counted"]["accepted"] == 2


def test_a_site_that_is_not_there_is_an_error_also_when_only_checked(tidy_file, here):
    found, _, refused = run_beside(tidy_file, "--check", "--json", "--site", "XX")
    assert refused.startswith("Name one site") and found["refused"] == refused


def test_a_file_that_is_not_there_is_one_object_too(tmp_path):
    found = json.loads(run(tmp_path / "none.csv", "--check", "--json"))
    assert found["refused"].endswith("none.csv cannot be read: No such file or directory.")
    with pytest.raises(CommandError, match="cannot be read"):
        run(tmp_path / "none.csv", "--check")


def test_the_command_accepts_what_the_page_accepts(tidy_file, here, layer):
    stock.person("ines", "office", here)
    run(tidy_file, "--user", "ines", "--place", "R1/1")
    assert Component.objects.count() == 2


@pytest.mark.parametrize(
    ("args", "words"),
    [
        ((), "Name one layer"),
        (("--place", "R9/9"), "Name one layer"),
        (("--place", "R1/1", "--user", "nobody"), "no account nobody"),
    ],
)
def test_the_command_says_what_it_needs(tidy_file, here, layer, args, words):
    stock.person("ines", "office", here)
    with pytest.raises(CommandError, match=words):
        run(tidy_file, *(("--user", "ines") if "--user" not in args else ()), *args)
    assert not Component.objects.exists()


def test_a_row_is_called_by_the_number_that_the_list_gives_it(tmp_path):
    file = tmp_path / "numbered.csv"
    file.write_text(
        "head\n\nNo,Serial,Item,Length ft\n7,KD1,5 in 19.50 S-135 NC50,31.24\n8,KD2,5 in 19.50 S-135 NC50,\n"
    )
    found = json.loads(run(file, "--check", "--json"))
    assert [(row["row"], row["line"]) for row in found["rows"]] == [(7, 4), (8, 5)]
