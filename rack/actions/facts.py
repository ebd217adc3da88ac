"""What people note of a piece: the facts that only its kind has."""

from collections.abc import Mapping

from django.db import transaction
from django.db.models import F

from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_pieces
from rack.actions.making import specs_of
from rack.calc.checks import Problem, Severity, stops
from rack.calc.facts import facts_of_spec, read_fact, shown_fact, with_facts
from rack.calc.kinds import Kind
from rack.errors import ChangedMeanwhile, Refused
from rack.models import Component, Journal, PieceFact
from rack.models.pieces import noted_facts
from rack.people import check_can


def note_fact(
    asked: Asked, piece: Component, typed: Mapping[str, str], *, seen: int | None = None
) -> list[PieceFact]:
    """Note facts of a piece by name, each as it is typed; only what changes is written. Blank takes it away.

    A fact that belongs to the specification moves the piece to the specification that has it. Raises
    Refused with everything that cannot be read, and for a name that this kind of piece does not have.
    """
    check_can(asked.hand.user, "fact", piece.site)
    kind = piece.spec.kind_entry
    values = _read(kind, typed)
    with transaction.atomic():
        body = {"component": piece.pk, "facts": dict(sorted(typed.items()))}
        said = "; ".join(_said(kind, name, values[name]) for name in sorted(values))[:400]
        line, again = open_line(asked, "note fact", piece.site, f"Noted on {piece}: {said}", body)
        if again:
            return list(PieceFact.objects.filter(journal=line).order_by("seq"))
        now = lock_pieces([piece.pk])[piece.pk]
        if seen is not None and seen != now.version:
            raise ChangedMeanwhile(
                f"{piece} was changed by somebody else in the meantime. Nothing was stored. "
                "Load the page again and repeat it."
            )
        there = current_facts(now)
        changed = {name: value for name, value in values.items() if there.get(name, "") != value}
        if not changed:
            raise Refused([stops(f"Nothing was changed: {piece} has these facts already.", code="fact")])
        _respecify(now, changed)
        return _write(line, now, changed, typed)


def current_facts(piece: Component, noted: Mapping[str, PieceFact] | None = None) -> dict[str, str]:
    """The facts of a piece as they stand, name -> canonical text: its specification's and its own.

    `noted` are its notes where they are at hand already.
    """
    names = {fact.name for fact in piece.spec.kind_entry.facts if fact.of == "piece"}
    rows = noted if noted is not None else noted_facts(piece) if names else {}
    own = {name: row.value for name, row in rows.items() if name in names and row.value}
    return {**facts_of_spec(piece.spec.as_facts), **own}


def _read(kind: Kind, typed: Mapping[str, str]) -> dict[str, str]:
    values: dict[str, str] = {}
    problems: list[Problem] = []
    for name, text in typed.items():
        try:
            fact = kind.fact(name)
        except ValueError as wrong:
            problems.append(stops(f"{str(wrong)[:200].capitalize()}.", code="fact"))
            continue
        values[name], found = read_fact(fact, text)
        problems += [one for one in found if one.severity is Severity.STOPS]
    if not typed:
        problems.append(stops("Nothing was typed to note.", code="fact"))
    if problems:
        raise Refused(problems)
    return values


def _said(kind: Kind, name: str, value: str) -> str:
    fact = kind.fact(name)
    label = fact.label if fact.label[:2].isupper() else fact.label[0].lower() + fact.label[1:]
    return f"{label} {shown_fact(fact, value) or 'not known'}"


def _respecify(piece: Component, changed: Mapping[str, str]) -> None:
    """Move the piece to the specification with these facts; the old one is never edited."""
    kind = piece.spec.kind_entry
    of_spec = {name: value for name, value in changed.items() if kind.fact(name).of == "spec"}
    fresh = with_facts(piece.spec.as_facts, of_spec)
    spec = specs_of([fresh])[fresh.key] if of_spec else piece.spec
    Component.objects.filter(pk=piece.pk).update(spec=spec, version=F("version") + 1)


def _write(
    line: Journal, piece: Component, changed: Mapping[str, str], typed: Mapping[str, str]
) -> list[PieceFact]:
    today = line.at.astimezone(piece.site.zone).date()
    return PieceFact.objects.bulk_create(
        PieceFact(
            journal=line,
            seq=seq,
            at=line.at,
            component=piece,
            name=name,
            value=value,
            typed=" ".join(typed[name].split())[:80],
            since=today,
        )
        for seq, (name, value) in enumerate(sorted(changed.items()))
    )
