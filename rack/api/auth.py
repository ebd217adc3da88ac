"""Who calls: the session of the page, which must carry its CSRF token, or a token in the head."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest
from ninja.security import APIKeyCookie, HttpBearer

from rack.actions.people import user_of_token


class ByToken(HttpBearer):
    """`Authorization: Bearer <token>`; the rights are those of its user."""

    def authenticate(self, request: HttpRequest, token: str) -> Any:
        user = user_of_token(token.strip())
        if user is not None:
            request.user = user
        return user


class BySession(APIKeyCookie):
    """The cookie of a signed-in person. A call that names a token is judged by the token alone."""

    param_name = settings.SESSION_COOKIE_NAME

    def _get_key(self, request: HttpRequest) -> str | None:
        if "Authorization" in request.headers or not request.user.is_authenticated:
            return None
        return super()._get_key(request)

    def authenticate(self, request: HttpRequest, key: str | None) -> Any:
        return request.user if key else None
