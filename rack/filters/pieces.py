"""What the rack list can be narrowed by. Choices are what the site has, so no choice shows nothing."""

from typing import Any

import django_filters
from django import forms
from django.db.models import Exists, OuterRef, QuerySet

from rack.calc.kinds import KINDS
from rack.calc.states import STATES
from rack.models import Component, Place, Site, Spec


class PieceFilter(django_filters.FilterSet):
    """Kind, size, grade, connection, state and layer."""

    kind = django_filters.ChoiceFilter(label="Kind", method="by_spec", empty_label="any")
    size = django_filters.ChoiceFilter(label="Size", method="by_spec", empty_label="any")
    grade = django_filters.ChoiceFilter(label="Grade", method="by_spec", empty_label="any")
    connection = django_filters.ChoiceFilter(label="Connection", method="by_spec", empty_label="any")
    state = django_filters.ChoiceFilter(label="State", method="by_state", empty_label="any")
    layer = django_filters.ChoiceFilter(label="Layer", method="by_layer", empty_label="any")

    class Meta:
        model = Component
        fields: list[str] = []

    def __init__(self, data: Any, queryset: QuerySet[Component], *, site: Site) -> None:
        super().__init__(data, queryset)
        self.site = site
        here = Component.objects.at(site).filter(spec=OuterRef("pk"))
        self.specs = list(Spec.objects.filter(Exists(here)))
        fields = self.form.fields
        _offer(fields["kind"], [(code, KINDS[code].name) for code in KINDS if self._any(kind=code)])
        _offer(fields["size"], sorted({(s.size, s.size) for s in self.specs if s.size}))
        _offer(fields["grade"], sorted({(s.grade, s.grade) for s in self.specs if s.grade}))
        _offer(
            fields["connection"], sorted({(c, c) for s in self.specs for c in (s.up_conn, s.down_conn) if c})
        )
        _offer(fields["state"], [("held", "held"), *((code, state.name) for code, state in STATES.items())])
        racks = Place.objects.on(site).open().layers().order_by("rack", "layer")
        _offer(fields["layer"], [(str(place.pk), str(place)) for place in racks])

    def _any(self, kind: str) -> bool:
        return any(spec.kind == kind for spec in self.specs)

    def filter_queryset(self, queryset: QuerySet[Component]) -> QuerySet[Component]:
        """All at once: the choices about the specification become one list of specifications."""
        wanted = {name: self.form.cleaned_data.get(name, "") for name in self.form.fields}
        asked = {name: wanted[name] for name in ("kind", "size", "grade", "connection") if wanted[name]}
        if asked:
            queryset = queryset.filter(spec__in=[spec.pk for spec in self.specs if _answers(spec, asked)])
        if wanted["state"] == "held":
            queryset = queryset.filter(holds_n__gt=0)
        elif wanted["state"]:
            queryset = queryset.filter(state=wanted["state"])
        if wanted["layer"]:
            queryset = queryset.filter(place_id=int(wanted["layer"]))
        return queryset

    def by_spec(self, queryset: QuerySet[Component], name: str, value: str) -> QuerySet[Component]:
        return queryset

    by_state = by_layer = by_spec

    @property
    def narrowed(self) -> bool:
        return any(self.form.cleaned_data.values()) if self.form.is_valid() else False


def _offer(field: forms.Field, choices: list[tuple[str, str]]) -> None:
    field.choices = choices  # type: ignore[attr-defined]


def _answers(spec: Spec, asked: dict[str, str]) -> bool:
    return (
        asked.get("kind", spec.kind) == spec.kind
        and asked.get("size", spec.size) == spec.size
        and asked.get("grade", spec.grade) == spec.grade
        and asked.get("connection", spec.up_conn) in (spec.up_conn, spec.down_conn)
    )
