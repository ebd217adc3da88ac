"""Pencil first: the blank sheet out, and a written one typed in, in the order in which it was written."""

import uuid
from dataclasses import dataclass, field, replace
from urllib.parse import urlencode

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET, require_http_methods

from rack.actions import pencil as actions
from rack.actions import straps
from rack.actions.closing import item_of
from rack.actions.files import bytes_of
from rack.actions.journal import Asked, Hand
from rack.calc.checks import Problem
from rack.calc.lengths import Length
from rack.calc.painted import number_after
from rack.desk import asked, at_desk, found_or_404, key_of_form, new_key
from rack.downloads import paper_size
from rack.errors import AlreadyUsed, Refused, TierbookError
from rack.forms.pencil import SheetHeadForm
from rack.models import Line, PencilPhoto, Tally
from rack.models.comparing import lines_of
from rack.models.strap_hands import hands_problems
from rack.models.strapping import column_of, grows
from rack.paper import pencil as paper
from rack.views.columns import page_number
from rack.views.sheets import NotNow
from rack.views.tally import base, tally_of

ROWS = 25
MOST_BLANK = 500


@dataclass(frozen=True)
class Row:
    """One row of the page: the line it belongs to, or the number of a new one; what was typed and said."""

    key: str
    line: int = 0
    painted: str = ""
    serial: str = ""
    stored: str = ""
    typed: str = ""
    sentences: tuple[str, ...] = ()


@dataclass
class Typed:
    """What became of a page that was sent."""

    stored: int = 0
    asking: int = 0
    bad: dict[str, Row] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


@at_desk()
@require_GET
def pencil_pdf(request: HttpRequest, number: int) -> HttpResponse:
    """The blank sheet. Nothing that was read is given to the paper, so that it is blind by construction."""
    one = tally_of(request, number)
    lines = lines_of(one)
    rows = [
        paper.PencilLine(n, line.painted, line.component.serial if line.component else line.serial_typed)
        for n, line in enumerate(lines, start=1)
    ]
    if not rows:
        rows = list(paper.numbered(1, page_number(request.GET.get("lines", "50"), MOST_BLANK)))
    head = paper.PencilHead(
        site_code=one.site.code, site_name=one.site.name, tally_no=one.number, title=one.title,
        item=item_of(one, lines), purpose=one.get_purpose_display(), unit=one.unit, digits=one.digits,
        length_kind=one.kind, straps_wanted=one.straps_wanted, strap_n=_strap_asked(request, one, 0),
        address=settings.ADDRESS + reverse("pencil", args=[one.number]),
        printed=timezone.localtime(timezone=one.site.zone).strftime("%Y-%m-%d %H:%M"),
        revision=one.revision, list_n=one.list_n,
        column=one.column_n, mind=one.words.mind,
    )
    page = paper.pdf(head, rows, size=paper_size(request, one.site))
    name = f"{one.site.code}-tally-{one.number}-pencil.pdf"
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(page, content_type="application/pdf", headers=headers)


@at_desk("strap")
@require_http_methods(["GET", "POST"])
def pencil(request: HttpRequest, number: int) -> HttpResponse:
    """A written sheet typed in, 25 rows a page; what is good is stored, what is not stays to be put right."""
    one = tally_of(request, number)
    strap_n = _strap_asked(request, one, _strap_now(one))
    if not one.open or (strap_n == 1 and one.is_blind):
        return render(request, "rack/pencil.html", {**base(one), "shut": _shut(one)},
                      status=200 if request.method == "GET" else 409)
    if request.method == "POST":
        return _type_in(request, one, strap_n)
    head = one.heads.filter(strap_n=strap_n).first()
    initial = {name: getattr(head, name, "") for name in ("tape", "reader", "writer")}
    names = ("date", "at", "list_n", "tape", "reader", "writer")
    known = {name: request.GET.get(name, "")[:60] for name in names}
    form = SheetHeadForm(site=one.site, initial={**initial, **{k: v for k, v in known.items() if v}})
    return _page(request, one, strap_n, form)


def _type_in(request: HttpRequest, one: Tally, strap_n: int) -> HttpResponse:
    form = SheetHeadForm(request.POST, request.FILES, site=one.site)
    rows = _posted(request)
    if not form.is_valid():
        return _page(request, one, strap_n, form, Typed(bad={_place(row): row for row in rows if row.typed}))
    done = Typed()
    hand = replace(asked(request).hand, made_at=form.made_at())
    key = key_of_form(request)
    try:
        _begin(Asked(uuid.uuid5(key, "begin"), hand), one, strap_n, form)
    except Refused as refused:
        done.problems += refused.problems
        done.bad = {_place(row): row for row in rows if row.typed}
        return _page(request, one, strap_n, form, done)
    _keep_photo(Asked(uuid.uuid5(key, "photo"), hand), one, strap_n, form, done)
    found = one.lines.select_related("tally__site", "component__spec")
    lines = {line.pk: line for line in found.filter(pk__in=[row.line for row in rows])}
    for row in rows:
        if row.typed:
            _store(hand, one, strap_n, row, lines.get(row.line), form, done)
    if done.bad or done.problems:
        return _page(request, one, strap_n, form, done)
    return _onward(request, one, strap_n, form, done)


def _begin(ask: Asked, one: Tally, strap_n: int, form: SheetHeadForm) -> None:
    """A second strap that came on pencil begins with the hands that stand on its sheet."""
    if strap_n == 2 and not one.heads.filter(strap_n=2).exists():
        typed = form.cleaned_data
        straps.begin_strap(ask, one, 2, typed["tape"], typed["reader"], typed["writer"])
    if form.cleaned_data["list_n"]:
        noted = Asked(uuid.uuid5(ask.key, "list"), ask.hand)
        actions.note_list(noted, one, strap_n, form.cleaned_data["list_n"])


def _keep_photo(ask: Asked, one: Tally, strap_n: int, form: SheetHeadForm, done: Typed) -> None:
    photo = form.cleaned_data["photo"]
    if not photo:
        return
    try:
        # One byte more than is allowed is enough to refuse it; a larger one is never read whole.
        actions.keep_photo(ask, one, strap_n, photo.read(actions.MOST_BYTES + 1), photo.name)
    except Refused as refused:
        done.problems += refused.problems


def _store(
    hand: Hand, one: Tally, strap_n: int, row: Row, line: Line | None, form: SheetHeadForm, done: Typed
) -> None:
    """Store one row by its own key; what the action refuses stands beside the row."""
    reading = straps.Reading(
        tally=one, typed=row.typed, strap_n=strap_n, line=line, painted="" if line else row.painted,
        tape=form.cleaned_data["tape"], hands=form.hands(),
    )
    try:
        read = straps.read(Asked(uuid.UUID(row.key), hand), reading)
    except Refused as refused:
        done.bad[_place(row)] = replace(row, sentences=tuple(problem.text for problem in refused.problems))
    except AlreadyUsed:
        said = "This row was stored already, with another length. Look at it, then send it again."
        done.bad[_place(row)] = replace(row, key=new_key(), sentences=(said,))
    else:
        done.stored += 1
        done.asking += bool(read.questions_n)


def _onward(request: HttpRequest, one: Tally, strap_n: int, form: SheetHeadForm, done: Typed) -> HttpResponse:
    said = f"{done.stored} reading{'' if done.stored == 1 else 's'} stored."
    if done.asking:
        asks = "asks" if done.asking == 1 else "ask"
        said += f" {done.asking} {asks} whether it reads so; answer on the tally's page."
    (messages.warning if done.asking else messages.success)(request, said)
    if strap_n == 2 and not one.heads.filter(strap_n=2, finished_at__isnull=False).exists():
        for problem in hands_problems(one):
            messages.warning(request, problem.text)
    here = page_number(request.POST.get("page", ""), 10_000)
    if here >= _last_page(one.lines.standing().count()):
        return redirect("tally", number=one.number)
    kept = {name: request.POST.get(name, "") for name in ("date", "at", "list_n", "tape", "reader", "writer")}
    return redirect(_address(one, strap_n, here + 1, kept))


def _address(one: Tally, strap_n: int, page: int, kept: dict[str, str]) -> str:
    pairs = {"strap": strap_n, "page": page, **{name: text for name, text in kept.items() if text}}
    return f"{reverse('pencil', args=[one.number])}?{urlencode(pairs)}"


def _page(
    request: HttpRequest, one: Tally, strap_n: int, form: SheetHeadForm, done: Typed | None = None
) -> HttpResponse:
    source = request.POST if request.method == "POST" else request.GET
    lines = lines_of(one)
    last = _last_page(len(lines))
    here = page_number(source.get("page", ""), last)
    rows = _rows(one, strap_n, lines, here, last)
    bad = done.bad if done else {}
    rows = [_with_typed(row, bad.pop(_place(row), None)) for row in rows]
    rows += bad.values()  # a number whose place has moved since the page was drawn
    context = {
        **base(one), "form": form, "rows": rows, "strap_n": strap_n, "page": here, "last": last,
        "wrong": bool(done), "problems": done.problems if done else [], "done": done,
        "choices": [] if one.is_blind or not any(line.first_nm for line in lines) else [1, 2],
        "back": f"?strap={strap_n}&page={here - 1}" if here > 1 else "",
        "next": f"?strap={strap_n}&page={here + 1}" if here < last else "",
        "begins": strap_n == 2 and not one.heads.filter(strap_n=2).exists(),
    }
    return render(request, "rack/pencil.html", context, status=422 if done else 200)


def _last_page(lines: int) -> int:
    """The page behind the last line, where new numbers can be typed."""
    return lines // ROWS + 1


def _rows(one: Tally, strap_n: int, lines: list[Line], here: int, last: int) -> list[Row]:
    column = column_of(strap_n)
    rows = []
    for line in lines[(here - 1) * ROWS : here * ROWS]:
        nm = getattr(line, column)
        serial = line.component.serial if line.component else line.serial_typed
        stored = "" if nm is None else Length(nm).shown(one.unit, one.digits)
        rows.append(Row(new_key(), line.pk, line.painted, serial, stored))
    if here == last:
        painted = lines[-1].painted if lines else ""
        counts_on = grows(one)
        for _ in range(ROWS - len(rows)):
            painted = number_after(painted) if counts_on else ""
            rows.append(Row(new_key(), painted=painted))
    return rows


def _posted(request: HttpRequest) -> list[Row]:
    """The rows of the page that was sent, in their order."""
    rows = []
    for n in range(ROWS * 2):
        key, line = request.POST.get(f"key-{n}", ""), request.POST.get(f"line-{n}", "")
        if not key:
            continue
        try:
            uuid.UUID(key)
        except ValueError:
            words = "This form came without its keys. Load the page again and repeat it."
            raise TierbookError(words) from None
        rows.append(Row(
            key=key, line=int(line) if line.isascii() and line.isdecimal() and len(line) < 19 else 0,
            painted=request.POST.get(f"painted-{n}", "").replace("\0", "").strip()[:40],
            typed=request.POST.get(f"typed-{n}", "").replace("\0", "").strip()[:40],
        ))
    return rows


def _place(row: Row) -> str:
    return f"line {row.line}" if row.line else f"new {row.painted}"


def _with_typed(row: Row, bad: Row | None) -> Row:
    return replace(row, key=bad.key, typed=bad.typed, sentences=bad.sentences) if bad else row


def _strap_now(one: Tally) -> int:
    """The strap that a sheet most likely belongs to: the second from the moment it is wanted or begun."""
    return 2 if one.is_blind or one.heads.filter(strap_n=2).exists() else 1


def _strap_asked(request: HttpRequest, one: Tally, usual: int) -> int:
    named = request.POST.get("strap") or request.GET.get("strap", "")
    return int(named) if named in ("1", "2") else usual


def _shut(one: Tally) -> str:
    if not one.open:
        return f"{one} is closed. Make a new revision to change it."
    return "The second strap is open: the first one can be typed in again when the second is finished."


@at_desk()
@require_GET
def pencil_photo(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """A photographed sheet, to be saved: a file that somebody sent in is never opened inside a page."""
    one = tally_of(request, number)
    photo: PencilPhoto = found_or_404(one.photos.select_related("file"), pk=pk)
    if photo.strap_n == 1 and one.is_blind:
        raise NotNow("The second strap is open; the first one's sheet is shown when it is finished.")
    headers = {
        "Content-Disposition": content_disposition_header(True, photo.file.typed_name) or "attachment",
        "Content-Security-Policy": "sandbox; default-src 'none'", "X-Content-Type-Options": "nosniff",
    }
    return HttpResponse(bytes_of(photo.file.sha256), content_type=photo.file.media, headers=headers)
