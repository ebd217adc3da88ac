"""The due board: what is overdue, due, soon and fine."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from rack.desk import at_desk


@at_desk()
@require_GET
def due_list(request: HttpRequest) -> HttpResponse:
    return render(request, "inspection/due_list.html", {})
