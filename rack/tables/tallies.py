"""The list of tallies."""

import django_tables2 as tables
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from rack.models import Tally
from rack.models.progress import Progress

_DAY = {"td": {"class": "day"}}
_FIGURE = {"td": {"class": "num"}, "th": {"class": "num"}}


class TallyTable(tables.Table):
    """Tallies, open ones first, each with how far it is."""

    number = tables.Column(verbose_name="Tally")
    title = tables.Column(verbose_name="Title", default="–")
    purpose = tables.Column(verbose_name="For")
    kind = tables.Column(verbose_name="Taken as")
    lines = tables.Column(verbose_name="Joints", accessor="pk", attrs=_FIGURE)
    state = tables.Column(verbose_name="How far", accessor="pk")
    opened_at = tables.DateTimeColumn(verbose_name="Opened", format="Y-m-d", attrs=_DAY)

    class Meta:
        orderable = False
        template_name = "_table.html"
        attrs = {"caption": "Tallies"}

    def __init__(self, rows: list[Tally], progress: dict[int, Progress]) -> None:
        super().__init__(rows)
        self.progress = progress

    def render_number(self, record: Tally) -> SafeString:
        return format_html('<a href="{}">Tally {}</a>', reverse("tally", args=[record.number]), record.number)

    def render_lines(self, record: Tally) -> str:
        return f"{self.progress[record.pk].lines:,}"

    def render_state(self, record: Tally) -> str:
        return self.progress[record.pk].words
