"""Threads: their names, what mates, how stiff and how strong a joint is, and when it is worn out."""

from rack.calc.connections.names import (
    COUPLED,
    End,
    canonical,
    is_coupled,
    known,
    mates,
    names_of,
    why_not,
)

__all__ = ["COUPLED", "End", "canonical", "is_coupled", "known", "mates", "names_of", "why_not"]
