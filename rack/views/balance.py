"""The balance by piece: what was received against where it is, now or at an earlier moment."""

from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.calc.balance import PARTS, UNPLACED, Balance, is_shown, missing_problems, part_of
from rack.calc.checks import note, stops
from rack.desk import at_desk, site_of
from rack.downloads import XLSX
from rack.errors import Refused
from rack.exchange import balance_book
from rack.filters.pieces import BalanceFilter
from rack.models import Component, LoadOut, Site
from rack.models.balancing import against_the_ledger, as_of, balance_now, gone_on, unplaced

NAMED = 50
LISTED = 500
#: A workbook of more pieces by name takes longer than anybody waits.
MOST_IN_A_FILE = 20_000
#: No list is older; a year before it is a slip of the fingers.
FIRST_YEAR = 1970


@at_desk()
@require_GET
def balance(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    asked_for = BalanceFilter(request.GET or None, _ever(site), site=site)
    instant, wrong = _instant(request, asked_for)
    problems = [note(f"{wrong}; the balance below is of now.", code="on")] if wrong else []
    context: dict[str, Any] = {
        "filter": asked_for, "instant": instant,
        "clear": reverse("balance") if asked_for.narrowed or instant else "",
        "problems": problems, "query": _query(request, without="of"), "crumbs": [("Rack", "/rack/")],
        "loads": LoadOut.objects.at(site).filter(state="sent").order_by("number")[:NAMED],
    }  # fmt: skip
    if instant:
        context |= _then(request, site, asked_for, instant)
    else:
        here = asked_for.narrow(Component.objects.at(site))
        found = balance_now(here, asked_for.narrow(gone_on(site)))
        lost = list(unplaced(here).select_related("spec", "place")[: NAMED + 1]) if found.difference else []
        context |= {"balance": found, "rows": _rows(found, request), "lost": lost[:NAMED],
                    "more": found.difference - NAMED if len(lost) > NAMED else 0}  # fmt: skip
    return render(request, "rack/balance.html", context)


@at_desk()
@require_GET
def balance_check(request: HttpRequest) -> HttpResponse:
    """The same, piece by piece against the moves in the ledger; asked for after the page."""
    site = site_of(request)
    asked_for = BalanceFilter(request.GET or None, _ever(site), site=site)
    then = as_of(site, asked_for.narrow(_ever(site)), timezone.now())
    differences = against_the_ledger(asked_for.narrow(Component.objects.at(site)), then, site)
    context = {"differences": differences[:NAMED], "count": len(differences), "pieces": len(then.received),
               "problems": missing_problems(then.missing)[:NAMED]}  # fmt: skip
    return render(request, "rack/_balance_check.html", context)


@at_desk()
@require_GET
def balance_xlsx(request: HttpRequest) -> HttpResponse:
    """The balance as a workbook, with the pieces that each term holds; refused where the moment is none."""
    site = site_of(request)
    asked_for = BalanceFilter(request.GET or None, _ever(site), site=site)
    instant, wrong = _instant(request, asked_for)
    if wrong:
        raise Refused([stops(f"{wrong}; no file was made.", code="on", where="as of")])
    data = balance_book.write(_book(request, site, asked_for, instant))
    return HttpResponse(data, content_type=XLSX, headers={
        "Content-Disposition": f'attachment; filename="{site.code}-balance.xlsx"'})  # fmt: skip


def _book(
    request: HttpRequest, site: Site, asked_for: BalanceFilter, instant: datetime | None
) -> balance_book.BalanceBook:  # fmt: skip
    then = as_of(site, asked_for.narrow(_ever(site)), instant) if instant else None
    narrow = asked_for.narrow
    found = then.balance if then else balance_now(narrow(Component.objects.at(site)), narrow(gone_on(site)))
    codes = {pk: code for code, names in then.parts.items() for pk in names} if then else None
    held = _held(site, asked_for, codes) if found.received <= MOST_IN_A_FILE else None
    printed, shown = (timezone.localtime(when).strftime("%Y-%m-%d %H:%M")
                      for when in (timezone.now(), instant or timezone.now()))  # fmt: skip
    query = _query(request, without="of")
    return balance_book.BalanceBook(
        site=f"{site.name} ({site.code})", instant=f"as of {shown}" if instant else f"as it stood {shown}",
        printed=printed, address=settings.ADDRESS + reverse("balance") + (f"?{query}" if query else ""),
        narrowed=_narrowed(asked_for), balance=found, held=held,
    )  # fmt: skip


def _held(
    site: Site, asked_for: BalanceFilter, codes: dict[int, str] | None
) -> list[balance_book.Held]:  # fmt: skip
    """Each piece with the term that holds it: by its own row now, by `codes` at an earlier moment."""
    held = []
    pieces = asked_for.narrow(_ever(site)).select_related("spec", "place").order_by("serial_key", "id")
    for piece in pieces.iterator():
        if codes is not None:
            code = codes.get(piece.pk, "")
        elif piece.site_id != site.pk:
            code = "elsewhere"
        else:
            code = part_of(piece.state, piece.place.kind if piece.place else "")
        if code:
            held.append(balance_book.Held(code, piece.serial, piece.tag, str(piece.spec)))
    return held


def _narrowed(asked_for: BalanceFilter) -> list[tuple[str, str]]:
    """What the balance was narrowed by, each as its choice reads on the page."""
    form, said = asked_for.form, []
    for name in BalanceFilter.KEPT:
        value = form.cleaned_data.get(name) if form.is_valid() else None
        if value:
            choices = {str(code): str(word) for code, word in getattr(form.fields[name], "choices", ())}
            said.append((str(form.fields[name].label), choices.get(str(value), str(value))))
    return said


def _then(request: HttpRequest, site: Site, asked_for: BalanceFilter, instant: datetime) -> dict[str, Any]:
    """The page at an earlier moment; every figure opens to the pieces by name."""
    then = as_of(site, asked_for.narrow(_ever(site)), instant)
    part = request.GET.get("of", "")
    names = then.received if part == "received" else then.parts.get(part, {})
    ids = list(names)[:LISTED]
    tags = dict(Component.objects.for_user(request.user).filter(pk__in=ids).values_list("pk", "tag"))
    word = "received" if part == "received" else PARTS[part].name if part in PARTS else "on no rack"
    return {
        "balance": then.balance, "rows": _rows(then.balance, request, then=True),
        "missing": missing_problems(then.missing)[:NAMED], "part": word if names else "",
        "names": [(names[pk], tags.get(pk, "")) for pk in ids], "unlisted": max(0, len(names) - LISTED),
    }  # fmt: skip


def _ever(site: Site) -> Any:
    """Every piece that is or was of this site."""
    return Component.objects.filter(pk__in=gone_on(site).values("pk")) | Component.objects.at(site)


def _rows(found: Balance, request: HttpRequest, *, then: bool = False) -> list[dict[str, Any]]:
    """Each term with its count and the address of its pieces."""
    query = _query(request, without="of")
    terms = [(code, PARTS[code].name, n) for code, n in found.parts.items() if is_shown(code, n)]
    if found.difference:
        terms.append((UNPLACED, balance_book.NOWHERE, found.difference))
    rows = []
    for code, name, n in terms:
        if then:
            at = f"?{query}&of={code}"
        elif code == "elsewhere":
            at = reverse("load_list")
        else:
            at = f"{reverse('rack_list')}?{query + '&' if query else ''}lies={code}"
        rows.append({"code": code, "name": name, "n": n, "at": at if n > 0 else ""})
    return rows


def _query(request: HttpRequest, without: str) -> str:
    kept = request.GET.copy()
    for name in [name for name in kept if name == without or not kept[name]]:
        del kept[name]
    return str(kept.urlencode())


def _instant(request: HttpRequest, here: BalanceFilter) -> tuple[datetime | None, str]:
    """The moment that is asked for, by the clock of the site: the end of the minute that was typed.

    Else None, and what is wrong with what was typed.
    """
    if not request.GET.get("on"):
        return None, ""
    instant = here.form.cleaned_data.get("on") if here.form.is_valid() else None
    if instant is None or instant.year < FIRST_YEAR:
        return None, "Type the moment as 2026-11-02 14:20"
    if instant > timezone.now():
        return None, "That moment has not come yet"
    return instant + timedelta(seconds=59, microseconds=999_999), ""
