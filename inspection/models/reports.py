"""Reports of inspection companies that were accepted: the file, how it was read, what became of its rows."""

import json

from django.db import models

from rack.models import Entry, File, Site
from rack.models.journal import LedgerQuerySet


class AcceptedReportQuerySet(LedgerQuerySet):
    def at(self, site: Site) -> "AcceptedReportQuerySet":
        return self.filter(site=site)


class AcceptedReport(Entry):
    """A report that was accepted once. `rows` tells of each of its rows the line of the file, its name, the
    tag of the piece it was recorded of ("" for none) and why it was left out."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="+")
    file = models.ForeignKey(File, on_delete=models.PROTECT, related_name="+")
    company = models.CharField(max_length=80, blank=True)
    report_no = models.CharField(max_length=60, blank=True)
    on = models.DateField()
    mapping = models.TextField()
    rows = models.TextField()
    recorded_n = models.PositiveIntegerField()
    left_out_n = models.PositiveIntegerField()

    objects = AcceptedReportQuerySet.as_manager()

    class Meta(Entry.Meta):
        indexes = [models.Index(fields=["site", "-id"], name="acceptedreport_site")]

    def __str__(self) -> str:
        return f"report {self.report_no}" if self.report_no else f"report of {self.on:%Y-%m-%d}"

    @property
    def left_out(self) -> list[tuple[int, str, str]]:
        """Line of the file, name and reason of each row that was not recorded."""
        return [(line, name, why) for line, name, tag, why in json.loads(self.rows) if not tag]

    @property
    def tags(self) -> list[str]:
        """The tags of the pieces that its rows are recorded of, in the order of the file."""
        return [tag for _, _, tag, _ in json.loads(self.rows) if tag]
