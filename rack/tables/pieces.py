"""The rack list as a table: few columns and plain cells, since the table class is what costs."""

from typing import Any

import django_tables2 as tables
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString

from rack.calc.lengths import Length
from rack.calc.states import AWAY, STATES
from rack.models import Component, Site
from rack.models.clocks import marked

_FIGURE = {"td": {"class": "num"}, "th": {"class": "num"}}


class PieceTable(tables.Table):
    """Pieces, one a row, in the order of their serials."""

    serial = tables.Column(verbose_name="Serial", empty_values=())
    painted = tables.Column(verbose_name="Painted", empty_values=(), accessor="pk")
    item = tables.Column(verbose_name="Item", accessor="spec")
    length = tables.Column(verbose_name="Length", accessor="length_nm", attrs=_FIGURE, default="not known")
    state = tables.Column(verbose_name="State", empty_values=())
    layer = tables.Column(verbose_name="Layer", accessor="place", default="–")

    class Meta:
        orderable = False
        template_name = "_table.html"
        attrs = {"caption": "Pieces", "class": "tens"}

    def __init__(self, rows: list[Component], *, site: Site, painted: dict[int, str], shut: set[int]) -> None:
        super().__init__(rows)
        self.site = site
        self.painted = painted
        self.shut = shut
        self.drawn: dict[tuple[str, str], str] = {}
        self.today = timezone.localdate(timezone=site.zone)
        self.columns["length"].column.verbose_name = f"Length {site.length_unit}"

    def render_serial(self, record: Component) -> SafeString:
        words = record.serial or f"tag {record.tag}"
        return format_html('<a href="{}">{}</a>', reverse("piece", args=[record.tag]), words)

    def render_painted(self, record: Component) -> str:
        return self.painted.get(record.pk, "–")

    def render_item(self, value: Any) -> str:
        return str(value)

    def render_length(self, value: int, record: Component) -> str:
        if record.pk in self.shut:
            return "second strap open"
        return Length(value).shown(self.site.length_unit, self.site.digits)

    def render_state(self, record: Component) -> str:
        """Held, else overdue, due, soon or fine; where nobody judges pieces, the state and no more."""
        state = STATES[record.state].name
        shape, word = marked(record, self.today)
        if not shape or (record.state in AWAY and shape != "held"):
            return state
        text = "held" if shape == "held" else state if shape == "fine" else f"{state}, {word}"
        if (shape, text) not in self.drawn:
            self.drawn[shape, text] = render_to_string("_state.html", {"shape": shape, "text": text})
        return self.drawn[shape, text]
