"""A plain list sent as a file: CSV or XLSX."""

from django.http import Http404, HttpResponse

from rack.downloads import CSV, XLSX, download
from rack.exchange.list_files import ListFile, write_csv, write_xlsx


def listed(content: ListFile, form: str, name: str) -> HttpResponse:
    """The file of a list in this form. Raises Http404 for a form that is none."""
    if form == "csv":
        return download(write_csv(content).encode(), CSV, f"{name}.csv")
    if form == "xlsx":
        return download(write_xlsx(content), XLSX, f"{name}.xlsx")
    raise Http404("A list is written as pdf, csv or xlsx.")
