"""What every test stands on: the test database, the ledgers that let a flush pass, the browser.

`--soak` runs the long counts too. TIERBOOK_MUST_RUN=browser,postgres turns a skipped test of those
kinds into a failed one: `.ci/run` sets it.
"""

import os
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.db import connection, connections

from tests.chromium import FLAGS, HINT, chromium

# The browser's event loop runs in the thread of the tests, and Django would refuse to query there.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

POSTGRES_HINT = "needs PostgreSQL; name one in DATABASE_URL and run again"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--soak", action="store_true", help="run the long counts too")


def pytest_configure(config: pytest.Config) -> None:
    try:
        from hypothesis import settings
    except ImportError:
        return
    settings.register_profile("desk", deadline=None, max_examples=30, print_blob=False)
    settings.register_profile("soak", deadline=None, max_examples=3000, print_blob=False)
    settings.load_profile("soak" if config.getoption("--soak") else "desk")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    out = [] if config.getoption("--soak") else ["soak"]
    if vendor(config) != "sqlite":
        out.append("sqlite")
    left = [item for item in items if any(map(item.get_closest_marker, out))]
    if left:
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if item not in left]


def pytest_runtest_setup(item: pytest.Item) -> None:
    if item.get_closest_marker("browser") and chromium() is None:
        missing("browser", HINT)
    if item.get_closest_marker("postgres") and vendor(item.config) != "postgresql":
        missing("postgres", POSTGRES_HINT)


def missing(what: str, hint: str) -> None:
    """Skip a test that cannot run here, or fail it where it must run."""
    if what in os.environ.get("TIERBOOK_MUST_RUN", "").split(","):
        pytest.fail(f"{what}: {hint}", pytrace=False)
    pytest.skip(f"{what}: {hint}")


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Say in one line what was left out and how to get it, and what the tests counted."""
    reasons: dict[str, int] = {}
    for report in terminalreporter.stats.get("skipped", []):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
        reason = reason.removeprefix("Skipped: ")
        reasons[reason] = reasons.get(reason, 0) + 1
    parts = [f"{count} x {reason}" for reason, count in sorted(reasons.items())]
    if not terminalreporter.config.getoption("--soak"):
        parts.append("the long counts: manage.py test --soak")
    terminalreporter.write_line("Left out: " + ("; ".join(parts) or "nothing") + ".")
    counted: Counter[str] = Counter()
    for report in terminalreporter.stats.get("passed", []):
        counted.update({name: n for name, n in report.user_properties if isinstance(n, int)})
    if counted:
        words = ", ".join(f"{n} {name}" for name, n in counted.items())
        terminalreporter.write_line(f"Counted: {words}.")


def vendor(config: pytest.Config) -> str:
    """Return "sqlite" or "postgresql"; "none" where Django takes no part, as in the pure tests of calc/."""
    return connection.vendor if config.pluginmanager.hasplugin("django") else "none"


# The database


@pytest.fixture(scope="session")
def django_db_modify_db_settings() -> Iterator[None]:
    """Each process of tests gets a database of its own; on SQLite a file, which the live server needs."""
    settings = connections["default"].settings_dict
    mark = f"{os.getpid()}"
    with tempfile.TemporaryDirectory(prefix="tierbook-test-", ignore_cleanup_errors=True) as folder:
        if "sqlite" in settings["ENGINE"]:
            settings["TEST"]["NAME"] = str(Path(folder) / "test.sqlite3")
            # A test database need not outlive a power cut.
            plain = settings["OPTIONS"]["init_command"]
            settings["OPTIONS"]["init_command"] = plain.replace("synchronous=FULL", "synchronous=OFF")
        else:
            settings["TEST"]["NAME"] = f"test_{settings['NAME']}_{mark}"
        yield


@pytest.fixture(scope="session", autouse=True)
def ledgers_let_a_flush_pass(request: pytest.FixtureRequest) -> None:
    """Let the flush after a transactional test empty the ledgers, which nothing else can.

    The triggers go and come back inside the flush's own transaction, so a flush that fails leaves
    them standing. The program itself has no such door.
    """
    if vendor(request.config) == "none":
        return
    kind = type(connection.ops)
    plain: Callable[..., list[str]] = kind.sql_flush

    def sqlite(self: Any, style: Any, tables: list[str], **more: Any) -> list[str]:
        with self.connection.cursor() as cursor:
            cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
            triggers = cursor.fetchall()
        flush = plain(self, style, tables, **more)
        return [f"DROP TRIGGER {name}" for name, _ in triggers] + flush + [sql for _, sql in triggers]

    def postgres(self: Any, style: Any, tables: list[str], **more: Any) -> list[str]:
        flush = plain(self, style, tables, **more)
        off = [f"ALTER TABLE {self.quote_name(table)} DISABLE TRIGGER USER" for table in tables]
        on = [f"ALTER TABLE {self.quote_name(table)} ENABLE TRIGGER USER" for table in tables]
        return off + flush + on if flush else flush

    kind.sql_flush = postgres if connection.vendor == "postgresql" else sqlite  # type: ignore[method-assign]


@pytest.fixture(autouse=True)
def data_folder(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path | None:
    """Files of a test go to a folder of its own; passwords are digested fast."""
    if vendor(request.config) == "none":
        return None
    settings = request.getfixturevalue("settings")
    settings.DATA = tmp_path_factory.mktemp("data")
    settings.FILES = settings.DATA / "files"
    settings.FILES.mkdir()
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.WHITENOISE_AUTOREFRESH = True
    return settings.DATA


# The browser


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A real Chromium, one for each process of tests."""
    path = chromium()
    if path is None:
        missing("browser", HINT)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chrome = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        yield chrome
        chrome.close()


@pytest.fixture
def page(browser: Any, live_server: Any) -> Iterator[Any]:
    """A fresh page on the live server. An error on its console fails the test."""
    context = browser.new_context(base_url=live_server.url, viewport={"width": 1280, "height": 800})
    context.set_default_timeout(10_000)
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on("console", lambda line: errors.append(line.text) if line.type == "error" else None)
    page.console_errors = errors
    yield page
    context.close()
    assert errors == [], "the console of the browser shows errors"


@pytest.fixture
def sign_in() -> Callable[[Any, Any, str], None]:
    """Sign a person in on a page by the session cookie, without typing a password."""
    from django.conf import settings
    from django.test import Client

    def do(page: Any, user: Any, address: str) -> None:
        client = Client()
        client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
        value = client.cookies[settings.SESSION_COOKIE_NAME].value
        page.context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": value, "url": address}])

    return do
