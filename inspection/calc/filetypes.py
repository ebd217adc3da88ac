"""What a file is that was handed in with an inspection: read from its bytes, never from its name."""

import io
import zipfile

MOST_BYTES = 20 * 2**20
PDF, JPEG, PNG = "application/pdf", "image/jpeg", "image/png"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
CSV = "text/csv"
#: What a photo may be, and what a report may be.
PHOTOS = (JPEG, PNG)
REPORTS = (PDF, JPEG, PNG, XLSX, CSV)
NAMES = {PDF: "PDF", JPEG: "JPEG", PNG: "PNG", XLSX: "XLSX", CSV: "CSV"}

_BEGINNINGS = ((b"%PDF-", PDF), (b"\xff\xd8\xff", JPEG), (b"\x89PNG\r\n\x1a\n", PNG))
#: A text that begins so is a program or a page of a browser, whatever it is called.
_NO_TABLE = ("#!", "<", "{\\rtf", "mz")
_SEPARATORS = (",", ";", "\t")
#: Signs below the blank that a text may hold: tab, line feed, carriage return, form feed.
_SIGNS = frozenset("\t\n\r\f")


def media_of(data: bytes, allowed: tuple[str, ...] = REPORTS) -> str:
    """Return the type of a file from its bytes, `data`: "application/pdf".

    `allowed` are the types that are taken. Raises ValueError with a sentence when it is empty, over 20 MB
    or none of them. No unit but bytes. Source: the beginnings of the formats; limit of the house.
    """
    words = [NAMES[one] for one in allowed]
    which = f"{', '.join(words[:-1])} or {words[-1]}"
    if not data:
        raise ValueError("The file is empty; choose it again.")
    if len(data) > MOST_BYTES:
        raise ValueError(f"The file is larger than {MOST_BYTES // 2**20} MB; send a smaller one.")
    found = next((media for begins, media in _BEGINNINGS if data.startswith(begins)), "")
    if not found:
        found = XLSX if _is_workbook(data) else CSV if _is_table(data) else ""
    if found not in allowed:
        what = f"a {NAMES[found]}" if found else "none of these by its content, whatever its name says"
        raise ValueError(f"The file must be {which}; it is {what}.")
    return found


def _is_workbook(data: bytes) -> bool:
    """A zip with the parts of a workbook and no macros in it."""
    if not data.startswith(b"PK\x03\x04"):
        return False
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            names = {name.lower() for name in parts.namelist()}
    except (zipfile.BadZipFile, ValueError, NotImplementedError):
        return False
    macros = any(name.endswith("vbaproject.bin") for name in names)
    return {"[content_types].xml", "xl/workbook.xml"} <= names and not macros


def _is_table(data: bytes) -> bool:
    """Text in lines with separators; program texts and pages are none."""
    text = _text(data)
    begins = text.lstrip("\ufeff \t\r\n")[:8].lower()
    if not begins or begins.startswith(_NO_TABLE):
        return False
    if any(sign < " " and sign not in _SIGNS for sign in text):
        return False
    return any(sign in text for sign in _SEPARATORS)


def _text(data: bytes) -> str:
    for code in ("utf-8-sig", "utf-16", "cp1252"):
        if code == "utf-16" and not data.startswith((b"\xff\xfe", b"\xfe\xff")):
            continue
        try:
            return data.decode(code)
        except UnicodeDecodeError:
            continue
    return ""
