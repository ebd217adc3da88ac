"""The object that `receive FILE --check --json` prints; its names are fixed, checks outside call them."""

from collections.abc import Sequence
from typing import Any

from rack.calc.checks import Problem
from rack.calc.kinds import KINDS
from rack.calc.receiving import DeliveryList, ReadRow


def as_json(delivery: DeliveryList) -> dict[str, Any]:
    """Return the object that `receive FILE --check --json` prints for a list."""
    numbered = _has_numbers(delivery.rows)
    return {
        "refused": None,
        "rows": [_row_json(row, int(row.listed_number) if numbered else row.row) for row in delivery.rows],
        "totals": [
            {
                "where": total.where,
                "in_file_nm": total.in_file.nanometres if total.in_file else None,
                "computed_nm": total.computed.nanometres,
                "text": total.text,
                "agrees": total.agrees,
            }
            for total in delivery.totals
        ],
        "counted": {
            "read": delivery.counted.read,
            "accepted": delivery.counted.accepted,
            "left_out": delivery.counted.left_out,
            "sum_rows": delivery.counted.sum_rows,
            "blank_rows": delivery.counted.blank_rows,
            "stopped": delivery.counted.stopped,
            "text_rows": delivery.counted.text_rows,
        },
        "problems": _problems_json(delivery.problems),
    }


def refused_as_json(sentence: str) -> dict[str, Any]:
    """Return the object that `receive FILE --check --json` prints for a file that is no list."""
    empty = {
        "read": 0,
        "accepted": 0,
        "left_out": 0,
        "sum_rows": 0,
        "blank_rows": 0,
        "stopped": 0,
        "text_rows": 0,
    }
    return {"refused": sentence, "rows": [], "totals": [], "counted": empty, "problems": []}


def _has_numbers(rows: Sequence[ReadRow]) -> bool:
    """Whether the file numbers its own rows, each once: then its numbers are what people call them."""
    numbers = [row.listed_number for row in rows]
    return (
        bool(rows)
        and len(set(numbers)) == len(rows)
        and all(number.isascii() and number.isdecimal() and len(number) < 10 for number in numbers)
    )


def _row_json(row: ReadRow, number: int) -> dict[str, Any]:
    spec = row.spec
    threads = list(dict.fromkeys(each for each in (spec.up_conn, spec.down_conn) if each)) if spec else []
    return {
        "row": number,
        "line": row.row,
        "sheet": row.sheet,
        "number": row.number,
        "serial": row.serial,
        "owner_no": row.owner_no,
        "painted": row.painted,
        "item": row.item,
        "kind": KINDS[spec.kind].name if spec else "",
        "grade": spec.grade if spec else "",
        "connection": " x ".join(threads),
        "pipe_class": row.pipe_class,
        "length_nm": row.length.nanometres if row.length else None,
        "place": row.place,
        "fate": row.fate,
        "typed": row.typed,
        "read": row.read,
        "problems": _problems_json(row.problems),
    }


def _problems_json(problems: Sequence[Problem]) -> list[dict[str, str]]:
    return [{"severity": str(each.severity), "text": each.text} for each in problems]
