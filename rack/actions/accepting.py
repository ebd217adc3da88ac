"""What the checks of a string say before something is written: it stops, or is answered with a reason."""

from collections.abc import Iterable, Sequence

from rack.calc.checks import Problem, Severity
from rack.errors import Refused
from rack.models import Component, Journal, RuleConsent, String


def accept_problems(
    line: Journal, string: String | None, problems: Sequence[Problem], reason: str,
    pieces: Iterable[Component] = (),
) -> None:  # fmt: skip
    """Refuse what stops, and what asks until there is a reason; then write the yes to each question down.

    Without a string nothing is written: the line of the journal bears the reason. `pieces` are those that a
    question may be about.
    """
    asking = [one for one in problems if one.severity is Severity.ASKS]
    if any(one.severity is Severity.STOPS for one in problems) or (asking and not reason):
        raise Refused(problems)
    if string is None:
        return
    by_name = {str(piece): piece for piece in pieces}
    RuleConsent.objects.bulk_create(
        RuleConsent(
            journal=line, seq=seq, at=line.at, check_code=one.code, string=string,
            component=by_name.get(one.where), where=one.where[:120], reason=reason[:300],
        )
        for seq, one in enumerate(asking)
    )  # fmt: skip
