"""Which piece of the register a row of a report means: tied by a sure name, else guessed."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from inspection.calc.report_names import alike, is_unreadable, one_sign_apart
from inspection.calc.report_typed import TypedJoint
from rack.calc.names import key_of
from rack.calc.tags import read_code


@dataclass(frozen=True)
class Candidate:
    """A piece that a row may mean; `of_lot` says whether it belongs to what was sent to be inspected."""

    pk: int
    tag: str
    serial: str = ""
    painted: str = ""
    of_lot: bool = True

    @property
    def name(self) -> str:
        """What it is called."""
        return self.serial or f"tag {self.tag}"


@dataclass(frozen=True)
class Tie:
    """What a row is tied to. `how` is the name that ties it, "" for none; `guesses` are the pieces it may
    mean; `why` says in words why it is not tied; `meant` is a piece that another row means too."""

    piece: Candidate | None = None
    how: str = ""
    guesses: tuple[Candidate, ...] = ()
    why: str = ""
    meant: Candidate | None = None


@dataclass
class _Names:
    """The candidates by each of their names."""

    by: dict[str, dict[str, list[Candidate]]] = field(
        default_factory=lambda: {name: defaultdict(list) for name in ("serial", "alike", "painted", "tag")}
    )

    def put(self, one: Candidate) -> None:
        names = {"serial": key_of(one.serial), "alike": alike(one.serial) if one.serial else "",
                 "painted": key_of(one.painted), "tag": one.tag}  # fmt: skip
        for name, text in names.items():
            if text:
                self.by[name][text].append(one)

    def get(self, name: str, text: str) -> list[Candidate]:
        return self.by[name].get(text, []) if text else []


def ties(
    rows: Sequence[TypedJoint], candidates: Sequence[Candidate], *,
    by_hand: Mapping[int, str] | None = None, left_out: Collection[int] = (),
) -> dict[int, Tie]:  # fmt: skip
    """Return the tie of each row by its line of the file.

    `rows` are those of the report, `candidates` the pieces of the lot and others of the site, `by_hand` tags
    that a person chose by line, `left_out` lines that count for nothing. A piece that two rows mean is tied
    to neither. Raises nothing. Source: serial, then tag, then painted number; trade guide 12.
    """
    names, far = _Names(), _Names()
    for one in candidates:
        (names if one.of_lot else far).put(one)
    tags = {one.tag: one for one in candidates}
    chosen = by_hand or {}
    taken = {key_of(row.serial) for row in rows if names.get("serial", key_of(row.serial))}
    found = {
        row.row: Tie(tags[chosen[row.row]], "by hand") if chosen.get(row.row) in tags
        else _tie(row, names, far, taken)
        for row in rows
    }  # fmt: skip
    return _once(rows, found, left_out)


def _tie(row: TypedJoint, names: _Names, far: _Names, taken: set[str]) -> Tie:
    readable = bool(row.serial) and not is_unreadable(row.serial)
    for name, text in (("serial", key_of(row.serial) if readable else ""), ("tag", _code(row))):
        there = names.get(name, text)
        if len(there) == 1:
            return Tie(there[0], name)
        if there:
            return Tie(guesses=tuple(there[:4]), why=f"{len(there)} pieces bear this {name}")
    painted = names.get("painted", key_of(row.painted))
    if not readable and len(painted) == 1:
        return Tie(painted[0], "painted number")
    if not readable and painted:
        return Tie(guesses=tuple(painted[:4]), why=f"{len(painted)} pieces are painted {row.painted}")
    if not readable:
        word = "cannot be read" if row.serial else "is blank"
        more = f"and nothing is painted {row.painted}" if row.painted else "and there is no painted number"
        return Tie(why=f"the serial {word}, {more}")
    guesses = _guesses(row.serial, names, taken) or tuple(painted[:1])
    away = far.get("serial", key_of(row.serial))
    if away:
        return Tie(guesses=(*away[:1], *guesses), why="it is of this site and not of this lot")
    return Tie(guesses=guesses, why=f"nothing of the lot or the site bears the serial {row.serial[:40]}")


def _guesses(serial: str, names: _Names, taken: set[str]) -> tuple[Candidate, ...]:
    """What an eye may have taken for this serial: pieces that no other row names."""
    likely = [one for one in names.get("alike", alike(serial)) if key_of(one.serial) not in taken]
    if not likely:
        near = one_sign_apart(key_of(serial), [key for key in names.by["serial"] if key not in taken])
        likely = [one for key in near for one in names.by["serial"][key]]
    return tuple(likely[:3])


def _code(row: TypedJoint) -> str:
    for text in (row.serial, row.painted):
        try:
            return read_code(text)
        except ValueError:
            continue
    return ""


def _once(
    rows: Sequence[TypedJoint], found: dict[int, Tie], left_out: Collection[int]
) -> dict[int, Tie]:
    """A piece that two rows mean is tied to neither, until one of them is left out."""
    by_piece: dict[int, list[TypedJoint]] = defaultdict(list)
    for row in rows:
        piece = found[row.row].piece
        if piece and row.row not in left_out:
            by_piece[piece.pk].append(row)
    for several in by_piece.values():
        for row in several[: len(several) * (len(several) > 1)]:
            others = ", ".join(other.where for other in several if other.row != row.row)
            piece = found[row.row].piece
            name = piece.name if piece else ""
            found[row.row] = Tie(why=f"{others} means {name} too; leave one out", meant=piece)
    return found
