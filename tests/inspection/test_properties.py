"""Laws of judging: worse readings never give a better class, more of them never remove a finding."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from inspection.calc.classify import classify, settle
from inspection.calc.criteria import scheme
from inspection.calc.readings import Look, Reading
from inspection.calc.verdict import Outcome
from tests.inspection.pieces import INCH, LOOKS, good, nm, pipe

ONE = scheme("api_rp7g2_2009")
QUICK = settings(max_examples=150, deadline=None)
PIPE = pipe()
#: What is read, and whether a smaller figure is the worse one.
SIZES = {
    "wall": True, "od": True, "dent": True, "necking": True, "stretch": True, "string_shot": False,
    "external_corrosion": True, "cut_along": True, "cut_across": True, "cut": True, "internal_pitting": True,
    "internal_erosion": True, "slip_cut_along": True, "slip_cut_across": True, "slip_cut": True,
    "slip_cut_depth": False, "slip_cut_adjacent": True,
}  # fmt: skip
_ON_OD = ("od", "dent", "necking", "stretch", "string_shot")


def tubes():
    def reading(what):
        low, high = (nm("4.6"), nm("5.4")) if what in _ON_OD else (nm("0.01"), nm("0.4"))
        return st.builds(Reading, st.just(what), nm=st.integers(low, high))

    flags = st.builds(Reading, st.sampled_from(["crack", "washout", "bent"]), count=st.integers(0, 1))
    return st.one_of(st.sampled_from(sorted(SIZES)).flatmap(reading), flags)


def ends():
    od = st.builds(Reading, st.just("od"), st.sampled_from(["box", "pin"]),
                   nm=st.integers(nm("5.5"), nm("6.625")))
    shoulder = st.builds(Reading, st.just("shoulder"), st.just("box"), nm=st.integers(nm("0.1"), nm("0.6")))
    lead = st.builds(Reading, st.just("lead"), st.just("pin"), nm=st.integers(0, nm("0.02")))
    return st.one_of(od, shoulder, lead)


READINGS = st.lists(st.one_of(tubes(), ends()), max_size=6)


def rank(name):
    return ONE.step(name).rank if name else 0


@QUICK
@given(READINGS, st.data())
def test_a_worse_reading_never_gives_a_better_class(readings, data):
    sized = [at for at,
             one in enumerate(readings) if one.nm is not None and (one.what in SIZES or one.part != "tube")]
    if not sized:
        return
    at = data.draw(st.sampled_from(sized))
    one = readings[at]
    smaller = SIZES.get(one.what, True) if one.what != "lead" else False
    step = data.draw(st.integers(0, INCH // 5))
    worse = replace(one, nm=max(one.nm - step, 1) if smaller else one.nm + step)
    before = classify(readings, PIPE)
    after = classify([*readings[:at], worse, *readings[at + 1 :]], PIPE)
    assert rank(after.at_best) >= rank(before.at_best)
    assert rank(after.tube_at_best) >= rank(before.tube_at_best)
    assert rank(after.joint_at_best) >= rank(before.joint_at_best)


@QUICK
@given(READINGS, st.one_of(tubes(), ends()))
def test_one_more_reading_never_removes_a_finding(readings, more):
    before, after = classify(readings, PIPE), classify([*readings, more], PIPE)
    bites = (Outcome.LOWERS, Outcome.REPAIR, Outcome.REJECTS)
    kept = {(check.code, check.measured, rank(check.allows)) for check in after.checks}
    for check in before.checks:
        if check.outcome in bites and check.code != "slip_cut_depth":
            assert (check.code, check.measured, rank(check.allows)) in kept
    assert rank(after.at_best) >= rank(before.at_best)


@QUICK
@given(READINGS)
def test_the_order_of_readings_makes_no_class(readings):
    assert classify(readings, PIPE).at_best == classify(readings[::-1], PIPE).at_best


@QUICK
@given(READINGS, st.sampled_from(["", "Class 1", "Premium", "Class 2", "Class 3", "Scrap"]))
def test_the_class_that_holds_is_never_better_than_either(readings, given_class):
    verdict = classify(readings, PIPE)
    held = settle(given_class, verdict).held
    if held:
        assert rank(held) >= max(rank(given_class), rank(verdict.at_best))


@QUICK
@given(st.sets(st.sampled_from(["VT-T", "VT-C", "EMI"])), st.sets(st.sampled_from([0, 1, 2, 3])))
def test_unknown_never_passes(not_done, blank):
    """Take away looks or figures: there is a class only when all that is asked for was looked at."""
    looks = tuple(Look(look.method, "" if look.method in not_done else look.result) for look in LOOKS)
    readings = [one for at, one in enumerate(good()) if at not in blank]
    verdict = classify(readings, PIPE, looks=looks)
    assert (verdict.class_computed == "Premium") == (not not_done and not blank)
    assert verdict.class_computed in ("", "Premium")
    assert bool(verdict.missing) == bool(not_done or blank)
