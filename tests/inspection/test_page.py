"""The page of one inspection: every check, what followed, its files, taking it back."""

import pytest
from django.test import Client

from inspection.calc.filetypes import CSV, JPEG, MOST_BYTES, PDF, PHOTOS, PNG, XLSX, media_of
from inspection.models import Inspection
from rack.models import Component
from tests import rig as rigs
from tests.inspection.recorded import recorded

ODT = b"PK\x03\x04 something else in a zip"


@pytest.fixture
def rig(db):
    return rigs.build()


def client(user) -> Client:
    found = Client()
    found.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    return found


def test_the_page_shows_every_check_with_measured_limit_and_source(rig):
    row = recorded(rig)
    page = client(rig.who["crew"]).get(f"/inspections/{row.pk}/").content.decode()
    for words in ("0.340", "0.2896", "0.0504 in to spare", "API RP 7G-2 (2009)", "last thread", "NC-117",
                  "UT-7", "beyond repair", "15/32 in", "SHA-256", "Given Premium", "Not a certificate."):
        assert words in page, words
    assert row.differs in page.replace("&#x27;", "'")
    assert "Take back" not in page, "the crew takes nothing back"


def test_the_checks_are_made_anew_from_what_was_stored(rig):
    row = recorded(rig)
    answer = client(rig.who["crew"]).get(f"/inspections/{row.pk}/")
    assert answer.context["again"] == "", "the same readings make the same class"
    checks = [one["check"] for one in answer.context["checks"]]
    assert {"wall", "od", "shoulder", "crack"} <= {check.code for check in checks}
    assert next(check for check in checks if check.code == "shoulder").measured == "0.4688", "after repair"


@pytest.mark.parametrize("path", ["report/", "photo/{}/"])
def test_a_file_is_saved_and_never_opened(rig, path):
    row = recorded(rig)
    answer = client(rig.who["viewer"]).get(f"/inspections/{row.pk}/{path.format(row.findings.get().pk)}")
    assert answer.status_code == 200
    assert answer.headers["Content-Disposition"].startswith("attachment")
    assert answer.headers["Content-Security-Policy"] == "sandbox; default-src 'none'"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_a_scheme_that_no_table_knows_is_shown_as_it_was_recorded(rig):
    """A piece that came with another program's backup keeps its page."""
    piece = rig.spare[0]
    Component.objects.filter(pk=piece.pk).update(scheme="HOUSE-7", pipe_class="Yellow")
    answer = client(rig.who["crew"]).get(f"/piece/{piece.tag}/")
    assert answer.status_code == 200
    assert "HOUSE-7" in answer.content.decode() and "Yellow" in answer.content.decode()


def test_taking_back_wants_a_reason_and_brings_back_what_held(rig):
    row = recorded(rig)
    piece = Component.objects.get(pk=row.component_id)
    assert piece.pipe_class == row.class_held != ""
    ola = client(rig.who["supervisor"])
    sent = {"key": "7b1d6ddc-9d0e-4f0d-b7f3-0d3f7b8b1a11", "reason": "  "}
    assert ola.post(f"/inspections/{row.pk}/take-back/", sent).status_code == 422
    sent["reason"] = "another joint"
    assert ola.post(f"/inspections/{row.pk}/take-back/", sent).status_code == 302
    assert Component.objects.get(pk=piece.pk).pipe_class == ""
    assert "another joint" in ola.get(f"/inspections/{row.pk}/").content.decode()
    assert not Inspection.objects.standing().filter(pk=row.pk).exists()


@pytest.mark.parametrize("data, media", [
    (b"%PDF-1.4 x", PDF), (b"\xff\xd8\xff\xe0 x", JPEG), (b"\x89PNG\r\n\x1a\n x", PNG),
    (b"Serial;Wall\r\nKD4101;0.340\r\n", CSV), ("Serie;Länge\nä;1\n".encode("cp1252"), CSV),
    ("a\tb\n1\t2\n".encode("utf-16"), CSV),
])  # fmt: skip
def test_a_type_is_read_from_the_bytes(data, media):
    assert media_of(data) == media


def test_a_workbook_is_known_by_its_parts():
    import io
    import zipfile

    def packed(*names: str) -> bytes:
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w") as parts:
            for name in names:
                parts.writestr(name, "x")
        return out.getvalue()

    assert media_of(packed("[Content_Types].xml", "xl/workbook.xml")) == XLSX
    for names in (("word/document.xml",), ("[Content_Types].xml", "xl/workbook.xml", "xl/vbaProject.bin")):
        with pytest.raises(ValueError, match="by its content"):
            media_of(packed(*names))


@pytest.mark.parametrize("data", [
    b"MZ\x90\x00\x03 a program named report.pdf", b"\x7fELF\x02\x01", b"#!/bin/sh\nrm a, b", ODT,
    b"<html>a,b</html>", b"\xef\xbb\xbf<svg>,</svg>", b"\x00\x01,\x02", b"no separator at all", b"",
])  # fmt: skip
def test_what_is_no_report_is_refused_whatever_its_name(data):
    with pytest.raises(ValueError, match="must be PDF|is empty"):
        media_of(data)


def test_a_photo_is_a_picture_and_nothing_else():
    with pytest.raises(ValueError, match="must be JPEG or PNG; it is a PDF"):
        media_of(b"%PDF-1.4", PHOTOS)


def test_twenty_megabytes_are_taken_and_one_byte_more_is_not():
    assert media_of(b"%PDF-" + b" " * (MOST_BYTES - 5)) == PDF
    with pytest.raises(ValueError, match="larger than 20 MB"):
        media_of(b"%PDF-" + b" " * (MOST_BYTES - 4))
