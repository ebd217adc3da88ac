"""A backup brings everything back, to the last row, and nothing else is taken for one."""

import json
import os
import subprocess
import sys
import zipfile
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import connection, models

from rack.actions import pieces
from rack.actions.files import bytes_of, keep_bytes, path_of
from rack.actions.journal import open_line
from rack.backing import CannotRestore, _kept_models, backup, restore
from rack.bootstrap import ROOT
from rack.errors import TierbookError, UnreadableFile
from rack.models import Component, File, Hold, Journal, Spec, guard
from tests import stock

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def full():
    """A site with people, pieces, a hold, a tally and a kept file."""
    site = stock.site()
    crew = stock.person("ada", "crew", site)
    made = stock.pieces(stock.rack(site), 3, lengths=["31.24", "30.98", "31.02"])
    pieces.put_hold(stock.asks(crew), made[0], "slip cut, 3 mm — “deep”\n")
    stock.tally(crew, site, made)
    keep(b"serial,length\nKD4101,31.24\n")
    return site


def keep(data: bytes) -> str:
    from django.db import transaction

    sha256 = keep_bytes(data)
    with transaction.atomic():
        line, _ = open_line(stock.asks(None), "keep", None, "Kept a file", {"sha256": sha256})
        File.objects.create(
            journal=line, at=line.at, sha256=sha256, size=len(data), media="text/csv", typed_name="a.csv"
        )
    return sha256


def everything() -> dict[str, list[tuple]]:
    rows = {}
    for model in _kept_models():
        names = [field.attname for field in model._meta.concrete_fields]
        rows[model._meta.db_table] = list(model._base_manager.order_by("pk").values_list(*names))
    return rows


def empty() -> None:
    call_command("flush", interactive=False, verbosity=0)


def rewritten(source: Path, target: Path, change) -> Path:
    """Copy an archive, letting `change(name, data)` return other bytes, or None to leave a part out."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            data = change(name, old.read(name))
            if data is not None:
                new.writestr(name, data)
    return target


def test_everything_comes_back_and_the_next_entry_gets_a_fresh_number(full, tmp_path):
    before, file = everything(), tmp_path / "rig.backup"
    moved = backup(file)
    assert moved.rows == sum(map(len, before.values())) > 20
    assert moved.missing == ()
    sha256 = File.objects.get().sha256
    empty()
    path_of(sha256).unlink()
    assert restore(file).rows == moved.rows
    assert everything() == before
    assert bytes_of(sha256).startswith(b"serial,length")
    assert guard.missing() == []
    # Explicit keys must not leave a sequence behind its rows.
    last = Journal.objects.order_by("-pk").values_list("pk", flat=True)[0]
    pieces.put_hold(stock.asks(stock.person("ben", "crew", full)), Component.objects.last(), "bent")
    assert Journal.objects.order_by("-pk").values_list("pk", flat=True)[0] > last


def test_tables_longer_than_a_page_come_back_whole(full, tmp_path, monkeypatch):
    monkeypatch.setattr("rack.backing.PAGE", 2)
    before = everything()
    backup(tmp_path / "b")
    empty()
    restore(tmp_path / "b")
    assert everything() == before


def test_a_backup_is_readable_by_its_owner_alone_and_never_replaces_a_file(full, tmp_path):
    file = tmp_path / "rig.backup"
    backup(file)
    assert file.stat().st_mode & 0o077 == 0
    with pytest.raises(TierbookError, match="is there already"):
        backup(file)
    assert [path.name for path in tmp_path.iterdir() if "backup" in path.name] == ["rig.backup"]


def test_a_backup_is_never_loaded_over_something(full, tmp_path):
    backup(tmp_path / "b")
    before = everything()
    with pytest.raises(CannotRestore, match="not empty"):
        restore(tmp_path / "b")
    assert everything() == before


@pytest.mark.parametrize(
    "data", [b"", b"serial,length\nKD1,31.24\n", b"PK\x03\x04 not really", b"\x00" * 5000], ids=repr
)
def test_a_file_that_is_no_archive_is_refused_in_a_sentence(data, tmp_path):
    file = tmp_path / "list.csv"
    file.write_bytes(data)
    with pytest.raises(UnreadableFile, match="This is no backup of Tierbook"):
        restore(file)


def test_another_programs_archive_is_refused(tmp_path):
    with zipfile.ZipFile(tmp_path / "b", "w") as out:
        out.writestr("xl/workbook.xml", "<workbook/>")
    with pytest.raises(UnreadableFile, match="This is no backup of Tierbook"):
        restore(tmp_path / "b")


def test_a_cut_off_backup_is_refused(full, tmp_path):
    backup(tmp_path / "b")
    data = (tmp_path / "b").read_bytes()
    (tmp_path / "cut").write_bytes(data[: len(data) * 2 // 3])
    empty()
    with pytest.raises(UnreadableFile):
        restore(tmp_path / "cut")
    assert not Journal.objects.exists()


CHANGES = {
    "a changed length": lambda name, data: (
        data.replace(b"9521952000", b"9521952001") if "rack_strap." in name else data
    ),
    "a row less": lambda name, data: data.split(b"\n", 1)[1] if "rack_component" in name else data,
    "a table less": lambda name, data: None if "rack_hold" in name else data,
    "other bytes of a file": lambda name, data: data + b"x" if name.startswith("files/") else data,
    "a file less": lambda name, data: None if name.startswith("files/") else data,
    "no list of contents": lambda name, data: None if name == "manifest.json" else data,
    "a list that is no list": lambda name, data: b"[1]" if name == "manifest.json" else data,
    "a list with holes": lambda name, data: (
        b'{"format": "tierbook backup", "version": 1}' if name == "manifest.json" else data
    ),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES.keys())
def test_a_damaged_backup_is_refused_and_leaves_nothing_behind(full, tmp_path, change):
    backup(tmp_path / "b")
    empty()
    with pytest.raises(UnreadableFile):
        restore(rewritten(tmp_path / "b", tmp_path / "c", change))
    assert not Journal.objects.exists()
    assert not Component.objects.exists()


def test_every_byte_matters(full, tmp_path):
    """Turn over one byte at many places: what is loaded is never other than what was kept."""
    backup(tmp_path / "b")
    before, data = everything(), (tmp_path / "b").read_bytes()
    empty()
    refused = 0
    for at in range(0, len(data), max(1, len(data) // 40)):
        (tmp_path / "c").write_bytes(data[:at] + bytes([data[at] ^ 0x41]) + data[at + 1 :])
        try:
            restore(tmp_path / "c")
        except TierbookError:
            refused += 1
            assert not Journal.objects.exists()
        else:
            assert everything() == before
            empty()
    assert refused > 20


def test_rows_that_point_at_nothing_are_refused_whole(full, tmp_path):
    """Somebody has edited the archive and its list too: the database itself still refuses."""
    from hashlib import sha256

    backup(tmp_path / "b")
    empty()

    def change(name: str, data: bytes) -> bytes:
        if name == "tables/rack_spec.jsonl":
            return b""
        if name == "manifest.json":
            manifest = json.loads(data)
            for table in manifest["tables"]:
                if table["name"] == "rack_spec":
                    table.update(rows=0, sha256=sha256().hexdigest())
            return json.dumps(manifest).encode()
        return data

    with pytest.raises(UnreadableFile, match="do not fit together"):
        restore(rewritten(tmp_path / "b", tmp_path / "c", change))
    assert not Component.objects.exists()
    assert not Spec.objects.exists()


def with_migrations(change):
    def rewrite(name: str, data: bytes) -> bytes:
        if name != "manifest.json":
            return data
        manifest = json.loads(data)
        change(manifest["migrations"])
        return json.dumps(manifest).encode()

    return rewrite


def test_a_backup_of_a_newer_tierbook_says_so(full, tmp_path):
    backup(tmp_path / "b")
    empty()
    far = with_migrations(lambda all: all["rack"].append("9999_far"))
    newer = rewritten(tmp_path / "b", tmp_path / "c", far)
    with pytest.raises(CannotRestore, match=r"newer Tierbook.*rack\.9999_far"):
        restore(newer)


def test_a_backup_of_another_version_wants_a_database_without_tables(full, tmp_path):
    backup(tmp_path / "b")
    empty()
    older = rewritten(tmp_path / "b", tmp_path / "c", with_migrations(lambda all: all["axes"].pop()))
    with pytest.raises(CannotRestore, match="without tables"):
        restore(older)


def test_a_kept_file_whose_bytes_are_gone_is_named_and_the_rest_is_kept(full, tmp_path):
    path_of(File.objects.get().sha256).unlink()
    with pytest.raises(CommandError, match="bytes of 1 kept files are gone"):
        call_command("backup", str(tmp_path / "b"), stdout=StringIO())
    empty()
    call_command("restore", str(tmp_path / "b"), stdout=StringIO())
    assert Hold.objects.count() == 1


def test_a_kept_file_whose_bytes_have_changed_stops_the_backup(full, tmp_path):
    path_of(File.objects.get().sha256).write_bytes(b"other")
    with pytest.raises(CommandError, match="have changed"):
        call_command("backup", str(tmp_path / "b"), stdout=StringIO())
    assert not (tmp_path / "b").exists()


def test_the_commands_answer_in_sentences(full, tmp_path):
    out = StringIO()
    call_command("backup", str(tmp_path / "b"), stdout=out)
    assert "It holds the digests of passwords" in out.getvalue()
    with pytest.raises(CommandError, match="not empty"):
        call_command("restore", str(tmp_path / "b"))
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("restore", str(tmp_path / "nowhere"))


def test_a_backup_sees_one_moment_while_others_write(full, tmp_path, monkeypatch):
    """A piece written after the first page was read is not half in the backup."""
    import rack.backing

    plain, done = rack.backing._rows_of, []

    def slow(model: type[models.Model], using: str):
        if model is Component and not done:
            done.append(True)
            late()
        yield from plain(model, using)

    def late() -> None:
        stock.pieces(stock.rack(full, "R9"), 2, first=9001)

    monkeypatch.setattr(rack.backing, "_rows_of", slow)
    before = {name: len(rows) for name, rows in everything().items()}
    backup(tmp_path / "b")
    assert done
    assert Component.objects.count() == before["rack_component"] + 2
    with zipfile.ZipFile(tmp_path / "b") as archive:
        tables = {one["name"]: one["rows"] for one in json.loads(archive.read("manifest.json"))["tables"]}
    assert tables == before
    assert connection.alias == "default"


def test_a_database_without_tables_is_made_as_the_backup_needs_it(full, tmp_path):
    """As on a new machine: another data folder, nothing migrated, the command as it is typed."""
    backup(tmp_path / "b")
    environment = {**os.environ, "TIERBOOK_DATA": str(tmp_path / "new")}
    environment.pop("DATABASE_URL", None)

    def manage(*arguments: str) -> str:
        command = [sys.executable, "-m", "django", *arguments, "--settings", "rack.settings"]
        done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr
        return done.stdout

    assert "Restored" in manage("restore", str(tmp_path / "b"))
    manage("backup", str(tmp_path / "c"))
    with zipfile.ZipFile(tmp_path / "b") as first, zipfile.ZipFile(tmp_path / "c") as second:
        assert first.namelist() == second.namelist()
        assert [name for name in first.namelist() if first.read(name) != second.read(name)] == []
