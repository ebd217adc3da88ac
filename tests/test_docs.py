"""The pages for people: what they name exists, what is generated is current, and links lead somewhere."""

import re
from pathlib import Path

import pytest

from inspection.calc.sources import sources_part
from rack.calc.sources import sources_page
from rack.calc.states import STATES, states_page
from rack.management.commands import __path__ as commands

ROOT = Path(__file__).resolve().parent.parent
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
FENCE = re.compile(r"```.*?```", re.S)


def text(page: Path) -> str:
    return page.read_text(encoding="utf-8")


def to_change() -> list[tuple[str, list[str]]]:
    """The rows of the table "to change X, open Y", with the paths they name."""
    part = text(ROOT / "DEVELOPERS.md").split("## To change X, open Y")[1].split("\n## ")[0]
    rows = [row.strip("|").split("|") for row in part.splitlines() if row.startswith("| ")][1:]
    return [(what.strip(), re.findall(r"`([\w./-]+/[\w./-]*)`", where)) for what, where in rows]


def test_the_contributors_map_has_rows_enough_and_each_names_a_place() -> None:
    rows = to_change()
    assert len(rows) >= 25
    assert [what for what, paths in rows if not paths] == []


@pytest.mark.parametrize(("what", "paths"), to_change(), ids=[what for what, _ in to_change()])
def test_every_place_on_the_contributors_map_exists(what: str, paths: list[str]) -> None:
    assert [path for path in paths if not (ROOT / path).exists()] == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_path_that_a_page_names_exists(page: Path) -> None:
    named = re.findall(r"`((?:rack|tests|templates|docs|fixtures|inspection)/[\w./-]*)`", text(page))
    assert [path for path in named if not (ROOT / path).exists()] == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_link_between_pages_leads_somewhere(page: Path) -> None:
    links = re.findall(r"\]\(([^)#]+)[^)]*\)", FENCE.sub("", text(page)))
    here = [link for link in links if "://" not in link]
    assert [link for link in here if not (page.parent / link).exists()] == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_command_that_a_page_names_exists(page: Path) -> None:
    known = {file.stem for path in commands for file in Path(path).glob("[a-z]*.py")} | {"migrate"}
    assert set(re.findall(r"manage\.py ([a-z_]+)", text(page))) <= known


def test_the_page_of_states_is_current_and_draws_every_move() -> None:
    assert text(ROOT / "docs" / "states.md") == states_page()
    moves = sum(len(state.then) for state in STATES.values())
    assert states_page().count("-->") == moves


def test_the_page_of_sources_is_current() -> None:
    assert text(ROOT / "docs" / "sources.md") == sources_page([sources_part()])


def test_the_first_page_opens_with_the_job_and_the_two_commands() -> None:
    first = text(ROOT / "README.md")
    job, commands_ = first.split("\n\n")[1], first.index("manage.py test")
    assert "pipe rack" in job
    assert first.index("manage.py demo") < commands_ < first.index("![")


def test_every_setting_is_explained_and_every_setting_explained_exists() -> None:
    code = text(ROOT / "rack" / "settings.py") + text(ROOT / "tests" / "chromium.py")
    told = set(re.findall(r"`(TIERBOOK_\w+|DATABASE_URL)`", text(ROOT / "docs" / "running.md")))
    assert {"TIERBOOK_ADDRESS", "TIERBOOK_DATA", "DATABASE_URL"} <= told
    assert [name for name in told if name not in code] == []


def test_no_page_speaks_of_how_it_was_written() -> None:
    # Spelled in parts, so that this file does not contain what it looks for.
    odd = re.compile("|".join((r"\bA" + "I\\b", "sess" + "ion of work", "assist" + "ant", "/wo" + "rk/")))
    assert [page.name for page in PAGES if odd.search(text(page))] == []
