"""The words of lists: grades, classes and kinds as they are typed. What they mean is in `items`."""

from rack.calc.kinds import KINDS
from rack.calc.lookup import rows

#: Grades of drill pipe: table "grades"; Z140 and V150 from memory.
DRILL_PIPE_GRADES = frozenset({*(row["grade"] for row in rows("grades")), "Z140", "V150"})
#: Grades of casing and tubing, from memory (API Spec 5CT), and of line pipe run as conductor (API Spec 5L).
CASING_GRADES = frozenset(
    [
        "H40",
        "J55",
        "K55",
        "N80",
        "N80Q",
        "N801",
        "L80",
        "L801",
        "L809CR",
        "L8013CR",
        "M65",
        "C90",
        "C95",
        "R95",
        "T95",
        "C110",
        "P110",
        "Q125",
        "X42",
        "X52",
        "X56",
        "X60",
        "X65",
        "X70",
        "X80",
    ]
)
GRADES = DRILL_PIPE_GRADES | CASING_GRADES
#: A letter alone is shorthand of the trade for one grade of drill pipe; it is asked, never taken.
GRADE_LETTERS = {"E": "E75", "X": "X95", "G": "G105", "S": "S135"}

#: Classes as lists write them -> the words they are kept in. Letter codes are not here: they are asked.
CLASSES = {
    "new": "New",
    "neu": "New",
    "neuf": "New",
    "nuevo": "New",
    "ny": "New",
    "premium": "Premium",
    "prem": "Premium",
    "premium class": "Premium",
    "premium klasse": "Premium",
    "class 1": "Class 1",
    "class 2": "Class 2",
    "class 3": "Class 3",
    "class i": "Class 1",
    "class ii": "Class 2",
    "class iii": "Class 3",
    "klasse 1": "Class 1",
    "klasse 2": "Class 2",
    "klasse 3": "Class 3",
    "kl 1": "Class 1",
    "kl 2": "Class 2",
    "kl 3": "Class 3",
    "cl 1": "Class 1",
    "cl 2": "Class 2",
    "cl 3": "Class 3",
    "classe 1": "Class 1",
    "classe 2": "Class 2",
    "classe 3": "Class 3",
    "clase 1": "Class 1",
    "clase 2": "Class 2",
    "clase 3": "Class 3",
    "ultra": "Ultra",
    "ultra class": "Ultra",
    "critical service": "Critical service",
    "scrap": "Scrap",
    "schrott": "Scrap",
    "reject": "Reject",
}
COLOURS = frozenset(
    [
        "white",
        "yellow",
        "orange",
        "red",
        "green",
        "blue",
        "weiss",
        "weiß",
        "gelb",
        "rot",
        "gruen",
        "grün",
        "blau",
        "blanc",
        "jaune",
        "rouge",
        "vert",
        "bleu",
        "blanco",
        "amarillo",
        "rojo",
        "verde",
        "azul",
        "hvit",
        "gul",
        "rød",
        "band",
        "bands",
        "streifen",
    ]
)

#: What lists name and what is no piece with a length of its own: named, never taken for another kind.
OTHER_KINDS = ("elevator", "centralizer", "centraliser", "packer", "slips", "zentrierkorb", "elevatoren")


def spelled_out(word: str) -> str:
    """Return a German word as it is typed without its own letters: "meißel" is "meissel".

    Takes any text, raises nothing. Source: German spelling.
    `word` is in lower case.
    """
    for letter, plain in (("ä", "ae"), ("ö", "oe"), ("ü", "ue"), ("ß", "ss")):
        word = word.replace(letter, plain)
    return word


_KEPT = {word: kind.code for kind in KINDS.values() for word in (*kind.words, kind.name, kind.plural)}
#: word -> code of `KINDS`, "" for a kind that is not kept; longest words first.
KIND_WORDS: dict[str, str] = dict(
    sorted(
        {
            **dict.fromkeys(OTHER_KINDS, ""),
            **{spelled_out(word): code for word, code in _KEPT.items()},
            **_KEPT,
        }.items(),
        key=lambda entry: (-len(entry[0]), entry[0]),
    )
)
