"""Recording one piece on its page: what is typed, what is refused, what is remembered, nothing lost."""

import re
import uuid
from datetime import date

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from inspection.calc.entering import read_size
from inspection.calc.filetypes import MOST_BYTES
from inspection.models import Inspection
from rack.models import Component, Consent
from tests import stock
from tests.inspection.pieces import nm, pipe

PHOTO = b"\x89PNG\r\n\x1a\n an invented photograph"


@pytest.fixture
def joint(layer):
    one = stock.pieces(layer, 1, facts=pipe())[0]
    Component.objects.filter(pk=one.pk).update(received_on=date(2026, 1, 2))
    return one


@pytest.fixture
def desk(ola):
    found = Client()
    found.force_login(ola, backend="django.contrib.auth.backends.ModelBackend")
    return found


def typed(inspector, **more: object) -> dict[str, object]:
    looks = {f"look-{code}": "nothing to reject" for code in
             ("VT-T", "VT-C", "EMI", "MPI-F", "ODG", "UTW", "DIM2")}  # fmt: skip
    sizes = {"tube-wall": "0.340", "tube-od": "4.960", "box-od": "6 1/2", "box-shoulder": "31/64"}
    return {"key": str(uuid.uuid4()), "on": "2026-11-20", "scope": "full", "inspector": inspector.pk,
            "company": "Nordlys Control", "report_no": "NC-12", "equipment": "UT-7; 2036-12-31",
            "given": "Premium", **looks, **sizes, **more}  # fmt: skip


def at(piece) -> str:
    return f"/inspect/{piece.tag}/"


def test_a_good_joint_is_recorded_and_its_head_is_remembered(desk, joint, inspector):
    answer = desk.post(at(joint), typed(inspector))
    row = Inspection.objects.get()
    assert answer.status_code == 302 and answer.headers["Location"] == f"/inspections/{row.pk}/"
    assert (row.class_held, row.company, row.report_no) == ("Premium", "Nordlys Control", "NC-12")
    assert row.readings.get(part="box", what="od").typed == "6 1/2 in"
    page = desk.get(at(joint)).content.decode()
    assert "NC-12" in page and "UT-7; 2036-12-31" in page and f'value="{inspector.pk}" selected' in page
    assert "0.340" not in page, "the readings of one piece are not those of the next"


def test_the_same_key_twice_is_one_inspection(desk, joint, inspector):
    sent = typed(inspector)
    first, second = desk.post(at(joint), sent), desk.post(at(joint), sent)
    assert first.headers["Location"] == second.headers["Location"]
    assert Inspection.objects.count() == 1


def test_a_question_shows_measured_limit_and_source_and_goes_on_with_a_reason(desk, joint, inspector):
    sent = typed(inspector, paint="1 yellow", equipment="UT-7; 2026-11-01")
    answer = desk.post(at(joint), sent)
    page = answer.content.decode()
    assert answer.status_code == 422 and not Inspection.objects.exists()
    assert "measured 1 yellow" in page and "limit 2 white" in page
    assert "calibration ran out on 2026-11-01" in page
    assert 'name="reason"' in page and 'value="31/64"' in page, "nothing is lost"
    answer = desk.post(at(joint), {**sent, "key": str(uuid.uuid4()), "reason": "repainted tomorrow"})
    assert answer.status_code == 302
    assert set(Consent.objects.values_list("check_code", "reason")) == {
        ("paint", "repainted tomorrow"), ("calibration", "repainted tomorrow")}  # fmt: skip


@pytest.mark.parametrize("text, inches", [
    ("0.362", "0.362"), ("0,362", "0.362"), (".362", "0.362"), ("5 1/2", "11/2"), ("5-1/2", "11/2"),
    ("½", "1/2"), ('5 1/2"', "11/2"), ("31/64", "31/64"), ("٠.٢٩", "0.29"), ("6,625", "6.625"),
])  # fmt: skip
def test_a_size_is_read_as_it_is_written(text, inches):
    assert read_size(text, "in") == nm(inches)


@pytest.mark.parametrize("text, unit, nanometres", [
    ("9.2", "mm", 9_200_000), ("9,2", "mm", 9_200_000), ("9.2 mm", "in", 9_200_000),
    ("0.5 in", "mm", 12_700_000), ("168,3 mm", "in", 168_300_000),
])  # fmt: skip
def test_a_size_in_the_other_unit_is_read_too(text, unit, nanometres):
    assert read_size(text, unit) == nanometres


BAD = ["abc", "-0.3", "1e5", "99999999", "101", "1/3", "0.3 0.4", "0.3 lb", "²", "0..3", "1" * 60, "0x1F",
       "٠.2"]


@pytest.mark.parametrize("text", BAD)
def test_a_bad_size_is_said_in_a_sentence(text):
    with pytest.raises(ValueError, match="is no length|is no size"):
        read_size(text, "in")


def test_bad_input_stores_nothing_loses_nothing_and_says_everything_at_once(desk, joint, inspector):
    photo = SimpleUploadedFile("pin.png", PHOTO, "image/png")
    bad = {"tube-wall": "abc", "box-od": "1/3", "pin-seal_width": "300", "equipment": "UT-7; 31/12/26",
           "seen-0-photo": photo, "paint": "1 yellow"}  # fmt: skip
    answer = desk.post(at(joint), typed(inspector, **bad))
    page = answer.content.decode()
    assert answer.status_code == 422 and not Inspection.objects.exists()
    for words in ("Wall left, tube: “abc” is no length", "is not a whole number of nanometres",
                  "is more than the whole", "write it as a name and a day", "what the photo shows",
                  "pin.png is kept", 'value="abc"', 'value="1/3"'):
        assert words in page, words
    kept = re.search(r'name="seen-0-kept" value="([^"]+)"', page)[1]
    more = {"seen-0": "scratched", "seen-0-where": "pin", "seen-0-kept": kept}
    assert desk.post(at(joint), typed(inspector, **more)).status_code == 302
    assert Inspection.objects.get().findings.get().photo.typed_name == "pin.png"


def test_a_crack_as_found_is_held_and_an_end_is_kept_as_found_and_after(desk, joint, inspector):
    more = {"pin-crack": "1", "box_found": "reface", "box_after": "ok", "box-bench_mark": "yes",
            "box-shoulder-after": "15/32"}  # fmt: skip
    assert desk.post(at(joint), typed(inspector, **more)).status_code == 302
    row = Inspection.objects.get()
    assert (row.class_held, row.box_found, row.box_after, row.repaired) == ("Scrap", "reface", "ok", True)
    assert row.readings.get(stage="after").nm == nm("15/32")
    assert Component.objects.get().holds_n == 1


@pytest.mark.parametrize("name, data", [
    ("report.pdf", b"MZ\x90\x00 a program"), ("report.csv", b"<html>a,b</html>"),
    ("report.xlsx", b"PK\x03\x04"), ("report.pdf", b""), ("big.pdf", b"%PDF-" + b" " * MOST_BYTES),
], ids=["program", "page", "no workbook", "empty", "too large"])  # fmt: skip
def test_a_report_that_is_none_is_refused_and_the_rest_stays(desk, joint, inspector, name, data):
    answer = desk.post(at(joint), typed(inspector, report=SimpleUploadedFile(name, data)))
    page = answer.content.decode()
    assert answer.status_code == 422 and not Inspection.objects.exists()
    assert f"{name}: The file" in page and 'value="31/64"' in page


def test_a_report_comes_once_for_a_session_and_can_be_left_off(desk, joint, inspector):
    report = SimpleUploadedFile("NC-12.pdf", b"%PDF-1.7 invented")
    desk.post(at(joint), typed(inspector, report=report))
    page = desk.get(at(joint)).content.decode()
    kept = re.search(r'name="report_kept" value="([^"]+)"', page)[1]
    desk.post(at(joint), typed(inspector, report_kept=kept, reason="again"))
    desk.post(at(joint), typed(inspector, report_kept=kept, without_report="on", reason="again"))
    names = [row.report and row.report.typed_name for row in Inspection.objects.order_by("id")]
    assert names == ["NC-12.pdf", "NC-12.pdf", None]


def test_magnetic_work_on_non_magnetic_steel_is_not_offered(desk, layer, inspector):
    from rack.calc.specs import SpecFacts

    facts = SpecFacts("collar", od_nm=nm("6.5"), up_conn="NC46", up_gender="box", down_conn="NC46",
                      down_gender="pin", facts='{"non_magnetic":true}')  # fmt: skip
    piece = stock.pieces(layer, 1, facts=facts, first=9001)[0]
    page = desk.get(at(piece)).content.decode()
    assert "look-PT" in page and "look-MPI-F" not in page and "Accept" in page


def test_an_inspector_is_on_the_list_once_and_a_renewed_level_is_a_new_row(desk, here, inspector):
    sent = {"name": "R. Vik", "company": "Nordlys Control", "level": "Level III", "valid_to": "2037-01-01"}
    answer = desk.post("/inspectors/", {**sent, "key": str(uuid.uuid4())})
    assert answer.status_code == 422 and "is on the list already" in answer.content.decode()
    assert desk.post(f"/inspectors/{inspector.pk}/end/", {"key": str(uuid.uuid4())}).status_code == 302
    assert desk.post("/inspectors/", {**sent, "key": str(uuid.uuid4())}).status_code == 302
    inspector.refresh_from_db()
    assert inspector.ended_on and "Level III" in desk.get("/inspectors/").content.decode()
