"""What is wrong with the form of a call, in sentences; the checker's own words never reach a person."""

from collections.abc import Mapping
from typing import Any

_WORDS = {
    "missing": "is missing",
    "extra_forbidden": "is not known here; look at the description of this call",
    "uuid_parsing": "is no key: draw a UUID",
    "uuid_type": "is no key: draw a UUID",
    "string_type": "is no text",
    "string_too_long": "is longer than {max_length} letters",
    "int_type": "is no whole number",
    "int_parsing": "is no whole number",
    "int_from_float": "is no whole number",
    "int_parsing_size": "is too large a number",
    "greater_than_equal": "is less than {ge}",
    "less_than_equal": "is more than {le}",
    "literal_error": "is none of {expected}",
    "bool_type": "is neither true nor false",
    "bool_parsing": "is neither true nor false",
    "timezone_aware": "names no time zone; write it as 2026-05-01T14:20:00Z",
    "list_type": "is no list",
    "too_long": "has more than {max_length} entries; send it in parts",
    "model_attributes_type": "is no entry with named fields",
    "model_type": "is no entry with named fields",
    "dict_type": "is no entry with named fields",
    "json_invalid": "is no JSON",
}


def sentence(wrong: Mapping[str, Any]) -> str:
    """One fault of a call as a sentence that names the field."""
    where = ".".join(str(part) for part in wrong["loc"] if part != "body")
    kind = str(wrong["type"])
    if kind == "value_error":  # our own words
        text = str(wrong["msg"]).removeprefix("Value error, ").rstrip(".")
    elif kind.startswith("datetime"):
        text = "is no moment; write it as 2026-05-01T14:20:00Z"
    else:
        text = _WORDS.get(kind, "is not as the description of this call asks for")
        text = text.format_map(dict(wrong.get("ctx") or {}))
    return f"{where} {text}." if where and text[:1].islower() else f"{text[:1].upper()}{text[1:]}."
