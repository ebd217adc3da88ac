"""Accounts and posts at a site, one's own password, the site to work at, and the very first page."""

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.models import User
from django.contrib.auth.views import LoginView, PasswordChangeView
from django.db.models import Q
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.views.decorators.http import require_http_methods, require_POST

from rack import firstrun
from rack.actions import people as actions
from rack.actions.journal import Asked, Hand
from rack.calc.checks import stops
from rack.desk import asked, at_desk, found_or_404, key_of_form, site_of
from rack.errors import Refused
from rack.forms.people import AccountForm, BeginForm, PasswordForm, RoleForm
from rack.models import Post, Site


@at_desk("accounts")
@require_http_methods(["GET", "POST"])
def accounts(request: HttpRequest) -> HttpResponse:
    """Who may do what here, and a form for a new account."""
    site = site_of(request)
    form = AccountForm(request.POST or None, initial={"role": "crew"})
    problems: tuple = ()
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        account = actions.NewAccount(typed["username"], typed["full_name"], typed["password"])
        try:
            user = actions.add_account(asked(request), account, site, typed["role"])
        except Refused as refused:
            problems = refused.problems
        else:
            messages.success(request, f"{user.get_full_name()} can sign in as {user.username} now.")
            return redirect("accounts")
    posts = Post.objects.filter(Q(site=site) | Q(site=None), ended_on=None).select_related("user", "site")
    context = {
        "posts": posts.order_by("user__first_name", "pk"),
        "form": form,
        "problems": problems,
        "roles": Post._meta.get_field("role").choices,
    }
    return render(request, "rack/accounts.html", context, status=422 if problems else 200)


@at_desk("accounts")
@require_http_methods(["GET", "POST"])
def account(request: HttpRequest, pk: int) -> HttpResponse:
    """One person's post at this site: another role, an end, a new password."""
    site = site_of(request)
    post = found_or_404(Post.objects.filter(site=site, ended_on=None).select_related("user"), pk=pk)
    role, password = RoleForm(initial={"role": post.role}), PasswordForm()
    problems: tuple = ()
    if request.method == "POST":
        try:
            if _changed(request, site, post):
                return redirect("accounts")
        except Refused as refused:
            problems = refused.problems
        else:
            problems = (stops("Choose what to change and fill in its field."),)
    context = {
        "post": post,
        "role_form": role,
        "password_form": password,
        "problems": problems,
        "crumbs": [("Accounts", "/accounts/")],
    }
    return render(request, "rack/account.html", context, status=422 if problems else 200)


def _changed(request: HttpRequest, site: Site, post: Post) -> bool:
    what = request.POST.get("what")
    role, password = RoleForm(request.POST), PasswordForm(request.POST)
    name = post.user.get_full_name() or post.user.username
    if what == "role" and role.is_valid():
        actions.give_post(asked(request), post.user, site, role.cleaned_data["role"])
        messages.success(request, f"{name} is {role.cleaned_data['role']} now.")
    elif what == "end":
        actions.end_post(asked(request), post)
        messages.success(request, f"{name} holds no post here any more.")
    elif what == "password" and password.is_valid():
        actions.set_password(asked(request), post.user, site, password.cleaned_data["password"])
        messages.success(request, f"{name} has a new password.")
    else:
        return False
    return True


@at_desk()
@require_POST
def choose_site(request: HttpRequest) -> HttpResponse:
    """Work at another of one's sites."""
    sites = Site.objects.for_user(request.user).open()
    wanted = request.POST.get("site", "")
    site = found_or_404(sites, pk=int(wanted)) if wanted.isdecimal() and len(wanted) < 15 else None
    if site is None:
        raise Http404
    request.session["site"] = site.pk
    return redirect("rack_list")


@require_http_methods(["GET", "POST"])
def begin(request: HttpRequest) -> HttpResponse:
    """The first office account, site and rack; gone as soon as there is an account."""
    if User.objects.exists():
        return redirect("login")
    form = BeginForm(request.POST or None)
    problems: tuple = ()
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            user = _begin(request, typed)
        except Refused as refused:
            problems = refused.problems
        else:
            login(request, user, backend="django.contrib.auth.backends.ModelBackend")
            messages.success(request, f"{typed['site_name']} is ready. Receive the first delivery.")
            return redirect("rack_list")
    return render(
        request, "rack/begin.html", {"form": form, "problems": problems}, status=422 if problems else 200
    )


def _begin(request: HttpRequest, typed: dict) -> User:
    if not firstrun.check(typed["code"]):
        raise Refused(
            [
                stops(
                    "This is not the code that the console shows. Look at the lines the program "
                    "printed when it was started.",
                    code="begin",
                )
            ]
        )
    user = actions.begin(
        Asked(key_of_form(request), Hand(None)),
        actions.NewAccount(typed["username"], typed["full_name"], typed["password"]),
        actions.NewSite(
            typed["site_code"].upper(),
            typed["site_name"],
            typed["tz"],
            typed["units"],
            typed["rack"],
            typed["layers"],
        ),
    )
    firstrun.done()
    return user


class SignIn(LoginView):
    """Signing in; while nobody has an account, the page where the first one is made."""

    redirect_authenticated_user = True

    def dispatch(self, request: HttpRequest, *args: object, **kwargs: object) -> HttpResponseBase:
        if firstrun.needed():
            return redirect("begin")
        return super().dispatch(request, *args, **kwargs)


class OwnPassword(PasswordChangeView):
    """One's own new password."""

    template_name = "registration/password_change_form.html"
    success_url = reverse_lazy("rack_list")
