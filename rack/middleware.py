"""The headers every page carries, and the one place where a refusal becomes a status."""

from collections.abc import Callable
from datetime import tzinfo

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone

from rack.errors import TierbookError

GetResponse = Callable[[HttpRequest], HttpResponse]

# Scripts, styles, pictures and calls come from this site and nowhere else, and nothing is inline.
POLICY = "; ".join(
    (
        "default-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)


def strict_headers(get_response: GetResponse) -> GetResponse:
    """Add the content policy to every answer that has not set a stricter one of its own."""

    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Content-Security-Policy", POLICY)
        response.headers.setdefault("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
        return response

    return middleware


class RefusalSentences:
    """Turn a refusal raised anywhere in a view into a page, or into JSON under /api/."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        if not isinstance(error, TierbookError):
            return None
        problems = getattr(error, "problems", ())
        if request.path.startswith("/api/"):
            texts = [problem.text for problem in problems]
            return JsonResponse({"refused": str(error), "problems": texts}, status=error.status)
        said = "nothing was stored" in str(error).lower()
        context = {"sentence": str(error), "problems": problems, "said_so": said}
        with timezone.override(_zone(request)):
            return render(request, "rack/refused.html", context, status=error.status)


def _zone(request: HttpRequest) -> tzinfo | None:
    """The clock of the site where this person works; the server's where there is none."""
    from rack.desk import site_of

    try:
        return site_of(request).zone
    except TierbookError:
        return None


def client_address(request: HttpRequest) -> str:
    """Return the address the server itself saw; no header that a client can write is read here."""
    return str(request.META.get("REMOTE_ADDR", ""))
