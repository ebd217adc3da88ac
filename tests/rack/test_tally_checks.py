"""What the checks say of a tally: on its page, at closing, on its sheet, and nothing while it is blind."""

import uuid

import pytest
from django.contrib.auth.models import User
from django.urls import reverse

from rack.actions import closing, pieces, receiving, straps
from rack.actions.files import keep_bytes
from rack.calc.sheets import SheetContent
from rack.errors import Refused
from rack.exchange.delivery import read_delivery
from rack.models import Component, Delivery, Mark, Site, Strap, Tally
from rack.models.checking import checked, failing
from rack.models.comparing import lines_of
from tests import stock
from tests.rack.tally_desk import do, read, signed_in, text_of

pytestmark = pytest.mark.django_db

LENGTHS = [f"{31 + (389 * n % 97) / 100:.2f}" for n in range(24)]


@pytest.fixture
def site() -> Site:
    return stock.site()


@pytest.fixture
def crew(site: Site) -> User:
    return stock.person("ada", "crew", site)


@pytest.fixture
def ola(site: Site) -> User:
    return stock.person("ola", "supervisor", site)


def delivered(site: Site, lengths: list[str], kind: str = "pins off") -> list[Component]:
    """Pieces that came on a list with these lengths."""
    rows = "".join(
        f"KD{5001 + n};{n + 1};5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe;{each}\r\n"
        for n, each in enumerate(lengths)
    )
    data = f"Serial;Painted;Item;Length ft\r\n{rows}".encode()
    keep_bytes(data)
    made = read_delivery(data, "gantry.csv", length_kind=kind)
    receipt = receiving.Receipt(
        place=stock.rack(site), file_name="gantry.csv", media="text/csv", confirmed=True
    )
    delivery = receiving.accept(stock.asks(stock.person("office", "office", site)), made, receipt)
    assert isinstance(delivery, Delivery)
    return list(Component.objects.at(site).order_by("serial_key"))


def strapped(by: User, site: Site, on: list[Component], lengths: list[str], **head: object) -> Tally:
    tally = stock.tally(by, site, on, **head)
    read(by, tally, lengths)
    return tally


def codes(tally: Tally) -> list[str]:
    return [found.code for found in checked(tally, lines_of(tally)).findings]


def test_a_true_tally_of_a_true_list_has_nothing_to_say(site: Site, crew: User) -> None:
    tally = strapped(crew, site, delivered(site, LENGTHS), LENGTHS, purpose="delivery")
    assert codes(tally) == []
    assert failing(tally, lines_of(tally)) == []


@pytest.mark.parametrize(
    "joint, typed, code",
    [(6, "31.96", "T01"), (6, "32.69", "T02"), (9, "31.35", "T21"), (9, "31.39", "T22")],
)
def test_one_strap_is_held_against_the_list_the_pipe_came_with(
    joint: int, typed: str, code: str, site: Site, crew: User
) -> None:
    listed = ["31.69" if n == 6 else "31.01" if n == 9 else each for n, each in enumerate(LENGTHS)]
    taped = [typed if n == joint else each for n, each in enumerate(listed)]
    tally = strapped(crew, site, delivered(site, listed), taped)
    (found,) = checked(tally, lines_of(tally)).findings
    assert (found.code, found.lines) == (code, (joint,))
    assert "sender's list" in found.words
    assert failing(tally, lines_of(tally)) == [joint]


def test_a_list_taken_another_way_is_never_converted_silently(site: Site, crew: User) -> None:
    tally = strapped(crew, site, delivered(site, LENGTHS, "overall, tool"), LENGTHS)
    found = checked(tally, lines_of(tally))
    assert (found.findings, found.third_list.other_kind) == ((), 24)
    page = text_of(signed_in("ben", "crew", site).get(reverse("tally", args=[tally.number])))
    assert "took 24 lengths in another way" in page


def test_a_piece_left_on_the_layer_stands_in_the_way_of_closing(site: Site, crew: User, ola: User) -> None:
    made = delivered(site, LENGTHS)
    tally = strapped(crew, site, made[:-1], LENGTHS[:-1])
    with pytest.raises(Refused, match="1 of 24 pieces of R1, layer 1 is not on this tally: KD5024"):
        closing.close(stock.asks(ola), tally)
    sheet = closing.close(stock.asks(ola), tally, reason="bent, laid aside")
    content = SheetContent.from_text(sheet.content)
    assert [found.code for found in content.checks] == ["T10"]
    paper = text_of(signed_in("vera", "viewer", site).get(reverse("sheet", args=[sheet.code])))
    assert "What the checks said" in paper


def test_a_piece_left_out_that_has_no_serial_is_named_by_its_painted_number(site: Site, crew: User) -> None:
    made = delivered(site, LENGTHS)
    Component.objects.filter(pk=made[-1].pk).update(serial="", serial_key="")
    found = checked(tally := strapped(crew, site, made[:-1], LENGTHS[:-1]), lines_of(tally)).findings
    assert "is not on this tally: painted 24." in found[0].words


def test_another_painted_number_in_the_register_is_named(site: Site, crew: User) -> None:
    made = delivered(site, LENGTHS)
    tally = strapped(crew, site, made, LENGTHS)
    Mark.objects.filter(component=made[4]).update(text="77", text_key="77", text_yek="77")
    assert codes(tally) == ["T06"]


def test_a_piece_that_went_away_is_named(site: Site, crew: User, ola: User) -> None:
    made = delivered(site, LENGTHS)
    tally = strapped(crew, site, made, LENGTHS)
    pieces.change_state(stock.asks(ola), made[3], "at_inspection")
    assert codes(tally) == ["T10"]


def test_a_length_that_a_recut_ended_is_named_and_its_list_says_nothing_more(site: Site, crew: User) -> None:
    made = delivered(site, LENGTHS)
    tally = strapped(crew, site, made, LENGTHS)
    old = Strap.objects.filter(component=made[7], strap_n=0).get()
    Strap.objects.create(
        journal=old.journal, seq=90, at=Strap.objects.latest("at").at.replace(year=2031), what="ended",
        component=made[7], strap_n=0, kind="pins off", typed="recut",
    )  # fmt: skip
    (found,) = checked(tally, lines_of(tally)).findings
    assert (found.code, found.lines) == ("T16", (7,))
    assert "recut on 2031-" in found.words
    assert made[7].pk not in checked(tally, lines_of(tally)).third_list.lengths


# T08: a total on paper


def test_a_total_added_up_wrong_on_paper_needs_a_reason(site: Site, crew: User, ola: User) -> None:
    tally = strapped(crew, site, delivered(site, LENGTHS), LENGTHS)
    client = signed_in("sven", "supervisor", site)
    address = reverse("tally_close", args=[tally.number])
    wrong = client.post(address, {"key": str(uuid.uuid4()), "written": "765.43"})
    assert wrong.status_code == 422
    assert "The total on paper was written as 765.43 ft; the lengths give " in text_of(wrong)
    assert 'value="765.43"' in text_of(wrong)
    nonsense = client.post(address, {"key": str(uuid.uuid4()), "written": "much"})
    assert "The total on paper: " in text_of(nonsense)
    sheet = closing.close(stock.asks(ola), tally, written="765.43", reason="page 2 is lost")
    assert [found.code for found in SheetContent.from_text(sheet.content).checks] == ["T08"]


def test_a_total_added_up_right_on_paper_is_silent(site: Site, crew: User, ola: User) -> None:
    tally = strapped(crew, site, delivered(site, LENGTHS), LENGTHS)
    total = f"{sum(round(float(each) * 100) for each in LENGTHS) / 100:.2f}"
    assert SheetContent.from_text(closing.close(stock.asks(ola), tally, written=total).content).checks == ()


# The third list between two straps


@pytest.fixture
def two(site: Site, crew: User) -> Tally:
    """Two straps that differ at joint 3, where the list bears out the second, and at 5, where neither."""
    tally = strapped(crew, site, delivered(site, LENGTHS), LENGTHS[:2] + ["31.99"] + LENGTHS[3:])
    straps.begin_strap(stock.asks(crew), tally, 2, "T-09", "Bo", "Cy")
    second = [f"{float(each) + 0.7:.2f}" if n == 4 else each for n, each in enumerate(LENGTHS)]
    read(crew, tally, second, 2)
    return tally


def finished(two: Tally, crew: User) -> Tally:
    straps.finish_strap(stock.asks(crew), two, 2)
    return two


def test_the_list_says_which_strap_it_bears_out_and_readings_stay(two: Tally, crew: User, ola: User) -> None:
    finished(two, crew)
    found = checked(two, lines_of(two)).third
    assert [each.lines for each in found] == [(2,), (4,)]
    assert "the list gantry.csv has 31.02 ft and bears out the second strap (31.02)" in found[0].words
    assert "bears out the first strap" in found[1].words
    assert lines_of(two)[2].first_nm != lines_of(two)[2].second_nm
    client = signed_in("vera", "viewer", two.site)
    assert "bears out the second strap" in text_of(client.get(reverse("compare", args=[two.number])))
    sheet = closing.close(stock.asks(ola), two, reason="the crane was wanted")
    content = SheetContent.from_text(sheet.content)
    assert content.third_list == "the list gantry.csv"
    assert [each.lines for each in content.third] == [(3,), (5,)]


def test_while_a_second_strap_is_open_no_check_speaks(two: Tally, crew: User) -> None:
    found = checked(two, lines_of(two))
    assert (found.findings, found.third, found.sample, failing(two, lines_of(two))) == ((), (), None, [])
    client = signed_in("sven", "supervisor", two.site)
    for name in ("tally", "compare", "tape_again", "tally_close"):
        page = text_of(client.get(reverse(name, args=[two.number])))
        for word in ("31.99", "bears out", "What the checks say", "T02", "to tape again</a>"):
            assert word not in page, name
    for name in ("again_pdf", "again_xlsx"):
        assert client.get(reverse(name, args=[two.number])).status_code == 409
    wrong = {"key": str(uuid.uuid4()), "written": "765.43", "reason": "x"}
    refused = text_of(client.post(reverse("tally_close", args=[two.number]), wrong))
    assert "The second strap is open; finish it before a total" in refused
    assert "the lengths give" not in refused


def test_the_joints_to_tape_again_are_listed_without_a_reading(two: Tally, crew: User) -> None:
    finished(two, crew)
    client = signed_in("ben", "crew", two.site)
    page = text_of(client.get(reverse("tape_again", args=[two.number])))
    assert "2 joints, and no reading beside them" in page
    assert "KD5003" in page and "KD5005" in page and "KD5004" not in page
    for reading in ("31.99", "31.02", LENGTHS[4]):
        assert reading not in page
    line = lines_of(two)[2]
    assert do(client, two, "again", line=str(line.pk), typed="31.02").status_code == 302
    two.refresh_from_db()
    assert lines_of(two)[2].first_nm == lines_of(two)[2].second_nm
    page = text_of(client.get(reverse("tape_again", args=[two.number])))
    assert "1 joint, and no reading beside it" in page
    wrong = do(client, two, "again", line=str(lines_of(two)[4].pk), typed="abc")
    assert wrong.status_code == 422
    assert 'value="abc"' in text_of(wrong)


def test_a_tally_of_more_than_twenty_joints_carries_its_sample(two: Tally, crew: User, ola: User) -> None:
    finished(two, crew)
    sheet = closing.close(stock.asks(ola), two, reason="x")
    made = SheetContent.from_text(sheet.content).sample
    assert made is not None
    assert (made.code, len(made.lines), made.against) == (sheet.code, 20, "the list gantry.csv")
    page = text_of(signed_in("vera", "viewer", two.site).get(reverse("sheet", args=[sheet.code])))
    assert "Count times the average of 20" in page
