"""The strap page without a script: read, question, take back, confirm, skip, jump, begin, finish."""

import re
import uuid
from typing import Any

import pytest
from django.test import Client

from rack.actions import straps
from rack.actions.tallies import add_numbers
from rack.models import Consent, Line, Strap, StrapHead, Tally
from tests import stock

pytestmark = pytest.mark.django_db

FIRST = ["31.07", "31.18", "30.93", "31.29"]
#: The first readings, their sum, average and extremes in every spelling a page could give.
LEAKS = [*FIRST, *(length.replace(".", "") for length in FIRST), "124.47", "12447", "31.12", "31.1175"]


class Page:
    """A signed-in person at the strap page of a tally of numbered lines."""

    def __init__(self, lines: int = 4, role: str = "crew", **head: Any) -> None:
        self.site = stock.site()
        self.crew = stock.person("ada", "crew", self.site)
        self.tally = stock.tally(self.crew, self.site, **head)
        if lines:
            add_numbers(stock.asks(self.crew), self.tally, "1", lines)
        self.lines = list(self.tally.lines.in_order())
        self.client = Client()
        self.sign_in(self.crew)

    def sign_in(self, user: Any) -> None:
        self.client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")

    def address(self, strap_n: int = 1) -> str:
        return f"/tallies/{self.tally.number}/strap/{strap_n}/"

    def get(self, query: str = "", strap_n: int = 1) -> Any:
        return self.client.get(self.address(strap_n) + query)

    def post(self, do: str, strap_n: int = 1, **fields: Any) -> Any:
        fields.setdefault("key", str(uuid.uuid4()))
        return self.client.post(self.address(strap_n), {"do": do, **fields})

    def read(self, n: int, typed: str, strap_n: int = 1) -> Any:
        return self.post("read", strap_n, line=self.lines[n - 1].pk, typed=typed)


@pytest.fixture
def page() -> Page:
    return Page()


def joint(answer: Any) -> str:
    """The joint in the head of the page, by its words."""
    head = re.search(r"<b>(.*?)</b>", answer.content.decode().split('id="joint"')[1], re.S)
    assert head
    return re.sub(r"<[^>]+>", "", head[1]).strip()


def test_a_plain_form_reads_one_joint_after_the_other(page: Page) -> None:
    assert joint(page.get()) == "Joint 1"
    for n, typed in enumerate(("3124", "31.3", "9.52 m"), start=1):
        fields = {"key": str(uuid.uuid4()), "line": page.lines[n - 1].pk, "typed": typed}
        answer = page.client.post(page.address(), fields, follow=True)
        assert joint(answer) == f"Joint {n + 1}"
    assert [one.shown for one in answer.context["last"]] == ["31.23", "31.30", "31.24"]
    assert answer.context["sums"].count == 3
    assert answer.context["total"] == "93.77"


def test_the_same_form_sent_twice_stores_once(page: Page) -> None:
    key = str(uuid.uuid4())
    for _ in range(2):
        assert page.post("read", key=key, line=page.lines[0].pk, typed="3124").status_code == 302
    assert Strap.objects.count() == 1


def test_a_refused_length_keeps_what_was_typed_and_the_joint(page: Page) -> None:
    answer = page.read(2, "31.2.4")
    assert answer.status_code == 422
    assert 'value="31.2.4"' in answer.content.decode()
    assert joint(answer) == "Joint 2"
    assert not Strap.objects.exists()


def test_a_reading_that_looks_wrong_asks_on_the_page_and_the_next_joint_comes(page: Page) -> None:
    answer = page.client.post(
        page.address(), {"key": str(uuid.uuid4()), "line": page.lines[0].pk, "typed": "6112"}, follow=True
    )
    assert joint(answer) == "Joint 2"
    assert "It reads <span data-shown>61.12</span>" in answer.content.decode()
    assert Strap.objects.get().questions_n == 1


@pytest.fixture
def asking() -> Page:
    """Seven lines, the sixth of which was read a whole lot too short."""
    page = Page(7)
    for n in range(1, 6):
        page.read(n, f"312{n}")
    page.read(6, "1324")
    return page


def test_one_tap_confirms(asking: Page) -> None:
    text = asking.get().content.decode()
    assert "It reads <span data-shown>13.24</span>" in text
    key = Strap.objects.get(typed="1324").journal.key
    answer = asking.post("confirm", reading=key)
    assert answer.status_code == 302
    assert Consent.objects.count() == 1
    assert "data-yes" not in asking.get().content.decode().split('id="asking"')[1].split("</ul>")[0]


def test_another_tap_takes_it_back_and_brings_the_joint_again(asking: Page) -> None:
    key = Strap.objects.get(typed="1324").journal.key
    answer = asking.post("take back", reading=key)
    assert joint(asking.client.get(answer["Location"])) == "Joint 6"
    assert Line.objects.get(pk=asking.lines[5].pk).first_nm is None
    again = asking.post("take back", reading=key)
    assert again.status_code == 422
    assert "taken back already" in again.content.decode()


def test_any_of_the_last_ten_has_its_own_button(asking: Page) -> None:
    text = asking.get().content.decode().split('id="last"')[1].split("</ol>")[0]
    assert text.count('value="take back"') == 6
    for strap in Strap.objects.all():
        assert str(strap.journal.key) in text


def test_only_the_last_ten_and_the_next_few_of_many_lines_are_sent() -> None:
    page = Page(0)
    add_numbers(stock.asks(page.crew), page.tally, "1", 500)
    lines = list(page.tally.lines.in_order())
    for line in lines[:15]:
        straps.read(stock.asks(page.crew), straps.Reading(page.tally, "3124", 1, line))
    answer = page.get()
    assert len(answer.context["last"]) == 10
    assert len(answer.context["data"]["coming"]) == 200
    assert len(re.findall("data-line=", answer.content.decode())) == 50
    assert len(answer.content) < 100_000


@pytest.mark.parametrize(
    ("query", "head"),
    [("?joint=3", "Joint 3"), ("?joint=36A", "Joint 36A"), ("?joint=", "Joint 1"), ("?line=abc", "Joint 1"),
     ("?line=99999999999999999999999", "Joint 1"), ("?after=0", "Joint 1")],
)
def test_another_joint_is_reached_by_its_number(page: Page, query: str, head: str) -> None:
    assert joint(page.get(query)) == head


def test_a_joint_is_left_out_by_a_link(page: Page) -> None:
    assert joint(page.get(f"?after={page.lines[0].pk}")) == "Joint 2"


def test_a_new_number_is_typed_and_stands_at_the_end(page: Page) -> None:
    page.post("read", painted="36A", typed="3124")
    assert page.tally.lines.in_order().last().painted == "36A"


@pytest.mark.parametrize("painted", ["", "9" * 21])
def test_a_number_that_cannot_be_kept_is_refused(page: Page, painted: str) -> None:
    assert page.post("read", painted=painted, typed="3124").status_code == 422
    assert not Strap.objects.exists()


def test_a_list_may_begin_empty() -> None:
    page = Page(0)
    assert joint(page.get()) == "Joint 1"
    page.post("read", painted="1", typed="3124")
    assert joint(page.get()) == "Joint 2"


def test_when_every_piece_is_read_no_new_joint_is_proposed() -> None:
    page = Page(0)
    tally = stock.tally(page.crew, page.site, stock.pieces(stock.rack(page.site), 1))
    page.tally, page.lines = tally, list(tally.lines.all())
    page.read(1, "3124")
    assert joint(page.get()) == "Every line is read"


def test_finishing_says_what_is_left_unread(page: Page) -> None:
    page.read(2, "3124")
    text = page.get().content.decode()
    assert "3 not read: 1, 3, 4." in text
    assert "Finish it with 3 unread" in text
    assert page.post("finish").status_code == 302
    assert StrapHead.objects.get().finished_at


# The second strap


@pytest.fixture
def twice() -> Page:
    page = Page(4, straps_wanted=2)
    for n, typed in enumerate(FIRST, start=1):
        page.read(n, typed)
    return page


def test_the_second_strap_asks_first_whose_hands_take_it(twice: Page) -> None:
    text = twice.get(strap_n=2).content.decode()
    assert "Whose hands take it" in text
    assert 'id="reading"' not in text
    answer = twice.post("begin", 2, tape="T-09", reader="")
    assert answer.status_code == 422
    assert twice.post("begin", 2, tape="T-09", reader="Bo", writer="Cy").status_code == 302
    head = StrapHead.objects.get(strap_n=2)
    assert (head.tape, head.hands) == ("T-09", "Bo, Cy")


def clean(answer: Any) -> None:
    # Keys and tokens are random signs in which any figures may stand.
    drawn = r'[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}|csrfmiddlewaretoken" value="\w+"|"x-csrftoken": "\w+"'
    text = re.sub(drawn, "", answer.content.decode())
    assert [leak for leak in LEAKS if leak in text] == []


def test_nothing_of_the_first_strap_is_anywhere_while_the_second_is_open(twice: Page) -> None:
    twice.post("begin", 2, tape="T-09", reader="Bo")
    for query in ("", "?joint=1", f"?line={twice.lines[0].pk}", f"?sheet={twice.lines[0].pk}"):
        for strap_n in (1, 2):
            clean(twice.get(query, strap_n))
    clean(twice.read(1, "99.99", 2))
    clean(twice.get(strap_n=2))
    clean(twice.read(1, "99.99"))
    clean(twice.post("take back", key=uuid.uuid4(), reading=uuid.uuid4()))
    first = Strap.objects.filter(strap_n=1).first()
    assert first
    for strap_n, status in ((1, 409), (2, 404)):
        answer = twice.post("take back", strap_n, reading=first.journal.key)
        assert answer.status_code == status
        clean(answer)
    assert not Strap.objects.exclude(reverses=None).exists()


def test_the_first_strap_is_shut_from_its_finish_until_the_second_is_finished(twice: Page) -> None:
    assert 'id="reading"' in twice.get().content.decode()
    twice.post("finish")
    clean(twice.get())
    assert "Go to the second strap" in twice.get().content.decode()
    twice.post("begin", 2, tape="T-09", reader="Bo")
    twice.read(1, "31.08", 2)
    answer = twice.post("finish", 2)
    assert answer["Location"].endswith("/compare/")
    assert "31.07" in twice.get().content.decode()


def test_a_second_strap_without_a_reading_cannot_be_finished(twice: Page) -> None:
    twice.post("begin", 2, tape="T-09", reader="Bo")
    answer = twice.post("finish", 2)
    assert answer.status_code == 422
    assert "no reading yet" in answer.content.decode()


# Who, and what else can come in


@pytest.mark.parametrize(
    ("role", "status"), [("crew", 200), ("supervisor", 200), ("office", 200), ("viewer", 403)]
)
def test_who_may_open_the_page(page: Page, role: str, status: int) -> None:
    page.sign_in(stock.person("someone", role, page.site))
    assert page.get().status_code == status
    assert page.read(1, "3124").status_code == (302 if status == 200 else 403)


def test_somebody_of_another_site_finds_nothing(page: Page) -> None:
    page.sign_in(stock.person("stranger", "office", stock.site("ELSE")))
    assert page.get().status_code == 404


def test_without_signing_in_there_is_the_sign_in_page(page: Page) -> None:
    page.client.logout()
    assert page.get().status_code == 302


@pytest.mark.parametrize(
    ("do", "fields", "status"),
    [("dance", {}, 400), ("take back", {"reading": "x"}, 404),
     ("confirm", {"reading": str(uuid.UUID(int=1))}, 404),
     ("read", {"key": "no key", "typed": "3124", "painted": "9"}, 400), ("read", {"typed": ""}, 422)],
)
def test_odd_posts_are_refused(page: Page, do: str, fields: dict[str, str], status: int) -> None:
    assert page.post(do, **fields).status_code == status


@pytest.mark.parametrize("strap_n", [0, 3])
def test_there_are_two_straps_and_no_third(page: Page, strap_n: int) -> None:
    assert page.get(strap_n=strap_n).status_code == 404


def test_a_closed_tally_says_so(page: Page) -> None:
    Tally.objects.filter(pk=page.tally.pk).update(open=False)
    assert "is closed" in page.get().content.decode()
    assert page.read(1, "3124").status_code == 409
    assert not Strap.objects.exists()


def test_the_page_asks_the_database_no_more_often_for_a_long_list(
    page: Page, django_assert_max_num_queries: Any
) -> None:
    add_numbers(stock.asks(page.crew), page.tally, "5", 200)
    for line in page.tally.lines.in_order()[:30]:
        straps.read(stock.asks(page.crew), straps.Reading(page.tally, "3124", 1, line))
    with django_assert_max_num_queries(20):
        page.get()
