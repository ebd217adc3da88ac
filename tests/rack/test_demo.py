"""`manage.py demo` as it is typed: it starts, keeps what was entered, and --fresh starts over."""

import contextlib
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from rack import demo
from rack.bootstrap import ROOT
from rack.management.commands.demo import remove

PATIENCE = 120


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextlib.contextmanager
def running(data: Path, port: int, *more: str) -> Iterator[subprocess.Popen[str]]:
    """Start the demo, wait until it answers, and stop it as Ctrl-C would."""
    own = ("TIERBOOK", "DATABASE")
    environment = {key: value for key, value in os.environ.items() if not key.startswith(own)}
    # Not through manage.py: its bootstrap is tried elsewhere, and pip must not run under a test.
    script = (
        # Begun beside other work, a shell lets its children ignore Ctrl-C; a person at a terminal does not.
        "import signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler);"
        "from rack import startup; startup.set_environment(sys.argv[1:]);"
        "from django.core.management import execute_from_command_line as run; run(sys.argv)"
    )
    command = [sys.executable, "-c", script, "demo", "--port", str(port), *more]
    child = subprocess.Popen(
        command, cwd=ROOT, env={**environment, "TIERBOOK_DATA": str(data)}, stdout=subprocess.PIPE, text=True
    )
    try:
        until = time.monotonic() + PATIENCE
        while not answers(port):
            assert child.poll() is None, "the demo has ended"
            assert time.monotonic() < until, "the demo does not answer"
            time.sleep(0.05)
        yield child
    finally:
        child.send_signal(signal.SIGINT)
        child.wait(10)
        if child.stdout:
            child.stdout.close()


def answers(port: int) -> bool:
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/sign-in/", timeout=5) as answer:
            return answer.status == 200
    except (urllib.error.URLError, ConnectionError, TimeoutError):
        return False


def names(data: Path) -> list[str]:
    with contextlib.closing(sqlite3.connect(data / "demo.sqlite3")) as database:
        return [row[0] for row in database.execute("SELECT username FROM auth_user ORDER BY username")]


def test_the_demo_starts_keeps_what_was_entered_and_starts_over_when_asked(tmp_path):
    port = free_port()
    with running(tmp_path, port) as child:
        said = "".join(iter(child.stdout.readline, "Sign in as:\n"))
        assert f"http://127.0.0.1:{port}/" in said
        logins = [child.stdout.readline().split() for _ in demo.PEOPLE]
    assert {role for role, _, _ in logins} == {"crew", "supervisor", "office", "viewer"}
    everybody = sorted(person.username for person in demo.PEOPLE)
    assert names(tmp_path) == everybody

    with contextlib.closing(sqlite3.connect(tmp_path / "demo.sqlite3")) as database, database:
        database.execute("UPDATE auth_user SET username = 'renamed' WHERE username = 'vera'")
    (tmp_path / "tierbook.sqlite3").write_text("the real rig")
    began = time.monotonic()
    with running(tmp_path, port):
        assert time.monotonic() - began < 10, "a second start takes under 3 s on a quiet machine"
    assert "renamed" in names(tmp_path)

    with running(tmp_path, port, "--fresh"):
        pass
    assert names(tmp_path) == everybody
    assert (tmp_path / "tierbook.sqlite3").read_text() == "the real rig"


def test_starting_over_removes_the_demo_file_and_its_two_companions_only(tmp_path):
    for name in ("demo.sqlite3", "demo.sqlite3-wal", "demo.sqlite3-shm", "tierbook.sqlite3", "secret_key"):
        (tmp_path / name).write_text("")
    remove(tmp_path / "demo.sqlite3")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["secret_key", "tierbook.sqlite3"]


@pytest.mark.parametrize("port", ["0", "65536", "eighty"])
def test_an_odd_port_is_refused(port):
    done = subprocess.run(
        [sys.executable, "-m", "django", "demo", "--port", port, "--settings", "rack.settings"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert "--port: invalid" in done.stderr
