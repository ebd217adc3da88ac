"""The length of one piece alone: taped open or closed, ended by a recut, never under an open tally."""

import json
import uuid

import pytest

from rack.actions import closing, lengths, straps
from rack.actions.lengths import Taking, Taped
from rack.auditing import audit
from rack.calc.kinds import KINDS
from rack.calc.specs import SpecFacts
from rack.errors import AlreadyUsed, NotAllowed, Refused
from rack.models import Component, Consent, Journal, Strap
from rack.models.lengths import standing_lengths
from rack.models.timeline import line_of_time
from tests import stock

pytestmark = pytest.mark.django_db

TOOL = "overall, tool"
BOTH = [Taped("32.15", TOOL, "open"), Taped("30.90", TOOL, "closed")]
FT = 304_800_000


@pytest.fixture
def here():
    return stock.site()


@pytest.fixture
def layer(here):
    return stock.rack(here)


@pytest.fixture
def ada(here):
    return stock.person("ada", "crew", here)


@pytest.fixture
def ola(here):
    return stock.person("ola", "supervisor", here)


@pytest.fixture
def jar(layer):
    return stock.pieces(layer, 1, facts=stock.JAR, first=8001)[0]


@pytest.fixture
def joint(layer):
    return stock.pieces(layer, 1, lengths=["31.24"])[0]


def again(piece):
    return Component.objects.get(pk=piece.pk)


def said(refused):
    return " ".join(problem.text for problem in refused.value.problems)


def taped(user, piece, rows=BOTH, holds="closed", **more):
    return lengths.strap_piece(stock.asks(user), piece, rows, Taking("T-07", "Ada, Bo", holds), **more)


def test_a_joint_taped_alone_takes_the_length_and_one_line_in_the_journal(ada, joint):
    lines = Journal.objects.count()
    taped(ada, joint, [Taped("31.26", "pins off")], "")
    now = again(joint)
    assert (now.length_nm, now.length_kind) == (3126 * FT // 100, "pins off")
    assert (now.length_by.tape, now.length_by.hands, now.length_by.stands) == ("T-07", "Ada, Bo", "")
    assert Journal.objects.count() == lines + 1
    assert list(audit("default")) == []


@pytest.mark.parametrize("code", KINDS)
def test_every_kind_is_taped_alone_in_each_way_it_may_be_measured(ada, layer, code):
    kind = KINDS[code]
    piece = stock.pieces(layer, 1, facts=SpecFacts(kind=code, od_nm=127_000_000))[0]
    for way in kind.lengths:
        rows = [Taped("31.20", way, "open" if kind.telescopes else "")]
        taped(ada, piece, rows, "open" if kind.telescopes else "")
        assert (again(piece).length_nm, again(piece).length_kind) == (3120 * FT // 100, way)
    with pytest.raises(Refused, match="is measured"):
        taped(ada, piece, [Taped("31.20", "by eye", "open" if kind.telescopes else "")],
              "open" if kind.telescopes else "")  # fmt: skip


def test_a_jar_is_taped_open_and_closed_and_the_one_that_holds_governs(ada, jar):
    rows = taped(ada, jar)
    assert [row.stands for row in rows] == ["open", "closed"]
    now = again(jar)
    assert (now.length_nm, now.length_by.stands) == (3090 * FT // 100, "closed")
    known = standing_lengths([jar.pk])[jar.pk]
    assert known["open"].nm == 3215 * FT // 100
    assert list(audit("default")) == []


def test_the_line_of_time_says_how_the_jar_stood(ada, jar):
    taped(ada, jar)
    detail = line_of_time(jar)[0].detail
    assert "32.15 ft, overall, tool, open" in detail
    assert "30.90 ft, overall, tool, closed" in detail


def test_the_other_length_holds_without_being_taped_again(ada, jar):
    taped(ada, jar)
    taped(ada, jar, [], "open")
    now = again(jar)
    assert (now.length_nm, now.length_by.stands, now.length_by.hands) == (3215 * FT // 100, "open", "Ada, Bo")
    assert set(standing_lengths([jar.pk])[jar.pk]) == {"open", "closed"}


@pytest.mark.parametrize(
    "rows, holds, words",
    [
        ([Taped("30.90", TOOL, "open"), Taped("32.15", TOOL, "closed")], "open", "longer than closed"),
        ([Taped("32.15", TOOL)], "open", "stood open or closed"),
        ([Taped("32.15", TOOL, "open"), Taped("32.16", TOOL, "open")], "open", "stood open or closed"),
        ([Taped("32.15", TOOL, "open")], "", "which length will hold"),
        ([Taped("32.15", TOOL, "open")], "closed", "closed is not known"),
        ([], "open", "open is not known"),
        ([Taped("thirty", TOOL, "open")], "open", "thirty"),
        ([Taped("0", TOOL, "open")], "open", "longer than nothing"),
        ([Taped("32.15", "threads on", "open")], "open", "is measured"),
    ],
)
def test_what_is_no_length_of_a_jar_is_refused_in_a_sentence_and_nothing_stored(ada, jar, rows, holds, words):
    before = Journal.objects.count(), Strap.objects.count()
    with pytest.raises(Refused) as refused:
        taped(ada, jar, rows, holds)
    assert words in said(refused)
    assert (Journal.objects.count(), Strap.objects.count()) == before


def test_a_jar_exchanged_against_what_was_taped_before_is_found(ada, jar):
    taped(ada, jar)
    with pytest.raises(Refused, match="longer than closed"):
        taped(ada, jar, [Taped("30.00", TOOL, "open")], "open")


@pytest.mark.parametrize(
    "rows, holds, words",
    [
        ([], "", "Type the length"),
        ([Taped("31.20", "pins off", "open")], "open", "neither open nor closed"),
        ([Taped("31.20", "pins off"), Taped("31.21", "pins off")], "", "one length"),
        ([Taped("9" * 30, "pins off")], "", "more than 100 km"),
    ],
)
def test_a_joint_has_one_length(ada, joint, rows, holds, words):
    with pytest.raises(Refused) as refused:
        taped(ada, joint, rows, holds)
    assert words in said(refused)
    assert again(joint).length_nm == 3124 * FT // 100


def test_an_odd_reading_asks_and_is_taken_when_the_hand_is_sure(ada, joint):
    with pytest.raises(Refused) as refused:
        taped(ada, joint, [Taped("36.42", "pins off")], "")
    assert {problem.severity for problem in refused.value.problems} == {"ASKS"}
    assert again(joint).length_nm == 3124 * FT // 100
    taped(ada, joint, [Taped("36.42", "pins off")], "", sure=True)
    assert again(joint).length_nm == 3642 * FT // 100
    assert Consent.objects.get().strap.questions_n == 1


def test_taping_twice_with_one_key_writes_once_and_another_body_is_refused(ada, jar):
    key = uuid.uuid4()
    first = lengths.strap_piece(stock.asks(ada, key), jar, BOTH, Taking(holds="closed"))
    second = lengths.strap_piece(stock.asks(ada, key), jar, BOTH, Taking(holds="closed"))
    assert [row.pk for row in second] == [row.pk for row in first]
    with pytest.raises(AlreadyUsed):
        lengths.strap_piece(stock.asks(ada, key), jar, BOTH, Taking(holds="open"))


def test_a_viewer_tapes_nothing(here, joint):
    with pytest.raises(NotAllowed):
        taped(stock.person("vera", "viewer", here), joint, [Taped("31.20", "pins off")], "")


def test_no_length_changes_under_an_open_tally(here, ada, ola, joint):
    tally = stock.tally(ada, here, [joint])
    with pytest.raises(Refused) as refused:
        taped(ada, joint, [Taped("31.30", "pins off")], "")
    assert str(tally) in said(refused)
    with pytest.raises(Refused):
        lengths.end_length(stock.asks(ola), joint, "pin recut")
    assert again(joint).length_nm == 3124 * FT // 100


def test_a_recut_ends_the_length_until_the_piece_is_taped_again(ada, ola, jar):
    taped(ada, jar)
    lengths.end_length(stock.asks(ola), jar, "pin recut")
    assert again(jar).length_nm is None
    assert standing_lengths([jar.pk]) == {}
    assert "pin recut" in line_of_time(jar)[0].what
    assert list(audit("default")) == []
    taped(ada, jar, [Taped("31.80", TOOL, "open")], "open")
    assert again(jar).length_nm == 3180 * FT // 100
    assert set(standing_lengths([jar.pk])[jar.pk]) == {"open"}


def test_the_end_of_a_length_wants_a_reason_a_length_and_a_supervisor(ada, ola, joint, jar):
    for piece, reason, words in ((joint, "  ", "what was done"), (jar, "recut", "no length")):
        with pytest.raises(Refused) as refused:
            lengths.end_length(stock.asks(ola), piece, reason)
        assert words in said(refused)
    with pytest.raises(NotAllowed):
        lengths.end_length(stock.asks(ada), joint, "pin recut")
    key = uuid.uuid4()
    assert (
        lengths.end_length(stock.asks(ola, key), joint, "pin recut")
        == lengths.end_length(stock.asks(ola, key), joint, "pin recut")
    )  # fmt: skip


@pytest.mark.parametrize(
    "read, note, stands",
    [("30.92", "measured closed", "closed"), ("32.15", "measured open", "open"),
     ("31.50", "open or closed is not said", "")],
)  # fmt: skip
def test_the_sheet_says_which_length_of_a_jar_it_holds(here, ada, ola, jar, read, note, stands):
    taped(ada, jar)
    tally = stock.tally(ada, here, [jar], kind=TOOL)
    straps.read(stock.asks(ada), straps.Reading(tally, read, 1, tally.lines.get()))
    sheet = closing.close(stock.asks(ola), tally)
    assert json.loads(sheet.content)["lines"][0]["note"] == note
    assert again(jar).length_by.stands == stands
    assert list(audit("default")) == []


def test_a_jar_measured_in_another_way_than_its_tally_is_not_guessed(here, ada, ola, jar):
    taped(ada, jar)
    tally = stock.tally(ada, here, [jar], kind="pins off")
    straps.read(stock.asks(ada), straps.Reading(tally, "30.90", 1, tally.lines.get()))
    sheet = closing.close(stock.asks(ola), tally)
    assert json.loads(sheet.content)["lines"][0]["note"] == "open or closed is not said"
