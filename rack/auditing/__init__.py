"""The audit: every kept figure rebuilt from the ledgers, every trigger looked for, every file opened.

It repairs nothing: a difference is a slip of the program or somebody's hand in the database, and a
person must see it before it is covered up.
"""

import hashlib
import json
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

from django.db.models import (
    Case,
    CharField,
    Count,
    Exists,
    IntegerField,
    Max,
    OuterRef,
    QuerySet,
    Subquery,
    Value,
    When,
)
from django.db.models.functions import Coalesce

from rack.actions.files import path_of
from rack.actions.kept import governing_strap, open_questions, standing_reading
from rack.auditing import hours
from rack.auditing.comparing import compare as _compare
from rack.auditing.difference import Difference
from rack.auditing.facts import facts_of_specifications
from rack.auditing.strings import members
from rack.auditing.strings import sheets as string_sheets
from rack.calc import casing_content, sheets
from rack.calc.casing_content import CasingContent
from rack.calc.loadlist import LoadContent, load_check
from rack.calc.names import key_of, last_first
from rack.calc.sheets import SheetContent, digest_of
from rack.models import (
    Arrival,
    CasingPlan,
    CasingSheet,
    Component,
    File,
    Hold,
    Journal,
    Line,
    LoadOut,
    LoadSheet,
    Mark,
    Move,
    Sheet,
    Spec,
    Tally,
    guard,
)
from rack.neighbours import neighbours

CHUNK = 1 << 20


Check = Callable[[str], Iterator[Difference]]


def audit(using: str) -> Iterator[Difference]:
    """Return every difference that is found, through the connection of this alias.

    Give it the alias of a snapshot, or entries made meanwhile would look like differences.
    """
    checks: tuple[Check, ...] = (
        _triggers, _pieces, facts_of_specifications, _lines, _tallies, _names, _sheets, _casing, _loads,
        members, string_sheets, hours.clocks, hours.dates, hours.lines, hours.reversals, _files,
        *neighbours("audits"),
    )  # fmt: skip
    for check in checks:
        yield from check(using)


def _triggers(using: str) -> Iterator[Difference]:
    for name in guard.missing(using):
        yield Difference("the ledgers", f"the trigger {name}", "missing", "there")


def _pieces(using: str) -> Iterator[Difference]:
    yield from _compare(
        Component.objects.using(using),
        lambda row: f"the piece with tag {row['tag']}",
        ("tag",),
        place_id=_last_move("to_place"),
        state=Coalesce(_last_move("to_state"), Value(""), output_field=CharField()),
        holds_n=_holds("put") - _holds("release"),
        length_nm=governing_strap("nm"),
        length_kind=Coalesce(governing_strap("kind"), Value("")),
        length_by_id=governing_strap("pk"),
    )


def _lines(using: str) -> Iterator[Difference]:
    yield from _compare(
        Line.objects.using(using),
        lambda row: f"line {row['pk']} of tally {row['tally__number']}",
        ("tally__number",),
        first_nm=standing_reading(1),
        second_nm=standing_reading(2),
        questions_n=open_questions(),
    )


def _tallies(using: str) -> Iterator[Difference]:
    closed = Sheet.objects.filter(tally=OuterRef("pk")).order_by().values("tally")
    yield from _compare(
        Tally.objects.using(using),
        lambda row: f"tally {row['number']}",
        ("number",),
        revision=Coalesce(Subquery(closed.annotate(last=Max("revision")).values("last")), Value(0)),
    )
    yield from _open_or_closed(using)


def _open_or_closed(using: str) -> Iterator[Difference]:
    """A tally is closed when it has a sheet more than it was opened again for a revision."""
    facts = Journal.objects.using(using).filter(verb="revise tally").values_list("facts", flat=True)
    again = Counter(json.loads(text)["tally"] for text in facts.iterator())
    rows = Tally.objects.using(using).annotate(sheets_n=Count("sheets")).order_by("pk")
    for pk, number, is_open, closed in rows.values_list("pk", "number", "open", "sheets_n").iterator():
        should = closed == again[pk]
        if is_open != should:
            yield Difference(f"tally {number}", "open", is_open, should)


def _last_move(field: str) -> Subquery:
    rows = Move.objects.filter(component=OuterRef("pk")).order_by("-id")
    return Subquery(rows.values(field)[:1])


def _holds(what: str) -> Coalesce:
    rows = Hold.objects.standing().filter(component=OuterRef("pk"), what=what).order_by().values("component")
    counted = Subquery(rows.annotate(n=Count("pk")).values("n"), output_field=IntegerField())
    return Coalesce(counted, Value(0))


def _names(using: str) -> Iterator[Difference]:
    """Hold what is searched to what is written: a wrong key hides a piece from every search."""
    for tag, serial, key, yek in _values(Component, using, "tag", "serial", "serial_key", "serial_yek"):
        if (key, yek) != (key_of(serial), last_first(serial)):
            yield Difference(f"the piece with tag {tag}", "its searched serial", key, key_of(serial))
    for pk, text, key, yek in _values(Mark, using, "pk", "text", "text_key", "text_yek"):
        if (key, yek) != (key_of(text), last_first(text)):
            yield Difference(f"mark {pk}", "its searched text", key, key_of(text))
    for spec in Spec.objects.using(using).order_by("pk").iterator():
        facts = {name: getattr(spec, name) for name in vars(spec.as_facts)}
        if facts != vars(spec.as_facts):
            yield Difference(f"specification {spec.pk}", "its columns", facts, spec.key)


def _sheets(using: str) -> Iterator[Difference]:
    for code, digest, content in _values(Sheet, using, "code", "digest", "content"):
        if digest != digest_of(content):
            yield Difference(f"sheet {code}", "the digest of its content", digest, digest_of(content))
        for words in _sums_of(content):
            yield Difference(f"sheet {code}", "its content", words, "a sheet that adds up")


def _sums_of(text: str) -> list[str]:
    """What is wrong with a sheet's own figures, in words; nothing when it adds up."""
    try:
        return [problem.text for problem in sheets.check(SheetContent.from_text(text))]
    except ValueError as wrong:
        return [str(wrong)]


def _casing(using: str) -> Iterator[Difference]:
    """A printed casing plan holds what its rows give, and its plan counts its printed revisions."""
    for code, digest, content in _values(CasingSheet, using, "code", "digest", "content"):
        if digest != digest_of(content):
            yield Difference(f"casing plan {code}", "the digest of its content", digest, digest_of(content))
        try:
            wrong = [problem.text for problem in casing_content.check(CasingContent.from_text(content))]
        except ValueError as error:
            wrong = [str(error)]
        for words in wrong:
            yield Difference(f"casing plan {code}", "its content", words, "a plan that adds up")
    printed = CasingSheet.objects.filter(plan=OuterRef("pk")).order_by().values("plan")
    yield from _compare(
        CasingPlan.objects.using(using),
        lambda row: f"casing plan of tally {row['tally__number']}",
        ("tally__number",),
        revision=Coalesce(Subquery(printed.annotate(last=Max("revision")).values("last")), Value(0)),
    )


def _loads(using: str) -> Iterator[Difference]:
    """A load's kept state and revision against its lists and arrivals, and every list against its digest."""
    sheets_of = LoadSheet.objects.filter(loadout=OuterRef("pk"), reverses=None)
    standing = LoadSheet.objects.standing().filter(loadout=OuterRef("pk"))
    whole = Arrival.objects.standing().filter(loadout=OuterRef("pk"), complete=True)
    yield from _compare(
        LoadOut.objects.using(using),
        lambda row: f"load {row['number']} of {row['site__code']}",
        ("number", "site__code"),
        state=Case(When(Exists(whole), then=Value("arrived")), When(Exists(standing), then=Value("sent")),
                   default=Value("open"), output_field=CharField()),
        revision=Coalesce(Subquery(sheets_of.order_by("-revision").values("revision")[:1]), Value(0)),
    )  # fmt: skip
    for code, digest, content in _values(LoadSheet, using, "code", "digest", "content"):
        if code and digest != digest_of(content):
            yield Difference(f"list {code}", "the digest of its content", digest, digest_of(content))
        for words in _load_words(content) if code else ():
            yield Difference(f"list {code}", "its content", words, "a list that adds up")


def _load_words(text: str) -> tuple[str, ...]:
    try:
        return load_check(LoadContent.from_text(text))
    except ValueError as wrong:
        return (str(wrong),)


def _files(using: str) -> Iterator[Difference]:
    for sha256, size in _values(File, using, "sha256", "size"):
        of = f"the file {sha256[:12]}"
        if not path_of(sha256).exists():
            yield Difference(of, "its bytes", "missing", "there")
            continue
        digest, length = hashlib.sha256(), 0
        with path_of(sha256).open("rb") as source:
            while chunk := source.read(CHUNK):
                digest.update(chunk)
                length += len(chunk)
        if (digest.hexdigest(), length) != (sha256, size):
            yield Difference(of, "its bytes", digest.hexdigest(), sha256)


def _values(model: type[Any], using: str, *names: str) -> Iterator[tuple[Any, ...]]:
    rows: QuerySet[Any] = model._base_manager.using(using).order_by("pk").values_list(*names)
    return rows.iterator()
