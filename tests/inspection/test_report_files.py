"""Which files the page of a report takes, and what it says of the others."""

import io
from datetime import date

import openpyxl
import pytest

from inspection.models import Inspection, Inspector, RememberedReport
from rack.models import Component, Journal
from tests import stock
from tests.inspection.pieces import pipe
from tests.inspection.reporting import choose, page, send
from tests.inspection.reports import HEAD, HEADINGS, as_csv, lot


@pytest.fixture
def joints(layer):
    made = stock.pieces(layer, 12, facts=pipe(), first=4201)
    Component.objects.filter(pk__in=[one.pk for one in made]).update(received_on=date(2026, 1, 5))
    return made


@pytest.fixture
def desk(client, ola):
    client.force_login(ola, backend="django.contrib.auth.backends.ModelBackend")
    return client


@pytest.mark.parametrize("data, name, words", [
    (b"", "report.csv", "report.csv is empty"),
    (b"%PDF-1.7 ...", "report.csv", "a PDF"),
    (b"\x89PNG\r\n\x1a\n", "report.xlsx", "a picture"),
    (b"MZ\x00\x01\x02" * 50, "report.csv", "not text"),
    (b"Serial,Length\nA1,31.2\n", "list.csv", "no inspection report in it"),
    (b"PK\x03\x04 cut short", "report.xlsx", ""),
])  # fmt: skip
def test_what_is_no_report_is_refused_in_a_sentence(desk, joints, data, name, words):
    answer = choose(desk, data, name)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not Journal.objects.filter(verb="accept report").exists()


def test_a_file_over_20_mb_is_refused_with_its_size(desk, joints):
    answer = choose(desk, b"x" * (20 * 1024 * 1024 + 1))
    assert answer.status_code == 422
    assert "The file has 21 MB; up to 20 MB are read." in answer.content.decode()


def test_names_in_another_alphabet_stay_as_they_are(desk, joints):
    head = [["СЕВЕРНАЯ ДЕФЕКТОСКОПИЯ", *HEAD[0][1:]], *HEAD[1:]]
    head = [[text.replace("A. Berg", "А. Иванов") for text in row] for row in head]
    at = choose(desk, as_csv(lot(12, n5={"remarks": "осмотрено"}), head=head), "отчёт.csv")
    assert "СЕВЕРНАЯ ДЕФЕКТОСКОПИЯ" in page(desk, at) and "отчёт.csv" in page(desk, at)
    send(desk, at, "accept")
    assert Inspection.objects.get(component__serial="KD4205").remarks.startswith("осмотрено")
    assert Inspector.objects.filter(name="А. Иванов").exists()
    assert RememberedReport.objects.count() == 1


def test_a_formula_without_its_value_is_asked_and_not_recorded_as_a_reading(desk, joints):
    book = openpyxl.Workbook()
    rows = lot(12, n5={"wall": "=A1*2", "rem": ""})
    for cells in [*HEAD, [], HEADINGS, *([*one.values()] for one in rows)]:
        book.active.append(cells)
    out = io.BytesIO()
    book.save(out)
    shown = page(desk, choose(desk, out.getvalue(), "report.xlsx"))
    assert "Joint 5" in shown and ("formula" in shown or "no wall was read" in shown)
