"""Workbooks made by hand for the tests: an ODS from rows, and an old compound file from records."""

import io
import struct
import zipfile
from xml.sax.saxutils import escape, quoteattr

NAMES = (
    'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" '
    'xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0"'
)


def ods_cell(value: object, more: str = "") -> str:
    if value is None:
        return f"<table:table-cell {more}/>"
    if isinstance(value, int | float):
        return (
            f'<table:table-cell office:value-type="float" office:value="{value}" {more}>'
            f"<text:p>{value:.1f}</text:p></table:table-cell>"
        )
    text = str(value)
    if text.startswith("of:="):
        return f"<table:table-cell table:formula={quoteattr(text)} {more}/>"
    words = f"<text:p>{escape(text)}</text:p>"
    return f'<table:table-cell office:value-type="string" {more}>{words}</table:table-cell>'


def ods_sheet(name: str, rows: list[list[object]], more: str = "") -> str:
    lines = "".join(f"<table:table-row>{''.join(map(ods_cell, row))}</table:table-row>" for row in rows)
    filler = (
        '<table:table-row table:number-rows-repeated="1048000">'
        '<table:table-cell table:number-columns-repeated="1024"/></table:table-row>'
    )
    return f"<table:table table:name={quoteattr(name)} {more}>{lines}{filler}</table:table>"


def ods(*sheets: str, styles: str = "", extra: dict[str, bytes] | None = None) -> bytes:
    """The bytes of an ODS file with these sheets (see `ods_sheet`) and further files in it."""
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {NAMES}>'
        f"<office:automatic-styles>{styles}</office:automatic-styles>"
        f"<office:body><office:spreadsheet>{''.join(sheets)}</office:spreadsheet></office:body>"
        "</office:document-content>"
    )
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet", zipfile.ZIP_STORED)
        archive.writestr("content.xml", content)
        for name, data in (extra or {}).items():
            archive.writestr(name, data)
    return made.getvalue()


def record(kind: int, body: bytes) -> bytes:
    return struct.pack("<HH", kind, len(body)) + body


BEGIN = record(0x0809, struct.pack("<HHHHII", 0x0600, 0x0005, 0, 0, 0, 6))
END = record(0x000A, b"")


def compound(streams: dict[str, bytes]) -> bytes:
    """A compound file with these streams, each of 4,096 bytes or more (padded with zeros)."""
    sectors: list[bytes] = []
    table: list[int] = []
    entries = [_entry("Root Entry", 5, 0xFFFFFFFE, 0)]
    for name, data in streams.items():
        data = data.ljust(4096, b"\x00")
        first = len(sectors)
        parts = [data[at : at + 512].ljust(512, b"\x00") for at in range(0, len(data), 512)]
        sectors += parts
        table += [*range(first + 1, first + len(parts)), 0xFFFFFFFE]
        entries.append(_entry(name, 2, first, len(data)))
    folder = len(sectors)
    entries += [bytes(128)] * (-len(entries) % 4)
    parts = [b"".join(entries[at : at + 4]) for at in range(0, len(entries), 4)]
    sectors += parts
    table += [*range(folder + 1, folder + len(parts)), 0xFFFFFFFE]
    where = len(sectors)
    table.append(0xFFFFFFFD)
    table += [0xFFFFFFFF] * (-len(table) % 128)
    assert len(table) == 128, "a file of one table is enough for a test"
    sectors.append(struct.pack("<128I", *table))
    head = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(16) + struct.pack("<HHHHH", 0x3E, 3, 0xFFFE, 9, 6)
    head += bytes(6) + struct.pack("<IIIIIIIII", 0, 1, folder, 0, 4096, 0xFFFFFFFE, 0, 0xFFFFFFFE, 0)
    head += struct.pack("<109I", where, *[0xFFFFFFFF] * 108)
    return head + b"".join(sectors)


def _entry(name: str, kind: int, first: int, size: int) -> bytes:
    text = (name + "\x00").encode("utf-16-le")
    return (
        text.ljust(64, b"\x00")
        + struct.pack("<HBB", len(text), kind, 1)
        + struct.pack("<III", 0xFFFFFFFF, 0xFFFFFFFF, 1 if kind == 5 else 0xFFFFFFFF)
        + bytes(36)
        + struct.pack("<II", first, size)
        + bytes(4)
    )
