"""The lengths of a piece that still hold: one, or open and closed for a tool that telescopes."""

from collections.abc import Collection, Iterable

from rack.calc.lengths import Length
from rack.calc.telescopes import stands_of
from rack.models.pieces import Component
from rack.models.tallies import Line, Strap


def standing_lengths(ids: Iterable[int]) -> dict[int, dict[str, Strap]]:
    """Of each piece the newest standing reading, by how it stood ("open", "closed", "" for neither).

    Readings before the last recut or reface hold no longer.
    """
    rows = Strap.objects.standing().filter(component__in=list(ids), strap_n=0).order_by("component", "-id")
    found: dict[int, dict[str, Strap]] = {}
    ended: set[int] = set()
    for strap in rows.select_related("journal__by"):
        piece = strap.component_id or 0
        if strap.what == "ended":
            ended.add(piece)
        elif piece not in ended:
            found.setdefault(piece, {}).setdefault(strap.stands, strap)
    return found


def listed_length(piece: Component, kind: str) -> Length | None:
    """What the sender's list says of a piece, or one who taped it alone; None for another kind of length.

    Never what a tally said: its first strap may be hidden from whoever asks (law 13).
    """
    strap = piece.length_by
    if strap is None or strap.nm is None or strap.line_id is not None or strap.kind != kind:
        return None
    return Length(strap.nm)


def open_line_of(piece: Component) -> Line | None:
    """The line of an open tally that this piece stands on, if any: there it is read, not alone."""
    rows = Line.objects.standing().filter(component=piece, tally__open=True)
    return rows.select_related("tally").order_by("-id").first()


def on_open_lines(ids: Collection[int]) -> set[int]:
    """Those of these pieces that stand on a line of an open tally."""
    if not ids:
        return set()
    rows = Line.objects.standing().filter(component__in=ids, tally__open=True)
    return set(rows.order_by().values_list("component", flat=True))


def how_lines_stood(lines: Iterable[Line], kind: str) -> dict[int, str]:
    """Of each line whose piece telescopes, by primary key: "open", "closed", or "" where it is not known.

    What was said with the reading that the line holds counts first; else the reading is held against the
    open and the closed length of that very piece, taken in the same way.
    """
    rows = {
        line.pk: line for line in lines if line.component and line.component.spec.kind_entry.telescopes
    }
    known = standing_lengths(line.component_id or 0 for line in rows.values()) if rows else {}
    said = _said(rows.values()) if rows else {}
    found = {}
    for pk, line in rows.items():
        if pk in said:
            found[pk] = said[pk]
            continue
        nm = line.first_nm if line.first_nm is not None else line.second_nm
        of_piece = known.get(line.component_id or 0, {})
        both = [_length(of_piece.get(name), kind) for name in ("open", "closed")]
        found[pk] = "" if nm is None else stands_of(Length(nm), *both)
    return found


def _said(lines: Iterable[Line]) -> dict[int, str]:
    """What was typed with the reading that each line holds, "open" or "closed"; other lines are left out."""
    strap_n = {line.pk: 1 if line.first_nm is not None else 2 for line in lines}
    rows = Strap.objects.standing().filter(line__in=list(strap_n), what="reading").order_by("id")
    newest = {row.line_id: row.stands for row in rows if row.strap_n == strap_n[row.line_id or 0]}
    return {pk: stands for pk, stands in newest.items() if pk and stands}


def _length(strap: Strap | None, kind: str) -> Length | None:
    return Length(strap.nm) if strap and strap.nm is not None and strap.kind == kind else None
