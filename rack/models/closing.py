"""A tally as closing sees it: its lines, its straps, what its checks and its stands say."""

from rack.calc.closing import ClosingFacts, ClosingLine, StandFacts
from rack.calc.straps import Comparison
from rack.models.checking import checked
from rack.models.comparing import held_nm, length_of
from rack.models.standing import stands_of
from rack.models.strap_hands import two_straps
from rack.models.tallies import Line, Tally


def closing_facts(tally: Tally, lines: list[Line], comparison: Comparison | None) -> ClosingFacts:
    """A tally as closing sees it. While it is blind the checks say nothing (law 13)."""
    second = tally.heads.filter(strap_n=2).first()
    by_stand = tally.words.by_stand
    both = two_straps(tally)
    return ClosingFacts(
        lines=tuple(
            ClosingLine(
                painted=line.painted,
                tied=line.component_id is not None,
                first=length_of(held_nm(tally, line) if by_stand else line.first_nm),
                second=length_of(line.second_nm),
                questions=line.questions_n,
            )
            for line in lines
        ),
        straps_wanted=tally.straps_wanted,
        second_begun=second is not None,
        second_finished=bool(second and second.finished_at),
        differing=comparison.differing if comparison else (),
        cancels=comparison.cancels if comparison else False,
        checks=checked(tally, lines).findings,
        stands=_stand_facts(tally, lines) if by_stand else None,
        hands=tuple(both.problems) if both else (),
    )


def _stand_facts(tally: Tally, lines: list[Line]) -> StandFacts:
    stands = stands_of(tally, lines)
    correction = "" if stands.correction is None else "stale" if stands.stale else "accepted"
    left = tuple(lines[place].painted for place in stands.left)
    return StandFacts(stands.judgement, len(stands.rows), left, correction)
