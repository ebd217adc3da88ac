"""The audit opens every printed BHA sheet: its digest, its sums, the code and revision that its row bears."""

import pytest

from rack.actions import plans
from rack.actions.string_printing import print_bha
from rack.calc.sheets import digest_of
from rack.models import StringSheet
from tests import stock
from tests.rack.test_audit import audited, by_hand, differences

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def printed(here, layer, ola) -> StringSheet:
    pieces = stock.pieces(layer, 3, lengths=["31.24", "30.98", "31.02"])
    plan = plans.begin_plan(stock.asks(ola), here, plans.PlanHead("next"), [plans.Put(one) for one in pieces])
    return print_bha(stock.asks(ola), plan)


def write(sheet: StringSheet, content: str, *, digest: str = "") -> None:
    by_hand(StringSheet, "UPDATE {table} SET content = %s, digest = %s WHERE id = %s",
            [content, digest or digest_of(content), sheet.pk])  # fmt: skip


def test_a_printed_sheet_has_no_difference(printed):
    assert "No difference" in audited()


def test_a_changed_letter_is_named_by_the_digest(printed):
    write(printed, printed.content.replace("KD4101", "KD4109"), digest=printed.digest)
    [found] = differences()[:1]
    assert f"BHA sheet {printed.code}" in found and "digest" in found


@pytest.mark.parametrize("old, new, words", [
    ('"revision":1', '"revision":2', "revision 2"),
    ('"count":3', '"count":4', "the rows give 3"),
    ('"program"', '"programme"', "not the text of a BHA sheet"),
])  # fmt: skip
def test_a_text_that_does_not_add_up_is_named_whatever_its_digest_says(printed, old, new, words):
    assert old in printed.content
    write(printed, printed.content.replace(old, new))
    found = differences()
    assert any(words in line for line in found), found
    assert not any("digest" in line for line in found)
