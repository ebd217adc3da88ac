"""What the page of sources says of the tables of inspection: one section, made from the tables themselves."""

from inspection.calc.lookup import SOURCES, documents, rows
from rack.calc.sources import listed

_HEAD = """## Tables of inspection

From `inspection/calc/tables/`, one folder a document and edition; old editions stay. A scheme without
limits is recorded as given and never computed."""


def sources_part() -> str:
    """Return the section of the tables of inspection as Markdown, with the documents they name.

    Takes nothing, raises nothing. Source: `SOURCES.toml` and the tables themselves.
    """
    tables = "\n\n".join(listed(source, rows(source.name)) for source in SOURCES.values())
    named = "\n".join(f"- **{one.title}** ({one.where})" for one in documents())
    return f"{_HEAD}\n\n{tables}\n\n## Documents that inspection names\n{named}\n"
