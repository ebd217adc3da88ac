"""What a heading means: its words in the languages of the trade, its unit, and how lengths were taken.

To teach the reader a heading, add its words to `WORDS`; units are found by themselves.
"""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from rack.calc.receiving import ROLE_UNITS, Column

#: role -> what lists call it: English, German, French, Spanish, Norwegian; the words without accents.
WORDS: dict[str, str] = {
    "number": (
        "no | nr | num | number | item no | item number | lfd | lfd nr | lfdnr | laufende nr | "
        "laufende nummer | pos | pos nr | position | line | line no | row | jt | jt no | joint | "
        "joint no | jnt | jnt no | joint number | jt nr | seq | sequence | running no | running "
        "number | running nr | # | stk nr | rohr nr | rohrnummer | count | n | no de ligne | "
        "numero | num ero | lnr | lopenr | rekkefolge | item nr | run | s no | sl no | sr no"
    ),
    "serial": (
        "serial | serial no | serial nr | serial number | serial num | serial # | ser no | ser nr "
        "| s n | sn | serie | serien nr | seriennr | seriennummer | serien nummer | fabrik nr | "
        "fabriknummer | fabr nr | no de serie | numero de serie | n de serie | num serie | nro de "
        "serie | n serie | serienr | serienummer | pipe id | joint id | id no | ident | ident nr "
        "| mill no | heat no | pipe no | pipe number | pipe serial"
    ),
    "owner_no": (
        "owner no | owners no | owner s no | owner number | owner nr | owner id | asset | asset "
        "no | asset number | asset id | company no | our no | rig no | rental no | eigentumer nr "
        "| eigentuemer nr | inventar nr | inventarnummer | inv nr | unsere nr | no proprietaire | "
        "no inventaire | no propietario | no inventario | eier nr | eiers nr | equipment no | "
        "unit no"
    ),
    "painted": (
        "painted no | painted number | painted | paint no | paint number | ptd no | ptd | ptd "
        "number | painted nr | paint nr | farb nr | mal nr | aufgemalte nr | aufgemalt | bemalte "
        "nr | anstrich nr | no peint | numero peint | no pintado | numero pintado | malt nr | "
        "malt nummer | rack no | tally no | stencilled no"
    ),
    "item": (
        "item | items | description | item description | designation | bezeichnung | benennung | "
        "artikel | gegenstand | beschreibung | material | descripcion | articulo | beskrivelse | "
        "betegnelse | gjenstand | article | pipe | pipe description | product | produkt | "
        "specification | spec | tubular | equipment | goods | ware"
    ),
    "kind": (
        "kind | type | typ | art | kategorie | category | tipo | clase de pieza | genre | slag | "
        "pipe type | equipment type"
    ),
    "od": (
        "od | pipe body od | o d | size | outside diameter | outer diameter | diameter | dia | "
        "nominal size | pipe od | pipe size | tube od | body od | ad | a d | aussendurchmesser | "
        "aussen durchmesser | aussen o | durchmesser | nennweite | grosse | groesse | abmessung | "
        "diametre | diametre exterieur | d ext | diam ext | taille | diametro | diametro exterior "
        "| diam | tamano | ytre diameter | utvendig diameter | yd | storrelse | dimensjon | "
        "dimension"
    ),
    "bore": (
        "bore | pipe body id | body id | id | i d | inside diameter | inner diameter | pipe id in "
        "| tube id | innendurchmesser | innen durchmesser | bohrung | innen o | diametre "
        "interieur | d int | alesage | diametro interior | indre diameter | innvendig diameter"
    ),
    "wall": (
        "wall | wt | w t | wall thickness | thickness | wandstarke | wandstaerke | wanddicke | "
        "wand | wd | ws | epaisseur | espesor | pared | veggtykkelse | tykkelse | nominal wall"
    ),
    "weight": (
        "weight | nominal wt | nom weight | wt per ft | wgt | nominal weight | nom wt | nom "
        "weight | unit weight | linear weight | lb ft | lbs ft | ppf | gew | gewicht | "
        "metergewicht | masse | poids | poids lineaire | peso | peso lineal | vekt | metervekt | "
        "label weight | adj weight | wt"
    ),
    "grade": (
        "grade | gr | gute | guete | stahlgute | stahlguete | stahlsorte | steel grade | gd | "
        "nuance | grado | acero | kvalitet | stalkvalitet | werkstoff | mat grade"
    ),
    "range": ("range | rng | rg | lange klasse | langenklasse | laengenklasse | gamme | rango | r"),
    "connection": (
        "connection | connections | conn | thread | threads | thread type | tool joint | tj | "
        "tool joint connection | connection type | end connection | verb | verbindung | verbinder "
        "| gewinde | anschluss | gewindeverbindung | filetage | connexion | raccord | filet | "
        "conexion | rosca | gjenger | gjenge | kobling | gewindetyp | joint type | conn type"
    ),
    "up_conn": (
        "box connection | top connection | upper connection | conn up | connection up | up conn | "
        "box thread | top conn | upper conn | verbindung oben | muffe | gewinde oben | conn top | "
        "connection top | connection box | box conn | conn box"
    ),
    "down_conn": (
        "pin connection | bottom connection | lower connection | conn down | connection down | "
        "down conn | pin thread | bottom conn | lower conn | verbindung unten | zapfen | gewinde "
        "unten | conn bottom | connection bottom | connection pin | pin conn | conn pin"
    ),
    "tj_od": ("tool joint od | tj od | tooljoint od | verbinder ad | tool joint ad | box od | pin od"),
    "tj_bore": ("tool joint id | tj id | tooljoint id | verbinder id | pin id"),
    "length": (
        "length | lengths | lgth | len | lgt | lng | joint length | measured length | tally "
        "length | overall length | oal | makeup length | make up length | shoulder to shoulder | "
        "s s length | mill length | lange | laenge | langen | lg | rohrlange | rohrlaenge | "
        "einzellange | gesamtlange | nutzlange | baulange | longueur | longueur utile | long | "
        "longitud | largo | lengde | rorlengde | strap | eff length | effective length | length "
        "pins off | length threads on | length threads off | tube length | pipe length"
    ),
    "pipe_class": (
        "class | pipe class | condition class | classification | klasse | zustandsklasse | kl | "
        "classe | clase | klassifisering | cl | tube class | inspection class | premium class"
    ),
    "place": (
        "rack | place | location | layer | rack layer | bay | lager | lagerplatz | lagerort | "
        "platz | ort | gestell | emplacement | ubicacion | lugar | plass | plassering | sted | "
        "stativ | yard | row no | storage"
    ),
    "quantity": (
        "qty | quantity | pcs | pieces | no of joints | joints | menge | stuck | stueck | stk | "
        "anzahl | quantite | qte | cantidad | cant | antall | ant"
    ),
    # Columns that are known and carry nothing which is kept beside what was typed.
    "": (
        "remarks | remark | comment | comments | bemerkung | bemerkungen | notiz | anmerkung | "
        "remarque | remarques | observaciones | merknad | merknader | date | datum | dato | fecha "
        "| last inspection | inspection date | last insp | inspected | inspector | checked by | "
        "measured by | cum | cumulative | cum length | running total | total | total length | "
        "kumuliert | summe | accumulated | acumulado | kum | gesamt | drift | hardband | "
        "hardbanding | hb | coating | ipc | manufacturer | maker | hersteller | mill | heat | "
        "charge | owner | eigentumer | eigentuemer | proprietaire | propietario | eier | tag | "
        "rfid | stencil | mass | gross weight | net weight | total weight | bruttogewicht | price "
        "| year | baujahr | customer | order no | po | delivery | certificate | cert no | zeugnis "
        "nr | bundle | status | report no | tong space | bands | band | colour | farbe | hours | "
        "ok | accepted | truck"
    ),
}

#: A unit as headings write it -> its name. "in" and "m" count only as a word by themselves.
_UNITS = {
    "ft": "ft",
    "feet": "ft",
    "foot": "ft",
    "fuss": "ft",
    "'": "ft",
    "pieds": "ft",
    "pies": "ft",
    "fot": "ft",
    "in": "in",
    "inch": "in",
    "inches": "in",
    "ins": "in",
    "zoll": "in",
    '"': "in",
    "pouces": "in",
    "pulgadas": "in",
    "pulg": "in",
    "tommer": "in",
    "m": "m",
    "mtr": "m",
    "mtrs": "m",
    "metre": "m",
    "metres": "m",
    "meter": "m",
    "meters": "m",
    "metros": "m",
    "mts": "m",
    "cm": "cm",
    "mm": "mm",
    "millimeter": "mm",
    "millimetres": "mm",
    "kg/m": "kg/m",
    "lb/ft": "lb/ft",
    "lbs/ft": "lb/ft",
    "lbf/ft": "lb/ft",
    "ppf": "lb/ft",
    "#/ft": "lb/ft",
    "lb/pie": "lb/ft",
    "kg": "kg",
    "lb": "lb",
    "lbs": "lb",
    "t": "t",
}
_UNIT = re.compile(
    r"(?<![\w/])(?:"
    + "|".join(re.escape(word) for word in sorted(_UNITS, key=len, reverse=True))
    + r")(?![\w/])"
)
_INCHES_AND_FEET = frozenset({"ft", "in"})
#: Words about a length -> how it was taken.
LENGTH_KINDS = (
    (
        r"pins? off|without pin|w o pin|excl\w* pin|pins? not counted|shoulder to shoulder|shldr to shldr|ohne zapfen|schulter zu schulter|epaulement|hombro a hombro|uten tapp",
        "pins off",
    ),
    (r"threads? on|incl\w* thread|mit gewinde|hors tout filetage|con rosca|med gjenger", "threads on"),
    (
        r"threads? off|excl\w* thread|without thread|ohne gewinde|hors filetage|sin rosca|uten gjenger|effective|make ?up length|makeup length|nutzlange",
        "threads off",
    ),
    (
        r"overall|oal|incl\w* pin|end to end|gesamtlange|uber alles|mit zapfen|hors tout|total length of joint|med tapp",
        "overall, tool",
    ),
)
#: A length column by one of these words gives way to a plain one.
_SECOND_LENGTH = re.compile(r"\b(?:mill|overall|oal|eff|effective|gesamtlange|make ?up|strap 2|2)\b")
_UNIT_ROLES = {
    unit: tuple(role for role, units in ROLE_UNITS.items() if unit in units) for unit in _UNITS.values()
}

#: A heading is short; longer texts are sentences of a preamble.
_LONGEST = 45


@dataclass(frozen=True)
class Heading:
    """What one heading was understood as: `known` says whether any of its words is in the tables."""

    role: str = ""
    unit: str = ""
    length_kind: str = ""
    known: bool = False
    only_unit: bool = False


@lru_cache(maxsize=16384)
def folded(text: str) -> str:
    """Return `text` without accents, case and punctuation but / ' " #; "Länge [m]" is "lange m"."""
    form = unicodedata.normalize(
        "NFKD",
        text.replace("º", "o").replace("°", "o").replace("№", "no").replace("ø", "o").replace("Ø", "o"),
    ).casefold()
    form = "".join(sign for sign in form if not unicodedata.combining(sign))
    form = re.sub(r"[’‘´`]", "'", form).replace("ø", "o")
    return re.sub(r"\s+", " ", re.sub(r"[^\w/'\"#]+|_", " ", form)).strip()


_ROLE_OF = {
    word: role for role, words in WORDS.items() for word in (each.strip() for each in words.split("|"))
}
#: Words too common to be looked for inside a longer heading.
_ALONE = frozenset(
    ["pipe", "mill", "type", "row", "line", "position", "yard", "product", "status", "ok", "count", "date", "tag", "spec", "joint", "joints", "rack", "class", "drift", "order", "art", "long", "total", "heat", "bands", "band", "colour", "size", "mass", "unit", "wall", "hours"]
) - {"class", "rack", "size", "wall", "date", "total", "mass"}
_LONGEST_FIRST = [
    word
    for word in sorted(_ROLE_OF, key=lambda word: (-len(word), word))
    if len(word) > 2 and word not in _ALONE
]


_INSIDE = re.compile(r"(?<!\w)(?:" + "|".join(re.escape(word) for word in _LONGEST_FIRST) + r")(?!\w)")


@lru_cache(maxsize=4096)
def read_heading(text: str) -> Heading:
    """Return what the heading `text` means: "Länge m" is a length in metres, "AD mm" a diameter in millimetres."""
    if not text.strip() or len(text) > _LONGEST or sum(map(str.isdigit, text)) > 1:
        return Heading()  # figures stand in rows, not in headings
    form = folded(re.sub(r"(\w)/(\w)", r"\1/\2", text))
    kind = length_kind_in(form)
    form = _without_kind(form) if kind else form
    if form in _ROLE_OF and _ROLE_OF[form] != "weight":
        return Heading(_ROLE_OF[form], length_kind=kind, known=True)
    found = [each for each in _UNIT.finditer(form)]
    unit = _UNITS[found[-1][0]] if found else ""
    rest = form[: found[-1].start()] + form[found[-1].end() :] if found else form
    rest = re.sub(r"\s+", " ", re.sub(r"(?<!\w)[/'\"](?!\w)", " ", rest)).strip()
    if not rest:
        return Heading(
            unit=unit,
            only_unit=bool(unit),
            known=bool(unit),
            role="weight" if unit in ("kg/m", "lb/ft") else "",
        )
    role = _role(rest)
    if role is None:
        role = _role(form)
        return Heading(known=False) if role is None else _with_unit(role, unit, kind)
    return _with_unit(role, unit, kind)


def _with_unit(role: str, unit: str, kind: str) -> Heading:
    if role == "weight" and unit in ("kg", "lb", "t"):
        return Heading(known=True)  # the mass of the whole piece is not kept
    if role == "weight" and unit in ("in", "mm"):
        role = "wall"  # WT is the weight or the wall; the unit tells
    kept = unit if unit in ROLE_UNITS.get(role, ()) else ""
    return Heading(role, kept, kind if role.startswith("length") else "", known=True)


def _role(form: str) -> str | None:
    if form in _ROLE_OF:
        return _ROLE_OF[form]
    spread = re.sub(r"[/'\"]", " ", form)
    if spread in _ROLE_OF:
        return _ROLE_OF[spread]
    if len(form.split()) > 5:
        return None
    found = max((each[0] for each in _INSIDE.finditer(spread)), key=len, default="")
    return _ROLE_OF[found] if found else None


def _without_kind(form: str) -> str:
    """Return a heading of lengths without the words that say how they were taken."""
    for words, _ in LENGTH_KINDS:
        form = re.sub(rf"\b(?:{words})\b", " ", form)
    form = re.sub(r"\s+", " ", form).strip()
    return (
        form
        if re.search(r"\b(?:length|lange|laenge|longueur|longitud|lengde|lgth)\b", form)
        else f"length {form}".strip()
    )


def length_kind_in(text: str) -> str:
    """Return how lengths were taken as `text` says it ("shoulder to shoulder"), "" when it does not say."""
    form = folded(text)
    return next((kind for words, kind in LENGTH_KINDS if re.search(rf"\b(?:{words})\b", form)), "")


_SAID_UNIT = re.compile(
    r"\b(?:lengths?|tally|lange|langen|laenge|laengen|longueurs?|longitud(?:es)?|lengder?|units?|einheit(?:en)?|unites?|unidad(?:es)?|enhet(?:er)?|masse|all measures|measured|dimensions?)\b"
    r"[\w\s]{0,25}?\b(feet|ft|foot|fuss|pieds|pies|fot|metres?|meters?|metros?|m|mtr|inches)\b"
)


def length_unit_in(text: str) -> str:
    """Return the unit of lengths as a line of the preamble says it ("Lengths in feet"), "" when it does not."""
    found = _SAID_UNIT.search(folded(text))
    return _UNITS.get(found[1], "m" if found and found[1].startswith(("met",)) else "") if found else ""


def columns_of(cells: Sequence[str]) -> tuple[Column, ...]:
    """Return the columns under one heading row, each role once: the second length is there to compare."""
    read = [read_heading(cell) for cell in cells]
    columns = [
        Column(index, cell, each.role, each.unit)
        for index, (cell, each) in enumerate(zip(cells, read, strict=True))
    ]
    columns = _feet_and_inches(columns, read)
    return tuple(_each_once(columns))


def _feet_and_inches(columns: list[Column], read: list[Heading]) -> list[Column]:
    """Find whole feet in one column and the inches over in the next: "Ft", "In" or "Length ft", "Length in"."""
    made = list(columns)
    for at, (left, right) in enumerate(zip(columns, columns[1:], strict=False)):
        units = (read[at].unit, read[at + 1].unit)
        both_bare = read[at].only_unit and read[at + 1].only_unit
        inches_bare = left.role == "length" and (read[at + 1].only_unit or right.role == "length")
        if units == ("ft", "in") and (both_bare or inches_bare):
            made[at] = Column(at, left.heading, "length_ft")
            made[at + 1] = Column(at + 1, right.heading, "length_in")
            return made
    if not any(column.role == "length" for column in columns):
        for at, heading in enumerate(read):
            if heading.only_unit and heading.unit in ("ft", "m"):
                made[at] = Column(at, columns[at].heading, "length", heading.unit)
                break
    return made


def _each_once(columns: list[Column]) -> list[Column]:
    lengths = [column for column in columns if column.role == "length"]
    plain = [column for column in lengths if not _SECOND_LENGTH.search(folded(column.heading))]
    first_length = next(iter(plain or lengths), None)
    taken: set[str] = set()
    made = []
    for column in columns:
        role = column.role
        if role == "length" and column is not first_length:
            role = "length_again" if "length_again" not in taken else ""
        elif role in taken:
            role = ""
        taken.add(role)
        unit = column.unit if role in ROLE_UNITS else ""
        made.append(Column(column.index, column.heading, role, unit))
    return made


def names_a_piece(roles: set[str]) -> bool:
    """Say whether columns of these roles can be a list of pieces: a name or a number, and a fact."""
    named = roles & {"serial", "owner_no", "painted", "number"}
    facts = roles & {
        "length",
        "length_ft",
        "item",
        "od",
        "grade",
        "weight",
        "connection",
        "kind",
        "up_conn",
        "down_conn",
    }
    return bool(named and facts) or bool({"item", "length"} <= roles) or bool({"od", "length"} <= roles)


@lru_cache(maxsize=4096)
def score(cells: tuple[str, ...]) -> int:
    """Return how much a row looks like the heading row of such a list: its roles, 0 when it is none."""
    filled = [cell for cell in cells if cell.strip()]
    known = [cell for cell in filled if read_heading(cell).known]
    if len(known) < 2 or 2 * len(known) < len(filled):
        return 0
    roles = {column.role for column in columns_of(cells)} - {""}
    return len(roles) if names_a_piece(roles) else 0


def repeats(cells: Sequence[str]) -> int:
    """Return how often the same headings stand side by side: 5 for a tally in five blocks, 1 for a plain list."""
    forms = [folded(cell) for cell in cells if cell.strip()]
    times = {form: forms.count(form) for form in forms}
    lengths = max((count for form, count in times.items() if read_heading(form).role == "length"), default=1)
    names = max((count for form, count in times.items() if read_heading(form).role in _NAMES), default=1)
    return lengths if lengths > 2 or min(lengths, names) > 1 else 1


_NAMES = frozenset({"number", "serial", "painted", "owner_no"})
