"""The balance of a site closes whatever is done, now and at every earlier moment."""

import random
from datetime import timedelta

import pytest
from django.utils import timezone

from rack.actions import arriving, loads, pieces, places
from rack.actions.arriving import Came
from rack.actions.loads import LoadHead, Put
from rack.calc.balance import PARTS, UNPLACED
from rack.calc.states import by_hand
from rack.errors import TierbookError
from rack.models import Component, LoadOut, Move, Place, Site
from rack.models.balancing import against_the_ledger, as_of, balance_now, gone_on, holding
from tests import stock
from tests.rack.test_audit import audited

pytestmark = pytest.mark.django_db


@pytest.fixture
def ines():
    return stock.person("ines", "office", everywhere=True)


@pytest.fixture
def sites(ines):
    made = [stock.site(), stock.site("KV1")]
    for one in made:
        stock.rack(one)
        places.add_aside(stock.asks(ines), one, "Failed the drift")
    return made


def now_of(site: Site):
    return balance_now(Component.objects.at(site), gone_on(site))


def every(site: Site):
    return Component.objects.filter(pk__in=gone_on(site).values("pk")) | Component.objects.at(site)


class Hand:
    """Does things at random that a hand may do; a refusal is an answer."""

    def __init__(self, by, sites, seed):
        self.by, self.sites, self.draw = by, sites, random.Random(seed)

    def act(self):
        site = self.draw.choice(self.sites)
        at_site = list(Component.objects.at(site).order_by("pk"))
        some = self.draw.sample(at_site, min(len(at_site), self.draw.randint(1, 4)))
        what = self.draw.choice([self.move, self.state, self.send, self.arrive, self.back, self.come])
        try:
            what(site, some)
        except TierbookError:
            return

    def ask(self):
        return stock.asks(self.by)

    def come(self, site, some):
        stock.pieces(self.layer(site), 2, first=self.draw.randint(10_000, 99_999))

    def layer(self, site):
        return self.draw.choice(list(Place.objects.on(site).lie_on()))

    def move(self, site, some):
        pieces.move_pieces(self.ask(), some, self.layer(site))

    def state(self, site, some):
        for piece in some:
            pieces.change_state(self.ask(), piece, self.draw.choice(by_hand(piece.state) or ("scrapped",)))

    def send(self, site, some):
        other = next(one for one in self.sites if one != site)
        head = self.draw.choice([LoadHead("site", to_site=other), LoadHead("return", to="quay"),
                                 LoadHead("inspection", to="shop")])  # fmt: skip
        load = loads.open_load(self.ask(), site, head)
        loads.put_in(self.ask(), load, some, Put("1"))
        loads.send(self.ask(), load)

    def arrive(self, site, some):
        for load in LoadOut.objects.filter(state="sent").order_by("?")[:1]:
            tags = tuple(load.loaded.values_list("component__tag", flat=True))
            place = self.layer(load.to_site) if load.to_site else None
            arriving.arrive(self.ask(), load, Came(place, tags=self.draw.choice([tags, tags[:1]])))

    def back(self, site, some):
        for load in LoadOut.objects.filter(state="sent").order_by("?")[:1]:
            loads.take_back(self.ask(), load, "no room")


@pytest.mark.parametrize("seed", range(6))
def test_after_any_moves_states_and_loads_the_balance_closes_and_agrees_with_the_moves(ines, sites, seed):
    for site in sites:
        stock.pieces(Place.objects.get(site=site, path="R1/1"), 4, first=1000 * (site.pk + 1))
    hand, kept = Hand(ines, sites, seed), []
    for turn in range(40):
        hand.act()
        if turn % 10 == 9:
            kept.append((timezone.now(), [now_of(site) for site in sites]))
    for site in sites:
        loose = Component.objects.at(site).filter(holding(UNPLACED)).count()
        assert now_of(site).difference == loose
        then = as_of(site, every(site), timezone.now())
        assert against_the_ledger(Component.objects.at(site), then, site) == []
        assert not then.missing.never_received and not then.missing.twice
        assert len(then.missing.nowhere) == loose
    for instant, balances in kept:
        for site, was in zip(sites, balances, strict=True):
            assert as_of(site, every(site), instant).balance == was
    assert "No difference" in audited()


def test_every_piece_stands_in_exactly_one_term_of_the_filter(ines, sites):
    stock.pieces(Place.objects.get(site=sites[0], path="R1/1"), 6)
    hand = Hand(ines, sites, 3)
    for _ in range(30):
        hand.act()
    here = Component.objects.at(sites[0])
    terms = [code for code in (*PARTS, UNPLACED) if code != "elsewhere"]
    found = [pk for code in terms for pk in here.filter(holding(code)).values_list("pk", flat=True)]
    assert sorted(found) == sorted(here.values_list("pk", flat=True))


def test_a_row_changed_behind_the_ledger_is_named_by_serial(ines, sites):
    here = sites[0]
    made = stock.pieces(Place.objects.get(site=here, path="R1/1"), 3)
    Component.objects.filter(pk=made[1].pk).update(state="scrapped")  # as a hand in the database would
    then = as_of(here, every(here), timezone.now())
    (found,) = against_the_ledger(Component.objects.at(here), then, here)
    assert found == f"KD4102, tag {made[1].tag} is counted scrapped; its moves say on the rack."


def test_before_anything_came_nothing_was_received(ines, sites):
    stock.pieces(Place.objects.get(site=sites[0], path="R1/1"), 3)
    then = as_of(sites[0], every(sites[0]), Move.objects.first().at - timedelta(seconds=1))
    assert then.balance.received == 0 and then.balance.closes


def test_what_went_on_to_another_site_is_accounted_for_there_and_here(ines, sites):
    here, there = sites
    made = stock.pieces(Place.objects.get(site=here, path="R1/1"), 3)
    load = stock.load(ines, here, made[:2], head=LoadHead("site", to_site=there), sent=True)
    assert now_of(here).parts["transit"] == 2
    arriving.arrive(stock.asks(ines), load, Came(Place.objects.get(site=there, path="R1/1"), everything=True))
    assert (now_of(here).received, now_of(here).parts["elsewhere"], now_of(here).closes) == (3, 2, True)
    assert (now_of(there).received, now_of(there).parts["rack"]) == (2, 2)


def test_the_balance_is_counted_with_few_questions(ines, sites, django_assert_max_num_queries):
    stock.pieces(Place.objects.get(site=sites[0], path="R1/1"), 40)
    with django_assert_max_num_queries(3):
        now_of(sites[0])


def test_a_returned_piece_lies_on_no_rack_any_more(ines, sites):
    (piece,) = stock.pieces(Place.objects.get(site=sites[0], path="R1/1"), 1)
    pieces.change_state(stock.asks(ines), piece, "returned")
    piece.refresh_from_db()
    assert piece.place.kind == "away"
    assert now_of(sites[0]).parts["returned"] == 1 and now_of(sites[0]).closes
    assert "No difference" in audited()
