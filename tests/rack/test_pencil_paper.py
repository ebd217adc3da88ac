"""The blank pencil sheet, and the photo of a written one that is kept with the tally."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from pypdf import PdfReader

from rack.actions import pencil
from rack.actions.files import bytes_of
from rack.errors import Refused
from rack.models import Journal, PencilPhoto, Strap
from tests import stock
from tests.rack.tally_desk import JPEG, ROLES, form_of, read, send, signed_in, text_of

pytestmark = pytest.mark.django_db

PICTURES = {
    "sheet.jpg": JPEG,
    "sheet.png": b"\x89PNG\r\n\x1a\n" + b"0" * 40,
    "sheet.pdf": b"%PDF-1.7\n" + b"0" * 40,
    "sheet.heic": b"\x00\x00\x00\x18ftypheic" + b"0" * 40,
}


@pytest.fixture
def tally(here, layer, ada):
    return stock.tally(ada, here, stock.pieces(layer, 30), straps_wanted=2)


# The blank sheet


def printed(response):
    assert response["Content-Type"] == "application/pdf"
    pages = PdfReader(io.BytesIO(response.content)).pages
    return pages, " ".join(page.extract_text() for page in pages)


@pytest.mark.parametrize("role", ROLES)
def test_the_blank_sheet_never_bears_a_reading(here, tally, ada, role):
    read(ada, tally, ["31.87"] * 30)
    _, text = printed(signed_in(role, role, here).get(reverse("pencil_pdf", args=[1]), {"strap": "2"}))
    assert "31.87" not in text and "956.10" not in text
    assert "KD4101" in text and "Pencil sheet" in text


def test_the_blank_sheet_of_an_empty_tally_has_numbers(here, ada):
    stock.tally(ada, here)
    client = signed_in(at=here)
    assert len(printed(client.get(reverse("pencil_pdf", args=[1])))[0]) == 1
    assert len(printed(client.get(reverse("pencil_pdf", args=[1]), {"lines": "120"}))[0]) == 3


@pytest.mark.parametrize(("size", "wide"), [("", 612), ("A4", 595), ("letter", 612), ("A0", 612)])
def test_the_blank_sheet_comes_in_both_papers(here, tally, size, wide):
    pages, _ = printed(signed_in(at=here).get(reverse("pencil_pdf", args=[1]), {"size": size}))
    assert int(pages[0].mediabox.width) == wide


# The photo


@pytest.mark.parametrize("name", PICTURES)
def test_a_photo_is_kept_and_only_ever_saved_never_shown_inside_a_page(here, tally, name):
    client = signed_in("ben", "crew", here)
    send(client, tally, form_of(client, tally), ["3124"], photo=SimpleUploadedFile(name, PICTURES[name]))
    photo = PencilPhoto.objects.get()
    assert bytes_of(photo.file.sha256) == PICTURES[name]
    assert name in text_of(client.get(reverse("tally", args=[1])))
    answer = client.get(reverse("pencil_photo", args=[1, photo.pk]))
    assert answer.content == PICTURES[name]
    assert answer["Content-Disposition"].startswith("attachment")
    assert (
        answer["Content-Security-Policy"].startswith("sandbox")
        and answer["X-Content-Type-Options"] == "nosniff"
    )


@pytest.mark.parametrize(
    "data", [b"", b"<html><script>alert(1)</script>", b"GIF89a...", b"\x00" * 50, b"MZ\x90"]
)
def test_a_file_that_is_no_photo_is_refused_and_the_rows_are_stored_all_the_same(here, tally, data):
    client = signed_in("ben", "crew", here)
    response = send(
        client, tally, form_of(client, tally), ["3124"], photo=SimpleUploadedFile("sheet.jpg", data)
    )
    assert response.status_code == 422 and "no JPEG, PNG, HEIC or PDF" in text_of(response)
    assert Strap.objects.count() == 1 and not PencilPhoto.objects.exists()


def test_a_photo_of_more_than_20_mb_is_refused(tally, ada):
    large = JPEG + b"0" * pencil.MOST_BYTES
    with pytest.raises(Refused, match="larger than 20 MB"):
        pencil.keep_photo(stock.asks(ada), tally, 1, large, "sheet.jpg")
    assert not Journal.objects.filter(verb="keep pencil sheet").exists()
    just = large[: pencil.MOST_BYTES]
    assert pencil.keep_photo(stock.asks(ada), tally, 1, just, "sheet.jpg").file.size == pencil.MOST_BYTES


def test_a_photo_of_another_tally_or_site_does_not_exist(here, tally, ada):
    photo = pencil.keep_photo(stock.asks(ada), tally, 1, JPEG, "sheet.jpg")
    stock.tally(ada, here)
    assert signed_in(at=here).get(reverse("pencil_photo", args=[2, photo.pk])).status_code == 404
    stranger = signed_in("eve", "office", stock.site("OTH"))
    assert stranger.get(reverse("pencil_photo", args=[1, photo.pk])).status_code == 404
