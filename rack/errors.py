"""What can go wrong, each with the sentence the user reads and the HTTP status it becomes."""

from collections.abc import Iterable

from rack.calc.checks import Problem


class TierbookError(Exception):
    """Anything that the program refuses. `str(error)` is the sentence for the user."""

    status = 400


class UnreadableFile(TierbookError):
    """A file that is no list of pieces, or cannot be read at all."""

    status = 422


class NotAtHand(TierbookError):
    """What an address speaks of was kept for a while and is gone."""

    status = 404


class Refused(TierbookError):
    """An action that the rules do not allow; carries every problem, not only the first."""

    status = 422

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(" ".join(problem.text for problem in self.problems))


class NotAllowed(TierbookError):
    """The role does not hold the verb at this site."""

    status = 403


class ChangedMeanwhile(TierbookError):
    """Somebody else changed the thing since the page was shown; both values are in the sentence."""

    status = 409


class AlreadyUsed(TierbookError):
    """The key of this entry was used before, for something else."""

    status = 409
