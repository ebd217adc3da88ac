"""The lots of a string: all pieces of one specification, and what came with one delivery.

One answer to a rule may be given for a lot; which lots a piece belongs to is read from the register.
"""

from collections.abc import Collection
from dataclasses import dataclass

from rack.models.deliveries import Delivered, Delivery
from rack.models.pieces import Component, Spec
from rack.models.plans import RuleConsent

_AT_ONCE = 500


@dataclass(frozen=True)
class Lot:
    """A lot: the `code` that a form sends, the `name` that the rules compare, and its words on a page."""

    code: str
    name: str
    words: str


def of_spec(spec: Spec) -> Lot:
    return Lot(f"lot:{spec.pk}", spec.key, f"every {spec} in it")


def of_delivery(delivery: Delivery) -> Lot:
    name = f"delivery {delivery.pk}"
    return Lot(f"delivery:{delivery.pk}", name, f"what came with {name} ({delivery.file})")


def lots_of(keys: Collection[int]) -> dict[int, tuple[Lot, ...]]:
    """The lots of these pieces, by the piece; the specification first."""
    found: dict[int, list[Lot]] = {}
    specs: dict[int, Lot] = {}
    deliveries: dict[int, Lot] = {}
    ids = sorted(keys)
    for at in range(0, len(ids), _AT_ONCE):
        some = ids[at : at + _AT_ONCE]
        for piece in Component.objects.filter(pk__in=some).select_related("spec"):
            lot = specs.setdefault(piece.spec_id, of_spec(piece.spec))
            found.setdefault(piece.pk, []).append(lot)
        rows = Delivered.objects.standing().filter(component__in=some).select_related("delivery__file")
        for row in rows.order_by("id"):
            lot = deliveries.setdefault(row.delivery_id, of_delivery(row.delivery))
            if row.component_id is not None:
                found.setdefault(row.component_id, []).append(lot)
    return {key: tuple(dict.fromkeys(lots)) for key, lots in found.items()}


def name_of(one: RuleConsent) -> str:
    """The name by which the rules know the lot of an answer, "" for an answer of no lot."""
    if one.delivery:
        return of_delivery(one.delivery).name
    return one.lot.key if one.lot else ""


def words_of(one: RuleConsent) -> str:
    """What an answer is given for, as pages and paper say it."""
    words = str(one.component) if one.component else ""
    if one.delivery:
        words = of_delivery(one.delivery).words
    elif one.lot:
        words = of_spec(one.lot).words
    return f"{words or 'this string'}, carried over from {one.origin}" if one.origin else words
