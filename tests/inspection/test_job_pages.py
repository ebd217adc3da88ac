"""The pages and papers of jobs: booked from what falls due, walked by list, filled, closed, printed."""

import io
import uuid
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from inspection.actions.found import Found, Head, Read
from inspection.actions.jobs import JobHead, open_job
from inspection.actions.recording import record
from inspection.calc.readings import Look, Reading
from inspection.models import Job
from rack.models import Component
from tests import stock
from tests.inspection.pieces import LOOKS, good, nm, pipe
from tests.rack.paper.test_black import drawing, in_colour

FULL = (*LOOKS, Look("ODG", "nothing to reject"), Look("UTW", "nothing to reject"))


@pytest.fixture
def joints(layer):
    made = stock.pieces(layer, 3, facts=pipe())
    Component.objects.filter(pk__in=[made[0].pk, made[1].pk]).update(
        due_on=timezone.localdate() + timedelta(days=3), due_why="365 days since a full inspection"
    )
    return made


@pytest.fixture
def desk(client, ola):
    client.force_login(ola, backend="django.contrib.auth.backends.ModelBackend")
    return client


def words(pdf: bytes) -> str:
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    return " ".join(text.split())


def test_what_falls_due_is_proposed_and_booked_and_the_typed_with_it(desk, joints):
    page = desk.get(reverse("job_new"))
    shown = page.content.decode()
    assert "KD4101" in shown and "KD4102" in shown and "KD4103" not in shown
    answer = desk.post(reverse("job_new"), {
        "key": str(uuid.uuid4()), "on": "2026-12-03", "scope": "full", "company": "Nordlys Control",
        "piece": [joints[0].tag, joints[1].tag], "names": "KD4103",
    })  # fmt: skip
    job = Job.objects.get()
    assert answer.status_code == 302 and answer["Location"] == reverse("job", args=[job.number])
    assert job.pieces.count() == 3
    assert "KD4101" not in desk.get(reverse("job_new")).content.decode().split("<h2>Falls due</h2>")[1]


def test_a_name_that_is_no_piece_keeps_everything_that_was_typed(desk, joints):
    answer = desk.post(reverse("job_new"), {
        "key": str(uuid.uuid4()), "on": "2026-12-03", "scope": "full", "where": "shed 2", "names": "KD9999",
        "piece": [joints[0].tag],
    })  # fmt: skip
    text = answer.content.decode()
    assert answer.status_code == 422 and "KD9999" in text and "shed 2" in text
    assert Job.objects.count() == 0


def test_the_papers_of_a_job_say_what_they_are(desk, here, ola, inspector, joints):
    job = open_job(stock.asks(ola), here, JobHead(date(2026, 12, 3), "full", "Nordlys Control"), joints)
    thin = [Read(one) for one in good(wall=Reading("wall", nm=nm("0.270")))]
    head = Head(joints[0].received_on, "full", inspector=inspector, job=job)
    [row] = record(stock.asks(ola), here, head, [Found(joints[0], FULL, tuple(thin), "Premium")], reason="x")
    picks = words(desk.get(reverse("job_picks", args=[job.number])).content)
    assert "KD4101" in picks and "Remarks" in picks and joints[0].tag in picks
    whole = words(desk.get(reverse("job_record", args=[job.number])).content)
    assert "Not a certificate" in whole and "1 Class 2" in whole and "waits for the inspector" in whole
    sheet = desk.get(reverse("inspection_record", args=[row.pk])).content
    assert in_colour(drawing(sheet)) == [], "a record sheet is copied in black like every paper"
    one = words(sheet)
    assert "Not a certificate" in one and "0.270 in" in one and "Class 2" in one and "R. Vik" in one


def test_what_fell_is_listed_with_the_check_that_made_it(desk, here, ola, inspector, joints):
    head = Head(joints[0].received_on, "full", inspector=inspector)
    sound = tuple(Read(one) for one in good())
    record(stock.asks(ola), here, head, [Found(joints[0], FULL, sound, "Premium")], reason="x")
    thin = tuple(Read(one) for one in good(wall=Reading("wall", nm=nm("0.270"))))
    record(stock.asks(ola), here, head, [Found(joints[0], FULL, thin, "Premium")], reason="x")
    text = desk.get(reverse("due_fallen")).content.decode()
    assert "KD4101" in text and "Class 2" in text and "0.270" in text
    assert "KD4102" not in text
    assert "KD4101" in words(desk.get(reverse("due_fallen_pdf")).content)


def test_a_tag_bears_the_class_of_the_inspection_with_its_bands(desk, here, ola, inspector, joints):
    head = Head(joints[0].received_on, "full", inspector=inspector)
    sound = tuple(Read(one) for one in good())
    record(stock.asks(ola), here, head, [Found(joints[0], FULL, sound, "Premium")], reason="x")
    text = words(desk.get(f"/tags.pdf?piece={joints[0].tag}&start=1&list_class=shown&copies=1").content)
    assert f"As of the inspection of {head.on}" in text and "two white bands" in text
