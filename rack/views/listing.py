"""A plain list sent as a file: CSV or XLSX."""

from django.http import Http404, HttpResponse

from rack.downloads import XLSX
from rack.exchange.list_files import ListFile, write_csv, write_xlsx


def listed(content: ListFile, form: str, name: str) -> HttpResponse:
    """The file of a list in this form. Raises Http404 for a form that is none."""
    if form == "csv":
        data, media = write_csv(content).encode(), "text/csv; charset=utf-8"
    elif form == "xlsx":
        data, media = write_xlsx(content), XLSX
    else:
        raise Http404("A list is written as pdf, csv or xlsx.")
    kept = {"Content-Disposition": f'attachment; filename="{name}.{form}"'}
    return HttpResponse(data, content_type=media, headers=kept)
