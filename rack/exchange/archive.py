"""The single file of a backup: tables as lines of JSON, files by digest, and a list of all of it.

A zip with `tables/NAME.jsonl` (one row a line, a list of values in the order of the columns),
`files/DIGEST`, and at the end `manifest.json`, which names every part with its digest and count.
Everything streams: neither side holds a table in memory.
"""

import hashlib
import json
import struct
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import IO, Any, Self

from rack.errors import UnreadableFile

FORMAT, VERSION = "tierbook backup", 1
MANIFEST = "manifest.json"
CHUNK = 1024 * 1024
# A longer line is no row of ours: a file made to fill the memory is refused.
LONGEST_ROW = 64 * 1024 * 1024
BROKEN = (zipfile.BadZipFile, zlib.error, OSError, EOFError, NotImplementedError)
FOREIGN = "This is no backup of Tierbook: "
DAMAGED = "The backup is damaged: "


@dataclass(frozen=True)
class Table:
    """A table as the manifest has it."""

    name: str
    columns: tuple[str, ...]
    rows: int
    sha256: str


class ArchiveWriter:
    """Writes a backup part by part; without `close()` it has no manifest and is refused later."""

    def __init__(self, path: Path, migrations: dict[str, list[str]]) -> None:
        self._zip = zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, allowZip64=True)
        self._manifest: dict[str, Any] = {
            "format": FORMAT, "version": VERSION, "migrations": migrations, "tables": [], "files": [],
        }  # fmt: skip

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if error is None:
            self._zip.writestr(MANIFEST, json.dumps(self._manifest, indent=1))
        self._zip.close()

    def table(self, name: str, columns: list[str], rows: Iterable[list[Any]]) -> int:
        """Write a table from its rows as plain JSON values; returns how many there were."""
        digest, count = hashlib.sha256(), 0
        with self._zip.open(f"tables/{name}.jsonl", "w", force_zip64=True) as out:
            for row in rows:
                line = json.dumps(row, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
                digest.update(line)
                out.write(line)
                count += 1
        entry = {"name": name, "columns": columns, "rows": count, "sha256": digest.hexdigest()}
        self._manifest["tables"].append(entry)
        return count

    def file(self, sha256: str, path: Path) -> None:
        """Write a kept file. Raises ValueError where its bytes are no longer those of its digest."""
        digest = hashlib.sha256()
        with path.open("rb") as source, self._zip.open(f"files/{sha256}", "w", force_zip64=True) as out:
            while chunk := source.read(CHUNK):
                digest.update(chunk)
                out.write(chunk)
        if digest.hexdigest() != sha256:
            raise ValueError(f"the bytes of the file {sha256} have changed")
        self._manifest["files"].append(sha256)


class Archive:
    """Reads a backup. Opening it checks that it is one; `check()` reads all of it once."""

    def __init__(self, path: Path) -> None:
        try:
            self._zip = zipfile.ZipFile(path)
        except (zipfile.BadZipFile, EOFError, NotImplementedError, ValueError, struct.error):
            raise UnreadableFile(FOREIGN + "it is no archive, or its end is missing.") from None
        except OSError as error:
            raise UnreadableFile(f"{path} cannot be read: {error.strerror}.") from None
        manifest = self._read_manifest()
        try:
            self.migrations: dict[str, list[str]] = {
                str(app): [str(name) for name in names] for app, names in manifest["migrations"].items()
            }
            self.tables = tuple(
                Table(str(one["name"]), tuple(map(str, one["columns"])), int(one["rows"]), str(one["sha256"]))
                for one in manifest["tables"]
            )
            self.files = tuple(map(str, manifest["files"]))
        except (KeyError, TypeError, ValueError, AttributeError):
            raise UnreadableFile(DAMAGED + "its list of contents cannot be read.") from None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *nothing: object) -> None:
        self._zip.close()

    def _read_manifest(self) -> dict[str, Any]:
        try:
            manifest = json.loads(self._zip.read(MANIFEST))
        except KeyError:
            raise UnreadableFile(FOREIGN + "the list of its contents is missing.") from None
        except (ValueError, *BROKEN):
            raise UnreadableFile(DAMAGED + "its list of contents cannot be read.") from None
        if not isinstance(manifest, dict) or manifest.get("format") != FORMAT:
            raise UnreadableFile(FOREIGN + "its list of contents says so.")
        if manifest.get("version") != VERSION:
            raise UnreadableFile("This backup was made by a newer Tierbook; restore it with that one.")
        return manifest

    def check(self) -> None:
        """Read every part and hold it to the manifest, before anything is written anywhere."""
        listed = {f"tables/{table.name}.jsonl" for table in self.tables}
        listed |= {f"files/{digest}" for digest in self.files} | {MANIFEST}
        if extra := set(self._zip.namelist()) ^ listed:
            raise UnreadableFile(f"{DAMAGED}{sorted(extra)[0]} is not in both its list and its contents.")
        for table in self.tables:
            digest, count = hashlib.sha256(), 0
            for line in self._lines(table):
                digest.update(line)
                count += 1
            if count != table.rows or digest.hexdigest() != table.sha256:
                raise UnreadableFile(f"{DAMAGED}the table {table.name} is not what its list says.")
        for sha256 in self.files:
            digest = hashlib.sha256()
            for chunk in self.bytes_of(sha256):
                digest.update(chunk)
            if digest.hexdigest() != sha256:
                raise UnreadableFile(f"{DAMAGED}the file {sha256[:12]} is not what its digest says.")

    def rows(self, table: Table) -> Iterator[list[Any]]:
        """Return the rows of a table, each as many values as the table has columns."""
        for line in self._lines(table):
            try:
                row = json.loads(line)
            except ValueError:
                row = None
            if not isinstance(row, list) or len(row) != len(table.columns):
                raise UnreadableFile(f"{DAMAGED}a row of the table {table.name} cannot be read.")
            yield row

    def bytes_of(self, sha256: str) -> Iterator[bytes]:
        """Return the bytes of a kept file, a piece at a time."""
        with self._part(f"files/{sha256}") as source:
            try:
                while chunk := source.read(CHUNK):
                    yield chunk
            except BROKEN:
                raise UnreadableFile(f"{DAMAGED}the file {sha256[:12]} cannot be read.") from None

    def _lines(self, table: Table) -> Iterator[bytes]:
        with self._part(f"tables/{table.name}.jsonl") as source:
            while True:
                try:
                    line = source.readline(LONGEST_ROW)
                except BROKEN:
                    raise UnreadableFile(f"{DAMAGED}the table {table.name} cannot be read.") from None
                if not line:
                    return
                yield line

    def _part(self, name: str) -> IO[bytes]:
        try:
            return self._zip.open(name)
        except (KeyError, zipfile.BadZipFile, NotImplementedError, RuntimeError):
            raise UnreadableFile(f"{DAMAGED}{name} is missing from it.") from None
