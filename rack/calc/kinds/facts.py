"""The facts that kinds share: fishing neck, bend, stator, nozzles and the like, each declared once."""

from fractions import Fraction

from rack.calc.kinds.kind import Fact


def _size(name: str, label: str, low: int | str, high: int | str, **more: object) -> Fact:
    return Fact(name, label, "size", unit="in", low=Fraction(low), high=Fraction(high), **more)  # type: ignore[arg-type]


def _choice(name: str, label: str, words: dict[str, tuple[str, ...]], **more: object) -> Fact:
    spelled = tuple((word, value) for value, spellings in words.items() for word in (value, *spellings))
    return Fact(name, label, "choice", choices=tuple(words), words=spelled, **more)  # type: ignore[arg-type]


#: No piece of a bottom-hole assembly goes in without them: the fishing diagram (trade guide 12).
NECK = (
    _size("neck_od_nm", "Fishing neck OD", 1, 30, tags=("fishing neck od", "fishing neck", "fn od", "fn")),
    Fact("neck_nm", "Fishing neck length", "length", unit="in", low=Fraction(1), high=Fraction(240),
         tags=("fishing neck length", "neck length", "fn length", "fnl")),
)  # fmt: skip

#: How its threads were cut, a matter of the piece: a recut changes it. Some programmes ask for it.
THREADS = (
    Fact("relief", "Pin stress relief", "choice", of="piece", choices=("yes", "no")),
    Fact("bored_back", "Box bored back", "choice", of="piece", choices=("yes", "no")),
)

SURFACE = _choice("surface", "Surface", {
    "slick": ("glatt",),
    "spiral": ("spiralled", "spiraled", "spiral grooved", "spiralgenutet", "spiralschwerstange"),
}, in_name=True)  # fmt: skip
NON_MAGNETIC = Fact("non_magnetic", "Non-magnetic", "yes", in_name=True, words=tuple(
    (word, "yes") for word in ("non-magnetic", "non magnetic", "nonmagnetic", "non-mag", "non mag", "nonmag",
                               "monel", "nm", "nmdc", "unmagnetisch", "unmagnetische")))  # fmt: skip
SHORT = Fact("short", "Short", "yes", in_name=True, words=tuple(
    (word, "yes") for word in ("short", "pony", "kurz", "kurze")))  # fmt: skip

JAR_ACTION = _choice("action", "Works", {
    "hydraulic": ("hydraulisch", "hydraulische"),
    "mechanical": ("mechanisch", "mechanische"),
    "hydro-mechanical": ("hydromechanical", "hydromechanisch", "hydromechanische"),
}, in_name=True)  # fmt: skip
CLAMP = Fact("clamp", "Mandrel clamp", "choice", of="piece", choices=("on", "off"),
             help="It comes off at the rotary going in and goes on coming out.")  # fmt: skip

STABILIZER_PLACE = _choice("place", "Stands", {
    "near-bit": ("near bit", "meißelnah", "meißelnaher"),
    "string": (),
}, in_name=True)  # fmt: skip
GAUGE = _size("gauge_nm", "Gauge", 1, 60, tags=("gauge", "full gauge", "ga", "kaliber", "auf kaliber"))
BLADE = Fact("blade_nm", "Blade length", "length", unit="in", low=Fraction(1), high=Fraction(240),
             tags=("blade length", "blade", "flügellänge", "rippenlänge"))  # fmt: skip
MEASURED_GAUGE = _size("gauge_measured_nm", "Gauge as measured", 1, 60, of="piece",
                       help="With the ring or the caliper, the last time somebody looked.")  # fmt: skip
OPENS_TO = _size("opens_nm", "Opens to", 1, 60, tags=("opens to", "opening to", "öffnet auf"))

BEND = Fact("bend", "Bend setting", "degrees", of="piece", unit="degrees", low=Fraction(0), high=Fraction(5),
            usual=(0, 3), help="As set on the adjustable housing.")  # fmt: skip
STATOR = Fact("stator_on", "Stator fitted on", "date", of="piece",
              help="The day on which the stator was relined or changed.")  # fmt: skip
LOBES = Fact("lobes", "Lobes and stages", "text", help="As the maker writes it: 7/8, 5.0.")

ROLLER = ("roller cone", "milled tooth", "insert")
FIXED = ("fixed cutter", "PDC", "diamond")
BIT_MAKE = _choice("make", "Make", {
    "roller cone": ("roller-cone", "tricone", "tri-cone", "three-cone", "rollenmeißel"),
    "milled tooth": ("milled-tooth", "mill tooth", "steel tooth", "zahnmeißel"),
    "insert": ("tci", "tungsten carbide insert", "warzenmeißel"),
    "fixed cutter": ("fixed-cutter", "drag"),
    "PDC": ("pdc-meißel",),
    "diamond": ("impregnated", "natural diamond", "diamantmeißel"),
}, in_name=True)  # fmt: skip
CODE = Fact("code", "IADC code", "bit code", help="517G, M323: kept as written, read where it can be.")
NOZZLES = Fact("nozzles", "Nozzles fitted", "nozzles", of="piece",
               help="In 32nds of an inch: 3x16, or 16-16-18.")  # fmt: skip

BARREL = Fact("barrel_nm", "Barrel length", "length", unit="ft", low=Fraction(3), high=Fraction(600),
              usual=(30, 90), tags=("barrel length", "barrel", "length", "länge"), in_name=True)  # fmt: skip
CORE = _size("core_nm", "Core diameter", "1/2", 20, tags=("core", "core diameter", "kern"))

FLOAT_FITTED = Fact("float", "Float fitted", "choice", of="piece", choices=("plain", "ported", "none"),
                    help="A ported float lets the pressure below it be read.")  # fmt: skip
SENSES = _choice("senses", "Tool", {"MWD": (), "LWD": ()}, in_name=True)
BODY = _choice("body", "Form", {"collar": (), "probe": ("sonde",)}, in_name=False)
SENSOR = Fact("sensor_nm", "Sensor from the lower shoulder", "length", of="piece", unit="ft",
              low=Fraction(0), high=Fraction(120),
              help="What the distance from bit to sensor is worked out with.")  # fmt: skip
VALVE = _choice("make", "Make", {
    "upper kelly": ("upper kelly valve", "upper kelly cock"),
    "lower kelly": ("lower kelly valve", "lower kelly cock"),
    "full opening": ("full-opening", "tiw", "fosv"),
    "inside BOP": ("ibop", "inside blowout preventer", "gray"),
})  # fmt: skip
ACROSS = _choice("across", "Drive", {
    "square": ("vierkant", "vierkantstange"),
    "hexagonal": ("hex", "sechskant"),
}, in_name=True)  # fmt: skip

HANGER_MAKE = _choice("make", "Make", {"mandrel": ("fluted",), "slips": ("slip type", "keile")})
HANGS_IN = _size("hangs_in_nm", "Hangs in casing of", 2, 40, tags=("hangs in", "in casing", "x"))
NAME = Fact("name", "What it is", "text", required=True)
