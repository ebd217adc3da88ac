"""The pages of runs: a tour typed in quarters of an hour, pasted or as a file; what was typed is kept."""

import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from rack.models import Event, EventPiece, Leg, Run
from rack.models.earned import earned_in
from tests import rig as made
from tests import stock

pytestmark = pytest.mark.django_db
TOUR = {
    "from-0": "17:00", "to-0": "19:15", "from_depth-0": "4500", "to_depth-0": "4,530.50",
    "rotating-0": "2 1/4", "sliding-0": "0", "circulating-0": "2:15", "bottom-0": "2.25",
    "below_rotary-0": "2.25", "rpm-0": "120",
    "from-1": "19:15", "to-1": "24:00", "rotating-1": "0", "sliding-1": "0", "circulating-1": "",
}  # fmt: skip
PASTED = (
    "From\tTo\tFrom depth\tTo depth\tRotating\tSliding\tCirculating\tOn bottom\tBelow rotary\n"
    "17:00\t19:00\t4500\t4530\t2\t0\t2\t2\t2\n"
)


@pytest.fixture
def rig(db):
    return made.build()


@pytest.fixture
def crew(rig):
    client = Client()
    client.force_login(rig.who["crew"], backend="django.contrib.auth.backends.ModelBackend")
    return client


def send(client, rig, what, n=1, **body):
    at = f"/runs/{rig.runs[n].pk}/do/{what}/"
    return client.post(at, {"key": str(uuid.uuid4()), "day": "2026-03-02", **body}, follow=True)


def problems(answer) -> str:
    return answer.content.decode()


def test_a_tour_is_typed_with_the_keyboard_and_shared_out(rig, crew):
    before = Leg.objects.count()
    answer = send(crew, rig, "lines", **TOUR, reason="as the sheet has it")
    assert answer.status_code == 200, answer.context["problems"]
    first, second = Leg.objects.order_by("-id")[:2][::-1]
    assert Leg.objects.count() == before + 2
    assert (first.rotating_s, first.to_nm, first.rpm) == (8100, stock.feet("4530.50"), 120)
    assert (second.rotating_s, second.circulating_s) == (0, None)
    assert f"{second.to_at.astimezone(rig.site.zone):%Y-%m-%d %H:%M}" == "2026-03-03 00:00"
    assert "shared out" in problems(answer)


@pytest.mark.parametrize("way", ["pasted", "table"])
def test_lines_are_pasted_or_sent_as_a_file(rig, crew, way):
    csv = SimpleUploadedFile("tour.csv", PASTED.replace("\t", ";").encode(), "text/csv")
    given = {"pasted": PASTED} if way == "pasted" else {"table": csv}
    answer = send(crew, rig, "lines", **given, reason="as the sheet has it")
    assert answer.status_code == 200, answer.context["problems"]
    assert Leg.objects.order_by("-id")[0].rotating_s == 7200


@pytest.mark.parametrize(("cells", "words"), [
    ({"rotating-0": "half"}, "no time in hours"),
    ({"to-0": "25:00"}, "no time of day"),
    ({"from_depth-0": "deep"}, "deep"),
    ({"from-0": "13:00"}, "overlap"),
    ({"rotating-0": "9"}, "lasts"),
    ({"day": "someday"}, "Write the day"),
])  # fmt: skip
def test_what_cannot_be_read_is_said_and_what_was_typed_is_kept(rig, crew, cells, words):
    before = Leg.objects.count()
    answer = send(crew, rig, "lines", **{**TOUR, **cells}, reason="as the sheet has it")
    assert answer.status_code == 422
    assert words in problems(answer)
    assert 'value="2:15"' in problems(answer)
    assert Leg.objects.count() == before


@pytest.mark.parametrize(("data", "words"), [
    (b"PK\x03\x04 a workbook", "save it as CSV"), (b"From,To\n" + b"x" * 200_001, "are read at once"),
    (b"nothing of the kind", "No headings"),
])  # fmt: skip
def test_a_file_that_is_no_csv_or_would_be_cut_short_is_refused(rig, crew, data, words):
    before = Leg.objects.count()
    answer = send(crew, rig, "lines", table=SimpleUploadedFile("tour.csv", data))
    assert answer.status_code == 422
    assert words in problems(answer)
    assert Leg.objects.count() == before


def test_an_empty_grid_is_no_tour(rig, crew):
    answer = send(crew, rig, "lines")
    assert answer.status_code == 422
    assert "no line" in problems(answer)


def test_the_page_prints_the_policy_beside_the_hours_and_an_unknown_part_as_at_least(rig, crew):
    page = crew.get(f"/runs/{rig.runs[0].pk}/").content.decode()
    assert "credited the whole run, the safe side" in page
    assert page.count("at least 6.00") == 1 + 1  # the run's own, and that of the pieces, alike in one line
    assert "PR, penetration rate" in page
    assert "Overpull, 40000 lbf" in page


def test_pieces_that_earned_the_same_stand_in_one_line_and_each_is_named(rig, crew):
    answer = crew.get(f"/runs/{rig.runs[0].pk}/")
    named = [name for *_, pieces in answer.context["earned"] for _, name in pieces]
    rows = earned_in(rig.runs[0])
    assert sorted(named) == sorted(row.name for row in rows)
    assert len(answer.context["earned"]) < len(named)
    assert all(f'href="/piece/{row.tag}/"' in problems(answer) for row in rows)


def test_the_page_of_a_piece_has_its_clocks(rig, crew):
    piece = EventPiece.objects.order_by("seq")[0].component
    page = crew.get(f"/piece/{piece.tag}/").content.decode()
    assert "since new" in page
    assert "at least" in page
    assert "Overpull" in page


def test_an_event_of_named_pieces_is_theirs_alone_and_a_wrong_name_is_said(rig, crew):
    assert "called nothing" in problems(send(crew, rig, "event", kind="dropped", names="nothing"))
    answer = send(crew, rig, "event", kind="dropped", names="KD6501", note="off the slips")
    assert answer.status_code == 200
    assert [str(row.component) for row in Event.objects.order_by("-id")[0].pieces.all()] == ["KD6501"]


def test_a_run_is_ended_with_its_dull_grade_and_taken_up_again(rig, crew):
    body = {"out_at": "2026-03-02T20:00", "dull": "1-2-WT-A-X-I-NO-TD", "bit_type": "fixed cutter",
            "reason_pulled": "TD", "out_depth": "4500"}  # fmt: skip
    answer = send(crew, rig, "end", **body)
    assert answer.status_code == 200, answer.context["problems"]
    one = Run.objects.get(pk=rig.runs[1].pk)
    assert (one.dull, one.reason_pulled, one.out_nm) == ("1-2-WT-A-X-I-NO-TD", "TD", stock.feet("4500"))
    assert send(crew, rig, "end-back", reason="the bit went in again").status_code == 200
    assert Run.objects.get(pk=one.pk).ended_by is None


def test_hours_leave_as_csv_with_the_policy_of_each_piece(rig, crew):
    text = crew.get(f"/runs/{rig.runs[1].pk}/hours.csv").content.decode()
    assert "Credited,Rotating h,Rotating s" in text
    assert "KD6501" in text and "whole run" in text


def test_what_is_no_deed_of_a_run_is_not_found(rig, crew):
    assert send(crew, rig, "dance").status_code == 404
    assert send(crew, rig, "line-back", row=10**14, reason="x").status_code == 404


def test_an_end_without_its_time_is_asked_about_and_taken_with_a_reason(rig, crew):
    assert "When it came out is not known" in problems(send(crew, rig, "end", bit_type="roller cone"))
    answer = send(crew, rig, "end", reason="nobody noted it", bit_type="roller cone")
    assert answer.status_code == 200, (answer.context["problems"], answer.context["end_form"].errors)
