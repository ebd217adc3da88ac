"""A piece of the register as a link of a string: what the rules, the loads and the paper ask of it."""

import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from rack.calc.chain import Link
from rack.calc.lengths import Length
from rack.calc.lookup import Catalogue
from rack.calc.losses import for_line
from rack.calc.specs import spec_from_key
from rack.models.blindness import is_shut
from rack.models.deliveries import Delivered
from rack.models.due_facts import due_and_whose
from rack.models.lengths import standing_lengths
from rack.models.pieces import Component, Hold, PieceFact
from rack.models.reference import catalogue
from rack.models.strings import Member
from rack.models.tallies import Strap

#: So many primary keys are bound in one question.
_AT_ONCE = 500


def made_up_length(piece: Component, tables: Catalogue | None = None) -> tuple[Length | None, str]:
    """What a piece adds to the depth, and how that was found; None where it is not known."""
    return made_up(piece.length_nm, piece.length_kind, piece.spec.key, tables or catalogue())


def made_up(nm: int | None, kind: str, key: str, tables: Catalogue) -> tuple[Length | None, str]:
    """The same of a length in nm, how it was taken and the key of the specification."""
    if nm is None:
        return None, "never taped"
    loss = _loss(kind, key, tables)
    if loss is None:
        return None, f"{kind}, and what is lost when it is made up is not known"
    how = kind if not loss[0] else f"{kind} less {loss[1]}"
    return Length(nm - loss[0]), how[:120]


@lru_cache(maxsize=1024)
def _loss(kind: str, key: str, tables: Catalogue) -> tuple[int, str] | None:
    try:
        found = for_line(kind, spec_from_key(key), catalogue=tables)
    except ValueError:  # a thread that no table knows: the loss is not known, which is not zero
        return None
    return (found.length.nanometres, found.source) if found else None


def links_of(pieces: Sequence[Component], *, elsewhere: int | None = None) -> list[Link]:
    """These pieces, read with their sites, as links in their order; a few questions whatever their number.

    `elsewhere` is the string that they are looked at for: another that has one of them is named.
    """
    ids = [piece.pk for piece in pieces]
    facts, holds, due = facts_of(ids), holds_of(ids), due_and_whose(pieces)
    classes = given_classes([piece.pk for piece in pieces if not piece.scheme])
    both = {pk: found for some in _some(ids) for pk, found in standing_lengths(some).items()}
    strings = _strings(ids, elsewhere)
    hidden, tables = _shut(ids), catalogue()
    return [
        _without_length(piece, hidden, _link(
            piece, facts.get(piece.pk, {}), holds.get(piece.pk, ()), classes.get(piece.pk, piece.pipe_class),
            due[piece.pk], both.get(piece.pk, {}), strings.get(piece.pk, ""), tables,
        ))
        for piece in pieces
    ]  # fmt: skip


def _link(
    piece: Component, facts: Mapping[str, str], holds: tuple[str, ...], pipe_class: str,
    due: tuple[str, str], both: Mapping[str, Strap], elsewhere: str, tables: Catalogue,
) -> Link:  # fmt: skip
    spec = spec_from_key(piece.spec.key)
    own = {name: _text(value) for name, value in json.loads(spec.facts).items()}
    length, _ = made_up_length(piece, tables)
    lengths = {name: _made_up(row, piece.spec.key, tables) for name, row in both.items()}
    stands = next((name for name, row in both.items() if row.pk == piece.length_by_id), "")
    return Link(
        ident=str(piece), spec=spec, length=length, tag=piece.tag, serial=piece.serial, key=piece.pk,
        facts={**own, **facts}, pipe_class=pipe_class, scheme=piece.scheme, state=piece.state, holds=holds,
        due=due[0], due_by=due[1], stands=stands,
        opened=lengths.get("open"), closed=lengths.get("closed"), elsewhere=elsewhere,
    )  # fmt: skip


def _shut(ids: Collection[int]) -> set[int]:
    """Pieces that are strapped blind again now: their length is nobody's to read (law 13)."""
    parts = (Component.objects.filter(is_shut(), pk__in=some) for some in _some(ids))
    return {pk for part in parts for pk in part.values_list("pk", flat=True)}


def _without_length(piece: Component, hidden: Collection[int], link: Link) -> Link:
    return replace(link, length=None, opened=None, closed=None) if piece.pk in hidden else link


def _made_up(row: Strap, key: str, tables: Catalogue) -> Length | None:
    """What one of the lengths of a tool that telescopes adds to the depth."""
    loss = None if row.nm is None else _loss(row.kind, key, tables)
    return None if row.nm is None or loss is None else Length(row.nm - loss[0])


def _text(value: object) -> str:
    return "yes" if value is True else str(value)


def facts_of(ids: Collection[int]) -> dict[int, dict[str, str]]:
    """What was noted of these very pieces, the newest of each fact; a fact taken away is blank."""
    found: dict[int, dict[str, str]] = defaultdict(dict)
    for some in _some(ids):
        rows = PieceFact.objects.standing().filter(component__in=some).order_by("id")
        for piece, name, value in rows.values_list("component", "name", "value"):
            found[piece][name] = value
    return found


def holds_of(ids: Collection[int]) -> dict[int, tuple[str, ...]]:
    found: dict[int, tuple[str, ...]] = defaultdict(tuple)
    for some in _some(ids):
        rows = Hold.objects.filter(component__in=some, what="put", released_by=None).order_by("id")
        for piece, reason in rows.values_list("component", "reason"):
            found[piece] += (reason,)
    return found


def given_classes(ids: Collection[int], *, using: str = "default") -> dict[int, str]:
    """The class that the newest list gave each piece: somebody's word, not an inspection."""
    found: dict[int, str] = {}
    for some in _some(ids):
        rows = Delivered.objects.using(using).standing().filter(component__in=some).order_by("id")
        for piece, read in rows.values_list("component", "read"):
            given = json.loads(read).get("pipe_class", "")
            if given:
                found[piece] = given
    return found


def _strings(ids: Collection[int], own: int | None) -> dict[int, str]:
    found: dict[int, str] = {}
    for some in _some(ids):
        rows = Member.objects.now().filter(component__in=some).select_related("string")
        found |= {row.component_id: str(row.string) for row in rows if row.string_id != own}
    return found


def _some(ids: Iterable[int]) -> list[list[int]]:
    rows = list(ids)
    return [rows[at : at + _AT_ONCE] for at in range(0, len(rows), _AT_ONCE)]
