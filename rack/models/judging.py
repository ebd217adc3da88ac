"""A planned string, or one in the hole, as the rules and the loads see it, with the answers stored."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from rack.calc.chain import Link, Placed, placed
from rack.calc.checks import Severity
from rack.calc.lengths import Length
from rack.calc.lookup import Catalogue
from rack.calc.rules import Consent, Found, Left, check, left_after
from rack.calc.rules import Plan as Programme
from rack.calc.specs import spec_from_key
from rack.calc.string_loads import StringFigures, case_of, string_figures
from rack.calc.wishes import Wishes, programme, wishes_from
from rack.models.due_facts import hour_limits
from rack.models.links import links_of
from rack.models.lots import Lot, lots_of, name_of, words_of
from rack.models.plans import Plan, PlanLine, RuleConsent
from rack.models.reference import catalogue
from rack.models.running import members_of
from rack.models.strings import Member, Section, String, Unlisted

#: What is read with every answer.
CONSENT = ("journal__by", "lot", "delivery__file", "component")
_OF_PIECES = ("component__spec", "component__place", "component__site")


@dataclass(frozen=True)
class Judged:
    """A string, what the rules say of it, what was answered, and the programme it is judged by."""

    rows: tuple[Placed, ...]
    left: Left
    programme: Programme
    tables: Catalogue
    lots: Mapping[int, tuple[Lot, ...]] = field(default_factory=dict)

    @property
    def links(self) -> list[Link]:
        return [row.link for row in self.rows]

    @property
    def problems(self) -> tuple[Found, ...]:
        return self.left.problems

    def lots_for(self, problem: Found) -> tuple[Lot, ...]:
        """The lots that pieces of a problem belong to: a yes may be given for one of them."""
        of_all = [lot for key in problem.keys for lot in self.lots.get(key, ())]
        return tuple(sorted(dict.fromkeys(of_all), key=lambda lot: lot.code, reverse=True))

    def figures(self, stand_joints: int = 3) -> StringFigures:
        """Every figure of the loads, section by section."""
        return string_figures(
            self.links, case_of(self.programme, stand_joints=stand_joints), catalogue=self.tables
        )


def plan_links(plan: Plan) -> tuple[list[PlanLine], list[Link]]:
    """The lines of a plan from the bit upward, and each as a link."""
    lines = list(plan.lines.from_the_bit().select_related(*_OF_PIECES, "spec"))
    named = [line.component for line in lines if line.component]
    by_key = {link.key: link for link in links_of(named)}
    return lines, [by_key[line.component_id] if line.component_id else _counted(line) for line in lines]


def string_links(string: String) -> tuple[list[Member | Unlisted], list[Link]]:
    """What is in a string from the bit upward, and each as a link with the length it had when it joined."""
    rows = members_of(string)
    named = [row.component for row in rows if isinstance(row, Member)]
    by_key = {link.key: link for link in links_of(named, elsewhere=string.pk)}
    return rows, [
        _with_length(by_key[row.component_id], row.length_nm) if isinstance(row, Member) else _counted(row)
        for row in rows
    ]


def _with_length(link: Link, nm: int | None) -> Link:
    return replace(link, length=None if nm is None else Length(nm))


def _counted(row: PlanLine | Unlisted) -> Link:
    assert row.spec is not None
    words = f"{row.count_n} x {row.spec}, list to follow"
    length = None if row.length_nm is None else Length(row.length_nm)
    return Link(words, spec_from_key(row.spec.key), length, count=row.count_n, named=False)


def wishes_of(plan: Plan | None) -> Wishes:
    return wishes_from(plan.wishes) if plan else Wishes()


def judge_plan(plan: Plan, today: date) -> tuple[list[PlanLine], Judged]:
    lines, links = plan_links(plan)
    consents = plan.consents.standing().select_related(*CONSENT)
    return lines, _judged(links, _programme(plan, plan.section, planned=True), consents, today)


def judge_string(string: String, today: date) -> tuple[list[Member | Unlisted], Judged]:
    rows, links = string_links(string)
    consents = string.consents.standing().select_related(*CONSENT)
    asked = _programme(string.plan, string.section, planned=False)
    return rows, _judged(links, asked, consents, today)


def _programme(plan: Plan | None, section: Section | None, *, planned: bool) -> Programme:
    return programme(
        wishes_of(plan), hole_nm=section.hole_nm if section else None,
        mud_mppg=section.mud_mppg if section else None,
        casing=section.casing if section else "", drift_nm=section.drift_nm if section else None,
        planned=planned,
    )  # fmt: skip


def _judged(links: list[Link], asked: Programme, consents: Iterable[RuleConsent], today: date) -> Judged:
    tables = catalogue()
    asked = replace(asked, clocks=hour_limits({link.key for link in links if link.key}))
    found = check(links, asked, catalogue=tables)
    asking = {key for one in found if one.severity is Severity.ASKS for key in one.keys}
    offered = lots_of(asking)
    lots: dict[int | str, tuple[str, ...]] = {
        link.key or link.ident: (link.spec.key, *(lot.name for lot in offered.get(link.key, ())))
        for link in links
    }
    stored = [
        Consent(
            code=one.check_code, reason=one.reason, until=one.ends_on, by=str(one.journal.by or ""),
            lot=name_of(one), key=one.component_id or 0, where=one.where, given_for=words_of(one),
        )
        for one in consents
    ]  # fmt: skip
    return Judged(placed(links), left_after(found, stored, lots, today), asked, tables, offered)
