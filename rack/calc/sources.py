"""The page that lists every shipped table with its document, so that no figure stands without a source."""

from collections.abc import Iterable, Sequence

from rack.calc.lookup import CONFIDENCE, SOURCES, Row, TableSource, documents, rows

_HEAD = """# Sources

Made by `python3 manage.py write_sources` from the tables; a test fails when it is out of date.
A blank cell in a table means "not in the source", never zero. Rows that disagree stand side by side.
The office may add rows of its own with their source: they supersede a shipped row and never edit it.

## Confidence
"""


def listed(source: TableSource, held: Sequence[Row]) -> str:
    """Return what the page says of one table, as Markdown.

    `source` describes the table, `held` are its rows (no unit). Raises nothing. Source: the table itself.
    """
    letters = ", ".join(f"{count} {letter}" for letter, count in source.confidence.items())
    lines = [
        f"### {source.name}",
        f"- Document: {source.document}; edition: {source.edition}; table: {source.table}",
        f"- Seen: {source.where}",
        f"- Units: {source.units}. Rows: {source.rows} ({letters})",
    ]
    if source.note:
        lines.append(f"- {source.note}")
    memory = sum(row["conf"] in ("D", "M") for row in held)
    if memory:
        lines.append(f"- {memory} of {source.rows} rows are from memory only: verify against your standard.")
    return "\n".join(lines)


def sources_page(more: Iterable[str] = ()) -> str:
    """Return the page of sources as Markdown: confidence letters, tables, documents behind the codes.

    `more` are the sections of other apps (no unit). Raises nothing. Source: `SOURCES.toml` and the tables
    themselves.
    """
    letters = "\n".join(f"- **{letter}**: {words}" for letter, words in CONFIDENCE.items())
    tables = "\n\n".join(listed(source, rows(source.name)) for source in SOURCES.values())
    codes = "\n".join(f"- **{one.code}**: {one.title} ({one.where})" for one in documents().values())
    page = f"{_HEAD}{letters}\n\n## Tables\n\n{tables}\n\n## Documents named by a code\n{codes}\n"
    return "\n".join([page, *more])
