"""Files as answers: their media, their names, and the paper that was asked for."""

from django.http import HttpRequest, HttpResponse

from rack.models import Site

PDF = "application/pdf"
CSV = "text/csv; charset=utf-8"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
SIZES = ("A4", "Letter")


def download(data: bytes | str, media: str, name: str, *, inline: bool = False) -> HttpResponse:
    """The answer that hands over a file under a name; `inline` shows it in the page's own window."""
    disposition = "inline" if inline else "attachment"
    headers = {"Content-Disposition": f'{disposition}; filename="{name}"'}
    return HttpResponse(data, content_type=media, headers=headers)


def paper_size(request: HttpRequest, site: Site) -> str:
    """The paper asked for; else Letter where lengths are in the US way and A4 elsewhere."""
    asked = request.GET.get("size", "").lower()
    usual = "Letter" if site.units == "us" else "A4"
    return next((size for size in SIZES if size.lower() == asked), usual)
