"""Pipe, collars, the kelly and the subs: what the string is made of from the bit sub upward."""

from rack.calc.kinds import facts
from rack.calc.kinds.kind import SHOULDERED, TOOL, Fact, Kind


def sub(code: str, name: str, plural: str, up: str, down: str, words: tuple[str, ...],
        *extra: Fact, one_end: str = "") -> Kind:  # fmt: skip
    """A short piece with two threads of its own, measured end to end. Words in lower case; raises nothing.

    `code`, `name` and `plural` name the kind, `up` and `down` are the usual genders, `words` what lists
    call it, `extra` its facts, `one_end` the only end with a thread ("" = both). Source: common practice.
    """
    return Kind(code, name, plural, "shouldered", up, down, TOOL, words, alike=False, one_end=one_end,
                facts=(*extra, *facts.NECK, *facts.THREADS))  # fmt: skip


STRING = (
    Kind("drill_pipe", "drill pipe", "drill pipe", "shouldered", "box", "pin", SHOULDERED,
         ("drill pipe", "drillpipe", "gestänge", "bohrgestänge", "tige de forage", "dp", "drill pipe pup",
          "drill pipe pup joint", "borerør", "tubería de perforación", "tuberia de perforacion"),
         by_doors=True),
    Kind("heavy_weight", "heavy-weight pipe", "heavy-weight pipe", "shouldered", "box", "pin", SHOULDERED,
         ("heavy weight drill pipe", "heavy-weight drill pipe", "heavy weight", "heavy-weight", "heavyweight",
          "schwerstange leicht", "schwergestänge", "hwdp", "hw"),
         by_doors=True, facts=facts.THREADS),
    Kind("collar", "drill collar", "drill collars", "shouldered", "box", "pin", SHOULDERED,
         ("drill collar", "schwerstange", "masse-tige", "collar", "dc", "spiral drill collar",
          "slick drill collar", "short drill collar", "pony collar", "non-magnetic drill collar",
          "non magnetic drill collar", "non-mag drill collar", "non-mag collar", "nonmag collar",
          "monel collar", "nm collar", "nm drill collar", "nmdc", "unmagnetische schwerstange",
          "spiralschwerstange", "vektrør", "portamecha"),
         facts=(facts.SURFACE, facts.NON_MAGNETIC, facts.SHORT, *facts.NECK, *facts.THREADS)),
    Kind("kelly", "kelly", "kellys", "shouldered", "box", "pin", TOOL,
         ("kelly", "square kelly", "hex kelly", "mitnehmerstange", "vierkantstange", "tige carrée",
          "tige d'entraînement"),
         alike=False, facts=(facts.ACROSS,)),
    sub("saver_sub", "saver sub", "saver subs", "box", "pin",
        ("saver sub", "kelly saver sub", "schonübergang", "verschleißübergang")),
    sub("safety_valve", "safety valve", "safety valves", "box", "pin",
        ("safety valve", "kelly valve", "upper kelly valve", "lower kelly valve", "kelly cock",
         "upper kelly cock", "lower kelly cock", "tiw valve", "full opening safety valve", "ibop",
         "inside bop", "kellyhahn", "sicherheitsventil", "absperrhahn"), facts.VALVE),
    sub("crossover", "crossover sub", "crossover subs", "box", "pin",
        ("crossover sub", "crossover", "cross-over sub", "cross-over", "x-over", "x/o", "xo", "xo sub",
         "übergang", "übergangsstück", "raccord", "raccord de réduction", "overgang")),
    sub("bit_sub", "bit sub", "bit subs", "box", "box",
        ("bit sub", "meißelübergang", "raccord d'outil", "porta barrena")),
    sub("float_sub", "float sub", "float subs", "box", "pin",
        ("float sub", "rückschlagventilübergang", "rückschlagventil-übergang"), facts.FLOAT_FITTED),
    sub("circulating_sub", "circulating sub", "circulating subs", "box", "pin",
        ("circulating sub", "circulation sub", "circ sub", "bypass sub", "zirkulationsübergang",
         "zirkulationsstück", "umlaufventil")),
    sub("lift_sub", "lift sub", "lift subs", "", "pin",
        ("lift sub", "lifting sub", "lift nubbin", "hebestück", "hebekappe"), one_end="down"),
    sub("sub", "sub", "subs", "", "", ("sub",)),
)  # fmt: skip
