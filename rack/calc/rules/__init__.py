"""The rules of string composition, R01 to R31: every problem of a string at once (law 9).

`check` judges a string from the bit upward by a `Plan`; `left_after` takes off what was consented to.
A rule is one small function over `Judging`; its severity, words and source are rows of table "rules".
"""

from collections.abc import Callable, Sequence

from rack.calc.bodies import Bodies
from rack.calc.chain import Link
from rack.calc.lookup import Catalogue
from rack.calc.losses import SHIPPED
from rack.calc.rules import jars, order, sizes, standing, threads
from rack.calc.rules.consents import Consent, Left, left_after, overridable
from rack.calc.rules.judging import Found, Judging
from rack.calc.rules.plan import AUTHORITIES, Above, Clock, Passing, Plan
from rack.calc.rules.table import RULES, Rule

__all__ = [
    "AUTHORITIES", "JUDGES", "RULES", "Above", "Clock", "Consent", "Found", "Judging", "Left", "Passing",
    "Plan", "Rule", "check", "left_after", "overridable",
]  # fmt: skip

#: The function that judges each rule.
JUDGES: dict[str, Callable[[Judging], None]] = {
    "R01": order.bottom,
    "R02": threads.mating,
    "R03": threads.bit_in_a_box,
    "R04": order.motor_on_bit,
    "R05": order.directional_sensor,
    "R06": order.measuring_place,
    "R07": jars.mass_both_sides,
    "R08": jars.neutral_point,
    "R09": jars.not_the_step,
    "R10": order.float_near_bit,
    "R11": sizes.stabilizers,
    "R12": sizes.stiffness_steps,
    "R13": order.order_of_stiffness,
    "R14": standing.grades,
    "R15": standing.least_class,
    "R16": standing.standing,
    "R17": sizes.clearance,
    "R18": sizes.bores,
    "R19": threads.stress_relief,
    "R20": standing.twice,
    "R21": standing.mixed,
    "R22": sizes.bit_size,
    "R23": order.core_barrel,
    "R24": threads.bending_strength,
    "R25": standing.hours_left,
    "R26": standing.weight_on_bit,
    "R27": order.top,
    "R28": order.shoe_track,
    "R29": jars.fishing_data,
    "R30": jars.telescopes,
    "R31": jars.what_is_worked_out,
}


def check(links: Sequence[Link], plan: Plan, *, catalogue: Catalogue = SHIPPED) -> list[Found]:
    """Return every problem of a string at once, by rule and then from the bit upward.

    `links` count from the bit upward, `plan` are the facts of the hole and the programme, `catalogue` the
    rows in force. What is not known is told once for all rules that needed it, and never passes (law 8).
    Each problem has measured, limit and unit as text. Raises ValueError for a kind of piece that there is
    not. Source: table "rules", each rule with its own.
    """
    judging = Judging(links, plan, Bodies(catalogue))
    for judge in JUDGES.values():
        judge(judging)
    return judging.problems()
