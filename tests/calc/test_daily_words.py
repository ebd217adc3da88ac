"""What a remark says was done. Phrases are invented in the manner of reports; rules: common practice."""

import pytest

from rack.calc.daily import words
from rack.calc.daily.figures import Figure, depth_nm, depth_reached, depths_in, flow_in, rpm_in
from rack.calc.daily.words import TURNING, said_in

M = 1_000_000_000
FT = 304_800_000


@pytest.mark.parametrize(
    "remark, work",
    [
        ("Drilled from 2100m to 2140m.", words.DRILL),
        ("Continued drilling 12 1/4\" hole section from 2100 m to 2140 m MD.", words.DRILL),
        ("DRILLED AHEAD F/ 2100 M T/ 2140 M", words.DRILL),
        ("Cont drlg 8 1/2\" hole", words.DRILL),
        ("Drld 8 1/2in hole to 3000 ft", words.DRILL),
        ("Resumed drilling with reduced parameters", words.DRILL),
        ("Held pit drill. Drilled from 2100 m to 2101 m", words.DRILL),
        ("Drilled out cement and shoe track", words.CEMENT),
        ("Drilling cement from 1480 m to 1502 m", words.CEMENT),
        ("Milled cement plug", words.CEMENT),
        ("Reamed from 3400 m to 3437 m", words.REAM),
        ("Back reamed stand twice", words.REAM),
        ("Backreamed out of hole from 3500 m to 3300 m", words.REAM),
        ("Back-reaming each stand", words.REAM),
        ("Milled window from 1800 m to 1806 m", words.MILL),
        ("Cut core from 2810 m to 2828 m", words.CORE),
        ("Cored from 2810 to 2828 m", words.CORE),
        ("Slid from 2100 m to 2109 m with toolface 30R", words.SLIDE),
        ("Drilled in sliding mode", words.SLIDE),
        ("Circulated bottoms up whilst rotating string", words.ROTATE),
        ("Circulated 2 x btms up with 2000 lpm / 120 rpm", words.ROTATE),
        ("Washed down at 1400 lpm, 50 rpm", words.ROTATE),
        ("Worked stand, String RPM 150-180", words.ROTATE),
        ("RPM: 60", words.ROTATE),
    ],
)
def test_words_of_turning_are_found(remark, work):
    assert work in said_in(remark).work


@pytest.mark.parametrize(
    "remark",
    [
        "RIH with 8 1/2\" drilling BHA on 5\" drill pipe from 13 m to 550 m",
        "POOH with drilling assembly and laid out drill collars",
        "Cleaned drillfloor. Serviced drill line.",
        "Cleaned and cleared the drill floor",
        "Held toolbox meeting prior to drilling ahead",
        "Prepared to drill 8 1/2\" section",
        "Waited for permission to start drilling",
        "Discussed whether to ream down",
        "Decided to drill ahead using one pump",
        "Held kick drill with night crew",
        "Held pit drill. Fire drill performed.",
        "Drilling break at 3070 m. Flow checked well, static.",
        "Drilling parameters were agreed",
        "Repaired rotational dragchain in the pipe handler",
        "Installed rotating head",
        "Changed rotating hose",
        "Greased rotary table",
        "Made up rotary steerable and MWD",
        "Laid out hole opener, under reamer and roller reamers",
        "RIH with milling assembly",
        "Laid out core barrel",
        "Closed sliding sleeve",
        "Pulled sliding string",
        "Circulated with no rotation",
        "Came down from 3420 m to 3478 m with no rotation and no flow",
        "Worked string without rotating",
        "Stopped drilling",
        "Unable to rotate string",
        "String RPM 0",
        "0 rpm",
        "Recorded off bottom torque at 10/15/20 RPM",
        "Took up/down weight with 20 rpm",
        "Up weight 178 MT / rotating weight 137 MT",
        "Rotated pipe 1/2 turn",
        "Released tool by rotating 5 turns to the right",
        "Backed out insert with 3 lefthand turns while rotating",
        "Continued rotating left and came free",
        "Motor RPM 150",
        "Drillers cabin cleaned",
        "",
    ],
)
def test_what_only_sounds_like_turning_is_not(remark):
    assert said_in(remark).turning == frozenset()


@pytest.mark.parametrize(
    "remark",
    [
        "RIH from 13 m to 550 m", "POOH from 3000 m to 2800 m", "POH on drill pipe", "Tripped in to 2000 m",
        "TIH to 900 m", "Ran in hole to shoe", "Running in hole", "Pulled 5 stands wet", "Pulled out of hole",
        "PULLED BACK TO SHOE", "Pumped out of hole", "Short trip to shoe", "Wiper trip to shoe",
        "P.O.O.H. with test tool", "LO 5 1/2\" DP in singles from 806 m", "Tripping out",
    ],
)  # fmt: skip
def test_words_of_tripping_are_found(remark):
    assert words.TRIP in said_in(remark).work


@pytest.mark.parametrize(
    "remark",
    [
        "Monitored well on trip tank", "Filled trip tank", "Read trip sheet", "Laid out wiper trip BHA",
        "Held meeting prior to POOH", "Prepared for tripping", "Bled off trip gas",
        "Max MW out of hole 1.56 sg",
    ],
)  # fmt: skip
def test_what_only_sounds_like_tripping_is_not(remark):
    assert words.TRIP not in said_in(remark).work


@pytest.mark.parametrize(
    "remark",
    ["POOH while backreaming from 3500 m to 3300 m", "Backreamed out of hole", "RIH with rotation to 3000 m",
     "Pulled out of hole while rotating at 60 rpm", "Reamed and POOH to shoe"],
)  # fmt: skip
def test_pipe_that_moves_while_it_turns_is_turning_and_not_tripping(remark):
    said = said_in(remark)
    assert said.turning
    assert words.TRIP not in said.work


@pytest.mark.parametrize(
    "remark, work",
    [
        ("Circulated hole clean", words.CIRCULATE), ("Pumped 3 x bottoms up", words.CIRCULATE),
        ("Performed SCR's", words.CIRCULATE), ("Broke circulation", words.CIRCULATE),
        ("Washed down from 3380 m", words.CIRCULATE), ("Displaced well to 1.30 sg mud", words.CIRCULATE),
        ("Pumped slug", words.PUMP), ("Staged up pumps to 2000 lpm", words.PUMP),
        ("Flowchecked - well static", words.STILL), ("Held toolbox talk", words.STILL),
        ("Waited on weather", words.STILL), ("Racked back one stand", words.HANDLE),
    ],
)  # fmt: skip
def test_other_work_is_named(remark, work):
    assert work in said_in(remark).work


@pytest.mark.parametrize(
    "remark", ["Made up circ sub", "Lost circulation", "Tested circulating head", "Cleaned pump room",
               "Serviced mud pumps", "Circuit breaker failed"],
)  # fmt: skip
def test_pumps_that_are_only_named_pump_nothing(remark):
    assert not said_in(remark).work & {words.CIRCULATE, words.PUMP}


def test_a_remark_is_read_clause_by_clause():
    said = said_in("RIH to 3478 m. No rotation.\nReamed one stand; flow checked - static")
    assert said.work >= {words.TRIP, words.REAM, words.STILL}
    assert words.ROTATE not in said.work


def test_a_very_long_remark_is_read_quickly_and_as_far_as_anybody_writes():
    assert said_in("drill " * 200_000).work <= TURNING | {words.HANDLE}
    assert words.REAM not in said_in("x" * words.MOST_LETTERS + " reamed").work


@pytest.mark.parametrize(
    "text, unit, near, nm",
    [
        ("3510", "m", None, 3510 * M),
        ("2665,6", "m", None, 26656 * M // 10),
        ("139.7", "m", None, 1397 * M // 10),
        ("3,035", "ft", None, 3035 * FT),
        ("3,035", "m", 3040 * M, 3035 * M),
        ("3,035", "m", 3 * M, 3035 * M // 1000),
        ("1.500", "m", None, 15 * M // 10),
        ("1.500", "m", 1490 * M, 1500 * M),
        ("12,450.5", "ft", None, 124505 * FT // 10),
        ("1.031,24", "m", None, 103124 * M // 100),
        ("0", "m", None, 0),
        ("", "m", None, None),
        ("-5", "m", None, None),
        ("TD", "m", None, None),
        ("99999", "m", None, None),
        ("1,2,3,4", "m", None, None),
        ("١٢", "m", None, None),
    ],
)
def test_a_depth_is_read_exactly_or_not_at_all(text, unit, near, nm):
    assert depth_nm(text, unit, near=near) == nm


def test_a_depth_has_a_unit_of_length():
    with pytest.raises(ValueError, match="psi"):
        depth_nm("10", "psi")


@pytest.mark.parametrize(
    "text, pairs",
    [
        ("drilled from 2993m to 3035m.", [(2993, 3035)]),
        ("from 3064 m to 3070 m md", [(3064, 3070)]),
        ("from 3095 to 3103 m md", [(3095, 3103)]),
        ("from 3385 m to section td at 3510 m md", [(3385, 3510)]),
        ("rih from 13 m to 26 m. continued from 26 m to 550 m", [(13, 26), (26, 550)]),
        ("f/ 3035 m t/ 3100 m", [(3035, 3100)]),
        ("from 1.40 sg to 1.45 sg", []),
        ("rop increased from 5 to 30 m/hr", []),
        ("pumped from 5 m3 to 8 m3", []),
        ("from 2100 to 2200 lpm", []),
    ],
)
def test_depths_are_found_and_what_is_no_depth_is_not(text, pairs):
    assert list(depths_in(text)) == [(low * M, high * M) for low, high in pairs]


def test_the_unit_of_the_remark_governs():
    assert depths_in("drilled from 9,815 ft to 9,930 ft", "m") == ((9815 * FT, 9930 * FT),)
    assert depth_reached("ran in to 9,930 ft", "m") == 9930 * FT
    assert depth_reached("nothing here") is None


@pytest.mark.parametrize(
    "text, figure",
    [
        ("string rpm 180", Figure(180, 180, "rpm")),
        ("string rpm 150-180", Figure(150, 180, "rpm")),
        ("150 rpm / 13-17 knm", Figure(150, 150, "rpm")),
        ("rpm: 90", Figure(90, 90, "rpm")),
        ("80-100 rpm", Figure(80, 100, "rpm")),
        ("motor rpm 150", None),
        ("no figure", None),
    ],
)
def test_turns_a_minute_are_read(text, figure):
    assert rpm_in(text) == figure


@pytest.mark.parametrize(
    "text, shown",
    [("flow 2090-2225 lpm", "2,090 to 2,225 l/min"), ("2200 lpm / 206 bar", "2,200 l/min"),
     ("at 650 gpm", "650 gpm"), ("nothing", "None")],
)  # fmt: skip
def test_flow_is_read(text, shown):
    assert str(flow_in(text)) == shown


def test_the_middle_of_a_figure_is_rounded_half_up():
    assert Figure(150, 181, "rpm").middle == 166
