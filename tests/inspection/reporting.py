"""What tests of the page of a report do again and again: choose a file, read the page, send a form."""

import io
import uuid

from django.urls import reverse

from tests.inspection.reports import as_csv, foot_for, lot


def choose(desk, data, name="report.csv"):
    """Choose a file; the address of its preview, or the answer that refused it."""
    file = io.BytesIO(data)
    file.name = name
    answer = desk.post(reverse("inspect_report"), {"key": str(uuid.uuid4()), "file": file})
    return answer["Location"] if answer.status_code == 302 else answer


def page(desk, at):
    return " ".join(desk.get(at).content.decode().split())


def send(desk, at, what="", key=None, **more):
    return desk.post(at, {"key": key or str(uuid.uuid4()), "what": what, **more})


def whole(**damaged):
    rows = lot(12, **damaged)
    return as_csv(rows, foot=foot_for(rows))
