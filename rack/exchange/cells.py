"""A filled cell below a heading, and the marks that stand for nothing or for the cell above."""

from dataclasses import dataclass

from rack.calc.receiving import Column

DITTO = frozenset(
    {
        '"',
        "''",
        "do",
        "do.",
        "ditto",
        "dito",
        "dto",
        "dto.",
        "〃",
        '-"-',
        "„",
        "”",
        "idem",
        "id.",
        "same",
        "s.o.",
        "wie oben",
        '- " -',
        ",,",
    }
)
BLANK = frozenset(
    {
        "",
        "-",
        "--",
        "---",
        "–",
        "—",
        "n/a",
        "na",
        "n.a.",
        "?",
        "??",
        "tbd",
        "k.a.",
        "unknown",
        "unbekannt",
        "none",
        "nil",
        "not measured",
        "nicht gemessen",
        ".",
    }
)
UNREADABLE = frozenset(
    {
        "ill",
        "illegible",
        "not readable",
        "unreadable",
        "not legible",
        "n/r",
        "nr",
        "unlesbar",
        "nicht lesbar",
        "unleserlich",
        "illisible",
        "ilegible",
        "ulesbar",
        "worn",
        "worn off",
        "no serial",
        "ohne nr",
        "ohne",
        "missing",
        "fehlt",
        "see list",
    }
)


#: What a spreadsheet writes where a formula came to nothing.
ERRORS = frozenset(
    {"#ref!", "#n/a", "#value!", "#div/0!", "#name?", "#null!", "#num!", "err:502", "#nv", "#wert!"}
)


def is_unworked(text: str) -> bool:
    """Say whether a cell holds a formula without its value, or an error of the spreadsheet."""
    return text.startswith("=") or text.lower() in ERRORS


def column_letters(index: int) -> str:
    """Return the letters of a column as a spreadsheet has them: 0 is A, 26 is AA."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


@dataclass(frozen=True)
class Cell:
    """One filled cell below a heading; `text` has a ditto mark replaced by what it repeats."""

    column: Column
    typed: str
    text: str
    is_number: bool = False
    is_date: bool = False
