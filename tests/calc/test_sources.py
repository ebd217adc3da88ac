"""docs/sources.md is what the tables say, not what somebody typed."""

from pathlib import Path

from inspection.calc.lookup import TABLES as INSPECTION_TABLES
from inspection.calc.sources import sources_part
from rack.calc.lookup import TABLES
from rack.calc.sources import sources_page

PAGE = Path(__file__).parents[2] / "docs" / "sources.md"


def test_the_page_of_sources_is_current():
    assert PAGE.read_text(encoding="utf-8") == sources_page([sources_part()]), (
        "run: python3 manage.py write_sources"
    )


def test_every_table_stands_on_the_page():
    page = sources_page()
    assert [name for name in TABLES if f"### {name}\n" not in page] == []


def test_memory_is_marked_on_the_page():
    section = sources_page().split("### heavyweight\n")[1].split("###")[0]
    assert "6 of 6 rows are from memory only: verify against your standard." in section


def test_every_table_of_inspection_stands_on_the_page():
    page = sources_page([sources_part()])
    assert [name for name in INSPECTION_TABLES if f"### {name}\n" not in page] == []
    assert "DS-1 4th" in page
