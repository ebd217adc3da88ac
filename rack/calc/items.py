"""What a piece is, from the words of a list: "5 in 19.50 lb/ft S-135 NC50 Range 2" to a specification.

The words are taken off one fact at a time; what is left over is named, so that nothing that somebody
typed goes unread without a word. Columns of a list that say the same facts go on top of the words.
"""

from dataclasses import fields, replace

from rack.calc import item_parts as parts
from rack.calc.checks import Problem, asks, note, stops
from rack.calc.connections import COUPLED
from rack.calc.facts import facts_text
from rack.calc.item_reading import Facts, facts_of
from rack.calc.item_words import CASING_GRADES, DRILL_PIPE_GRADES
from rack.calc.kinds import KINDS
from rack.calc.specs import SpecFacts
from rack.calc.units import NM

__all__ = ["Facts", "facts_of", "over", "read_item", "settle"]


def over(facts: Facts, columns: Facts) -> Facts:
    """Return `facts` with what the columns say on top; where both say it and differ, that is asked.

    Raises nothing. The problems of both are kept.
    `facts` are those of the item's words, `columns` those of the columns. Source: house style.
    """
    said: dict[str, object] = {}
    problems = [*facts.problems, *columns.problems]
    for each in fields(Facts):
        old, new = getattr(facts, each.name), getattr(columns, each.name)
        if each.name == "problems" or not new:
            continue
        if each.name == "extra":
            said["extra"] = tuple(sorted({**dict(old), **dict(new)}.items()))
            continue
        if old and old != new and each.name not in ("kind_word", "up_gender", "down_gender"):
            word = each.name.removesuffix("_nm").removesuffix("_mlb_ft").replace("_", " ")
            problems.append(
                asks(
                    f"The item says {_shown(each.name, old)} and the column says {_shown(each.name, new)} "
                    f"for {word}; the column is taken.",
                    code="item",
                )
            )
        said[each.name] = new
    return replace(facts, **said, problems=tuple(problems))  # type: ignore[arg-type]


def _shown(name: str, value: object) -> str:
    if isinstance(value, int):
        return f"{parts.inches(value)} in" if name.endswith("_nm") else f"{value / 1000:.2f} lb/ft"
    return KINDS[str(value)].name if name == "kind" else str(value)


def settle(facts: Facts) -> tuple[SpecFacts | None, tuple[Problem, ...]]:
    """Return the specification that the facts make, and every problem; None when the kind is not said.

    The kind is inferred where only one kind has such facts (a drill-pipe grade on a rotary thread),
    and the genders of its ends are the usual ones of the kind where none are typed. Raises nothing.
    `facts` are all that a row says. Source: the tables; what is inferred is common practice.
    """
    problems = list(facts.problems)
    kind = facts.kind or ("" if facts.kind_word else _inferred(facts))
    if not kind:
        return None, (*problems, _no_kind(facts))
    if kind == "pup_joint" and _is_of_drill_pipe(facts):
        kind = "drill_pipe"
    entry = KINDS[kind]
    up_conn, down_conn = facts.up_conn, facts.down_conn
    up_gender, down_gender = facts.up_gender, facts.down_gender
    if not entry.one_end and entry.alike:  # both ends of pipe bear the same thread unless two are said
        up_conn, down_conn = up_conn or down_conn, down_conn or up_conn
    if entry.one_end == "up":  # a bit, a shoe
        up_conn, up_gender = up_conn or down_conn, up_gender or down_gender
        down_conn = down_gender = ""
    if entry.one_end == "down":  # a lift sub, a hanger
        down_conn, down_gender = down_conn or up_conn, down_gender or up_gender
        up_conn = up_gender = ""
    spec = SpecFacts(
        kind=kind,
        od_nm=facts.od_nm,
        bore_nm=facts.bore_nm,
        wall_nm=facts.wall_nm,
        weight_mlb_ft=facts.weight_mlb_ft,
        grade=facts.grade,
        range=facts.range,
        up_conn=up_conn,
        up_gender=(up_gender or entry.up) if up_conn else "",
        down_conn=down_conn,
        down_gender=(down_gender or entry.down) if down_conn else "",
        tj_od_nm=facts.tj_od_nm,
        tj_bore_nm=facts.tj_bore_nm,
        facts=facts_text(entry, dict(facts.extra)),
    )
    problems += _doubts(spec)
    return spec, tuple(dict.fromkeys(problems))


def _is_of_drill_pipe(facts: Facts) -> bool:
    """A pup joint with a rotary thread or a grade of drill pipe alone is a short joint of drill pipe."""
    threads = {facts.up_conn, facts.down_conn} - {""}
    if threads:
        return not threads & set(COUPLED)
    return facts.grade in DRILL_PIPE_GRADES - CASING_GRADES


def _doubts(spec: SpecFacts) -> list[Problem]:
    """Return what does not go together, and what the piece lacks to be told from its neighbours."""
    found = []
    if not spec.od_nm:
        found.append(asks(f"The diameter of the {KINDS[spec.kind].name} is not said.", code="item"))
    if 0 < spec.od_nm <= max(spec.bore_nm, 2 * spec.wall_nm):
        found.append(asks("The bore or wall is as large as the diameter.", code="item"))
    if spec.kind == "drill_pipe" and spec.grade in CASING_GRADES - DRILL_PIPE_GRADES:
        found.append(asks(f"{spec.grade} is a grade of casing, and the piece is drill pipe.", code="grade"))
    if KINDS[spec.kind].family == "coupled" and spec.grade in DRILL_PIPE_GRADES - CASING_GRADES:
        found.append(asks(f"{spec.grade} is a grade of drill pipe, and the piece is casing.", code="grade"))
    if KINDS[spec.kind].family == "shouldered" and {spec.up_conn, spec.down_conn} & set(COUPLED):
        found.append(
            asks(
                f"{spec.up_conn or spec.down_conn} is a thread of casing and tubing, "
                f"and the piece is {KINDS[spec.kind].name}.",
                code="connection",
            )
        )
    if spec.kind == "crossover" and spec.up_conn and spec.up_conn == spec.down_conn:
        text = f"Both ends of the crossover sub are {spec.up_conn}; a crossover joins two threads."
        found.append(note(text, code="connection"))
    if spec.kind == "other" and spec.facts == "{}":
        found.append(asks("What the tool is, is not said.", code="item"))
    return found


def _inferred(facts: Facts) -> str:
    """Return the one kind that such facts belong to, "" where it could be another."""
    threads = {facts.up_conn, facts.down_conn} - {""}
    if threads & {"STC", "LTC", "BTC"}:
        return "casing"
    if threads & set(COUPLED):
        return ""
    if facts.grade in DRILL_PIPE_GRADES:
        return "drill_pipe"
    weight = facts.weight_mlb_ft
    for kind in ("drill_pipe", "heavy_weight"):
        if (
            threads
            and weight
            and any(weight == label * 1000 for label in parts.label_weights(kind, facts.od_nm))
        ):
            return kind
    if facts.grade in CASING_GRADES and not threads and facts.od_nm > 4 * NM["in"] + NM["in"] // 2:
        return "casing"
    return ""


def _no_kind(facts: Facts) -> Problem:
    if facts.kind_word:
        kept = ", ".join(kind.name for kind in KINDS.values())
        return stops(
            f"“{facts.kind_word}” is not a kind of piece that is kept here; there are: {kept}.", code="kind"
        )
    return stops(
        "What kind of piece this is, is not said: set the item for the whole list, or leave the row out.",
        code="kind",
    )


def read_item(text: str) -> tuple[SpecFacts | None, tuple[Problem, ...]]:
    """Return the specification that `text` says, and every problem: "5 in 19.50 lb/ft S-135 NC50 Range 2".

    None when it does not say what kind of piece it is. Lengths are whole nanometres, the weight is
    the label weight in 1/1000 lb/ft. Raises nothing. Source: the tables; spellings are common practice.
    """
    return settle(facts_of(text))
