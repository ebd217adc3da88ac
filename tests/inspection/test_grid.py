"""The grid: which pieces, the head once, batches that are stored once, rows that stay with their sentence."""

import json
import re
import time
import uuid
from datetime import date

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from inspection.actions.jobs import JobHead, open_job
from inspection.calc.criteria import scheme
from inspection.calc.grid import columns_for, read_row
from inspection.models import Inspection
from rack.models import Component, Consent, Journal
from tests import stock
from tests.inspection.pieces import pipe

METHODS = ["VT-T", "VT-C", "ODG", "UTW", "EMI", "MPI-F", "DIM2"]
GOOD = {"tube-wall": "0.340", "tube-od": "4.960", "box-od": "6 1/2", "box-shoulder": "31/64",
        "box_found": "ok", "pin_found": "ok", "given": "Premium"}  # fmt: skip


@pytest.fixture
def joints(layer):
    made = stock.pieces(layer, 30, facts=pipe())
    Component.objects.update(received_on=date(2026, 1, 2))
    return made


@pytest.fixture
def desk(ola):
    found = Client()
    found.force_login(ola, backend="django.contrib.auth.backends.ModelBackend")
    return found


def head(layer, by, **more: object) -> dict[str, object]:
    return {"way": "layer", "layer": layer.pk, "on": "2026-11-20", "scope": "full", "unit": "in",
            "inspector": by.pk, "company": "Nordlys Control", "methods": METHODS, **more}  # fmt: skip


def begin(desk, layer, by, **more: object) -> dict[str, str]:
    """Begin a sheet and return what its page hands to the script."""
    answer = desk.post("/inspect/grid/", head(layer, by, **more))
    assert answer.status_code == 302, answer.content.decode()[:3000]
    page = desk.get(answer.headers["Location"]).content.decode()
    return json.loads(re.search(r'id="grid-data" type="application/json">(.*?)</script>', page)[1])


def batch(rows: list[dict[str, str]], reason: str = "") -> dict[str, object]:
    return {"key": str(uuid.uuid4()), "reason": reason, "rows": rows}


def save(desk, data, *batches, status: int = 200) -> list[dict[str, object]]:
    sent = {"token": data["token"], "batches": list(batches)}
    answer = desk.post("/inspect/grid/save/", json.dumps(sent), content_type="application/json")
    assert answer.status_code == status, answer.content[:500]
    if status != 200:
        return answer.json()
    return [row for one in answer.json()["batches"] for row in one["rows"]]


def test_a_batch_is_stored_and_each_row_says_what_it_came_to(desk, layer, joints, inspector):
    data = begin(desk, layer, inspector)
    thin = {**GOOD, "tube-wall": "0,270"}
    sent = batch([{"tag": joints[0].tag, **GOOD}, {"tag": joints[1].tag, **thin}])
    first, second = save(desk, data, sent)
    assert (first["status"], first["class"], first["says"]) == ("stored", "Premium", [])
    assert second["class"] == "Class 2" and "Given Premium" in second["says"][0]
    row = Inspection.objects.get(component=joints[0])
    assert row.methods.count() == len(METHODS) and row.readings.get(what="shoulder").typed == "31/64 in"
    assert Component.objects.get(pk=joints[1].pk).pipe_class == "Class 2"


def test_one_bad_row_stays_with_every_sentence_and_the_others_are_stored(desk, layer, joints, inspector):
    data = begin(desk, layer, inspector)
    bad = {**GOOD, "tube-wall": "abc", "box-od": "1/3", "given": "gold", "pin_found": "zz", "crack": "roof",
           "left": "XYZ", "remarks": "x" * 301}  # fmt: skip
    rows = [{"tag": one.tag, **(bad if n == 1 else GOOD)} for n, one in enumerate(joints[:3])]
    answers = save(desk, data, batch(rows))
    assert [one["status"] for one in answers] == ["stored", "refused", "stored"]
    said = " ".join(problem["text"] for problem in answers[1]["problems"])
    for words in ("“abc” is no length", "whole number of nanometres", "“gold” is no class",
                  "“zz” is no state", "“roof” is no part", "“XYZ” is no method", "under 300 letters"):
        assert words in said
    assert Inspection.objects.count() == 2


def test_a_lost_answer_and_a_repeat_store_once(desk, layer, joints, inspector):
    data = begin(desk, layer, inspector)
    asked = {**GOOD, "paint": "1 yellow"}
    rows = [{"tag": joints[0].tag, **GOOD}, {"tag": joints[1].tag, **asked}]
    one = batch(rows)
    first = save(desk, data, one)
    lines = Journal.objects.count()
    assert save(desk, data, one) == first, "the same answer again"
    assert Inspection.objects.count() == 1 and Journal.objects.count() == lines
    other = {**one, "rows": [{"tag": joints[0].tag, **GOOD, "tube-wall": "0.2"}]}
    [answer] = save(desk, data, other)
    assert answer["status"] == "refused" and "other figures" in answer["problems"][0]["text"]
    late = {**one, "rows": [{"tag": joints[2].tag, **GOOD}]}
    assert "came after the batch" in save(desk, data, late)[0]["problems"][-1]["text"]
    assert Inspection.objects.count() == 1


def test_what_asks_goes_on_with_a_reason_of_its_own(desk, layer, joints, inspector):
    data = begin(desk, layer, inspector)
    row = {"tag": joints[0].tag, **GOOD, "paint": "1 yellow"}
    [answer] = save(desk, data, batch([row]))
    [problem] = answer["problems"]
    assert answer["status"] == "refused" and problem["severity"] == "ASKS"
    assert "measured 1 yellow" in problem["behind"] and "limit 2 white" in problem["behind"]
    [answer] = save(desk, data, batch([row], "painted over today"))
    assert answer["status"] == "stored"
    assert Consent.objects.get().reason == "painted over today"


def test_the_head_is_asked_once_and_its_reason_goes_with_every_row(desk, layer, joints, inspector):
    more = {"inspector": "", "equipment": "UT-7; 2026-11-01"}
    answer = desk.post("/inspect/grid/", head(layer, inspector, **more))
    page = answer.content.decode()
    assert answer.status_code == 422 and "No inspector is named" in page and "calibration ran out" in page
    data = begin(desk, layer, inspector, reason="the company's word by phone", **more)
    assert save(desk, data, batch([{"tag": joints[0].tag, **GOOD}]))[0]["status"] == "stored"
    assert set(Consent.objects.values_list("check_code", flat=True)) == {"inspector", "calibration"}
    assert set(Consent.objects.values_list("reason", flat=True)) == {"the company's word by phone"}


def test_cracks_repairs_and_methods_left_out_are_read_from_their_columns(desk, layer, joints, inspector):
    data = begin(desk, layer, inspector)
    cracked = {**GOOD, "crack": "pin", "pin_found": "dbr"}
    left = {**GOOD, "left": "emi", "indication": ""}
    cut = {**GOOD, "box_found": "rf", "box_after": "ok"}
    rows = [{"tag": one.tag, **cells} for one, cells in zip(joints, (cracked, left, cut), strict=False)]
    answers = save(desk, data, batch(rows, "no bench mark is left"))
    assert [one["status"] for one in answers] == ["stored"] * 3
    assert answers[0]["class"] == "Scrap" and answers[0]["says"][-1].startswith("Held:")
    assert Inspection.objects.get(component=joints[1]).methods.get(method="EMI").result == ""
    assert Inspection.objects.get(component=joints[2]).box_after == "ok"


def test_two_hundred_joints_are_stored_in_time(desk, layer, inspector):
    made = stock.pieces(layer, 200, facts=pipe(), first=7001)
    Component.objects.update(received_on=date(2026, 1, 2))
    data = begin(desk, layer, inspector)
    rows = [{"tag": one.tag, **GOOD} for one in made]
    began = time.monotonic()
    for at in range(0, 200, 25):
        save(desk, data, batch(rows[at : at + 25]))
    took = time.monotonic() - began
    assert Inspection.objects.count() == 200
    assert took < 20, "two cores may be busy; the bench names the true limit"


def test_the_sheet_comes_back_from_the_browser_and_shows_what_was_stored(desk, layer, joints, inspector, ola):
    data = begin(desk, layer, inspector)
    save(desk, data, batch([{"tag": joints[0].tag, **GOOD}]))
    desk.logout()
    desk.force_login(ola, backend="django.contrib.auth.backends.ModelBackend")
    assert desk.get(f"/inspect/grid/?sheet={data['sheet']}").status_code == 404
    answer = desk.post("/inspect/grid/", {"token": data["token"]})
    page = desk.get(answer.headers["Location"]).content.decode()
    assert 'data-stored="Premium holds"' in page
    assert desk.post("/inspect/grid/", {"token": data["token"] + "x"}).status_code == 404


def test_the_ways_to_choose(desk, layer, joints, inspector, here):
    page = desk.get("/inspect/grid/", {"way": "names", "names": f"KD4101, {joints[1].tag}\nKD4103"})
    assert "3 pieces" in page.content.decode()
    page = desk.get("/inspect/grid/", {"way": "names", "names": "KD4101; nobody; KD4101"}).content.decode()
    assert "No piece there is called nobody" in page and "named twice" in page
    stock.pieces(layer, 1, facts=stock.JAR, first=8001)
    page = desk.get("/inspect/grid/", {"way": "layer", "layer": layer.pk}).content.decode()
    assert "They are of several kinds: 30 drill pipe, 1 jar" in page
    page = desk.get("/inspect/grid/", {"way": "layer", "layer": layer.pk, "kind": "jar"}).content.decode()
    assert "1 piece" in page and "Show them" in page
    assert "Choose the string" in desk.get("/inspect/grid/", {"way": "string"}).content.decode()


def test_a_job_leads_to_its_grid_and_is_ticked_off_by_it(desk, layer, joints, inspector, here, ola):
    job = open_job(stock.asks(ola), here, JobHead(date(2026, 11, 20), "tube", "Nordlys Control"), joints[:3])
    page = desk.get(f"/inspect/grid/?job={job.number}").content.decode()
    assert "3 pieces" in page and 'value="tube" selected' in page and f'value="{job.pk}" selected' in page
    data = begin(desk, layer, inspector, way="job", of_job=job.pk, job=job.pk, scope="tube")
    [answer] = save(desk, data, batch([{"tag": joints[0].tag, "tube-wall": "0.340", "given": "premium"}]))
    assert answer["status"] == "stored"
    assert job.pieces.get(component=joints[0]).inspection_id
    assert "2 pieces" in desk.get(f"/inspect/grid/?job={job.number}").content.decode()
    assert "Which pieces" in desk.get("/inspect/grid/?job=²").content.decode()


def test_a_report_that_is_no_report_keeps_the_head(desk, layer, joints, inspector):
    program = SimpleUploadedFile("list.pdf", b"MZ a program")
    answer = desk.post("/inspect/grid/", head(layer, inspector, report=program, report_no="NC-44"))
    page = answer.content.decode()
    assert answer.status_code == 422 and "list.pdf: The file must be" in page and "NC-44" in page


@pytest.mark.parametrize("body", [
    b"", b"[]", b"{}", b"null", b'{"token": 1, "batches": []}', b'{"token": "x", "batches": [{}]}',
    b'{"token": "x", "batches": [{"key": "no", "rows": [{"tag": "A"}]}]}', b"\xff\xfe",
])  # fmt: skip
def test_what_is_no_batch_is_refused_in_a_sentence(desk, body):
    answer = desk.post("/inspect/grid/save/", body, content_type="application/json")
    assert answer.status_code in (400, 404) and answer.json()["refused"]


def test_a_sheet_of_somebody_else_and_a_piece_of_elsewhere_are_refused(desk, layer, joints, inspector, here):
    data = begin(desk, layer, inspector)
    other = Client()
    other.force_login(stock.person("sue", "supervisor", here),
                      backend="django.contrib.auth.backends.ModelBackend")  # fmt: skip
    assert "begun by somebody else" in save(other, data, batch([{"tag": "A"}]), status=403)["refused"]
    away = stock.pieces(stock.rack(stock.site("KV1"), "K1"), 1, first=9901)[0]
    [answer] = save(desk, data, batch([{"tag": away.tag, **GOOD}]))
    assert answer["status"] == "refused" and "not on the sheet" in answer["problems"][0]["text"]
    assert not Inspection.objects.exists()


def test_columns_follow_kind_and_scope():
    names = [column.name for column in columns_for(pipe(), "full", "api_rp7g2_2009")]
    assert names[:5] == ["tube-wall", "tube-od", "box-od", "box-shoulder", "pin-od"]
    assert {"box_found", "pin_after", "given", "crack", "left"} <= set(names)
    tube = {column.name for column in columns_for(pipe(), "tube", "api_rp7g2_2009")}
    assert "tube-wall" in tube and "box-shoulder" not in tube
    casing = [column.name for column in columns_for(stock.CASING, "full", "api_rp5c1")]
    assert "body-wall" in casing and "box-shoulder" not in casing


@pytest.mark.parametrize("typed, name", [("premium", "Premium"), ("p", "Premium"), ("2", "Class 2"),
                                         ("class 3", "Class 3"), ("SCRAP", "Scrap")])  # fmt: skip
def test_a_class_is_typed_short_where_it_means_one(typed, name):
    one = scheme("api_rp7g2_2009")
    columns = columns_for(pipe(), "full", one.code)
    assert read_row({"given": typed}, columns, (), one, "in").given == name
    assert read_row({"given": "c"}, columns, (), one, "in").wrong, "c may be any of them"
