"""What a person changes of a report before it is accepted; nothing of it is in the register."""

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest

from inspection.actions import reports as actions
from inspection.forms.reports import ColumnsForm, HeadForm, LotForm, WordsForm
from inspection.views.report_incoming import Incoming
from inspection.views.report_reading import preview_of
from rack.calc.checks import stops
from rack.desk import asked
from rack.errors import Refused, UnreadableFile
from rack.models import Component, Site
from rack.models.naming import named


def changed(incoming: Incoming, **more: Any) -> Incoming:
    """The same with some things chosen otherwise."""
    return Incoming(**{**vars(incoming), **more})


def _columns(request: HttpRequest, incoming: Incoming, site: Site) -> dict[str, Any] | None:
    form = ColumnsForm(request.POST, mapping=incoming.read().mapping)
    if not form.is_valid():
        return {"columns_form": form}
    made = changed(incoming, mapping=form.corrected().to_text(), remembered=False)
    try:
        made.read()
    except UnreadableFile as unread:
        form.add_error(None, str(unread))
        return {"columns_form": form}
    made.keep(request)
    return None


def _head(request: HttpRequest, incoming: Incoming, site: Site) -> dict[str, Any] | None:
    shown = preview_of(incoming, site)
    form = head_form(request.POST, shown, incoming)
    if not form.is_valid():
        return {"head_form": form}
    said = form.said(dict(shown.read.texts))
    if form.cleaned_data["scheme"] and form.cleaned_data["scheme"] != incoming.read().report.by.code:
        said["scheme"] = form.cleaned_data["scheme"]
    changed(incoming, said=said, scope=form.cleaned_data["scope_of"]).keep(request)
    return None


def head_form(data: Any, shown: Any, incoming: Incoming) -> HeadForm:
    """The head as it stands now."""
    head = shown.read.report.head
    texts = {**shown.read.texts, **{name: text for name, text in incoming.said.items() if name != "scheme"}}
    return HeadForm(data, texts=texts, kind=head.spec.kind if head.spec else "drill_pipe",
                    scheme=shown.read.report.by.code, scope=shown.head.scope)  # fmt: skip


def _words(request: HttpRequest, incoming: Incoming, site: Site) -> dict[str, Any] | None:
    shown = preview_of(incoming, site)
    form = WordsForm(request.POST, words=shown.spellings, by=shown.read.report.by,
                     settled=dict(incoming.aliases))  # fmt: skip
    if not form.is_valid():
        return {"words_form": form}
    others = {word: name for word, name in incoming.aliases.items() if word not in shown.spellings}
    changed(incoming, aliases={**others, **form.settled()}).keep(request)
    return None


def _lot(request: HttpRequest, incoming: Incoming, site: Site) -> dict[str, Any] | None:
    read = incoming.read()
    form = LotForm(request.POST, site=site, sheets=[read.sheet, *read.others])
    if not form.is_valid():
        return {"lot_form": form}
    sheet = form.cleaned_data.get("sheet", incoming.sheet)
    more: dict[str, Any] = {"lot": form.cleaned_data["lot"], "sheet": sheet}
    if sheet != incoming.sheet and sheet != read.sheet:
        more |= {"mapping": "", "out": {}, "by_hand": {}}
    changed(incoming, **more).keep(request)
    return None


def _ticked(request: HttpRequest, incoming: Incoming) -> list[str]:
    there = {str(row.row) for row in incoming.read().report.rows}
    rows = [row for row in request.POST.getlist("row") if row in there]
    if not rows:
        raise Refused([stops("Tick the rows first.", code="rows")])
    return rows


def _out(request: HttpRequest, incoming: Incoming, site: Site) -> None:
    rows = _ticked(request, incoming)
    why = " ".join(request.POST.get("why", "").split())[:120]
    if not why:
        raise Refused([stops("Say in a few words why these rows are left out.", code="why")])
    changed(incoming, out={**incoming.out, **dict.fromkeys(rows, why)}).keep(request)


def _in(request: HttpRequest, incoming: Incoming, site: Site) -> None:
    rows = set(_ticked(request, incoming))
    by_hand = {row: tag for row, tag in incoming.by_hand.items() if row not in rows}
    out = {row: why for row, why in incoming.out.items() if row not in rows}
    changed(incoming, out=out, by_hand=by_hand).keep(request)


def _tie(request: HttpRequest, incoming: Incoming, site: Site) -> None:
    """One row is this piece: a guess that was confirmed, or a name that was typed for the ticked row."""
    row, _, tag = request.POST.get("guess", "").partition("|")
    if not tag:
        rows = _ticked(request, incoming)
        names = [request.POST.get("name", "").strip()]
        if len(rows) != 1 or not names[0]:
            raise Refused([stops("Tick one row and type one serial, tag or painted number.", code="tie")])
        pieces, problems = named(Component.objects.at(site), names)
        if problems:
            raise Refused(problems)
        row, tag = rows[0], pieces[0].tag
    if not row.isdecimal() or not Component.objects.at(site).filter(tag=tag).exists():
        raise Refused([stops("That piece is not at this site any more.", code="gone")])
    out = {line: why for line, why in incoming.out.items() if line != row}
    changed(incoming, by_hand={**incoming.by_hand, row: tag}, out=out).keep(request)


def _plain(request: HttpRequest, incoming: Incoming, site: Site) -> None:
    """Read the report without what is remembered of its company."""
    changed(incoming, mapping="", aliases={}, remembered=False).keep(request)


def _forget(request: HttpRequest, incoming: Incoming, site: Site) -> None:
    actions.forget(asked(request), site, incoming.read().report.head.company)
    _plain(request, incoming, site)


CHANGES: dict[str, Callable[[HttpRequest, Incoming, Site], dict[str, Any] | None]] = {
    "columns": _columns, "head": _head, "words": _words, "lot": _lot, "out": _out, "in": _in, "tie": _tie,
    "plain": _plain, "forget": _forget,
}  # fmt: skip
