"""The return note of a rental is filled from its clocks, page, paper and files alike."""

import csv
import io

import pytest
from django.db import transaction
from django.test import Client
from openpyxl import load_workbook
from pypdf import PdfReader

from rack.actions import happenings, running, standing
from rack.actions.doing import Said
from rack.actions.happenings import EventSaid
from rack.actions.journal import open_line
from rack.actions.legs import post_legs
from rack.actions.loads import LoadHead
from rack.actions.runs import RunEnd, end_run
from rack.calc.loadlist import LoadContent
from rack.models import Clock, Component, LoadSheet, Place
from rack.models.hire import hires_of
from tests import runs, stock
from tests.rack.test_audit import audited

pytestmark = pytest.mark.django_db


@pytest.fixture
def site():
    return stock.site()


@pytest.fixture
def ines(site):
    return stock.person("ines", "office", site)


@pytest.fixture
def joints(site, ines):
    """Three joints that ran 6 h and were pulled hard; one that lay on the rack."""
    layer = stock.rack(site)
    made = stock.pieces(layer, 4, lengths=["31.24", "30.97", "31.55", "31.02"])
    string = runs.string(ines, layer)
    runs.join(ines, string, made[:3], -1)
    run = runs.run(ines, string)
    post_legs(stock.asks(ines), run, [runs.leg(0, 6, "4200", "4380")], "as the sheet has it")
    pull = EventSaid("overpull", runs.at(5), None, string, run, None, 40_000, "lbf", "tight hole")
    happenings.record_event(stock.asks(ines), site, pull)
    end_run(stock.asks(ines), run, RunEnd(runs.at(8)), "as the sheet has it")
    place = Place.objects.get(site=site, path=layer.path)
    running.lay_down(stock.asks(ines), string, made[:3], place, Said(runs.at(9), None, "as planned"))
    return list(Component.objects.select_related("spec").order_by("serial_key"))


def note_of(load):
    content = LoadContent.from_text(LoadSheet.objects.standing().get(loadout=load).content)
    return {line.serial: line for line in content.lines}


def clocks(line):
    return {one.clock: (one.hire, one.hire_known, one.life, one.life_known) for one in line.clocks}


def test_what_a_joint_ran_here_is_known_and_what_it_ran_in_all_is_at_least_that(site, ines, joints):
    lines = note_of(stock.load(ines, site, joints, sent=True))
    ran = clocks(lines["KD4101"])
    assert ran["rotating_s"] == (6 * 3600, True, 6 * 3600, False)
    assert ran["runs_n"] == (1, True, 1, False)
    assert lines["KD4101"].credited == ("whole run",)
    assert lines["KD4101"].events == ("2026-03-02 overpull, 40,000 lbf, run 5, bit 5: tight hole",)
    assert clocks(lines["KD4104"])["rotating_s"] == (0, True, 0, False)
    assert (lines["KD4104"].events, lines["KD4104"].credited) == ((), ())
    assert "No difference" in audited()


def test_a_mark_of_zero_on_this_hire_is_what_it_is_counted_from(site, ines, joints):
    standing_of = {joints[0].pk: standing.Standing(clocks={
        ("rotating_s", "rental"): standing.Limits(zero=2 * 3600),
        ("rotating_s", "new"): standing.Limits(zero=-100 * 3600),
    })}  # fmt: skip
    with transaction.atomic():
        line, _ = open_line(stock.asks(ines), "look", site, "Looked at it", {})
        standing.write(line, standing_of)
    assert Clock.objects.filter(component=joints[0], basis="rental").exists()
    ran = clocks(note_of(stock.load(ines, site, joints[:1], sent=True))["KD4101"])
    assert ran["rotating_s"] == (4 * 3600, True, 106 * 3600, True)


def test_only_an_owner_who_gets_it_back_is_told(site, ines, joints):
    head = LoadHead("repair", to="Gantry Lending")
    line = note_of(stock.load(ines, site, joints[:1], head=head, sent=True))["KD4101"]
    assert (line.clocks, line.credited, line.events) == ((), (), ())


def test_page_paper_and_files_say_the_same(site, ines, joints):
    load = stock.load(ines, site, joints[:1], sent=True)
    code = LoadSheet.objects.standing().get(loadout=load).code
    client = Client()
    client.force_login(ines, backend="django.contrib.auth.backends.ModelBackend")
    said = ("rotating 6.00 h", "rotating at least 6.00 h", "overpull, 40,000 lbf, run 5, bit 5: tight hole",
            "credited the whole run, the safe side")  # fmt: skip
    page = client.get(f"/L/{code}/").content.decode()
    pages = PdfReader(io.BytesIO(client.get(f"/L/{code}.pdf").content)).pages
    paper = " ".join(" ".join(page.extract_text() for page in pages).split())
    table = list(csv.reader(io.StringIO(client.get(f"/L/{code}.csv").content.decode("utf-8-sig"))))
    book = load_workbook(io.BytesIO(client.get(f"/L/{code}.xlsx").content))
    cells = [str(cell) for row in book["Return note"].iter_rows(values_only=True) for cell in row]
    for words in said:
        assert words in page
        assert any(words in cell for cell in cells)
        assert all(word in paper for word in words.split())
    heads = next(row for row in table if row[:1] == ["Line"])
    line = dict(zip(heads, next(row for row in table if row[:1] == ["1"]), strict=True))
    assert (line["rotating h on this hire"], line["rotating h in all"]) == ("6.00", "at least 6.00")
    assert line["What happened"].endswith(said[2])
    listed = list(book["List"].iter_rows(values_only=True))
    assert 6.0 in next(row for row in listed if row[0] == 1)


def test_nothing_of_the_note_is_looked_up_piece_by_piece(site, ines, joints, django_assert_max_num_queries):
    with django_assert_max_num_queries(9):
        hires_of(joints, site.zone)
