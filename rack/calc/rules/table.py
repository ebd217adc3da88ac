"""The rules of string composition as the table has them: code, severity, words, source."""

from dataclasses import dataclass

from rack.calc.checks import Severity
from rack.calc.lookup import rows, source_in_words


@dataclass(frozen=True)
class Rule:
    """One rule: `words` is the rule in a line, `parameters` its figures as text, `source` in words."""

    code: str
    severity: Severity
    words: str
    parameters: str
    source: str
    note: str


#: Every rule by code, in the order in which problems are told.
RULES: dict[str, Rule] = {
    row["rule"]: Rule(row["rule"], Severity(row["severity"]), row["words"], row["parameters"],
                      source_in_words(row["source"]), row["note"])
    for row in rows("rules")
}  # fmt: skip
