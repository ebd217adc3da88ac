"""Gathering what the rules ask for: a tally's lines as facts, its two straps compared."""

from functools import lru_cache

from rack.calc.lengths import Length
from rack.calc.lookup import Catalogue
from rack.calc.losses import Loss, for_line
from rack.calc.specs import SpecFacts, spec_from_key
from rack.calc.straps import Comparison, StrapLine, compare
from rack.models.reference import catalogue
from rack.models.tallies import Line, Tally


def lines_of(tally: Tally) -> list[Line]:
    """The standing lines in order, each with its piece and what that is made to."""
    rows = tally.lines.standing().in_order()
    return list(rows.select_related("component", "component__spec", "component__site"))


def held_nm(tally: Tally, line: Line) -> int | None:
    """The length that holds for a line: as closing takes it from the straps; where a tally is read by the
    stand, the length that its piece has in the register."""
    if tally.words.by_stand:
        piece = line.component
        return piece.length_nm if piece and piece.length_kind == tally.kind else None
    return line.first_nm if line.first_nm is not None else line.second_nm


def length_of(nm: int | None) -> Length | None:
    return None if nm is None else Length(nm)


def loss_of(tally: Tally, line: Line) -> Loss | None:
    """What comes off this line when its piece is made up; None where the tables do not say."""
    spec = line.component.spec if line.component else tally.spec
    return _loss(tally.kind, spec.key, _tables(tally)) if spec else None


def _tables(tally: Tally) -> Catalogue:
    """The tables with the office's rows, read once for a tally at hand."""
    known: Catalogue | None = getattr(tally, "tables_read", None)
    if known is None:
        known = catalogue()
        tally.tables_read = known  # type: ignore[attr-defined]
    return known


@lru_cache(maxsize=512)
def _loss(length_kind: str, key: str, tables: Catalogue) -> Loss | None:
    try:
        return for_line(length_kind, spec_from_key(key), catalogue=tables)
    except ValueError:  # a thread that no table knows: the loss is not known, which is not zero
        return None


@lru_cache(maxsize=512)
def _pin(key: str, tables: Catalogue) -> Length | None:
    facts: SpecFacts = spec_from_key(key)
    try:
        found = for_line("overall, tool", facts, catalogue=tables)
    except ValueError:
        return None
    return found.length if found else None


def compared(tally: Tally, lines: list[Line] | None = None) -> Comparison:
    """The two straps of a tally held against each other. Ask only when the tally is not blind."""
    lines = lines_of(tally) if lines is None else lines
    first = [strap_line(tally, line, line.first_nm) for line in lines]
    second = [strap_line(tally, line, line.second_nm) for line in lines]
    return compare(first, second, unit=tally.unit, digits=tally.digits, revisions=_lists(tally))


def _lists(tally: Tally) -> tuple[int, int] | None:
    """The lists that the two straps were taken on; a strap typed into the live page had the newest."""
    found = dict(tally.heads.values_list("strap_n", "list_n"))
    if not any(found.values()):
        return None
    return found.get(1) or tally.list_n, found.get(2) or tally.list_n


def strap_line(tally: Tally, line: Line, nm: int | None) -> StrapLine:
    """One line as one strap, or one list, has it."""
    spec = line.component.spec if line.component else tally.spec
    loss = loss_of(tally, line) if tally.kind == "threads on" else None
    pin = _pin(spec.key, _tables(tally)) if spec and spec.kind_entry.family == "shouldered" else None
    return StrapLine(
        painted=line.painted,
        length=length_of(nm),
        pin=pin,
        loss=loss.length if loss else None,
        kind=tally.kind,
    )
