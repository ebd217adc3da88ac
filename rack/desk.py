"""What every view begins with: whose desk this is, at which site, and what it asks of an action."""

import uuid
from functools import cache, wraps
from typing import Any

from django.apps import apps
from django.conf import settings
from django.contrib.auth.decorators import login_required
from django.contrib.auth.models import User
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from rack.actions.journal import Asked, Hand
from rack.actions.people import know_device
from rack.errors import TierbookError
from rack.models import Device, Post, Site
from rack.people import check_can, verbs_for
from rack.throttle import DEVICE_COOKIE

DEVICE_KEPT_S = 2 * 365 * 24 * 3600
MOST_SITES = 400

#: The sections of the bar: address name, word, the verb it takes (none: anybody with a post), and
#: how the names of its other addresses begin.
SECTIONS = (
    ("rack_list", "Rack", "", ("rack", "home", "piece", "place", "tag", "search", "balance", "move")),
    ("receive", "Receive", "receive", ("receive", "preview", "deliver")),
    ("load_list", "Sending", "", ("load",)),
    ("tally_list", "Tallies", "", ("tally", "strap", "compare", "sheet", "pencil")),
    ("string_list", "Strings", "", ("string", "plan", "bha", "run_")),
    ("well_list", "Wells", "", ("well",)),
    ("reference", "Reference", "", ("reference",)),
)


@cache
def all_sections() -> tuple[tuple[str, str, str, tuple[str, ...]], ...]:
    """The sections of the bar, those of the neighbours after the strings."""
    more = [one for app in apps.get_app_configs() for one in getattr(app, "desk_sections", ())]
    at = [name for name, *_ in SECTIONS].index("well_list")
    return (*SECTIONS[:at], *more, *SECTIONS[at:])


class NoPost(TierbookError):
    """A signed-in person without a post at any site."""

    status = 403


def posts_of(request: HttpRequest) -> list[Post]:
    """The posts of this person, read once a request."""
    if not hasattr(request, "_posts"):
        request._posts = list(Post.objects.of(request.user).select_related("site"))  # type: ignore[attr-defined]
    return request._posts  # type: ignore[attr-defined, no-any-return]


def sites_of(request: HttpRequest) -> list[Site]:
    """The open sites where this person holds a post, by code; a post without a site counts everywhere."""
    if not hasattr(request, "_sites"):
        posts = posts_of(request)
        if any(post.site is None for post in posts):
            found = list(Site.objects.open().order_by("code")[:MOST_SITES])
        else:
            held = [post.site for post in posts if post.site and not post.site.ended_on]
            found = sorted(held, key=lambda site: site.code)
        request._sites = found  # type: ignore[attr-defined]
    return request._sites  # type: ignore[attr-defined, no-any-return]


def site_of(request: HttpRequest) -> Site:
    """The site this person works at now: the one chosen, else the first of theirs."""
    sites = sites_of(request)
    if not sites:
        raise NoPost("Your account holds no post at any site yet. Ask the office to give you one.")
    chosen = request.session.get("site")
    return next((site for site in sites if site.pk == chosen), sites[0])


def roles_of(request: HttpRequest) -> set[str]:
    """The roles this person holds at the current site."""
    site = site_of(request)
    return {post.role for post in posts_of(request) if post.site_id in (None, site.pk)}


def may(request: HttpRequest) -> frozenset[str]:
    """The verbs this person holds at the current site."""
    return verbs_for(roles_of(request))


def at_desk(verb: str = "") -> Any:
    """Decorate a view: signed in, with a post, and with `verb` at the current site where one is named."""

    def decorate(view: Any) -> Any:
        @wraps(view)
        @login_required
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            site = site_of(request)
            if verb and verb not in may(request):
                check_can(request.user, verb, site)
            with timezone.override(site.zone):  # every time on a page is the site's
                return _known_device(request, view(request, *args, **kwargs))

        return guarded

    return decorate


def _known_device(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    """Give a browser that comes for the first time the cookie by which its device is known."""
    if DEVICE_COOKIE not in request.COOKIES:
        response.set_cookie(
            DEVICE_COOKIE,
            str(uuid.uuid4()),
            max_age=DEVICE_KEPT_S,
            secure=settings.SESSION_COOKIE_SECURE,
            httponly=True,
            samesite="Lax",
        )
    return response


def asked(request: HttpRequest) -> Asked:
    """The key and the hand of a form: the key was drawn with the page, so that twice is once."""
    made_at = parse_datetime(request.POST.get("made_at", "")) if request.POST.get("made_at") else None
    if made_at and timezone.is_naive(made_at):
        made_at = None
    user = request.user if isinstance(request.user, User) else None
    return Asked(key_of_form(request), Hand(user, device_of(request), made_at))


def key_of_form(request: HttpRequest) -> uuid.UUID:
    """The key that was drawn with the page. Raises TierbookError when the form came without it."""
    try:
        return uuid.UUID(request.POST.get("key", ""))
    except ValueError:
        raise TierbookError("This form came without its key. Load the page again and repeat it.") from None


def device_of(request: HttpRequest) -> Device | None:
    """The device of the cookie; it was set with an earlier page."""
    try:
        ident = uuid.UUID(request.COOKIES.get(DEVICE_COOKIE, ""))
    except ValueError:
        return None
    return know_device(ident, request.headers.get("User-Agent", ""))


def new_key() -> str:
    """A fresh key for a form."""
    return str(uuid.uuid4())


def found_or_404(rows: Any, **lookup: Any) -> Any:
    """The one row, or 404: a thing of another site does not exist for this person."""
    row = rows.filter(**lookup).first()
    if row is None:
        raise Http404("There is no such thing here.")
    return row


def page(request: HttpRequest) -> dict[str, Any]:
    """Context of every page: the site, the sections and what this person may do."""
    if not getattr(request, "user", None) or not request.user.is_authenticated:
        return {"sections": [], "may": frozenset()}
    try:
        site, verbs = site_of(request), may(request)
    except NoPost:
        return {"sections": [], "may": frozenset()}
    here = request.resolver_match.view_name if request.resolver_match else ""
    sections = [
        {"name": name, "word": word, "current": here.startswith(begins)}
        for name, word, verb, begins in all_sections()
        if not verb or verb in verbs
    ]
    role = " and ".join(sorted(roles_of(request)))
    others = [other for other in sites_of(request) if other.pk != site.pk]
    return {
        "site": site,
        "other_sites": others,
        "sections": sections,
        "may": verbs,
        "role": role,
        "form_key": new_key(),
    }
