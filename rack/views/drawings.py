"""The drawings of the kinds, each at an address of its own, so that a page shows it as a picture."""

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from rack.calc.kinds import KINDS
from rack.desk import at_desk
from rack.paper.drawings import svg

DAY_S = 24 * 3600


@at_desk()
@require_GET
def drawing(request: HttpRequest, code: str) -> HttpResponse:
    """The drawing of one kind of piece. It tells nothing of a site and changes with the program only."""
    if code not in KINDS:
        raise Http404("There is no such drawing.")
    headers = {"Cache-Control": f"private, max-age={DAY_S}", "X-Content-Type-Options": "nosniff"}
    return HttpResponse(svg(code), content_type="image/svg+xml", headers=headers)
