"""Receiving: a list comes in, is shown as it was read, corrected, and accepted whole or not at all."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from rack.actions import receiving as actions
from rack.actions.files import bytes_of, keep_bytes
from rack.actions.racks import asking_only, delivery_questions
from rack.calc.checks import Severity
from rack.calc.receiving import DeliveryList, Mapping
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import NotAtHand, Refused, TierbookError, UnreadableFile
from rack.exchange.delivery import read_delivery
from rack.exchange.remembered import with_remembered
from rack.forms.receiving import MappingForm, UploadForm
from rack.models import Delivered, Delivery, LoadOut, Place, Site
from rack.paging import page_by_key

ROWS_A_PAGE = 200


@dataclass(frozen=True)
class Incoming:
    """A file that waits to be accepted; it lives in the session, nothing of it in the register."""

    digest: str
    name: str
    media: str
    place: int
    sender: str
    owner: str
    mapping: str = ""
    left_out: tuple[tuple[str, int], ...] = ()
    ticket: str = ""
    order_no: str = ""
    truck: str = ""
    hand_count: int | None = None
    remembered: int = 0

    def keep(self, request: HttpRequest) -> None:
        waiting = request.session.get("incoming", {})
        waiting[self.digest] = {**vars(self), "left_out": [list(one) for one in self.left_out]}
        request.session["incoming"] = dict(list(waiting.items())[-10:])

    @classmethod
    def of(cls, request: HttpRequest, digest: str) -> "Incoming":
        found = request.session.get("incoming", {}).get(digest)
        if found is None:
            raise NotAtHand("This list is not at hand any more. Choose the file again.")
        return cls(**{**found, "left_out": tuple((sheet, row) for sheet, row in found["left_out"])})


@at_desk("receive")
@require_http_methods(["GET", "POST"])
def receive(request: HttpRequest) -> HttpResponse:
    """Choose a file; it is read at once, and a file that is no list is refused in one sentence."""
    site = site_of(request)
    form = UploadForm(request.POST or None, request.FILES or None, site=site)
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        data = file.read()
        try:
            read = read_delivery(data, file.name)
        except UnreadableFile as refused:
            form.add_error("file", str(refused))
        else:
            incoming = _incoming(form, keep_bytes(data), file, read, site)
            incoming.keep(request)
            return redirect("preview", digest=incoming.digest)
    rows = Delivery.objects.at(site).select_related("file", "journal__by", "place").order_by("-id")[:20]
    context = {
        "form": form, "deliveries": rows, "has_layer": Place.objects.on(site).lie_on().exists(),
        "coming": LoadOut.objects.coming_to(site).select_related("site").order_by("id")[:100],
    }  # fmt: skip
    return render(request, "rack/receive.html", context, status=422 if form.errors else 200)


def _incoming(form: UploadForm, digest: str, file: Any, read: DeliveryList, site: Site) -> Incoming:
    """The file with its head, read as the last list of this sender was when the headings are the same."""
    head = {name: form.cleaned_data[name] for name in ("sender", "owner", "ticket", "order_no", "truck")}
    made = Incoming(
        digest,
        file.name[:200],
        file.content_type or "",
        form.cleaned_data["place"].pk,
        **head,
        hand_count=form.cleaned_data["hand_count"],
    )
    before = actions.remembered(site, made.sender)
    mapping = with_remembered(read.mapping, Mapping.from_json(before.mapping)) if before else None
    if before is None or mapping is None:
        return made
    return _changed(made, mapping=mapping.to_json(), remembered=before.delivery_id)


@at_desk("receive")
@require_http_methods(["GET", "POST"])
def preview(request: HttpRequest, digest: str) -> HttpResponse:
    """Every row with its fate: what was typed beside what it was read as, all problems at once."""
    site = site_of(request)
    incoming = Incoming.of(request, digest)
    read = _read(incoming, site)
    refused: tuple = ()
    if request.method == "POST":
        what = request.POST.get("what", "")
        if what == "mapping":
            return _corrected(request, incoming, read)
        if what in ("plain", "forget"):
            return _as_it_seems(request, incoming, site)
        if what in ("toggle", "questions"):
            return _left_out(request, incoming, read)
        try:
            return _accept(request, incoming, read, site)
        except Refused as error:
            refused = error.problems
    return render(
        request,
        "rack/preview.html",
        _preview(request, incoming, read, site) | {"refused": refused},
        status=422 if refused else 200,
    )


@at_desk()
@require_GET
def delivery(request: HttpRequest, pk: int) -> HttpResponse:
    """An accepted list: what came of each row; a row left out stays listed."""
    rows = Delivery.objects.for_user(request.user).select_related("file", "journal__by", "place", "site")
    one = found_or_404(rows, pk=pk)
    lines = Delivered.objects.filter(delivery=one).select_related("component", "component__spec")
    page = page_by_key(request, lines, "seq", size=ROWS_A_PAGE)
    context = {
        "delivery": one,
        "page": page,
        "counts": _fates(one),
        "head": _head(one),
        "landed": _landed(one),
        "crumbs": [("Receive", reverse("receive"))],
    }
    return render(request, "rack/delivery.html", context)


def _read(incoming: Incoming, site: Site) -> DeliveryList:
    try:
        data = bytes_of(incoming.digest)
    except FileNotFoundError:
        raise TierbookError(
            "The file is not at hand any more. Choose it again; nothing was stored."
        ) from None
    return read_delivery(
        data,
        incoming.name,
        mapping=Mapping.from_json(incoming.mapping) if incoming.mapping else None,
        left_out=frozenset(incoming.left_out),
        known_serials=lambda serials: actions.known_serials(site, serials),
    )


def _corrected(request: HttpRequest, incoming: Incoming, read: DeliveryList) -> HttpResponse:
    form = MappingForm(request.POST, mapping=read.mapping)
    if not form.is_valid():
        raise TierbookError("The columns came back otherwise than they were sent. Load the page again.")
    _changed(incoming, mapping=form.corrected().to_json(), remembered=0).keep(request)
    messages.success(request, "Read again with these columns.")
    return redirect("preview", digest=incoming.digest)


def _as_it_seems(request: HttpRequest, incoming: Incoming, site: Site) -> HttpResponse:
    """Read the list without the columns remembered for its sender; forget those too when asked."""
    if request.POST["what"] == "forget":
        actions.forget(asked(request), site, incoming.sender)
        messages.success(request, f"The columns of {incoming.sender} are forgotten.")
    _changed(incoming, mapping="", remembered=0).keep(request)
    return redirect("preview", digest=incoming.digest)


def _left_out(request: HttpRequest, incoming: Incoming, read: DeliveryList) -> HttpResponse:
    """Leave a row out or take it in again; or leave out every row that stops or asks something."""
    out = set(incoming.left_out)
    if request.POST["what"] == "questions":
        out |= {(row.part, row.row) for row in read.rows if _weight(row) in (Severity.STOPS, Severity.ASKS)}
    else:
        sheet, _, number = request.POST.get("row", "").rpartition("|")
        if number.isdecimal():
            out ^= {(sheet, int(number))}
    _changed(incoming, left_out=tuple(sorted(out))).keep(request)
    return redirect(reverse("preview", args=[incoming.digest]) + _shown_part(request))


def _accept(request: HttpRequest, incoming: Incoming, read: DeliveryList, site: Site) -> HttpResponse:
    place = found_or_404(Place.objects.on(site), pk=incoming.place)
    receipt = actions.Receipt(
        place=place,
        file_name=incoming.name,
        media=incoming.media,
        sender=incoming.sender,
        owner=incoming.owner,
        ticket=incoming.ticket,
        order_no=incoming.order_no,
        truck=incoming.truck,
        hand_count=incoming.hand_count,
        confirmed=request.POST.get("confirmed") == "yes",
        reason=request.POST.get("load_reason", "")[:300],
    )
    done = actions.accept(asked(request), read, receipt)
    messages.success(request, f"{done.journal.sentence}.")
    return redirect("delivery", pk=done.pk)


def _preview(request: HttpRequest, incoming: Incoming, read: DeliveryList, site: Site) -> dict[str, Any]:
    only = request.GET.get("show") == "problems"
    rows = [row for row in read.rows if row.problems or row.fate != "accepted"] if only else list(read.rows)
    first = min(_number(request.GET.get("from", "")), max(0, len(rows) - 1)) // ROWS_A_PAGE * ROWS_A_PAGE
    here = reverse("preview", args=[incoming.digest])
    part = "&show=problems" if only else ""
    problems = [*read.problems, *actions.acceptance_problems(read, site, incoming.hand_count)]
    place = Place.objects.on(site).filter(pk=incoming.place).first()
    accepted = [row for row in read.rows if row.fate == "accepted"]
    load = delivery_questions(place, accepted) if place else []
    questions = sum(_weight(row) == Severity.ASKS for row in read.rows if row.fate == "accepted")
    asking = questions + sum(problem.severity is Severity.ASKS for problem in problems)
    return {
        "incoming": incoming,
        "head": _head(incoming),
        "sums_off": [total for total in read.totals if not total.agrees],
        "sums_right": [total for total in read.totals if total.agrees],
        "read": read,
        "place": place,
        "problems": [*problems, *load],
        "overload": bool(asking_only(load)),
        "load_reason": request.POST.get("load_reason", "")[:300],
        "rows": rows[first : first + ROWS_A_PAGE],
        "only": only,
        "questions": questions,
        "asking": asking,
        "stopped": any(problem.severity is Severity.STOPS for problem in problems),
        "with_problems": sum(bool(row.problems) for row in read.rows),
        "mapping_form": MappingForm(None, mapping=read.mapping),
        "part": _shown_part(request),
        "back": f"{here}?from={first - ROWS_A_PAGE}{part}" if first else "",
        "next": f"{here}?from={first + ROWS_A_PAGE}{part}" if first + ROWS_A_PAGE < len(rows) else "",
        "pager_words": f"{first + 1} to {min(first + ROWS_A_PAGE, len(rows))} of {len(rows)}",
        "crumbs": [("Receive", reverse("receive"))],
    }


def _weight(row: Any) -> Severity | None:
    """The worst that a row says."""
    found = {problem.severity for problem in row.problems}
    return next((severity for severity in Severity if severity in found), None)


def _shown_part(request: HttpRequest) -> str:
    query = request.GET.urlencode()
    return f"?{query}" if query else ""


def _changed(incoming: Incoming, **more: Any) -> Incoming:
    return Incoming(**{**vars(incoming), **more})


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 8 else 0


def _fates(one: Delivery) -> dict[str, int]:
    rows = Delivered.objects.filter(delivery=one)
    return {
        "accepted": rows.filter(fate="accepted").count(),
        "left out": rows.filter(fate="left out").count(),
    }


def _head(one: Any) -> list[tuple[str, str]]:
    """What stands in the head of a delivery, or of a file that waits: only what was typed."""
    words = (("Ticket", one.ticket), ("Order", one.order_no), ("Truck or boat", one.truck))
    return [(label, text) for label, text in words if text]


def _landed(one: Delivery) -> str:
    """The count by hand against the list in words, "" when nobody counted."""
    if one.hand_count_n is None:
        return ""
    off = one.hand_count_n - Delivered.objects.filter(delivery=one, fate="accepted").count()
    words = "as on the list" if not off else f"{abs(off)} {'short' if off < 0 else 'over'} landed"
    return f"{one.hand_count_n}, {words}"
