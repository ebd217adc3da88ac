"""Several hands at once: each act in a thread and a connection of its own, all let go together."""

import threading
from collections.abc import Callable, Sequence
from typing import Any

from django.db import connection, connections

from rack.errors import AlreadyUsed, ChangedMeanwhile, Refused

HANDS = 8
PATIENCE = 60
REFUSALS = (Refused, ChangedMeanwhile, AlreadyUsed)

Act = Callable[[], Any]


def at_once(acts: Sequence[Act]) -> list[Any]:
    """Let every act run in a thread of its own, all of them let go together; answers or refusals in order.

    Anything else that an act raises (a deadlock first of all) is raised here.
    """
    gate = threading.Barrier(len(acts))
    answers: list[Any] = [None] * len(acts)

    def run(n: int, act: Act) -> None:
        try:
            connection.ensure_connection()
            gate.wait(PATIENCE)
            answers[n] = act()
        except BaseException as raised:
            answers[n] = raised
        finally:
            connections.close_all()

    threads = [threading.Thread(target=run, args=one, daemon=True) for one in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(PATIENCE)
    assert not any(thread.is_alive() for thread in threads), "somebody still waits for a lock"
    wrong = [one for one in answers if isinstance(one, BaseException) and not isinstance(one, REFUSALS)]
    if wrong:
        raise wrong[0]
    return answers


def refused(answers: Sequence[Any]) -> list[Any]:
    return [one for one in answers if isinstance(one, REFUSALS)]
