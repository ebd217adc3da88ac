"""Any bytes at all are a list or a sentence, and nothing is stored: by the reader and by the page.

The long run is `manage.py test --soak`.
"""

import io
import json
import zipfile
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rack.calc.receiving import DeliveryList, Mapping
from rack.errors import UnreadableFile
from rack.exchange.delivery import as_json, read_delivery
from rack.models import Component, Delivery, File, Journal
from tests import stock

LISTS = sorted((Path(__file__).resolve().parents[2] / "fixtures" / "lists").iterdir())
WHOLE = {path.name: path.read_bytes() for path in LISTS}
BEGINNINGS = (
    b"",
    b"PK\x03\x04",
    b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
    b"\xff\xfe",
    b"\xef\xbb\xbf",
    b"%PDF",
    b"sep=;\n",
)
WORDS = (
    "Serial",
    "No.",
    "Length ft",
    "Länge m",
    "Item",
    "Class",
    "Total",
    "Page 1 total",
    "Übertrag",
    "do.",
    '"',
    "ILL",
    "-",
    "31.24",
    "9,640",
    "31-06",
    "4.20E+07",
    "2026-01-02",
    "5 in 19.50 S-135 NC50 R2",
    "=A1+1",
    "#REF!",
    "1e999",
    "٣١",
    "\u202e",
    "x" * 300,
    "36A",
    "",
    "0",
    "-5",
    "1/0",
    "30 ft 5 in",
    "Qty",
    "2",
    "NaN",
)

table = st.lists(st.lists(st.sampled_from(WORDS), max_size=9), max_size=14)
texts = st.tuples(table, st.sampled_from([",", ";", "\t", "|", "  ", " "])).map(
    lambda made: "\n".join(made[1].join(row) for row in made[0])
)
raw = st.tuples(st.sampled_from(BEGINNINGS), st.binary(max_size=400)).map(b"".join)
encoded = st.tuples(texts, st.sampled_from(["utf-8", "utf-16", "utf-16-le"])).map(
    lambda made: made[0].encode(made[1])
)


@st.composite
def damaged(draw: st.DrawFn) -> bytes:
    """A true list with bytes changed, cut out or doubled."""
    whole = bytearray(draw(st.sampled_from(sorted(WHOLE.values()))))
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, max(len(whole) - 1, 0)))
        how = draw(st.sampled_from(["change", "cut", "double"]))
        if how == "change" and whole:
            whole[at] = draw(st.integers(0, 255))
        elif how == "cut":
            del whole[at : at + draw(st.integers(1, 60))]
        else:
            whole[at:at] = whole[at : at + draw(st.integers(1, 60))]
    return bytes(whole)


@st.composite
def repacked(draw: st.DrawFn) -> bytes:
    """A workbook whose parts are sound archives of damaged XML."""
    name = draw(st.sampled_from([each for each in WHOLE if each.endswith((".xlsx", ".ods"))]))
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(WHOLE[name])) as old, zipfile.ZipFile(made, "w") as new:
        for part in old.namelist():
            content = bytearray(old.read(part))
            if part.endswith(("sheet1.xml", "content.xml", "workbook.xml")) and content:
                at = draw(st.integers(0, len(content) - 1))
                content[at : at + draw(st.integers(0, 12))] = draw(st.binary(max_size=12))
            new.writestr(part, bytes(content))
    return made.getvalue()


anything = st.one_of(raw, encoded, damaged(), repacked())
names = st.sampled_from(["list.csv", "list.xlsx", "list.xls", "list.ods", "list.txt", "../../etc/x", ""])


def judged(data: bytes, name: str) -> None:
    """A list whose counts hold together and that can be read again, or one sentence."""
    try:
        read = read_delivery(data, name)
    except UnreadableFile as refused:
        assert str(refused).endswith(".")
        assert "\n" not in str(refused)
        return
    assert isinstance(read, DeliveryList)
    counted = read.counted
    assert counted.read == len(read.rows) == counted.accepted + counted.left_out + counted.stopped
    json.dumps(as_json(read))
    mapping = Mapping.from_json(read.mapping.to_json())
    assert len(read_delivery(data, name, mapping=mapping).rows) == len(read.rows)


@given(anything, names)
def test_any_bytes_are_a_list_or_one_sentence(data, name):
    judged(data, name)


@pytest.mark.soak
@settings(max_examples=20_000)
@given(anything, names)
def test_any_bytes_are_a_list_or_one_sentence_at_length(data, name):
    judged(data, name)


@pytest.fixture
def desk(db):
    here = stock.site()
    client = Client(raise_request_exception=True)
    client.force_login(stock.person("ines", "office", here))
    return client, stock.rack(here)


def uploaded(desk, data: bytes, name: str) -> None:
    client, layer = desk
    file = SimpleUploadedFile(name or "x", data)
    answer = client.post(reverse("receive"), {"file": file, "place": layer.pk, "sender": "Gantry Lending"})
    assert answer.status_code in (302, 422)
    if answer.status_code == 302:
        assert client.get(answer.url).status_code == 200
    for model in (Component, Delivery, File, Journal):
        assert not model.objects.exists()


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=anything, name=names)
def test_the_page_answers_any_bytes_and_stores_nothing(desk, data, name):
    uploaded(desk, data, name)


@pytest.mark.soak
@settings(max_examples=2_000, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=anything, name=names)
def test_the_page_answers_any_bytes_and_stores_nothing_at_length(desk, data, name):
    uploaded(desk, data, name)
