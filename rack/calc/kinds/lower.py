"""The bottom of the string: stabilizers, reamers, jars, motors, measuring tools, barrels and bits."""

from rack.calc.kinds import facts
from rack.calc.kinds.kind import TOOL, Fact, Kind


def tool(code: str, name: str, plural: str, down: str, words: tuple[str, ...], *extra: Fact,
         alike: bool = True, telescopes: bool = False) -> Kind:  # fmt: skip
    """A tool with its box up, measured end to end. `words` in lower case; raises nothing.

    `code`, `name` and `plural` name the kind, `down` is the usual gender below, `extra` its facts before
    the fishing neck, `alike` whether both ends usually bear one thread, `telescopes` whether it has two
    lengths. Source: common practice.
    """
    return Kind(code, name, plural, "shouldered", "box", down, TOOL, words, alike=alike,
                telescopes=telescopes, facts=(*extra, *facts.NECK, *facts.THREADS))  # fmt: skip


LOWER = (
    tool("stabilizer", "stabilizer", "stabilizers", "pin",
         ("stabilizer", "stabiliser", "string stabilizer", "near-bit stabilizer", "near bit stabilizer",
          "stab", "stabilisator", "stabilisateur", "estabilizador"),
         facts.STABILIZER_PLACE, facts.GAUGE, facts.BLADE, facts.NON_MAGNETIC, facts.MEASURED_GAUGE),
    tool("reamer", "reamer", "reamers", "pin",
         ("reamer", "roller reamer", "räumer", "rollenräumer", "nachräumer", "aléseur", "rømmer"),
         facts.GAUGE, facts.MEASURED_GAUGE),
    tool("hole_opener", "hole opener", "hole openers", "pin",
         ("hole opener", "hole-opener", "lochöffner", "erweiterungsmeißel", "élargisseur", "ampliador"),
         facts.GAUGE, facts.MEASURED_GAUGE),
    tool("under_reamer", "under-reamer", "under-reamers", "pin",
         ("under-reamer", "underreamer", "under reamer", "unterschneider", "unterräumer", "ensanchador"),
         facts.OPENS_TO),
    tool("jar", "jar", "jars", "pin",
         ("hydraulic jar", "mechanical jar", "hydro-mechanical jar", "drilling jar", "fishing jar",
          "schlagschere", "hydraulische schlagschere", "mechanische schlagschere", "jar", "jars",
          "coulisse de battage", "tijera de perforación", "slagrør"),
         facts.JAR_ACTION, facts.CLAMP, telescopes=True),
    tool("accelerator", "accelerator", "accelerators", "pin",
         ("accelerator", "jar accelerator", "jar intensifier", "intensifier", "schlagverstärker",
          "beschleuniger"), telescopes=True),
    tool("shock_sub", "shock sub", "shock subs", "pin",
         ("shock sub", "shock tool", "shock absorber", "stoßdämpfer", "amortisseur"), telescopes=True),
    tool("bumper_sub", "bumper sub", "bumper subs", "pin",
         ("bumper sub", "bumper jar", "teleskopstück"), telescopes=True),
    tool("motor", "motor", "motors", "box",
         ("mud motor", "drilling motor", "downhole motor", "pdm", "motor", "bohrmotor", "untertagemotor",
          "moteur de fond", "motor de fondo", "boremotor"),
         facts.LOBES, facts.BEND, facts.STATOR, alike=False),
    tool("rotary_steerable", "rotary steerable", "rotary steerables", "box",
         ("rotary steerable", "rotary steerable system", "rotary steerable tool", "rss", "richtbohrsystem",
          "steuerbares bohrsystem"), alike=False),
    tool("mwd", "MWD/LWD tool", "MWD/LWD tools", "pin",
         ("mwd", "lwd", "mwd/lwd", "mwd tool", "lwd tool", "mwd collar", "lwd collar", "mwd/lwd tool",
          "measuring tool", "pulser collar", "messwerkzeug", "meßwerkzeug", "mwd-schwerstange"),
         facts.SENSES, facts.BODY, facts.NON_MAGNETIC, facts.SENSOR),
    tool("core_barrel", "core barrel", "core barrels", "box",
         ("core barrel", "kernrohr", "carottier", "kjernerør", "barril de núcleo"),
         facts.BARREL, facts.CORE, alike=False),
    Kind("bit", "bit", "bits", "shouldered", "pin", "", TOOL,
         ("roller cone bit", "roller-cone bit", "milled tooth bit", "milled-tooth bit", "insert bit",
          "tci bit", "tricone bit", "tricone", "fixed cutter bit", "fixed-cutter bit", "pdc bit", "pdc",
          "diamond bit", "drill bit", "drag bit", "bit", "meißel", "rollenmeißel", "zahnmeißel",
          "warzenmeißel", "diamantmeißel", "pdc-meißel", "trépan", "trepan", "mecha", "barrena",
          "borekrone"),
         one_end="up", facts=(facts.BIT_MAKE, facts.CODE, facts.NOZZLES, facts.MEASURED_GAUGE)),
    Kind("core_bit", "core bit", "core bits", "shouldered", "pin", "", TOOL,
         ("core bit", "corehead", "core head", "coring bit", "kernkrone", "kernbohrkrone", "bohrkrone",
          "couronne de carottage", "kjernekrone"),
         one_end="up", facts=(facts.BIT_MAKE, facts.CORE, facts.CODE, facts.MEASURED_GAUGE)),
    tool("scraper", "scraper", "scrapers", "pin",
         ("scraper", "casing scraper", "schaber", "rohrschaber", "racleur"), facts.GAUGE),
    tool("mill", "mill", "mills", "",
         ("mill", "junk mill", "taper mill", "section mill", "string mill", "window mill", "fräser",
          "fräse", "fraise"), facts.GAUGE),
    tool("fishing_tool", "fishing tool", "fishing tools", "",
         ("fishing tool", "overshot", "spear", "junk basket", "fishing magnet", "die collar", "taper tap",
          "washover pipe", "fangwerkzeug", "fangglocke", "fangdorn", "fangmagnet"), alike=False),
    Kind("other", "tool, other", "tools, other", "shouldered", "", "", TOOL,
         ("tool, other", "other tool", "tool other", "sonstiges werkzeug", "werkzeug, sonstiges"),
         alike=False, facts=(facts.NAME, *facts.NECK)),
)  # fmt: skip
