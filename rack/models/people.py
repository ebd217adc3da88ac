"""Sites, the posts that people hold there, their tokens and the devices they write from."""

import uuid
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import models
from django.db.models import Exists, Q

from rack.calc.hours import TOUR_HOURS
from rack.calc.units import PRESETS


class Role(models.TextChoices):
    CREW = "crew", "crew"
    SUPERVISOR = "supervisor", "supervisor"
    OFFICE = "office", "office"
    VIEWER = "viewer", "viewer"


class SiteQuerySet(models.QuerySet):
    def for_user(self, user: object) -> "SiteQuerySet":
        """Sites where `user` holds a post; a post without a site counts everywhere."""
        posts = Post.objects.of(user)
        return self.filter(Q(pk__in=posts.values("site")) | Exists(posts.filter(site=None)))

    def open(self) -> "SiteQuerySet":
        return self.filter(ended_on=None)


class Site(models.Model):
    """A rig or a yard: its clock, its units and how fine its tape is read."""

    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=80)
    tz = models.CharField(max_length=60, default="UTC")
    units = models.CharField(max_length=10, default="us")
    digits = models.PositiveSmallIntegerField(default=2)
    # Where the report day begins, in seconds after midnight by the wall clock, and how long a tour is.
    report_day_s = models.PositiveIntegerField(default=0)
    tour_hours = models.PositiveSmallIntegerField(default=12)
    ended_on = models.DateField(null=True, blank=True)

    objects = SiteQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(units__in=list(PRESETS)), name="site_units"),
            models.CheckConstraint(condition=models.Q(digits__in=[2, 3]), name="site_digits"),
            models.CheckConstraint(condition=models.Q(report_day_s__lt=86_400), name="site_report_day"),
            models.CheckConstraint(condition=models.Q(tour_hours__in=TOUR_HOURS), name="site_tour_hours"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def length_unit(self) -> str:
        """The unit of a tally here: "ft" or "m"."""
        return PRESETS[self.units]["length"]

    @property
    def zone(self) -> ZoneInfo:
        """The clock of the site: dates and shown times are by it."""
        return ZoneInfo(self.tz)


class PostQuerySet(models.QuerySet):
    def of(self, user: object) -> "PostQuerySet":
        return self.filter(user=user, ended_on=None) if getattr(user, "is_active", False) else self.none()

    def at(self, site: Site | None) -> "PostQuerySet":
        """Posts that count at `site`: held there, or everywhere."""
        return self.filter(models.Q(site=site) | models.Q(site=None))

    def roles_at(self, user: object, site: Site | None) -> set[str]:
        return set(self.of(user).at(site).values_list("role", flat=True))


class Post(models.Model):
    """A role held at a site; no site means every site."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="posts")
    site = models.ForeignKey(Site, null=True, blank=True, on_delete=models.PROTECT, related_name="posts")
    role = models.CharField(max_length=12, choices=Role.choices)
    ended_on = models.DateField(null=True, blank=True)

    objects = PostQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["user", "site"],
                condition=models.Q(site__isnull=False, ended_on__isnull=True),
                name="post_at_site",
            ),
            models.UniqueConstraint(
                fields=["user"],
                condition=models.Q(site__isnull=True, ended_on__isnull=True),
                name="post_everywhere",
            ),
            models.CheckConstraint(condition=models.Q(role__in=Role.values), name="post_role"),
        ]

    def __str__(self) -> str:
        return f"{self.user}, {self.role}, {self.site or 'every site'}"


class Token(models.Model):
    """A token for a device or a script. Only its digest is kept; its rights are those of the user."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="tokens")
    name = models.CharField(max_length=60)
    digest = models.CharField(max_length=64, unique=True)
    ends_on = models.DateField(null=True, blank=True)

    def __str__(self) -> str:
        return self.name


class Device(models.Model):
    """A phone, tablet or desk that writes here, known by a cookie that its browser keeps."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    label = models.CharField(max_length=120, blank=True)
    first_seen = models.DateTimeField()

    def __str__(self) -> str:
        return self.label or str(self.id)
