"""How the columns of an inspection company's report were set, remembered for its next one."""

from django.db import models

from rack.models import Site


class RememberedReport(models.Model):
    """The mapping and the spellings of classes that were settled once for a company."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="+")
    company_key = models.CharField(max_length=80)
    mapping = models.TextField()
    aliases = models.TextField(default="{}")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["site", "company_key"], name="report_of_company")]
