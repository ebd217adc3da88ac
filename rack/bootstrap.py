"""The program's own environment: made in .venv when it is missing, then everything runs in it.

Standard library only, since it runs before anything is installed. The tested sets of packages stand
with their hashes in .ci/run.txt, .ci/postgres.txt and .ci/test.txt; each holds the one before it, at
the same versions, so going from one to the next only adds.
"""

import hashlib
import importlib.util
import os
import re
import shutil
import signal
import subprocess
import sys
import tomllib
from importlib import metadata
from pathlib import Path
from types import FrameType

ROOT = Path(__file__).resolve().parent.parent
HOME = ROOT / ".venv"
SETS = ("run", "postgres", "test")
EXTRAS = {"run": (), "postgres": ("postgres",), "test": ("postgres", "test")}
NEWEST_TESTED = (3, 13)
NO_VENV = "Python cannot make an environment here. On Debian and Ubuntu: apt-get install python3-venv"
NO_PACKAGES = "The packages could not be installed: see the lines above. Is there a way to the package index?"


def rerun(arguments: list[str]) -> int | None:
    """Run `manage.py` again in an environment that has the packages; None where we are in one."""
    wanted = needed(arguments)
    if not ready(wanted):
        if not inside() and carries(wanted):
            return None
        make(wanted)
    if inside():
        return None
    return call([str(python()), str(ROOT / "manage.py"), *arguments])


def needed(arguments: list[str]) -> str:
    """Return the name of the set a command needs."""
    if arguments[:1] == ["test"]:
        return "test"
    return "postgres" if os.environ.get("DATABASE_URL", "").strip() else "run"


def python() -> Path:
    """Return the interpreter of our own environment."""
    return HOME / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def inside() -> bool:
    """Tell whether this process runs in our own environment."""
    return Path(sys.prefix).resolve() == HOME.resolve()


def stamp(name: str) -> str:
    """Return what the environment was made from: the two files, and this Python."""
    parts = (pins_file(name).read_bytes(), (ROOT / "pyproject.toml").read_bytes(), sys.version.encode())
    return hashlib.sha256(b"\0".join(parts)).hexdigest()


def stamp_file(name: str) -> Path:
    return HOME / f"tierbook-{name}.stamp"


def pins_file(name: str) -> Path:
    return ROOT / ".ci" / f"{name}.txt"


def ready(name: str) -> bool:
    """Tell whether our environment holds the set, or a larger one."""
    larger = SETS[SETS.index(name) :]
    stamped = [one for one in larger if stamp_file(one).exists()]
    return python().exists() and any(
        stamp_file(one).read_text(encoding="ascii") == stamp(one) for one in stamped
    )


def pins(name: str) -> dict[str, str]:
    """Return package and version of a set, without those meant for some systems only."""
    lines = pins_file(name).read_text(encoding="utf-8").splitlines()
    found = (re.match(r"([A-Za-z0-9._-]+)(?:\[[^]]*\])?==(\S+) *\\?$", line) for line in lines)
    return {match[1]: match[2] for match in found if match}


def carries(name: str) -> bool:
    """Tell whether the Python that runs now has exactly the set, made by somebody else (an image, say)."""
    try:
        return all(metadata.version(package) == version for package, version in pins(name).items())
    except metadata.PackageNotFoundError:
        return False


def make(name: str) -> None:
    """Make .venv where it is missing or of another Python, install a set, then stamp it."""
    if not inside():
        if importlib.util.find_spec("ensurepip") is None:
            sys.exit(NO_VENV)
        if not same_python():
            say("Making the environment in .venv ...")
            if subprocess.call([sys.executable, "-m", "venv", "--clear", str(HOME)]):
                shutil.rmtree(HOME, ignore_errors=True)
                sys.exit(NO_VENV)
    say(f"Installing the packages ({name}) ...")
    pip = [str(python()), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--no-input"]
    if subprocess.call([*pip, *requirements(name)]):
        sys.exit(NO_PACKAGES)
    stamp_file(name).write_text(stamp(name), encoding="ascii")


def requirements(name: str) -> list[str]:
    """Return what pip is asked for: the hashed set, or the ranges on a Python the set was not tried on."""
    if sys.version_info[:2] <= NEWEST_TESTED:
        return ["--require-hashes", "-r", str(pins_file(name))]
    newest = ".".join(map(str, NEWEST_TESTED))
    here = ".".join(map(str, sys.version_info[:2]))
    say(f"The tested set goes up to Python {newest}, this is {here}: installing from the ranges instead.")
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    ranges: list[str] = list(project["dependencies"])
    for extra in EXTRAS[name]:
        ranges += project["optional-dependencies"][extra]
    return ranges


def same_python() -> bool:
    """Tell whether .venv works and was made by the Python that runs now."""
    if not python().exists():
        return False
    asked = [str(python()), "-c", "import sys, pip; print(sys.version)"]
    answer = subprocess.run(asked, capture_output=True, text=True, check=False)
    return answer.returncode == 0 and answer.stdout.strip() == sys.version.strip()


def call(command: list[str]) -> int:
    """Run a command to its end and return its code; a stop asked of us is passed on to it."""
    child = subprocess.Popen(command)

    def pass_on(number: int, frame: FrameType | None) -> None:
        child.send_signal(number)

    signal.signal(signal.SIGTERM, pass_on)
    while True:
        try:
            code = child.wait()
        except KeyboardInterrupt:  # the terminal has sent it to the child as well
            continue
        return code if code >= 0 else 128 - code


def say(sentence: str) -> None:
    sys.stderr.write(sentence + "\n")
    sys.stderr.flush()
