"""What the office does with accounts: make them, give and end posts, set passwords, make tokens."""

import hashlib
import secrets
from dataclasses import dataclass
from uuid import UUID

from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import QuerySet
from django.utils import timezone

from rack.actions.journal import Asked, open_line
from rack.actions.places import check_rack, make_rack
from rack.calc.checks import stops
from rack.errors import Refused
from rack.models import Device, Post, Role, Site, Token
from rack.people import check_can


@dataclass(frozen=True)
class NewAccount:
    """Who gets an account: the name to sign in with, the name people say, the password."""

    username: str
    full_name: str
    password: str


@dataclass(frozen=True)
class NewSite:
    """The first site: its code, name, clock and units, and the name of its first rack."""

    code: str
    name: str
    tz: str
    units: str
    rack: str
    layers: int


def begin(asked: Asked, account: NewAccount, new: NewSite) -> User:
    """Make the first office account, site and rack of an empty database; refused once one exists."""
    _check_password(account)
    check_rack(new.rack, new.layers)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "begin",
            None,
            f"Began with {new.name} and {account.username}",
            {"username": account.username, "site": new.code},
        )
        if again:
            return User.objects.get(username=account.username)
        if User.objects.exists():
            raise Refused([stops("There is an account already; sign in with it.", code="begin")])
        user = _make_user(account)
        site = Site.objects.create(code=new.code, name=new.name, tz=new.tz, units=new.units)
        make_rack(site, new.rack, new.layers)
        Post.objects.create(user=user, site=None, role=Role.OFFICE)
    return user


def add_account(asked: Asked, account: NewAccount, site: Site, role: str) -> User:
    """Make an account with a post at the site."""
    check_can(asked.hand.user, "accounts", site)
    _check_password(account)
    with transaction.atomic():
        _, again = open_line(
            asked,
            "add account",
            site,
            f"Made an account for {account.full_name}, {role}",
            {"username": account.username, "full_name": account.full_name, "role": role, "site": site.pk},
        )
        if again:
            return User.objects.get(username=account.username)
        user = _make_user(account)
        Post.objects.create(user=user, site=site, role=_role(role))
    return user


def give_post(asked: Asked, user: User, site: Site, role: str) -> Post:
    """Give a person a post at the site; the one held there before ends."""
    check_can(asked.hand.user, "accounts", site)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "give post",
            site,
            f"{user.get_full_name() or user.username} is now {role}",
            {"user": user.pk, "site": site.pk, "role": role},
        )
        held = Post.objects.select_for_update().filter(user=user, site=site, ended_on=None)
        if again:
            return held.get()
        _keep_one_office(held, site)
        held.update(ended_on=line.at.astimezone(site.zone).date())
        return Post.objects.create(user=user, site=site, role=_role(role))


def end_post(asked: Asked, post: Post) -> None:
    """End a post at a site. The account stays; without a post it sees nothing."""
    check_can(asked.hand.user, "accounts", post.site)
    with transaction.atomic():
        line, again = open_line(asked, "end post", post.site, f"Ended: {post}", {"post": post.pk})
        if again:
            return
        held = Post.objects.select_for_update().filter(pk=post.pk, ended_on=None)
        _keep_one_office(held, post.site)
        zone = post.site.zone if post.site else None
        held.update(ended_on=line.at.astimezone(zone).date())


def set_password(asked: Asked, user: User, site: Site, password: str) -> None:
    """Give a person of this site a new password. It is never written to the journal."""
    check_can(asked.hand.user, "accounts", site)
    if not Post.objects.of(user).filter(site=site).exists():
        raise Refused([stops("Only the password of somebody with a post at this site can be set here.")])
    _check_password(NewAccount(user.username, user.get_full_name(), password))
    with transaction.atomic():
        _, again = open_line(
            asked, "set password", site, f"Set a new password for {user.username}", {"user": user.pk}
        )
        if again:
            return
        user.set_password(password)
        user.save(update_fields=["password"])


def make_token(asked: Asked, user: User, name: str) -> str:
    """Make a token with the rights of this user; the text is shown once, only its digest is kept."""
    text = "tb_" + secrets.token_urlsafe(32)
    with transaction.atomic():
        _, again = open_line(
            asked,
            "make token",
            None,
            f"Made a token for {user.username}: {name}",
            {"user": user.pk, "name": name},
        )
        if again:
            raise Refused(
                [stops("This token was made already and its text is shown only once; make another.")]
            )
        Token.objects.create(user=user, name=name[:60], digest=digest_of(text))
    return text


def user_of_token(text: str) -> User | None:
    """The active user of this token, or None."""
    token = Token.objects.select_related("user").filter(digest=digest_of(text)).first()
    if token is None or not token.user.is_active:
        return None
    if token.ends_on and token.ends_on < timezone.now().date():
        return None
    return token.user


def know_device(ident: UUID, label: str) -> Device:
    """The device whose browser keeps this number; written down when it writes here for the first time."""
    device, _ = Device.objects.get_or_create(
        id=ident, defaults={"first_seen": timezone.now(), "label": label[:120]}
    )
    return device


def digest_of(text: str) -> str:
    """What is kept of a token."""
    return hashlib.sha256(text.encode()).hexdigest()


def _make_user(account: NewAccount) -> User:
    try:
        with transaction.atomic():
            return User.objects.create_user(
                account.username, password=account.password, first_name=account.full_name[:150]
            )
    except IntegrityError:
        raise Refused([stops(f"The name {account.username} is taken; choose another.")]) from None


def _check_password(account: NewAccount) -> None:
    problems = []
    if not account.username.strip() or len(account.username) > 150:
        problems.append(stops("Type the name to sign in with."))
    try:
        validate_password(account.password, User(username=account.username, first_name=account.full_name))
    except ValidationError as error:
        problems += [stops(text) for text in error.messages]
    if problems:
        raise Refused(problems)


def _role(role: str) -> str:
    if role not in Role.values:
        raise Refused([stops(f"A role is one of: {', '.join(Role.values)}.")])
    return role


def _keep_one_office(held: QuerySet[Post], site: Site | None) -> None:
    """Nobody ends the last office post, or there would be no one left to give any."""
    if not held.filter(role=Role.OFFICE).exists():
        return
    others = Post.objects.at(site).filter(role=Role.OFFICE, ended_on=None, user__is_active=True)
    if not others.exclude(pk__in=held.values("pk")).exists():
        raise Refused([stops("This is the last office post here; give another person one first.")])
