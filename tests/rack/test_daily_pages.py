"""A daily report becomes time lines of a run: shown first, changed by hand, accepted whole or not at all."""

import hashlib
import io
import json
import uuid
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from openpyxl import Workbook

from rack.actions import daily as actions
from rack.actions.files import bytes_of
from rack.calc.hours import Amount
from rack.errors import AlreadyUsed
from rack.models import DailyReport, Hours, Journal, Leg
from tests import rig as made
from tests import stock

pytestmark = pytest.mark.django_db
HEADS = ("Date", "From", "To", "Depth ft", "Activity", "Remark")
ROWS = [
    ("2026-03-02", "15:00", "17:00", "4500", "drilling -- drill", "Drilled to 4500 ft."),
    ("2026-03-02", "17:00", "19:30", "4560", "drilling -- drill", "Drilled from 4500 ft to 4560 ft."),
    ("2026-03-02", "19:30", "20:00", "4560", "drilling -- drill", "Circulated bottoms up at 450 gpm."),
    ("2026-03-02", "20:00", "24:00", "1200", "drilling -- drill", "POOH to 1200 ft."),
]


def csv_of(rows=ROWS, heads=HEADS, sign=";") -> bytes:
    return "\r\n".join(sign.join(row) for row in [heads, *rows]).encode()


def xlsx_of(rows=ROWS) -> bytes:
    book = Workbook()
    for row in [HEADS, *rows]:
        book.active.append(list(row))
    sink = io.BytesIO()
    book.save(sink)
    return sink.getvalue()


@pytest.fixture
def rig(db):
    return made.build()


@pytest.fixture
def crew(rig):
    client = Client()
    client.force_login(rig.who["crew"], backend="django.contrib.auth.backends.ModelBackend")
    return client


def hand_in(client, rig, data=None, name="tern.csv", n=1, **body):
    given = {"file": SimpleUploadedFile(name, data)} if data is not None else {}
    at = f"/runs/{rig.runs[n].pk}/report/"
    return client.post(at, {"key": str(uuid.uuid4()), **given, **body}, follow=True)


def say(client, page, what, **body):
    sent = {"key": str(uuid.uuid4()), "what": what, **body}
    return client.post(page.request["PATH_INFO"], sent, follow=True)


def fates(page) -> dict[int, tuple[str, str]]:
    return {row.row.n: (row.kind, row.why_left) for row in page.context["taken"].rows}


@pytest.mark.parametrize("way", ["csv", "xlsx", "json", "pasted", "pasted with tabs"])
def test_a_report_is_read_however_it_is_handed_in(rig, crew, way):
    named = dict(zip(("date", "from", "to", "depth_ft", "activity", "remark"), ROWS[1], strict=True))
    page = {
        "csv": lambda: hand_in(crew, rig, csv_of()),
        "xlsx": lambda: hand_in(crew, rig, xlsx_of(), "tern.xlsx"),
        "json": lambda: hand_in(crew, rig, json.dumps([named]).encode(), "tern.json"),
        "pasted": lambda: hand_in(crew, rig, pasted=csv_of().decode()),
        "pasted with tabs": lambda: hand_in(crew, rig, pasted=csv_of(sign="\t").decode()),
    }[way]()
    assert page.status_code == 200, page.context["form"].errors
    taken = page.context["taken"]
    assert taken.total("rotating_s") == Amount(9000)
    assert taken.taken[0].leg.to_nm == stock.feet("4560")


def test_each_row_says_what_it_is_proposed_as_and_why(rig, crew):
    page = hand_in(crew, rig, csv_of())
    n = {row.row.remark[:7]: row.row.n for row in page.context["taken"].rows}
    found = fates(page)
    assert found[n["Drilled"]] == ("rotating", "")
    assert found[n["Circula"]] == ("circulating", "")
    assert found[n["POOH to"]] == ("nothing", "")
    text = page.content.decode()
    assert "Rotation not counted: tripping is not rotation, whatever its code." in text
    assert "is coded “drilling -- drill”, its words say tripping: no rotation is counted." in text
    whole = crew.get(page.request["PATH_INFO"] + "?show=all").content.decode()
    assert "its time stands in a line of this run already" in whole  # 15:00 to 17:00 was typed before


def test_the_preview_writes_nothing(rig, crew):
    before = Journal.objects.count(), Leg.objects.count(), Hours.objects.count()
    page = hand_in(crew, rig, csv_of())
    say(crew, page, "toggle", row="3")
    say(crew, page, "row", row="3", date="2026-03-02", **{"from": "17:00", "to": "19:30", "rotating": "2"})
    assert (Journal.objects.count(), Leg.objects.count(), Hours.objects.count()) == before


def test_accepting_writes_the_lines_shares_them_and_keeps_the_file(rig, crew):
    page = hand_in(crew, rig, csv_of())
    answer = say(crew, page, "accept", reason="as the report has it")
    assert answer.status_code == 200, answer.context["refused"]
    report = DailyReport.objects.get()
    lines = list(Leg.objects.filter(journal=report.journal).order_by("seq"))
    assert [line.rotating_s for line in lines] == [9000, 0, 0]
    assert f"{lines[-1].to_at.astimezone(rig.site.zone):%Y-%m-%d %H:%M}" == "2026-03-03 00:00"
    assert report.file.sha256 == hashlib.sha256(csv_of()).hexdigest()
    assert bytes_of(report.file.sha256) == csv_of()
    earned = Hours.objects.filter(leg=lines[0], clock="rotating_s").values_list("amount", flat=True)
    assert set(earned) == {9000}
    before = crew.get(f"/runs/{rig.runs[1].pk}/report/").content.decode()
    assert "3 of 4 rows taken, rotating 2.50 h" in before


def test_the_same_key_twice_writes_once_and_the_same_report_again_has_nothing_left(rig, crew):
    page, key = hand_in(crew, rig, csv_of()), str(uuid.uuid4())
    for _ in range(2):
        say(crew, page, "accept", reason="as the report has it", key=key)
    assert DailyReport.objects.count() == 1
    assert Leg.objects.filter(journal__key=key).count() == 3
    again = hand_in(crew, rig, csv_of())
    assert again.context["taken"].taken == ()
    assert say(crew, again, "accept", reason="once more").status_code == 422
    assert DailyReport.objects.count() == 1


def test_the_same_key_for_other_rows_is_refused(rig, crew):
    read, run = made.report_digest(), rig.runs[1]
    page = hand_in(crew, rig, csv_of())
    taken, asked = page.context["taken"], stock.asks(rig.who["crew"])
    file = actions.ReportFile(page.context["waiting"].digest, "tern.csv")
    first = actions.accept_report(asked, run, file, taken, "as read")
    assert actions.accept_report(asked, run, file, taken, "as read") == first
    with pytest.raises(AlreadyUsed):
        actions.accept_report(asked, run, actions.ReportFile(read, "other.csv"), taken, "as read")


def test_a_question_wants_a_reason_and_nothing_is_half_written(rig, crew):
    reamed = ("2026-03-02", "21:00", "24:00", "1200", "drilling -- ream", "RIH. Reamed tight spots.")
    rows = [*ROWS[1:3], reamed]
    page = hand_in(crew, rig, csv_of(rows))
    text = page.content.decode()
    assert "2026-03-02 does not close" in text
    assert fates(page)[page.context["taken"].rows[-1].row.n][0] == "to be said"
    before = Leg.objects.count()
    refused = say(crew, page, "accept")
    assert refused.status_code == 422
    assert Leg.objects.count() == before
    assert say(crew, page, "accept", reason="told by the driller").status_code == 200
    last = Leg.objects.order_by("-id")[0]
    assert (last.rotating_s, last.below_rotary_s) == (None, 3 * 3600)  # unknown is not zero


def test_a_row_is_changed_left_out_and_put_back(rig, crew):
    page = hand_in(crew, rig, csv_of())
    drilled, circulated, tripped = (row.row.n for row in page.context["taken"].taken)
    page = say(crew, page, "row", row=str(drilled), date="2026-03-02", from_depth="4500", to_depth="4560",
               rotating="2 1/4", sliding="0:15", circulating="2.5", bottom="2.5", below_rotary="", rpm="110",
               **{"from": "17:00", "to": "19:30"})  # fmt: skip
    row = page.context["taken"].taken[0]
    assert (row.leg.rotating_s, row.leg.sliding_s, row.leg.below_rotary_s) == (8100, 900, None)
    assert row.by_hand
    assert row.kind == "rotating and sliding"
    page = say(crew, page, "toggle", row=str(circulated))
    assert fates(page)[circulated][1] == "left out by hand"
    page = say(crew, page, "toggle", row=str(circulated))
    assert fates(page)[circulated][1] == ""
    page = say(crew, page, "as read", row=str(drilled))
    assert page.context["taken"].taken[0].leg.rotating_s == 9000
    assert tripped in fates(page)


@pytest.mark.parametrize(("cells", "words"), [
    ({"rotating": "half"}, "no time in hours"), ({"to": "25:00"}, "no time of day"),
    ({"date": "someday"}, "no date"), ({"from": "", "to": " "}, "neither its beginning nor its end"),
    ({"rpm": '"'}, "Row "), ({"from_depth": "deep"}, "deep"),
])  # fmt: skip
def test_a_cell_that_cannot_be_read_is_said_and_stays_in_its_field(rig, crew, cells, words):
    page = hand_in(crew, rig, csv_of())
    n = page.context["taken"].taken[0].row.n
    typed = {"date": "2026-03-02", "from": "17:00", "to": "19:30", "circulating": "2:15", **cells}
    answer = say(crew, page, "row", row=str(n), **typed)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert f"Row {n}" in answer.content.decode()
    assert 'value="2:15"' in answer.content.decode()
    assert not crew.get(page.request["PATH_INFO"]).context["taken"].choices.changed


@pytest.mark.parametrize(("data", "words"), [
    (b"", "empty"), (b"%PDF-1.7 x", "a PDF"), (b"\x89PNG\r\n\x1a\n...", "a picture"),
    (b"PK\x03\x04 no workbook", "tern.csv"), (b"Serial;Length\r\nKD1;31.2", "no rows of a daily report"),
    (b'{"a": ', "begins like JSON"), (b"\x00\xff\xfe\x01binary", "tern.csv"),
])  # fmt: skip
def test_a_bad_file_is_refused_in_a_sentence(rig, crew, data, words):
    answer = hand_in(crew, rig, data)
    assert answer.status_code == 422
    assert words in str(answer.context["form"].errors)


def test_what_was_pasted_is_kept_when_it_is_no_report(rig, crew):
    answer = hand_in(crew, rig, pasted="nothing of a report\nat all")
    assert answer.status_code == 422
    assert "nothing of a report" in answer.content.decode()
    assert hand_in(crew, rig).status_code == 422


def test_a_report_that_is_not_at_hand_any_more_is_said(rig, crew):
    assert crew.get(f"/runs/{rig.runs[1].pk}/report/{'0' * 64}/").status_code == 404
    page = hand_in(crew, rig, csv_of())
    other = page.request["PATH_INFO"].replace(f"/{rig.runs[1].pk}/", f"/{rig.runs[0].pk}/")
    assert crew.get(other).status_code == 404  # handed in for another run


def test_rows_before_the_run_went_in_are_left_out_and_one_over_it_says_what_to_do(rig, crew):
    rows = [("2026-03-02", "04:00", "12:00", "4380", "drilling -- drill", "Drilled to 4380 ft."),
            ("2026-03-02", "12:00", "14:00", "4380", "drilling -- trip", "RIH."), *ROWS[1:]]  # fmt: skip
    found = list(fates(hand_in(crew, rig, csv_of(rows))).values())
    assert "it is before run 6, bit 5RR1 went in at 2026-03-02 13:00" in found[0][1]
    assert "change its times to take the rest of it" in found[1][1]


def test_the_date_of_the_day_after_and_a_day_that_rows_do_not_name_are_chosen(rig, crew):
    after = [("2026-03-03", *row[1:]) for row in ROWS[1:]]
    page = hand_in(crew, rig, csv_of(after))
    page = say(crew, page, "choices", unit="ft", dated_after="on")
    assert f"{page.context['taken'].legs[0].from_at:%Y-%m-%d %H:%M}" == "2026-03-02 17:00"
    none = hand_in(crew, rig, csv_of([row[1:] for row in ROWS[1:]], HEADS[1:]))
    assert none.context["taken"].taken == ()
    none = say(crew, none, "choices", unit="ft", day="2026-03-02")
    assert len(none.context["taken"].taken) == 3


def test_two_wellbores_of_a_file_are_told_apart(rig, crew):
    rows = [(name, *row) for name in ("Tern A-1", "Tern A-2") for row in ROWS[1:]][:5]
    page = hand_in(crew, rig, csv_of(rows, ("Wellbore", *HEADS)))
    assert {left for _, left in fates(page).values()} == {"", "it is of Tern A-2"}
    page = say(crew, page, "choices", unit="ft", wellbore="Tern A-2")
    assert [row.row.wellbore for row in page.context["taken"].taken] == ["Tern A-2"] * 2


def test_the_invented_report_of_the_fixtures_comes_to_what_its_rules_say(rig, crew):
    file = Path(__file__).parents[2] / "fixtures" / "daily_reports" / "tern_a_12.jsonl"
    page = hand_in(crew, rig, file.read_bytes(), file.name)
    page = say(crew, page, "choices", unit="m", first="2026-02-11")
    assert all("went in" in left for _, left in fates(page).values())  # weeks before this run
    for row in page.context["taken"].rows:
        page = say(crew, page, "toggle", row=str(row.row.n))
    assert page.context["taken"].total("rotating_s") == Amount(int(17.75 * 3600), known=False)
