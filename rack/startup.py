"""What a command settles in the environment before the settings are read."""

import argparse
import os

DEMO_PORT = 8000


def set_environment(arguments: list[str]) -> None:
    """Choose the settings module, and for `demo` and `serve` the settings they stand on."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "rack.settings")
    command = arguments[0] if arguments else ""
    if command == "demo":
        _demo(arguments[1:])
    if command == "serve":
        os.environ.setdefault("TIERBOOK_HASHED", "1")


def _demo(arguments: list[str]) -> None:
    if os.environ.get("DATABASE_URL", "").strip():
        raise SystemExit("DATABASE_URL is set, and the demo keeps to a file of its own: start it without.")
    parser = argparse.ArgumentParser(add_help=False)
    parser.add_argument("--port", type=int, default=DEMO_PORT)
    try:
        port = parser.parse_known_args(arguments)[0].port
    except SystemExit:  # the command itself will name what is wrong
        port = DEMO_PORT
    os.environ["TIERBOOK_DEMO"] = "1"
    os.environ["TIERBOOK_ADDRESS"] = f"http://127.0.0.1:{port}"
