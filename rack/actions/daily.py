"""The rows of a daily report that a person accepts, as time lines of a run; the file is kept."""

import json
from dataclasses import dataclass

from django.db import transaction

from rack.actions.files import file_row
from rack.actions.journal import Asked
from rack.actions.legs import Origin, post_legs
from rack.calc.checks import Problem, Severity
from rack.calc.daily import Taken
from rack.models import DailyReport, Journal, Run


@dataclass(frozen=True)
class ReportFile:
    """The file of a report: the digest of its kept bytes, the name it came under, its media type."""

    digest: str
    name: str
    media: str = ""


def accept_report(
    asked: Asked, run: Run, file: ReportFile, taken: Taken, reason: str = "", *, seen: int | None = None
) -> DailyReport:
    """Write the taken rows of a report down as time lines of a run, all or none.

    What its rows, its days and its lines ask is answered by `reason`. The bytes were kept before.
    """
    facts = {"report": file.digest, "file": file.name, "choices": taken.choices.to_text()}
    origin = Origin(questions(taken), facts)
    with transaction.atomic():
        post_legs(asked, run, taken.legs, reason, seen=seen, origin=origin)
        line = Journal.objects.get(key=asked.key)
        there = DailyReport.objects.filter(journal=line).first()
        if there:
            return there
        return DailyReport.objects.create(
            journal=line, at=line.at, run=run, file=file_row(line, 0, file.digest, file.name, file.media),
            choices=taken.choices.to_text(), counted=json.dumps(counted(taken), sort_keys=True),
        )  # fmt: skip


def questions(taken: Taken) -> list[Problem]:
    """What the taken rows and their days ask or stop; what only informs needs no answer."""
    found = [*taken.row_problems, *taken.problems]
    return [one for one in found if one.severity is not Severity.NOTE]


def counted(taken: Taken) -> dict[str, int | bool]:
    """How many rows were read, taken and left out, and the rotation in whole seconds."""
    turned = taken.total("rotating_s")
    return {
        "read": len(taken.rows), "taken": len(taken.taken), "left_out": len(taken.rows) - len(taken.taken),
        "rotating_s": turned.least, "rotating_known": turned.known,
    }  # fmt: skip
