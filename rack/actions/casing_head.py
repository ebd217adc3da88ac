"""The head of a casing plan as it is typed: its well, its datum, the hole, the make-up loss."""

from dataclasses import dataclass, replace
from datetime import date

from rack.calc.checks import Problem, stops
from rack.errors import Refused
from rack.models import Site, Well

_MOST_NM = 30_000 * 10**9  # no depth of this trade is 30 km


@dataclass(frozen=True)
class CasingHead:
    """The head of a plan; lengths in whole nanometres, None where nobody said.

    `well_id` is a well of the site; `well_said` the name of one that the site does not keep.
    """

    string: str = ""
    well_id: int | None = None
    well_said: str = ""
    datum: str = "RKB"
    shoulder_nm: int | None = None
    measured_on: date | None = None
    measured_by: str = ""
    hole_nm: int | None = None
    off_bottom_nm: int | None = None
    track_n: int | None = None
    loss_nm: int | None = None
    loss_source: str = ""


def checked_head(head: CasingHead, site: Site) -> CasingHead:
    """The head as it is stored. Raises Refused with everything that is wrong with it."""
    head = replace(head, well_said=" ".join(head.well_said.split()))
    wrong = _well_problems(head, site)
    for nm, name in ((head.shoulder_nm, "The depth of the landing shoulder"), (head.hole_nm, "The hole"),
                     (head.off_bottom_nm, "The distance off bottom"), (head.loss_nm, "The make-up loss")):
        if nm is not None and not 0 <= nm <= _MOST_NM:
            wrong.append(stops(f"{name} cannot be less than nothing or more than 30 km."))
    if head.loss_nm is not None and head.loss_nm > 10**9:
        wrong.append(stops("A make-up loss is a few inches, never more than 1 m."))
    if head.loss_nm is not None and not head.loss_source.strip():
        wrong.append(stops("Say where the make-up loss comes from: the maker's sheet, a coupling measured."))
    if wrong:
        raise Refused(wrong)
    return head


def _well_problems(head: CasingHead, site: Site) -> list[Problem]:
    """A well is chosen among those of the site, or its name is typed where the site keeps no such well."""
    kept = Well.objects.at(site)
    if head.well_id is not None and not kept.filter(pk=head.well_id).exists():
        return [stops("The chosen well is not one of this site.", code="well", where="well")]
    if not head.well_said:
        return []
    if head.well_id is not None:
        return [stops("Choose the well or type its name, not both.", code="well", where="well_said")]
    if len(head.well_said) > 60:
        return [stops("Keep the name of the well under 60 letters.", code="well", where="well_said")]
    if kept.filter(name__iexact=head.well_said).exists():
        return [stops(f"{head.well_said} is a well of this site: choose it, and its datum comes with it.",
                      code="well", where="well_said")]
    return []
