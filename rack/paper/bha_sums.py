"""What a BHA sheet comes to, in words and figures, and which of its rows lack what a sum needs."""

from collections.abc import Sequence

from rack.calc.bha import BhaContent, known_weight
from rack.calc.bha_lines import BhaLine
from rack.calc.lengths import Length
from rack.calc.specs import inches

#: So many pieces that lack something are called by their names.
_FEW = 3


def size(nm: int) -> str:
    """A size in inches, a dash for one that is not known."""
    return inches(nm) if nm else "–"


def shown(content: BhaContent, nm: int | None) -> str:
    """A length as the sheet shows it, a dash for one that is not known."""
    return "–" if nm is None else Length(nm).shown(content.unit, content.digits)


def pounds(mlb: int | None) -> str:
    """A weight of 1/1000 lb in whole lb, half up, a dash for one that is not known."""
    return "–" if mlb is None else f"{(2 * mlb + 1000) // 2000:,}"


def sum_pairs(content: BhaContent) -> tuple[tuple[str, str], ...]:
    """What the sheet comes to, label and figure; "at least" or "not known" where a row lacks something."""
    unit = content.unit
    pairs = [("Pieces", str(content.count)), (f"Length, {unit}", _known(shown(content, content.length_nm)))]
    weights = _weights(content, content.air_mlb, content.mud_mlb, content.lines)
    pairs += [(f"Weight {where}", text) for where, text in weights]
    for jar in content.below_jars:
        below = [line for line in content.lines if line.n < jar.n]
        pairs += [(f"Below jar no. {jar.n} {where}", text)
                  for where, text in _weights(content, jar.air_mlb, jar.mud_mlb, below)]  # fmt: skip
    least = f"{size(content.least_bore_nm)}, no. {content.least_bore_n}" if content.least_bore_nm else "–"
    return (*pairs, ("Least bore, in", _known(least)))


def _weights(
    content: BhaContent, air: int | None, mud: int | None, lines: Sequence[BhaLine]
) -> tuple[tuple[str, str], ...]:
    """A weight in air and in mud; where a piece has none, that of the others as "at least"."""
    if air is not None:
        return ("in air, lb", pounds(air)), ("in mud, lb", _known(pounds(mud)))
    least = known_weight(lines, content.head.mud_mppg)
    return tuple((f"{where}, lb", f"at least {pounds(mlb)}" if mlb else "not known")
                 for where, mlb in zip(("in air", "in mud"), least, strict=True))  # fmt: skip


def _known(text: str) -> str:
    return "not known" if text == "–" else text


def lacking(content: BhaContent) -> tuple[str, ...]:
    """Sentences about the rows that lack what a sum needs, and where the weights come from."""
    found = [f"Without a {what}: no. {_numbers(rows)}{_called(content, rows)}{_others(content, what)}."
             for rows, what in ((content.no_length, "length"), (content.no_weight, "weight"),
                                (content.no_bore, "bore")) if rows]  # fmt: skip
    reckoned: dict[str, list[int]] = {}
    for line in content.lines:
        if line.weight_from not in ("", "as given"):
            reckoned.setdefault(line.weight_from, []).append(line.n)
    if reckoned:
        names = [f"no. {_numbers(rows)}: {basis}" for basis, rows in reckoned.items()]
        found.append(f"Weights a foot reckoned, pipe with its tool joints: {'; '.join(names)}.")
    if content.mud_mlb is not None:
        found.append("In mud: weight in air x (1 - ppg / 65.5), RP 7G.")
    return tuple(found)


def _called(content: BhaContent, rows: Sequence[int]) -> str:
    """What few rows are called, so that nobody looks for the piece."""
    if len(rows) > _FEW:
        return ""
    names = [" ".join(part for part in (line.item, line.serial) if part) for line in content.lines
             if line.n in set(rows)]  # fmt: skip
    return f" ({'; '.join(names)})"


def _others(content: BhaContent, what: str) -> str:
    """What those come to whose weight, or length, is known."""
    if what == "weight":
        known = [line.mlb for line in content.lines if line.mlb is not None]
        return f"; the others weigh {pounds(sum(known))} lb in air" if known else ""
    known = [line.nm for line in content.lines if line.nm is not None]
    return (f"; the others make {shown(content, sum(known))} {content.unit}"
            if known and what == "length" else "")  # fmt: skip


def _numbers(rows: Sequence[int]) -> str:
    """ "1, 3 and 17 to 27": three and more in a row are told by their ends."""
    runs: list[list[int]] = []
    for n in rows:
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    parts: list[str] = []
    for run in runs:
        parts += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(n) for n in run]
    return f"{', '.join(parts[:-1])} and {parts[-1]}" if len(parts) > 1 else parts[0]
