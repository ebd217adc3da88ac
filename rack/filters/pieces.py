"""What the rack list can be narrowed by. Choices are what the site has, so no choice shows nothing."""

from typing import Any

import django_filters
from django import forms
from django.db.models import Exists, OuterRef, QuerySet

from rack.calc.balance import PARTS, UNPLACED
from rack.calc.kinds import KINDS
from rack.calc.states import REACHED, STATES
from rack.models import Component, Delivered, Delivery, Place, Site, Spec
from rack.models.balancing import holding

MOST_DELIVERIES = 200


class PieceFilter(django_filters.FilterSet):
    """Kind, size, grade, connection, state, layer, owner, delivery, and where the balance counts it."""

    kind = django_filters.ChoiceFilter(label="Kind", method="by_spec", empty_label="any")
    size = django_filters.ChoiceFilter(label="Size", method="by_spec", empty_label="any")
    grade = django_filters.ChoiceFilter(label="Grade", method="by_spec", empty_label="any")
    connection = django_filters.ChoiceFilter(label="Connection", method="by_spec", empty_label="any")
    state = django_filters.ChoiceFilter(label="State", method="by_state", empty_label="any")
    layer = django_filters.ChoiceFilter(label="Layer", method="by_layer", empty_label="any")
    lies = django_filters.ChoiceFilter(label="Counted", method="by_layer", empty_label="any")
    owner = django_filters.ChoiceFilter(label="Owner", method="by_layer", empty_label="any")
    delivery = django_filters.ChoiceFilter(label="Delivery", method="by_layer", empty_label="any")

    class Meta:
        model = Component
        fields: list[str] = []

    def __init__(self, data: Any, queryset: QuerySet[Component], *, site: Site) -> None:
        super().__init__(data, queryset)
        self.site = site
        here = queryset.order_by().filter(spec=OuterRef("pk"))
        self.specs = list(Spec.objects.filter(Exists(here)))
        fields = self.form.fields
        _offer(fields["kind"], [(code, KINDS[code].name) for code in KINDS if self._any(kind=code)])
        _offer(fields["size"], sorted({(s.size, s.size) for s in self.specs if s.size}))
        _offer(fields["grade"], sorted({(s.grade, s.grade) for s in self.specs if s.grade}))
        _offer(
            fields["connection"], sorted({(c, c) for s in self.specs for c in (s.up_conn, s.down_conn) if c})
        )
        _offer(fields["state"], [("held", "held"), *((code, STATES[code].name) for code in REACHED)])
        racks = Place.objects.on(site).lie_on()
        _offer(fields["layer"], [(str(place.pk), str(place)) for place in racks])
        reached = [(code, part.name) for code, part in PARTS.items() if set(part.states) & set(REACHED)]
        _offer(fields["lies"], [*reached, (UNPLACED, "on no rack")])
        _offer(fields["owner"], _owners(queryset) if self._offers("owner") else [])
        _offer(fields["delivery"], _deliveries(site) if self._offers("delivery") else [])
        for name in ("owner", "delivery"):
            if not fields[name].choices[1:]:  # nothing fills it here, so it is not offered
                del fields[name]

    def _offers(self, name: str) -> bool:
        """The rack list offers owners and deliveries when it came narrowed to one, and asks for none else."""
        return bool(self.data.get(name))

    def _any(self, kind: str) -> bool:
        return any(spec.kind == kind for spec in self.specs)

    def filter_queryset(self, queryset: QuerySet[Component]) -> QuerySet[Component]:
        """All at once: the choices about the specification become one list of specifications."""
        wanted = {name: self.form.cleaned_data.get(name, "") for name in self.form.fields}
        about = ("kind", "size", "grade", "connection")
        asked = {name: wanted[name] for name in about if wanted.get(name)}
        if asked:
            queryset = queryset.filter(spec__in=[spec.pk for spec in self.specs if _answers(spec, asked)])
        if wanted.get("state") == "held":
            queryset = queryset.filter(holds_n__gt=0)
        elif wanted.get("state"):
            queryset = queryset.filter(state=wanted["state"])
        if wanted.get("layer"):
            queryset = queryset.filter(place_id=int(wanted["layer"]))
        if wanted.get("lies"):
            queryset = queryset.filter(holding(wanted["lies"]))
        if wanted.get("owner"):
            queryset = queryset.filter(owner=wanted["owner"])
        if wanted.get("delivery"):
            rows = Delivered.objects.filter(delivery=int(wanted["delivery"]), component__isnull=False)
            queryset = queryset.filter(pk__in=rows.values("component"))
        return queryset

    def by_spec(self, queryset: QuerySet[Component], name: str, value: str) -> QuerySet[Component]:
        return queryset

    by_state = by_layer = by_spec

    @property
    def narrowed(self) -> bool:
        return any(self.form.cleaned_data.values()) if self.form.is_valid() else False


def _owners(pieces: QuerySet[Component]) -> list[tuple[str, str]]:
    owners = pieces.order_by("owner").values_list("owner", flat=True).distinct()
    return [(owner, owner) for owner in owners if owner]


def _deliveries(site: Site) -> list[tuple[str, str]]:
    lists = Delivery.objects.at(site).select_related("file").defer("mapping", "counted").order_by("-id")
    return [(str(one.pk), str(one)) for one in lists[:MOST_DELIVERIES]]


class BalanceFilter(PieceFilter):
    """What the balance can be narrowed by, and the moment it is asked for."""

    KEPT = ("kind", "size", "owner", "delivery")

    def _offers(self, name: str) -> bool:
        return True

    def __init__(self, data: Any, queryset: QuerySet[Component], *, site: Site) -> None:
        super().__init__(data, queryset, site=site)
        for name in [name for name in self.form.fields if name not in self.KEPT]:
            del self.form.fields[name]
        self.form.fields["on"] = forms.DateTimeField(
            label="As of", required=False, widget=forms.DateTimeInput(attrs={"type": "datetime-local"}),
        )  # fmt: skip

    def narrow(self, pieces: QuerySet[Component]) -> QuerySet[Component]:
        """These pieces narrowed by the same choices."""
        return self.filter_queryset(pieces) if self.form.is_valid() else pieces


def _offer(field: forms.Field, choices: list[tuple[str, str]]) -> None:
    field.choices = choices  # type: ignore[attr-defined]


def _answers(spec: Spec, asked: dict[str, str]) -> bool:
    return (
        asked.get("kind", spec.kind) == spec.kind
        and asked.get("size", spec.size) == spec.size
        and asked.get("grade", spec.grade) == spec.grade
        and asked.get("connection", spec.up_conn) in (spec.up_conn, spec.down_conn)
    )
