"""What each inspection of a batch comes to and what is wrong with it, before anything is written."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from inspection.actions.found import Found, Head, Judged
from inspection.calc.classify import Verdict, classify
from inspection.calc.criteria import scheme
from inspection.calc.decide import Looked, PieceFacts, kept_down
from inspection.calc.effects import cut_problems, effect_of, effective, paint_problems
from inspection.calc.looked import covers
from inspection.calc.methods import equipment_problems, inspector_problems, method_problems, scopes_reset
from inspection.calc.nominal import nominal_wall
from inspection.models import JobPiece
from inspection.models.facts import piece_facts, scheme_for, turned_on
from rack.calc.checks import Problem, Severity, asks, stops
from rack.calc.specs import spec_from_key
from rack.errors import Refused
from rack.models import Component, Site
from rack.models.lengths import on_open_lines


def judge(
    site: Site, head: Head, found: Sequence[Found], pieces: Mapping[int, Component], today: date
) -> list[Judged]:
    """What each inspection comes to and what is wrong with it; writes nothing."""
    there = Component.objects.filter(pk__in=list(pieces)).select_related("spec", "site")
    facts = piece_facts(there)
    specs = {piece.pk: piece for piece in there}
    twice = {one.piece.pk for n, one in enumerate(found) if one.piece.pk in {o.piece.pk for o in found[:n]}}
    cut = [one.piece.pk for one in found if one.ends.cut and specs[one.piece.pk].length_nm is not None]
    turned = turned_on(pieces, head.on, site) if head.hour is None else ()
    at = At(site, on_open_lines(cut), turned, _not_booked(head, pieces))
    judged, followed = [], {}
    for one in found:
        piece = specs[one.piece.pk]
        kind = piece.spec.kind
        if kind not in followed:
            followed[kind] = head.scheme or scheme_for(site, kind, head.on)
        code = followed[kind]
        try:
            judged.append(_judge(head, one, piece, code, facts[piece.pk], at))
        except ValueError as wrong:
            text = str(wrong)
            raise Refused([stops(f"{piece}: {text[:300]}.", code="given", where=str(piece))]) from None
        if piece.pk in twice:
            raise Refused([stops(f"{piece} stands twice in this batch.", code="twice", where=str(piece))])
    return judged


def _not_booked(head: Head, pieces: Mapping[int, Component]) -> set[int]:
    """The pieces that are not on the job of a batch; none without a job."""
    if head.job is None:
        return set()
    there = JobPiece.objects.filter(job=head.job, component__in=list(pieces))
    return set(pieces) - set(there.values_list("component", flat=True))


@dataclass(frozen=True)
class At:
    """Where and about what a batch is recorded: the site, the pieces that are read on an open tally, those
    that turned on the day of the look, and those that are not on the job it is recorded for."""

    site: Site
    read_now: Collection[int] = ()
    turned: Collection[int] = ()
    not_booked: Collection[int] = ()


def _judge(
    head: Head, one: Found, piece: Component, code: str, facts: PieceFacts, at: At
) -> Judged:
    spec = spec_from_key(piece.spec.key)
    readings = effective((read.reading, read.stage) for read in one.readings)
    unused = not facts.has_run and piece.pipe_class == "Class 1"
    service = head.scope == "service"
    verdict = classify(
        readings, spec, code, looks=one.looks, scope="visual" if service else head.scope, unused=unused,
        acceptance=_acceptance(code, head.acceptance), asked=() if service else None,
    )  # fmt: skip
    effect = effect_of(verdict, one.given, one.ends)
    resets = scopes_reset(one.looks, spec.kind) | ({"service"} if service else set())
    judged = Judged(one, effect, code, frozenset(resets), unused, piece.pipe_class, ())
    look = Looked(head.on, code, effect.held, effect.tube, effect.joint, judged.resets, judged.mended)
    name, by = str(piece), scheme(code)
    problems = list(method_problems((look.method for look in one.looks if look.done), spec,
                                    wall_nm=nominal_wall(spec)))  # fmt: skip
    problems += _piece_problems(one, piece, head, at)
    problems += _indications(name, verdict)
    problems += cut_problems(name, one.ends, [read.reading for read in one.readings],
                             has_length=piece.length_nm is not None)  # fmt: skip
    problems += paint_problems(name, one.paint, by, effect.held or piece.pipe_class)
    down = kept_down(facts, look)
    differs = effect.differs
    if down:
        differs = f"{differs} {effect.held} given, {down} holds: a class rises only by repair.".strip()
    return replace(judged, effect=replace(effect, differs=differs), problems=tuple(problems))


def _indications(name: str, verdict: Verdict) -> list[Problem]:
    """What a method saw and nobody has proved up: the piece is held for it, and the hand is asked."""
    return [
        asks(f"{name}: {check.words}", code="indication", where=name, measured="indication",
             source=check.source)
        for check in verdict.checks
        if check.is_indication
    ]  # fmt: skip


def _acceptance(code: str, name: str) -> str:
    """The class the work was accepted to, where the scheme of this piece has it."""
    return name if name in scheme(code).names else ""


def _piece_problems(
    one: Found, piece: Component, head: Head, at: At
) -> list[Problem]:
    name, found = str(piece), []
    if one.is_empty:
        found.append(stops(f"{name}: nothing was typed of it.", code="empty", where=name))
    if piece.site_id != at.site.pk:
        found.append(stops(f"{name} is of another site.", code="site", where=name))
    if piece.pk in at.turned:
        found.append(asks(f"{name} turned on that day, and the hour of the look is not said: all that it ran "
                          "that day counts as run since.", code="hour", where=name,
                          source="unknown is not zero, law 8"))  # fmt: skip
    if head.on < piece.received_on:
        found.append(asks(f"{name} was received on {piece.received_on}, after its inspection.", code="day",
                          where=name, source="the day of the delivery"))  # fmt: skip
    if piece.state in ("in_string", "lost_in_hole", "left_in_well"):
        found.append(asks(f"{name} is {piece.get_state_display()}: was it looked at?", code="state",
                          where=name, source="the register"))  # fmt: skip
    if piece.pk in at.not_booked:
        found.append(asks(f"{name} is not on {head.job}: it is recorded for it, and ticks nothing off.",
                          code="job", where=name, source="the job"))  # fmt: skip
    if piece.pk in at.read_now:
        found.append(stops(f"{name} stands on an open tally; its length cannot end before that is closed.",
                           code="open", where=name))  # fmt: skip
    return found


def head_problems(head: Head, today: date, site: Site) -> list[Problem]:
    """What is wrong with the head of a batch on the day it is recorded at a site."""
    found: list[Problem] = []
    if head.job and head.job.site_id != site.pk:
        found.append(stops("This job is of another site.", code="site", where="job"))
    elif head.job and not covers(head.scope, head.job.scope):
        text = f"The {head.job} is booked to {head.job.scope}, and this is a {head.scope} inspection."
        found.append(asks(text, code="scope", where="scope", source="the job"))
    if head.inspector and head.inspector.site_id != site.pk:
        found.append(stops("This inspector is of another site.", code="site", where="inspector"))
    if head.on > today:
        found.append(stops("The day is still to come: nothing was looked at yet.", code="on", where="on"))
    for name, due in head.equipment:
        found += equipment_problems(name, due, [head.on])
    who = head.inspector
    if who:
        found += inspector_problems(who.name, who.level, who.valid_to, head.on)
    else:
        found.append(asks("No inspector is named: whose word is it?", code="inspector", where="inspector",
                          source="certificate fields, trade guide 2"))  # fmt: skip
    return [one for one in found if one.severity is not Severity.NOTE]
