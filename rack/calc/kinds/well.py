"""What stays in the well: casing, tubing and what is run with them."""

from rack.calc.kinds import facts
from rack.calc.kinds.kind import COUPLED, Fact, Kind


def coupled(code: str, name: str, plural: str, up: str, down: str, words: tuple[str, ...], *extra: Fact,
            one_end: str = "") -> Kind:  # fmt: skip
    """A piece with threads and couplings. `words` in lower case; raises nothing.

    `code`, `name` and `plural` name the kind, `up` and `down` are the usual genders, `extra` its facts,
    `one_end` the only end with a thread ("" = both). Source: common practice.
    """
    return Kind(code, name, plural, "coupled", up, down, COUPLED, words, one_end=one_end, facts=extra)


WELL = (
    Kind("casing", "casing", "casing", "coupled", "box", "pin", COUPLED,
         ("casing", "futterrohr", "cuvelage", "csg", "liner pipe", "foringsrør", "tubería de revestimiento",
          "tuberia de revestimiento", "revestidor"), in_casing=True),
    coupled("tubing", "tubing", "tubing", "box", "pin",
            ("tubing", "steigrohr", "tbg", "produksjonsrør", "tubería de producción")),
    coupled("pup_joint", "pup joint", "pup joints", "box", "pin",
            ("pup joint", "casing pup joint", "tubing pup joint", "casing pup", "tubing pup", "passrohr",
             "passstück", "paßstück", "kurzrohr")),
    coupled("marker_joint", "marker joint", "marker joints", "box", "pin",
            ("marker joint", "casing marker joint", "marker", "markierungsrohr", "markierungsstück")),
    coupled("float_shoe", "float shoe", "float shoes", "box", "",
            ("float shoe", "casing shoe", "rohrschuh", "futterrohrschuh", "zementierschuh", "sabot",
             "zapata"), one_end="up"),
    coupled("guide_shoe", "guide shoe", "guide shoes", "box", "",
            ("guide shoe", "reamer shoe", "führungsschuh"), one_end="up"),
    coupled("float_collar", "float collar", "float collars", "box", "pin",
            ("float collar", "ventilmuffe", "rückschlagventilmuffe", "collar flotador")),
    coupled("landing_collar", "landing collar", "landing collars", "box", "pin",
            ("landing collar", "landemuffe")),
    coupled("stage_collar", "stage collar", "stage collars", "box", "pin",
            ("stage collar", "stage tool", "dv tool", "dv collar", "stufenzementiermuffe",
             "mehrstufenmuffe")),
    coupled("hanger", "hanger", "hangers", "", "pin",
            ("hanger", "casing hanger", "tubing hanger", "mandrel hanger", "slip hanger", "rohrhänger",
             "futterrohrhänger", "rohraufhängung"), facts.HANGER_MAKE, facts.HANGS_IN,
            one_end="down"),
    coupled("liner_hanger", "liner hanger", "liner hangers", "box", "pin",
            ("liner hanger", "linerhänger", "liner-hänger", "linerabhänger"),
            facts.HANGS_IN),
)  # fmt: skip
