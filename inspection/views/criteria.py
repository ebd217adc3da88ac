"""The criteria: each scheme with its classes in order, and the limits seen, with source and confidence."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inspection.calc.criteria import schemes, schemes_for
from inspection.calc.lookup import SOURCES
from inspection.calc.showing import ELSEWHERE, confidence_words, limits_of, limits_shown
from inspection.models.facts import followed
from rack.calc.kinds import KINDS, kind_of
from rack.desk import at_desk, site_of


@at_desk()
@require_GET
def inspect_criteria(request: HttpRequest) -> HttpResponse:
    follows = followed(site_of(request), timezone.localdate())
    in_use = {follows.get(kind) or schemes_for(kind)[0].code for kind in KINDS}
    named = {one.code: one.said for one in schemes()}
    shown = [
        {"scheme": one, "confidence": confidence_words(one.conf),
         "steps": [{"step": step, "confidence": confidence_words(step.conf)} for step in one.steps],
         "limits": limits_of(one), "followed": one.code in in_use,
         "kinds": ", ".join(kind_of(kind).name for kind in one.kinds) or "every other kind",
         "by": named.get(one.superseded_by, "")}
        for one in schemes()
    ]  # fmt: skip
    elsewhere = [
        {"source": SOURCES[table], "limits": limits_shown([table])} for table in ELSEWHERE if table in SOURCES
    ]
    context = {"schemes": shown, "elsewhere": elsewhere, "crumbs": [("Due", reverse("due_list"))]}
    return render(request, "inspection/criteria.html", context)
