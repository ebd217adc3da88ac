"""One tally: its page, its two straps held against each other, closing it."""

from typing import Any

from django.contrib import messages
from django.db.models import Max
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from rack.actions import closing
from rack.calc.checks import Problem, Severity
from rack.calc.closing import closing_problems
from rack.calc.lengths import Length
from rack.calc.sheets import SheetContent
from rack.desk import asked, at_desk, found_or_404, may, site_of
from rack.errors import ChangedMeanwhile, Refused
from rack.forms.strapping import HeadForm
from rack.forms.tallies import (
    AdoptForm,
    InsertForm,
    NumbersForm,
    PiecesForm,
    ReasonForm,
    SwapForm,
    TieForm,
    WithdrawForm,
)
from rack.models import Line, Sheet, StrapHead, Tally
from rack.models.checking import checked, failing
from rack.models.closing import closing_facts
from rack.models.comparing import compared, lines_of
from rack.models.progress import progress_of
from rack.models.strap_hands import two_straps
from rack.models.strapping import asking
from rack.views.columns import page_number
from rack.views.sheets import stands_shown
from rack.views.tally_facts import Facts, live_facts, sheet_facts

#: So many untied joints are named; the rest is a number.
NAMED = 40
JOINTS = 50


def tally_of(request: HttpRequest, number: int) -> Tally:
    """The tally of this number at the current site, or 404."""
    rows = Tally.objects.at(site_of(request)).select_related("site", "spec")
    return found_or_404(rows, number=number)  # type: ignore[no-any-return]


@at_desk()
@require_GET
def tally(request: HttpRequest, number: int) -> HttpResponse:
    return show(request, tally_of(request, number))


def show(request: HttpRequest, one: Tally, *, status: int = 200, **more: Any) -> HttpResponse:
    """The page of a tally; `more` carries a refused form, its problems, and which part stays open."""
    lines = lines_of(one) if one.open else []
    sheets = list(one.sheets.select_related("journal__by").order_by("-revision").defer("content"))
    content = None if one.open else content_of(one)
    facts = live_facts(one, lines) if content is None else sheet_facts(content)
    number = page_number(request.GET.get("page", ""), len(facts.pages))
    progress = progress_of([one])[one.pk]
    context = {
        **base(one, crumb=False), "facts": facts, "progress": progress, "blind": progress.blind,
        "shown": facts.pages[number - 1] if facts.pages else None, "sheets": sheets,
        "back": f"?page={number - 1}" if number > 1 else "",
        "next": f"?page={number + 1}" if number < len(facts.pages) else "",
        "withdrawn": list(one.lines.filter(withdrawn=True).in_order()),
        "photos": photos_of(one, blind=progress.blind),
        **_open_parts(request, one, lines, blind=progress.blind),
        **(stands_shown(content) if content else {}), **more,
    }
    return render(request, "rack/tally.html", context, status=status)


def content_of(one: Tally) -> SheetContent:
    """The text of the current revision, read."""
    return SheetContent.from_text(one.sheets.order_by("-revision").values_list("content", flat=True)[0])


def photos_of(one: Tally, *, blind: bool) -> list[Any]:
    """The photographed pencil sheets; those of the first strap stay away while the second is open."""
    rows = one.photos.select_related("file", "journal__by").order_by("id")
    return list(rows.exclude(strap_n=1) if blind else rows)


def _open_parts(request: HttpRequest, one: Tally, lines: list[Line], *, blind: bool) -> dict[str, Any]:
    """What an open tally shows beside its list: heads, questions, joints without a piece, the forms."""
    if not one.open:
        return {"revise_form": ReasonForm(auto_id="revise-%s")}
    heads = {head.strap_n: head for head in one.heads.all()}
    untied = [line for line in lines if line.component_id is None]
    first, second = heads.get(1), heads.get(2)
    verbs = may(request)
    parts: dict[str, Any] = {
        "heads": [heads[n] for n in sorted(heads) if not (blind and n == 1)],
        "questions": [] if blind else [(n, row) for n in (1, 2) for row in asking(one, n)],
        "untied": untied[:NAMED], "untied_more": max(len(untied) - NAMED, 0), "untied_n": len(untied),
        "can_begin_second": second is None and any(line.first_nm is not None for line in lines),
        "can_finish_first": first is not None and first.finished_at is None and bool(lines),
        "can_finish_second": second is not None and second.finished_at is None,
        "both": second is not None and second.finished_at is not None,
        "checks": _checks(one, lines),
        "strap_now": 0 if one.words.by_stand else _strap_now(second, blind=blind),
    }
    if verbs & {"tally", "strap", "receive", "close"}:
        parts |= forms_of(one)
    return parts


def _strap_now(second: StrapHead | None, *, blind: bool) -> int:
    """The strap that can be read now, 0 for none."""
    if blind:
        return 2 if second else 0
    return 0 if second else 1


def _checks(one: Tally, lines: list[Line]) -> dict[str, Any]:
    """What the list betrays of itself; nothing while it is blind."""
    found = checked(one, lines)
    again = failing(one, lines, found)
    return {"findings": found.findings, "again": len(again), "other_kind": found.third_list.other_kind}


def forms_of(one: Tally) -> dict[str, Any]:
    """The forms of the page, each with identifiers of its own."""
    return {
        "numbers_form": NumbersForm(auto_id="numbers-%s"),
        "pieces_form": PiecesForm(site=one.site, auto_id="pieces-%s"),
        "insert_form": InsertForm(auto_id="insert-%s"), "swap_form": SwapForm(auto_id="swap-%s"),
        "withdraw_form": WithdrawForm(auto_id="withdraw-%s"), "tie_form": TieForm(auto_id="tie-%s"),
        "adopt_form": AdoptForm(site=one.site, auto_id="adopt-%s"),
        "begin_form": HeadForm(auto_id="begin-%s"),
    }


def base(one: Tally, *, crumb: bool = True) -> dict[str, Any]:
    """Context of every page under a tally."""
    crumbs = [("Tallies", reverse("tally_list"))]
    if crumb:
        crumbs.append((f"Tally {one.number}", reverse("tally", args=[one.number])))
    return {"tally": one, "crumbs": crumbs}


@at_desk()
@require_GET
def compare(request: HttpRequest, number: int) -> HttpResponse:
    return show_compared(request, tally_of(request, number))


def show_compared(request: HttpRequest, one: Tally, *, status: int = 200, **more: Any) -> HttpResponse:
    """Both straps, joint by joint; while the second one is open nothing of either is shown."""
    context: dict[str, Any] = {**base(one), **more}
    if one.is_blind:
        return render(request, "rack/compare.html", {**context, "shut": "blind"}, status=status)
    if not one.heads.filter(strap_n=2, finished_at__isnull=False).exists():
        return render(request, "rack/compare.html", {**context, "shut": "one strap"}, status=status)
    lines = lines_of(one)
    found = compared(one, lines)
    apart = set(found.differing)
    joints = [_joint(one, n, line, differs=n in apart) for n, line in enumerate(lines)]
    last = -(-len(joints) // JOINTS)
    here = page_number(request.GET.get("page", ""), last)
    context |= {
        "found": found, "differing": [joints[n] for n in found.differing if n < len(joints)],
        "gate": f"{found.gate.shown(one.unit, one.digits)} {one.unit}",
        "joints": joints[(here - 1) * JOINTS : here * JOINTS],
        "words": f"{(here - 1) * JOINTS + 1:,} to {min(here * JOINTS, len(joints)):,} of {len(joints):,}",
        "back": f"?page={here - 1}" if here > 1 else "", "next": f"?page={here + 1}" if here < last else "",
        "hands": both.problems if (both := two_straps(one)) else (),
        "figures": _compared_figures(one, found), "third": checked(one, lines).third if one.open else (),
    }
    return render(request, "rack/compare.html", context, status=status)


def _joint(one: Tally, n: int, line: Line, *, differs: bool) -> dict[str, Any]:
    first, second = line.first_nm, line.second_nm
    apart = "" if first is None or second is None else Length(second - first).shown(one.unit, one.digits)
    return {
        "line": line, "pk_text": str(line.pk), "name": line.painted or str(n + 1), "differs": differs,
        "serial": line.component.serial if line.component else line.serial_typed,
        "first": shown(one, first), "second": shown(one, second),
        "apart": f"+{apart}" if apart and second > first else apart,  # type: ignore[operator]
    }


def shown(one: Tally, nm: int | None) -> str:
    return "–" if nm is None else Length(nm).shown(one.unit, one.digits)


def _compared_figures(one: Tally, found: Any) -> list[tuple[str, str]]:
    def fine(nm: int | None) -> str:
        return "–" if nm is None else f"{Length(nm).shown(one.unit, one.digits + 1)} {one.unit}"

    def whole(total: Length, count: int) -> str:
        return f"{total.shown(one.unit, one.digits)} {one.unit}, {count:,} joint{'' if count == 1 else 's'}"

    return [
        ("First strap", whole(found.total_first, found.count_first)),
        ("Second strap", whole(found.total_second, found.count_second)),
        ("Mean difference", fine(found.mean_nm)), ("Spread", fine(found.spread_nm)),
    ]


@at_desk("close")
@require_http_methods(["GET", "POST"])
def tally_close(request: HttpRequest, number: int) -> HttpResponse:
    """What stands in the way, all at once, and the reason where one is asked for."""
    one = tally_of(request, number)
    if not one.open:
        return redirect("tally", number=number)
    reason, status = request.POST.get("reason", "")[:300], 200
    refused: tuple[Problem, ...] = ()
    if request.method == "POST":
        seen = request.POST.get("seen", "")
        try:
            sheet = closing.close(
                asked(request), one, reason=reason, seen=int(seen) if seen.isdecimal() else one.version,
                written=request.POST.get("written", "").replace("\0", "")[:40],
            )
        except Refused as error:
            refused, status = error.problems, error.status
        except ChangedMeanwhile as error:
            return _close_page(request, one, reason, sentence=str(error), status=error.status)
        else:
            messages.success(request, f"{one} is closed: revision {sheet.revision}.")
            return redirect("sheet", code=sheet.code)
    return _close_page(request, one, reason, refused=refused, status=status)


def _close_page(
    request: HttpRequest, one: Tally, reason: str, *, refused: tuple[Problem, ...] = (),
    sentence: str = "", status: int = 200,
) -> HttpResponse:
    one.refresh_from_db()
    lines = lines_of(one)
    blind = one.is_blind
    both = not blind and one.heads.filter(strap_n=2, finished_at__isnull=False).exists()
    problems = closing_problems(closing_facts(one, lines, compared(one, lines) if both else None))
    known = {problem.text for problem in problems}
    problems += [problem for problem in refused if problem.text not in known]
    if blind:  # which joints the first strap was asked about is not told while the second may be taken
        problems = [problem for problem in problems if problem.code != "questions"]
    facts: Facts = live_facts(one, lines)
    context = {
        **base(one), "problems": problems, "sentence": sentence, "reason": reason, "facts": facts,
        "blind": blind, "stopped": any(problem.severity is Severity.STOPS for problem in problems),
        "written": request.POST.get("written", "")[:40],
        "asks": any(problem.severity is Severity.ASKS for problem in problems),
        "refused": bool(refused), "next_revision": next_revision(one),
    }
    return render(request, "rack/tally_close.html", context, status=status)


def next_revision(one: Tally) -> int:
    top = Sheet.objects.filter(tally=one).aggregate(top=Max("revision"))["top"]
    return int(top or 0) + 1
