"""The program makes its own environment: when it must, when it need not, and what it says."""

import subprocess
import sys
from pathlib import Path

import pytest

from rack import bootstrap, startup
from rack.bootstrap import ROOT


@pytest.fixture
def home(tmp_path, monkeypatch):
    """An environment folder of our own, with an interpreter that is only a name."""
    monkeypatch.setattr(bootstrap, "HOME", tmp_path / "venv")
    bootstrap.python().parent.mkdir(parents=True)
    bootstrap.python().write_text("")
    return bootstrap.HOME


def stamped(name: str) -> None:
    bootstrap.stamp_file(name).write_text(bootstrap.stamp(name))


@pytest.mark.parametrize(
    ("have", "want", "enough"),
    [
        ("run", "run", True), ("run", "postgres", False), ("run", "test", False),
        ("postgres", "run", True), ("postgres", "test", False), ("test", "run", True), ("test", "test", True),
    ],
)  # fmt: skip
def test_a_larger_set_is_enough_for_a_smaller_one(home, have, want, enough):
    stamped(have)
    assert bootstrap.ready(want) is enough


def test_a_changed_set_or_another_python_is_installed_again(home, monkeypatch):
    stamped("run")
    monkeypatch.setattr(sys, "version", "3.99.0 (some other build)")
    assert not bootstrap.ready("run")


def test_a_stamp_without_an_interpreter_counts_for_nothing(home):
    stamped("test")
    bootstrap.python().unlink()
    assert not bootstrap.ready("run")


@pytest.mark.parametrize(
    ("arguments", "url", "wanted"),
    [
        (["demo"], "", "run"), (["serve"], "postgresql://x/y", "postgres"), (["test", "-k", "x"], "", "test"),
        (["test"], "postgresql://x/y", "test"), ([], "", "run"),
    ],
)  # fmt: skip
def test_a_command_gets_the_set_it_needs(monkeypatch, arguments, url, wanted):
    monkeypatch.setenv("DATABASE_URL", url)
    assert bootstrap.needed(arguments) == wanted


def installed(monkeypatch, codes: list[int]) -> list[list[str]]:
    """Catch the commands instead of running them; each ends with the next code."""
    commands: list[list[str]] = []

    def call(command: list[str]) -> int:
        commands.append(command)
        return codes.pop(0)

    monkeypatch.setattr(bootstrap.subprocess, "call", call)
    monkeypatch.setattr(bootstrap, "same_python", lambda: False)
    monkeypatch.setattr(bootstrap, "inside", lambda: False)
    return commands


def test_the_environment_is_made_with_hashes_and_stamped_last(home, monkeypatch):
    commands = installed(monkeypatch, [0, 0])
    bootstrap.make("run")
    assert commands[0][1:4] == ["-m", "venv", "--clear"]
    assert commands[1][-3:] == ["--require-hashes", "-r", str(ROOT / ".ci" / "run.txt")]
    assert bootstrap.ready("run")


def test_a_failed_install_leaves_no_stamp_and_says_where_to_look(home, monkeypatch):
    installed(monkeypatch, [0, 1])
    with pytest.raises(SystemExit, match="could not be installed"):
        bootstrap.make("run")
    assert not bootstrap.ready("run")


def test_a_machine_without_venv_is_told_the_package(home, monkeypatch):
    installed(monkeypatch, [])
    monkeypatch.setattr(bootstrap.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(SystemExit, match="apt-get install python3-venv"):
        bootstrap.make("run")


def test_a_half_made_environment_is_taken_away(home, monkeypatch):
    installed(monkeypatch, [1])
    with pytest.raises(SystemExit, match="python3-venv"):
        bootstrap.make("run")
    assert not home.exists()


def test_a_newer_python_installs_from_the_ranges_and_says_so(monkeypatch, capsys):
    monkeypatch.setattr(bootstrap, "NEWEST_TESTED", (3, 10))
    asked = bootstrap.requirements("postgres")
    assert any(one.startswith("django>=5.2") for one in asked)
    assert any(one.startswith("psycopg") for one in asked)
    assert not any(one.startswith("pytest") for one in asked)
    assert "installing from the ranges" in capsys.readouterr().err


def test_a_python_that_has_the_set_already_needs_no_environment(monkeypatch):
    """As in an image that somebody built: nothing is made, the command just runs."""
    monkeypatch.setattr(bootstrap, "pins", lambda name: {"pytest": pytest.__version__})
    assert bootstrap.carries("run")
    monkeypatch.setattr(bootstrap, "pins", lambda name: {"pytest": "0.1"})
    assert not bootstrap.carries("run")
    monkeypatch.setattr(bootstrap, "pins", lambda name: {"no-such-package-here": "1"})
    assert not bootstrap.carries("run")


def test_the_packages_for_one_system_only_are_not_asked_for_everywhere():
    pins = bootstrap.pins("test")
    assert pins["django"].startswith("5.2.")
    assert "colorama" not in pins


@pytest.mark.parametrize(("code", "seen"), [(0, 0), (3, 3), (-15, 143)])
def test_the_code_of_the_command_is_passed_on(code, seen):
    script = f"import os, sys; sys.exit({code})" if code >= 0 else "import os; os.kill(os.getpid(), 15)"
    assert bootstrap.call([sys.executable, "-c", script]) == seen


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, *arguments]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)


def test_an_old_python_is_refused_in_one_line():
    """manage.py must be read by an old Python to refuse it, so it keeps to words that one knows."""
    script = (
        "import sys; sys.version_info = (3, 9, 2, 'final', 0); sys.argv = ['manage.py', 'demo'];"
        "exec(compile(open('manage.py').read(), 'manage.py', 'exec'), {'__name__': '__main__'})"
    )
    done = run("-c", script)
    assert done.returncode == 1
    assert done.stderr.strip() == "Tierbook needs Python 3.11 or newer; this is 3.9."


def test_bootstrap_and_settings_need_nothing_installed():
    """Read before anything is installed: a Python without any package must take them."""
    script = "import rack.bootstrap, rack.startup, rack.environment"
    done = run("-I", "-S", "-c", f"import sys; sys.path.insert(0, '.'); {script}")
    assert done.returncode == 0, done.stderr


def test_the_demo_refuses_a_database_url(monkeypatch):
    monkeypatch.setenv("DATABASE_URL", "postgresql://x/y")
    with pytest.raises(SystemExit, match="DATABASE_URL is set"):
        startup.set_environment(["demo"])


def test_the_demo_has_an_address_of_its_own_whatever_the_rig_has(monkeypatch):
    monkeypatch.delenv("DATABASE_URL", raising=False)
    monkeypatch.setenv("TIERBOOK_ADDRESS", "https://tally.rig.example")
    monkeypatch.setenv("TIERBOOK_DEMO", "0")
    startup.set_environment(["demo", "--fresh", "--port", "8123"])
    assert startup.os.environ["TIERBOOK_ADDRESS"] == "http://127.0.0.1:8123"
    assert startup.os.environ["TIERBOOK_DEMO"] == "1"


def test_the_test_command_hands_everything_to_pytest(monkeypatch, tmp_path):
    from rack.management.commands.test import pytest_command

    for name in ("TIERBOOK_DATA", "TIERBOOK_DEMO", "TIERBOOK_ADDRESS", "TIERBOOK_HASHED", "TIERBOOK_DEBUG"):
        monkeypatch.setenv(name, "x")
    plain = pytest_command(["--soak", "-k", "strap"])
    assert plain[-3:] == ["--soak", "-k", "strap"]
    assert plain[plain.index("-n") + 1] == "2"
    assert pytest_command(["-n4"]).count("-n") == 0
    assert Path(bootstrap.os.environ["TIERBOOK_DATA"]).is_relative_to(ROOT)
    assert "TIERBOOK_ADDRESS" not in bootstrap.os.environ
