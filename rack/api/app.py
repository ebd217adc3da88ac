"""The API under /api/: typed, described at /api/openapi.json, refusals as sentences."""

from collections.abc import Sequence
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from ninja import NinjaAPI
from ninja.errors import AuthenticationError, HttpError, ValidationError

from rack.api.auth import BySession, ByToken
from rack.api.readings import router as readings
from rack.api.strap import router as strap
from rack.api.words import sentence
from rack.errors import TierbookError
from rack.neighbours import neighbours

OLD_PAGE = "This page was opened before the last signing in. Load it again and repeat."

# A page that shows the description would load its program from an outside address; there is none.
api = NinjaAPI(
    title="Tierbook", version="1", description="Readings in, straps out.", docs_url=None,
    auth=[ByToken(), BySession()], urls_namespace="api",
)
api.add_router("", readings)
api.add_router("", strap)
for each in neighbours("api"):
    api.add_router("", each)


@api.exception_handler(TierbookError)
def refused(request: HttpRequest, error: TierbookError) -> HttpResponse:
    problems = [problem.text for problem in getattr(error, "problems", ())]
    return _refusal(request, str(error), error.status, problems)


@api.exception_handler(AuthenticationError)
def nobody(request: HttpRequest, error: AuthenticationError) -> HttpResponse:
    return _refusal(request, "Sign in, or send a token that still holds.", 401)


@api.exception_handler(HttpError)
def no(request: HttpRequest, error: HttpError) -> HttpResponse:
    sentence = OLD_PAGE if error.status_code == 403 else str(error)
    return _refusal(request, sentence, error.status_code)


@api.exception_handler(Http404)
def nothing(request: HttpRequest, error: Http404) -> HttpResponse:
    return _refusal(request, str(error) or "There is no such thing here.", 404)


@api.exception_handler(ValidationError)
def odd(request: HttpRequest, error: ValidationError) -> HttpResponse:
    problems = [sentence(one) for one in error.errors]
    return _refusal(request, "This call is not as the description asks for.", 422, problems)


def _refusal(request: HttpRequest, sentence: str, status: int, problems: Sequence[str] = ()) -> HttpResponse:
    body: dict[str, Any] = {"refused": sentence, "problems": list(problems)}
    return api.create_response(request, body, status=status)
