"""What lies at this site, as picks: the pipe on one's own racks is what one looks up."""

from urllib.parse import urlencode

from django.urls import reverse

from rack.calc.lookup import Catalogue
from rack.calc.reference.implied import casing_pipe, pipe_row
from rack.calc.reference.picked import grade_row
from rack.calc.specs import SpecFacts, inches
from rack.forms.reference import heavy_code, pipe_code
from rack.models import Component, Site, Spec

MOST = 12
_KINDS = {
    "pipe": ("drill_pipe", "heavy_weight"),
    "connections": ("collar", "drill_pipe", "heavy_weight", "jar", "sub"),
    "casing": ("casing",), "bits": ("bit",),
}  # fmt: skip


def picks_here(site: Site, page: str, tables: Catalogue) -> list[tuple[str, str]]:
    """Name and address of each pick that a specification at this site makes on that page."""
    here = Component.objects.at(site).order_by().values("spec")
    specs = Spec.objects.filter(pk__in=here, kind__in=_KINDS[page]).order_by("kind", "pk")[:60]
    found: dict[str, str] = {}
    for spec in specs:
        query = _query(page, spec.as_facts, tables)
        if query:
            found.setdefault(f"{reverse(f'reference_{page}')}?{urlencode(query)}", str(spec))
    return [(words, address) for address, words in found.items()][:MOST]


def _query(page: str, spec: SpecFacts, tables: Catalogue) -> dict[str, str]:
    if page == "pipe":
        return _pipe(spec, tables)
    if page == "casing":
        return _casing(spec, tables)
    if page == "bits":
        return {"bit": "roller cone", "size": inches(spec.od_nm)} if spec.od_nm else {}
    return _connection(spec)


def _pipe(spec: SpecFacts, tables: Catalogue) -> dict[str, str]:
    if spec.kind == "heavy_weight":
        row = pipe_row(spec, tables, "heavyweight")
        return {"pipe": heavy_code(row), "grade": "E75"} if row else {}
    row = pipe_row(spec, tables)
    try:
        strong = grade_row(spec.grade, tables)
    except ValueError:
        return {}
    if row is None:
        return {}
    joint = spec.tj_od_nm and spec.tj_bore_nm and spec.down_conn
    more = {"connection": spec.down_conn, "od": inches(spec.tj_od_nm), "bore": inches(spec.tj_bore_nm)}
    return {
        "pipe": pipe_code(row),
        "grade": strong["grade"],
        "pipe_class": "premium",
        **(more if joint else {}),
    }


def _connection(spec: SpecFacts) -> dict[str, str]:
    name = spec.down_conn or spec.up_conn
    if not name:
        return {}
    if spec.kind == "collar" and spec.bore_nm:
        return {
            "connection": name,
            "body": "drill collar",
            "od": inches(spec.od_nm),
            "bore": inches(spec.bore_nm),
        }
    if spec.tj_od_nm and spec.tj_bore_nm:
        return {"connection": name, "od": inches(spec.tj_od_nm), "bore": inches(spec.tj_bore_nm)}
    return {"connection": name}


def _casing(spec: SpecFacts, tables: Catalogue) -> dict[str, str]:
    thread = spec.down_conn or spec.up_conn
    product = "tubing" if thread in ("EUE", "NUE") else "casing"
    pipe = casing_pipe(spec, product, tables)
    grade = "".join(letter for letter in spec.grade.upper() if letter.isalnum())
    if pipe is None or not grade:
        return {}
    code = f"{product}/{pipe.size.replace('/', '.')}/{pipe.weight_lb_ft:g}"
    return {"pipe": code, "grade": grade, "thread": thread, "range": spec.range}
