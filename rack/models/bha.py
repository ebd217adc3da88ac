"""What a BHA sheet of a plan or of a string in the hole says now."""

from collections.abc import Iterable
from datetime import datetime

from rack.calc.bha import BhaContent, BhaHead, content_of
from rack.models.judging import plan_links, string_links, wishes_of
from rack.models.plans import Plan, RuleConsent
from rack.models.strings import String


def content_now(of: Plan | String, at: datetime) -> BhaContent:
    """The sheet as it would be printed now, without a revision and a code."""
    site, section = of.site, of.section
    _, links = plan_links(of) if isinstance(of, Plan) else string_links(of)
    wishes = wishes_of(of if isinstance(of, Plan) else of.plan)
    mud = wishes.mud_mppg if wishes.mud_mppg is not None else (section.mud_mppg if section else None)
    head = BhaHead(
        site.code, site.name, str(of).capitalize(), str(of.well or ""),
        hole_nm=section.hole_nm if section else 0,
        mud_mppg=mud, casing=section.casing if section else "",
    )  # fmt: skip
    consents: Iterable[RuleConsent] = of.consents.standing().select_related("journal__by").order_by("id")
    notes = [
        f"{one.check_code} {one.where}: taken all the same by {one.journal.by or 'the program'}, {one.reason}"
        + (f", until {one.ends_on}" if one.ends_on else "")
        for one in consents
    ]
    return content_of(
        head, links, unit=site.length_unit, digits=site.digits, revision=0, code="",
        made_at=at.isoformat(timespec="minutes"), made_by="", notes=notes,
    )  # fmt: skip
