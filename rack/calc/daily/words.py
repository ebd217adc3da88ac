"""What the words of a remark say was done: turning, pumping, tripping, or standing still.

Codes of daily reports are coarse and often wrong; the remark is what somebody saw. Every list here is common
practice: words that were seen in daily reports, and what they mean on a rig floor.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

DRILL, CORE, CEMENT = "drilling", "coring", "drilling cement"
REAM, MILL, SLIDE = "reaming", "milling", "sliding"
ROTATE, PUMP, CIRCULATE, TRIP, HANDLE = "rotating", "pumping", "circulating", "tripping", "handling pipe"
STILL, MOMENT = "standing still", "turning for a moment"
#: Work during which the string (or below a motor the bit) turns.
TURNING = frozenset({DRILL, CORE, CEMENT, REAM, MILL, SLIDE, ROTATE})
#: Work with the pumps on by its nature.
WET = frozenset({DRILL, CORE, CEMENT, REAM, MILL, SLIDE, CIRCULATE, PUMP})
#: A remark is read as far as this; no report writes more about one row.
MOST_LETTERS = 4_000

#: Things and people that are called after work: taken out before any work is looked for.
_THINGS = re.compile(
    r"\bdrill(?:ing)? ?(?:fl\w+|fo+r|pipes?|strings?|crews?|lines?|water|parameters?|breaks?|bha'?s?|stands?"
    r"|ass(?:y|embl\w+)|risers?|muds?|fluids?|contractor|program\w*|supervisor|jars?|collars?|bits?|equipment"
    r"|rigs?|ship|quip|operations?|personnel|package|tools?|data|engineer|team|manager|rate|tubulars?"
    r"|cuttings?|solids)\b|\bdrillers?\b|\bdrilled cuttings\b|\bheld [^.;]{0,40}?\bdrills?\b"
    r"|\b(?:pit|bop|fire|kick|trip|h2s|muster|evacuation|safety|abandon\w*|choke|stripping|diverter"
    r"|well control)[ -]drills?\b"
    r"|\brotational \w+|\brotati(?:ng|on) ?(?:heads?|hoses?|mouse ?holes?|control|sensors?|device)\b"
    r"|\brotary (?:tables?|hoses?|steerable\w*|shoes?|slips|swivels?|bushings?)\b"
    r"|\b(?:under[- ]?|near[- ]?bit |hole )?ream(?:ers?|er shoe)\b|\breaming (?:bha|ass\w+|shoe|tools?)\b"
    r"|\bmill(?:ing)? (?:bha|ass\w+|tooth|tools?)\b"
    r"|\bcor(?:e|ing) (?:barrels?|bha|ass\w+|bits?|heads?|tools?)\b"
    r"|\b(?:wiper|scraper|clean ?up|clean ?out|washing|reaming) (?:trip )?"
    r"(?:bha|ass\w+|strings?|plugs?)\b|\btrip (?:tanks?|sheets?|margin|gas)\b"
    r"|\bcirc(?:ulat\w+)?\.? (?:subs?|heads?|hoses?|valves?|swages?|exercises?|pressure|ports?|tools?)\b"
    r"|\b(?:lost|loss of|losing) circ(?:ulation)?\b"
    r"|\bsliding (?:sleeves?|strings?|side[- ]?doors?|doors?|plates?)\b|\bslide (?:rails?|plates?|tracks?)\b"
    r"|\bmotor rpm\b|\bbit rpm\b"
)
#: What is meant to come, or is over: everything after it to the end of its clause.
_TO_COME = re.compile(
    r"\b(?:prior to|before|ready (?:to|for)|prepar\w+ (?:to|for)|in preparation (?:of|for|to)"
    r"|in order to|decided to|agreed to|decision to"
    r"|plan(?:ned|s|ning)? (?:to|for)|will|going to|be able to|instructions? (?:to|for)|discuss\w*"
    r"|wait(?:ed|ing) (?:to|for|on)|meeting (?:to|for|on|regarding|re)"
    r"|(?:talk|tbt|sja) (?:for|on|regarding|re)"
    r"|intend\w* to|attempt\w* to|tried to|unable to|could not|not able to|required to|possible to|start to)"
    r"\b[^,;]*"
)
_NEGATED = re.compile(
    r"\b(?:no|not|without|w/o|never|zero|nor|stopped|stop|ceased|halted) (?:[a-z]+ ){0,2}?"
    r"(?:rotat\w*|ream\w*|drill\w*|circulat\w*|pump\w*|flow|slid\w*|mill\w*)"
)
#: Turned by so many turns, or to one side, to engage, set or free a tool: not rotating hours.
_TURNS = re.compile(
    r"\bturns?\b|\brotat\w*(?: (?:the|string|pipe))? (?:to the )?(?:left|right|clock\w*|anti\w*|counter\w*)"
    r"|\bturned (?:pipe|string)\b"
)
#: Weights and torque taken: the string turned for minutes, and nobody wrote how many.
_MEASURED = re.compile(
    r"\b(?:weights?|readings?|t&d)\b[^.;]{0,60}\brpm\b|\brpm\b[^.;]{0,60}\b(?:readings?|weights?)\b"
    r"|\b(?:took|record\w*|check\w*|read|measured)\b[^.;]{0,50}\b(?:torque|drag)\b"
    r"|\btorque [\d.,-]+ k?nm at \d+ ?rpm\b"
    r"|\brotat\w* ?(?:up|down)? ?(?:weight|wt)\b|\brotat\w* ?(?:up|down)weight\b|\brotating [\d.,]+ rpm\b"
)
_RPM = re.compile(
    r"(?<![\d.,])(?:0*[1-9]\d{0,2})(?:\s?[-/]\s?\d{1,3}){0,4} ?rpm\b|\brpm ?[:=]? ?(?:0*[1-9]\d{0,2})"
)
_PATTERNS: tuple[tuple[str, str], ...] = (
    (CEMENT, r"\b(?:drill\w*|drld|drlg|milled|milling)(?: out)?[^.;]{0,25}"
             r"\b(?:cement|cmt|shoe ?track|float (?:collar|shoe|equipment)|plugs?|shoe)\b"),
    (DRILL, r"\b(?:drilled|drilling|drlg|drld|drlng|drl'?d|drill (?=ahead|on\b|from|to \d|new|out|f/|\d))"),
    (CORE, r"\b(?:cored|coring|cut (?:\d+ ?m )?core)\b"),
    (REAM, r"\b(?:back[- ]?|b/?)?ream(?:ed|ing)?\b"),
    (MILL, r"\bmill(?:ed|ing)\b"),
    (SLIDE, r"\bslid(?:e|ing)?\b|\borient(?:ed|ing) (?:mode|drill\w*)"),
    (ROTATE, r"\brotat(?:ed|ing|ion|e|es)\b|\brot\b|\brotary (?:drilling|mode)\b"),
    (CIRCULATE, r"\bcirc(?:ulat\w+)?\b|\b(?:bottoms?|btms?|btm) ?-?up\b|\bb/u\b|\bscr'?s?\b|\bswe(?:ep|pt)\b"
                r"|\bwash(?:ed|ing)? (?:down|up|from|to|ahead|ac+ross|through|over)\b|\bdisplac(?:ed|ing)\b"
                r"|\bpumped (?:out|ooh)\b|\bconditioned mud\b"),
    (PUMP, r"\bpump(?:ed|ing)\b|\b\d+ ?(?:lpm|l/min|gpm)\b|\bflow \d|\bst(?:ag|epp)ed up pump"),
    (TRIP, r"\b(?:rih|r\.i\.h|r/i/h|ran? in(?: hole)?|run(?:ning)? in(?: hole)?|tih|toh|pooh|p\.o\.o\.h|poh"
           r"|pull(?:ed|ing)? (?:out|\d|wet|back|up|to|from|string)|tripp(?:ed|ing)|trip (?:in|out)"
           r"|short trip|round trip|wiper trip|pumped (?:out of hole|ooh)|came (?:down|up|out)"
           r"|lo [\w/ \".,]{0,30}?(?:singles|dp))\b"),
    (HANDLE, r"\b(?:rb|rack(?:ed|ing)? back|l/?[od]|la(?:id|y|ying) (?:down|out)|p/?u|pick(?:ed|ing)? up"
             r"|m/?u|ma[dk]e? ?up|broke (?:out|off)|chang(?:ed|ing)|install\w*|connections?)\b"),
    (STILL, r"\bflow ?che(?:c)?k\w*|\bstatic\b|\bmonitor\w*|\bwait\w*|\bw\.?o\.?w\b|\brepair\w*|\bservic\w+"
            r"|\btool ?box\b|\btbt\b|\bmeeting\b|\btest(?:ed|ing)?\b|\bheld\b|\bclean\w*|\btime ?-?out\b"
            r"|\bshut ?(?:down|in)\b|\bsuspended\b|\binspect\w*|\btroubleshoo?t\w*"),
)  # fmt: skip
_READ = tuple((work, re.compile(pattern)) for work, pattern in _PATTERNS)
_MOVING_TURNING = re.compile(
    r"\b(?:rih|pooh|poh|pull\w*(?: out)?(?: of hole)?|trip\w*(?: in| out)?|run(?:ning)? in) "
    r"(?:while|whilst|with|and|by)? ?(?:back[- ]?)?(?:ream|rotat)\w*"
    r"|\b(?:back[- ]?)?ream\w* (?:and |while |whilst |when )?(?:rih|pooh|poh|pull\w*|out of hole)"
)


@dataclass(frozen=True)
class Said:
    """What a remark says: the `work` it names, and whether pipe moved while it turned (back-reaming)."""

    work: frozenset[str]
    moved_turning: bool = False

    @property
    def turning(self) -> frozenset[str]:
        """The kinds of work in it during which something turned."""
        return self.work & TURNING


def folded(remark: str) -> str:
    """Return `remark` in lower case with single blanks, line ends kept as full stops, cut at 4,000 letters.

    Raises nothing. Source: common practice.
    """
    lines = [" ".join(line.split()) for line in remark[:MOST_LETTERS].casefold().splitlines()]
    return ". ".join(line for line in lines if line)


def clauses(remark: str) -> tuple[str, ...]:
    """Return the clauses of `remark`, without things called after work, plans and what was not done.

    Cut at full stops before a blank, semicolons and line ends. Raises nothing. Source: common practice.
    """
    text = _THINGS.sub(" ", folded(remark))
    found = []
    for clause in re.split(r"[.!?]+(?:\s+|$)|;|//|(?<=\s)- ", text):
        kept = _NEGATED.sub(" ", _TO_COME.sub(_waiting, clause))
        if kept.strip(" ,/:"):
            found.append(" ".join(kept.split()))
    return tuple(found)


def _waiting(found: re.Match[str]) -> str:
    """What is waited for or talked about is not done yet, but the waiting and the talk are."""
    return " wait " if found[0].startswith(("wait", "meeting", "talk", "tbt", "sja")) else " "


def said_in(remark: str) -> Said:
    """Return what the words of `remark` say was done, clause by clause.

    Raises nothing: a remark that says nothing of the kind gives no work. Source: words seen in daily
    reports, common practice.
    """
    work: set[str] = set()
    moved = False
    for clause in clauses(remark):
        in_clause = _work_of(clause)
        if TRIP in in_clause and in_clause & {REAM, ROTATE} and _MOVING_TURNING.search(clause):
            moved = True
            in_clause.discard(TRIP)
        work |= in_clause
    return Said(frozenset(work), moved)


def _work_of(clause: str) -> set[str]:
    found: set[str] = set()
    text = clause
    if _MEASURED.search(text) or (_TURNS.search(text) and ("rotat" in text or "turn" in text)):
        # Whatever else the clause drills or reams counts; its rotation and its rpm were for the reading.
        found.add(MOMENT)
        text = _RPM.sub(" ", re.sub(r"\brotat\w*", " ", text))
    found |= {work for work, pattern in _READ if pattern.search(text)}
    if CEMENT in found:
        found.discard(DRILL)
        found.discard(MILL)
    if _RPM.search(text):
        found.add(ROTATE)
    return found


def named(work: Iterable[str]) -> str:
    """Return kinds of `work` as they stand in a sentence: "circulating, rotating".

    Raises nothing. Source: the words of this table.
    """
    return ", ".join(sorted(work))
