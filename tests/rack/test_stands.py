"""Strap out of the hole: stands by painted numbers, and a correction that no joint feels."""

import uuid
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from rack.actions import closing, stands, straps
from rack.auditing import audit
from rack.calc.sheets import SheetContent
from rack.errors import NotAllowed, Refused
from rack.exchange import sheet_csv
from rack.models import Component, Correction, Site, Stand, Tally
from rack.models.comparing import lines_of
from rack.models.standing import stands_of
from rack.paper import tally_sheet
from tests import stock
from tests.rack.paper.drawn import words
from tests.rack.tally_desk import signed_in, text_of

pytestmark = pytest.mark.django_db

LENGTHS = ["31.02", "30.97", "31.15", "31.40", "31.33", "30.88", "31.21", "31.09", "31.27"]
SUMS = ["93.14", "93.61", "93.57"]


@pytest.fixture
def site() -> Site:
    return stock.site()


@pytest.fixture
def crew(site: Site) -> User:
    return stock.person("ada", "crew", site)


@pytest.fixture
def ola(site: Site) -> User:
    return stock.person("ola", "supervisor", site)


@pytest.fixture
def out(site: Site, crew: User) -> Tally:
    return stock.tally(crew, site, stock.pieces(stock.rack(site), 9, lengths=LENGTHS), purpose="strap out")


def read(crew: User, out: Tally, *typed: str) -> list[Stand]:
    both = zip(("1-3", "4 to 6", "lines 7-9"), typed, strict=False)
    return [stands.read_stand(stock.asks(crew), out, group, each) for group, each in both]


def now(out: Tally) -> Any:
    return stands_of(out, lines_of(out))


def post(client: Client, out: Tally, **typed: Any) -> Any:
    return client.post(reverse("stands", args=[out.number]), {"key": str(uuid.uuid4()), **typed})


def test_each_stand_is_held_against_the_sum_of_its_joints(out: Tally, crew: User) -> None:
    read(crew, out, "93.16", "9358", "93.57")
    found = now(out)
    assert [row.read.summed.shown("ft", 2) for row in found.rows] == SUMS
    assert [row.number for row in found.rows] == [1, 2, 3]
    assert found.judgement.looks == "nothing"
    assert found.left == ()


def test_stands_are_numbered_from_the_bit_in_whatever_order_they_come_out(out: Tally, crew: User) -> None:
    stands.read_stand(stock.asks(crew), out, "9-7", "93.57")
    stands.read_stand(stock.asks(crew), out, "1, 2, 3", "93.14")
    assert [(row.number, row.places) for row in now(out).rows] == [(1, (0, 1, 2)), (2, (6, 7, 8))]
    assert now(out).left == (3, 4, 5)


@pytest.mark.parametrize(
    "group, typed, sentence",
    [
        ("1-33", "93.14", "There is no joint 33 on this tally."),
        ("1,3", "93.14", "The joints of a stand follow each other; 1,3 leaves one out."),
        ("", "93.14", 'Say which joints the stand is, such as "1-3".'),
        ("3-5", "93.14", "Stand 1 (1 to 3) holds some of these joints already; take it back first."),
        ("4-6", "ninety", "ninety"),
        ("4-6", "0", "A stand is longer than nothing"),
    ],
)
def test_what_is_no_stand_is_refused_in_a_sentence(
    group: str, typed: str, sentence: str, out: Tally, crew: User
) -> None:
    read(crew, out, "93.14")
    with pytest.raises(Refused) as refused:
        stands.read_stand(stock.asks(crew), out, group, typed)
    assert sentence in refused.value.problems[0].text
    assert Stand.objects.count() == 1


def test_a_stand_read_again_takes_the_earlier_reading_back(out: Tally, crew: User) -> None:
    read(crew, out, "93.41")
    read(crew, out, "93.14")
    assert Stand.objects.count() == 3
    assert [row.entry.nm for row in now(out).rows] == [Stand.objects.standing().get().nm]
    assert now(out).rows[0].read.apart == 0


def test_one_intention_sent_twice_is_stored_once(out: Tally, crew: User) -> None:
    asked = stock.asks(crew)
    assert stands.read_stand(asked, out, "1-3", "93.14") == stands.read_stand(asked, out, "1-3", "93.14")
    assert Stand.objects.count() == 1


def test_a_reading_is_taken_back_once(out: Tally, crew: User) -> None:
    (stand,) = read(crew, out, "93.14")
    stands.take_back_stand(stock.asks(crew), stand)
    assert now(out).rows == ()
    with pytest.raises(Refused, match="taken back already"):
        stands.take_back_stand(stock.asks(crew), stand)


def test_a_joint_found_between_two_joins_the_stand_that_holds_its_neighbours(out: Tally, crew: User) -> None:
    from rack.actions.lines import insert_line

    read(crew, out, "124.20")
    insert_line(stock.asks(crew), lines_of(out)[1], "1A")
    row = now(out).rows[0]
    assert row.places == (0, 1, 2, 3)
    assert not row.known  # no length is known of 1A: nothing is summed silently
    assert now(out).judgement.words == "No stand was read yet."


def test_a_stand_that_is_a_joint_longer_is_told_from_a_constant(out: Tally, crew: User) -> None:
    read(crew, out, "93.14", "124.80", "93.57")
    found = now(out).judgement
    assert found.looks == "one joint"
    assert "Stand 2 (4 to 6): joints 93.61, read 124.80." in found.findings[0].words


def test_the_joint_page_and_the_api_refuse_a_tally_that_is_read_by_the_stand(out: Tally, crew: User) -> None:
    with pytest.raises(Refused, match="is read by the stand, not by the joint"):
        straps.read(stock.asks(crew), straps.Reading(out, "31.02", 1, lines_of(out)[0]))
    other = stock.tally(crew, out.site)
    with pytest.raises(Refused, match="is read by the joint, not by the stand"):
        stands.read_stand(stock.asks(crew), other, "1-3", "93.14")


def test_the_accepted_correction_is_printed_and_no_joint_changes(out: Tally, crew: User, ola: User) -> None:
    before = list(Component.objects.order_by("pk").values_list("length_nm", "length_by"))
    read(crew, out, "93.30", "93.75", "93.73")
    apart = now(out).judgement.apart.nanometres
    with pytest.raises(Refused, match="No correction was accepted"):
        closing.close(stock.asks(ola), out)
    stands.accept_correction(stock.asks(ola), out, "  pipe stretched,  mud 14 ppg ", seen_nm=apart)
    sheet = closing.close(stock.asks(ola), out)
    content = SheetContent.from_text(sheet.content)
    assert content.correction is not None
    assert (content.correction.nm, content.correction.by) == (apart, "Ola")
    assert content.correction.reason == "pipe stretched, mud 14 ppg"
    assert [one.lines for one in content.stands] == [(1, 2, 3), (4, 5, 6), (7, 8, 9)]
    assert list(Component.objects.order_by("pk").values_list("length_nm", "length_by")) == before
    paper = words(tally_sheet.pdf(content, address="https://sandholm.example/S/x"))
    assert "Accepted correction of the depth: +0.46 ft. It corrects the depth, not the joints." in paper
    assert "Correction of the depth,\"0.46 ft, accepted by Ola" in sheet_csv.write(content)
    client = signed_in("vera", "viewer", out.site)
    closed = text_of(client.get(reverse("tally", args=[out.number])))
    assert "Accepted correction of the depth: <span class=\"figure\">+0.46 ft</span>" in closed
    assert "4 to 6" in closed and "pipe stretched, mud 14 ppg" in closed
    page = text_of(client.get(reverse("sheet", args=[sheet.code])))
    assert "+0.46 ft" in page
    assert list(audit("default")) == []


def test_a_correction_is_accepted_as_it_was_seen_and_by_who_may(out: Tally, crew: User, ola: User) -> None:
    with pytest.raises(Refused, match="nothing to accept"):
        stands.accept_correction(stock.asks(ola), out, "x", seen_nm=0)
    read(crew, out, "93.30")
    with pytest.raises(Refused, match=r"The stands now say 0\.16 ft"):
        stands.accept_correction(stock.asks(ola), out, "x", seen_nm=0)
    with pytest.raises(Refused, match="Say in a few words why"):
        stands.accept_correction(stock.asks(ola), out, " ", seen_nm=0)
    with pytest.raises(NotAllowed):
        stands.accept_correction(stock.asks(crew), out, "x", seen_nm=0)


def test_a_correction_of_other_readings_stops_the_closing(out: Tally, crew: User, ola: User) -> None:
    read(crew, out, "93.30", "93.75", "93.73")
    seen = now(out).judgement.apart.nanometres
    stands.accept_correction(stock.asks(ola), out, "stretch", seen_nm=seen)
    read(crew, out, "93.31")
    with pytest.raises(Refused, match="Accept it again"):
        closing.close(stock.asks(ola), out, reason="x")
    seen = now(out).judgement.apart.nanometres
    stands.accept_correction(stock.asks(ola), out, "stretch", seen_nm=seen)
    assert Correction.objects.standing().get().nm == seen
    assert closing.close(stock.asks(ola), out).revision == 1


def test_a_tally_without_a_stand_does_not_close(out: Tally, ola: User) -> None:
    with pytest.raises(Refused, match="No stand was read yet"):
        closing.close(stock.asks(ola), out, reason="x")


def test_a_joint_of_unknown_length_stops_the_closing(site: Site, crew: User, ola: User) -> None:
    out = stock.tally(crew, site, stock.pieces(stock.rack(site), 3), purpose="strap out")
    stands.read_stand(stock.asks(crew), out, "1-3", "93.14")
    with pytest.raises(Refused, match="No length is known of joints 1, 2, 3"):
        closing.close(stock.asks(ola), out, reason="x")


def test_a_second_strap_of_stands_is_not_to_be_had(site: Site, crew: User) -> None:
    with pytest.raises(Refused, match="each stand is read once"):
        stock.tally(crew, site, purpose="strap out", straps_wanted=2)


def test_the_page_reads_takes_back_and_accepts(out: Tally) -> None:
    client = signed_in("sven", "supervisor", out.site)
    assert post(client, out, do="read", group="1-3", typed="93.30").status_code == 302
    page = text_of(client.get(reverse("stands", args=[out.number])))
    assert "The next begins with 4." in page
    assert "+0.16" in page
    wrong = post(client, out, do="read", group="4-99", typed="93.5")
    assert wrong.status_code == 422
    assert 'value="4-99"' in text_of(wrong) and "There is no joint 99" in text_of(wrong)
    seen = str(now(out).judgement.apart.nanometres)
    assert post(client, out, do="accept", reason="stretch", seen_nm=seen).status_code == 302
    assert post(client, out, do="accept", reason="stretch", seen_nm="1.5").status_code == 422
    stand = Stand.objects.standing().get()
    assert post(client, out, do="take back", stand=str(stand.pk)).status_code == 302
    assert post(client, out, do="dance").status_code >= 400
    assert "Accept it again" in text_of(client.get(reverse("stands", args=[out.number])))


def test_a_tally_by_the_joint_has_no_stands(site: Site, crew: User) -> None:
    tally = stock.tally(crew, site)
    assert signed_in("vera", "viewer", site).get(reverse("stands", args=[tally.number])).status_code == 404
