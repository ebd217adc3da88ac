"""What the due board can be narrowed by. Choices are what the site has; what is not one narrows nothing."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django import forms
from django.db.models import Exists, OuterRef, QuerySet

from inspection.calc.ahead import MOST_HOURS, Ahead, earliest_end
from inspection.models.due import ALL, GONE, HERE, LISTS, WELL, of_delivery, of_state, of_strings
from rack.calc.kinds import KINDS
from rack.calc.wishes import wishes_from
from rack.models import Component, Delivery, Place, Plan, Site, Spec, String, Well

#: So many of the newest are offered.
MOST = 60
WHICH = ((HERE, "here, in the hole"), (WELL, "left in a well"), (GONE, "gone or scrapped"),
         (ALL, "all"))  # fmt: skip


class DueForm(forms.Form):
    """Layer, kind, delivery, string, well; a planned section; which pieces at all."""

    def __init__(self, data: Mapping[str, Any], *, site: Site, today: date) -> None:
        super().__init__(data, auto_id="due_%s")
        self.fields["list"] = forms.ChoiceField(
            choices=[(name, word) for name, (word, _) in LISTS.items()], required=False,
            widget=forms.HiddenInput,
        )  # fmt: skip
        self.site, self.today = site, today
        here = Component.objects.at(site).order_by().filter(spec=OuterRef("pk"))
        self.specs = list(Spec.objects.filter(Exists(here)).values_list("pk", "kind"))
        kinds = {kind for _, kind in self.specs}
        self.strings = list(
            String.objects.at(site).select_related("well", "plan").order_by("-number")[:MOST]
        )
        self.plans = {plan.pk: plan for plan in Plan.objects.at(site).open().order_by("-number")[:MOST]}
        self._offer("kind", "Kind", [(code, KINDS[code].name) for code in KINDS if code in kinds])
        self._offer("layer", "Layer", _named(Place.objects.on(site).lie_on()))
        self._offer("delivery", "Delivery", _named(_deliveries(site)))
        self._offer("string", "String", _named(one for one in self.strings if one.ended_at is None))
        self._offer("well", "Well", _named(Well.objects.at(site).order_by("-id")[:MOST]))
        self._offer("which", "Pieces", list(WHICH[1:]), empty=WHICH[0][1])
        self._offer("plan", "Planned section", [(str(pk), str(one)) for pk, one in self.plans.items()],
                    empty="none")  # fmt: skip
        self.fields["hours"] = forms.IntegerField(
            label="Planned hours", required=False, min_value=1, max_value=MOST_HOURS
        )
        self.fields["ends"] = forms.DateField(
            label="Planned end", required=False, input_formats=["%Y-%m-%d"],
            widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
            error_messages={"invalid": "Write the day as 2026-05-01."},
        )  # fmt: skip
        self.full_clean()

    def _offer(self, name: str, label: str, choices: list[tuple[str, str]], *, empty: str = "any") -> None:
        if choices or self.data.get(name):
            self.fields[name] = forms.ChoiceField(
                label=label, choices=[("", empty), *choices], required=False
            )

    def said(self, name: str) -> Any:
        """What was chosen, "" or None for nothing and for what is no choice."""
        return self.cleaned_data.get(name)

    def narrow(self, *, whole: bool = False) -> QuerySet[Component]:
        """The pieces of the site that answer to all choices; `whole` to count all of them."""
        which = self.said("which") or HERE
        pieces = of_state(Component.objects.at(self.site), which, whole=whole)
        if kind := self.said("kind"):
            pieces = pieces.filter(spec__in=[pk for pk, of in self.specs if of == kind])
        if layer := self.said("layer"):
            pieces = pieces.filter(place=int(layer))
        if delivery := self.said("delivery"):
            pieces = of_delivery(pieces, int(delivery))
        now = which in (HERE, GONE)
        if string := self.said("string"):
            pieces = of_strings(pieces, [int(string)], now=now)
        if well := self.said("well"):
            strings = String.objects.filter(well=int(well)).values_list("pk", flat=True)
            pieces = of_strings(pieces, list(strings), now=now)
        return pieces

    @property
    def string(self) -> String | None:
        """The string that was chosen."""
        chosen = self.said("string")
        return next((one for one in self.strings if str(one.pk) == chosen), None)

    @property
    def plan(self) -> Plan | None:
        """The plan that was chosen, else the one that the chosen string was run from."""
        chosen = self.said("plan")
        if chosen:
            return self.plans[int(chosen)]
        return self.string.plan if self.string else None

    @property
    def ahead(self) -> Ahead | None:
        """The planned section: its hours as typed, else as planned; its end as typed, else the earliest."""
        hours, ends = self.said("hours"), self.said("ends")
        if hours is None and self.plan:
            hours = wishes_from(self.plan.wishes).hours
        if hours is None and ends is None:
            return None
        hours = min(hours or 0, MOST_HOURS)
        return Ahead(hours, ends or earliest_end(self.today, hours))

    @property
    def narrowed(self) -> list[tuple[str, str]]:
        """What was chosen, each as it reads on the page."""
        found = []
        for name, field in self.fields.items():
            value = self.said(name) if name != "list" else None
            if value not in (None, ""):
                words = {str(code): str(word) for code, word in getattr(field, "choices", ())}
                found.append((str(field.label), words.get(str(value), str(value))))
        return found


def _named(rows: Iterable[Any]) -> list[tuple[str, str]]:
    return [(str(row.pk), str(row)) for row in rows]


def _deliveries(site: Site) -> QuerySet[Delivery]:
    rows = Delivery.objects.standing().filter(site=site).select_related("file")
    return rows.defer("mapping", "counted").order_by("-id")[:MOST]
