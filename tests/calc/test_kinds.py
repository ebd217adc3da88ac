"""Every kind of piece works: it has ends, a way to be measured, words that are read back, its drawing."""

import pytest

from rack.calc.checks import Severity
from rack.calc.item_words import KIND_WORDS, spelled_out
from rack.calc.items import read_item
from rack.calc.kinds import COUPLED, KINDS, LENGTH_KINDS, SHOULDERED, SORTS, TOOL, kind_of
from rack.calc.specs import SpecFacts, describe, spec_from_key

#: One item a kind as English and German lists write it, and the kind that it is.
ITEMS = {
    "drill_pipe": ("5 in 19.50 lb/ft S-135 NC50 drill pipe", "Bohrgestänge 5 Zoll 19,50 lb/ft S-135 NC50"),
    "heavy_weight": ("HWDP 5 in 49.3 lb/ft NC50", "Schwergestänge 5 Zoll NC50"),
    "collar": ("8 in x 2-13/16 in drill collar 6-5/8 REG", "Schwerstange 8 Zoll 6-5/8 REG"),
    "kelly": ("square kelly 5-1/4 in NC50", "Mitnehmerstange 5-1/4 in NC50"),
    "saver_sub": ("kelly saver sub 6-3/8 in NC50", "Schonübergang 6-3/8 in NC50"),
    "safety_valve": ("TIW valve 6-3/8 in NC50", "Kellyhahn 6-3/8 in NC50"),
    "crossover": ("crossover 8 in 6-5/8 REG pin x NC50 box", "Übergang 8 in 6-5/8 REG pin x NC50 box"),
    "bit_sub": ("bit sub 8 in 6-5/8 REG", "Meißelübergang 8 in 6-5/8 REG"),
    "float_sub": ("float sub 8 in 6-5/8 REG", "Rückschlagventilübergang 8 in 6-5/8 REG"),
    "circulating_sub": ("circulating sub 6-1/2 in NC46", "Zirkulationsübergang 6-1/2 in NC46"),
    "lift_sub": ("lift sub 6-1/2 in NC46", "Hebestück 6-1/2 in NC46"),
    "sub": ("sub 6-1/2 in NC46", "sub 6-1/2 Zoll NC46"),
    "stabilizer": ("stabilizer 8 in 6-5/8 REG", "Stabilisator 8 Zoll 6-5/8 REG"),
    "reamer": ("roller reamer 8 in 6-5/8 REG", "Rollenräumer 8 in 6-5/8 REG"),
    "hole_opener": ("hole opener 17-1/2 in 6-5/8 REG", "Lochöffner 17-1/2 in 6-5/8 REG"),
    "under_reamer": ("under-reamer 8 in 6-5/8 REG", "Unterschneider 8 in 6-5/8 REG"),
    "jar": ("hydraulic jar 6-1/2 in NC46", "hydraulische Schlagschere 6-1/2 in NC46"),
    "accelerator": ("jar accelerator 6-1/2 in NC46", "Schlagverstärker 6-1/2 in NC46"),
    "shock_sub": ("shock sub 8 in 6-5/8 REG", "Stoßdämpfer 8 in 6-5/8 REG"),
    "bumper_sub": ("bumper sub 6-1/2 in NC46", "Teleskopstück 6-1/2 in NC46"),
    "motor": ("mud motor 6-3/4 in NC50", "Bohrmotor 6-3/4 in NC50"),
    "rotary_steerable": ("rotary steerable 6-3/4 in NC50", "Richtbohrsystem 6-3/4 in NC50"),
    "mwd": ("LWD collar 6-3/4 in NC50", "Messwerkzeug 6-3/4 in NC50"),
    "core_barrel": ("core barrel 60 ft 6-3/4 in", "Kernrohr 18 m 6-3/4 in"),
    "bit": ("12-1/4 in PDC bit 6-5/8 REG pin", "Rollenmeißel 8-1/2 in 4-1/2 REG"),
    "core_bit": ("core bit 8-1/2 in", "Kernkrone 8-1/2 Zoll"),
    "scraper": ("casing scraper 7 in", "Rohrschaber 7 in"),
    "mill": ("junk mill 8-1/2 in 4-1/2 REG", "Fräser 8-1/2 in 4-1/2 REG"),
    "fishing_tool": ("overshot 8-1/8 in NC50", "Fangglocke 8-1/8 in NC50"),
    "other": ("tool, other: whipstock 8-1/2 in", "sonstiges Werkzeug Keil 8-1/2 in"),
    "casing": ("9-5/8 in 47 lb/ft L-80 BTC casing", "Futterrohr 9-5/8 in 47 lb/ft L-80 BTC"),
    "tubing": ("2-7/8 in 6.5 lb/ft L-80 EUE tubing", "Steigrohr 2-7/8 in 6,5 lb/ft L-80 EUE"),
    "pup_joint": ("9-5/8 in 47 lb/ft L-80 BTC casing pup joint", "Passrohr 9-5/8 in 47 lb/ft L-80 BTC"),
    "marker_joint": ("marker joint 9-5/8 in BTC", "Markierungsrohr 9-5/8 in BTC"),
    "float_shoe": ("9-5/8 in casing float shoe BTC", "Rohrschuh 9-5/8 in BTC"),
    "guide_shoe": ("guide shoe 9-5/8 in BTC", "Führungsschuh 9-5/8 in BTC"),
    "float_collar": ("float collar 9-5/8 in BTC", "Ventilmuffe 9-5/8 in BTC"),
    "landing_collar": ("landing collar 7 in LTC", "Landemuffe 7 in LTC"),
    "stage_collar": ("stage collar 9-5/8 in BTC", "Stufenzementiermuffe 9-5/8 in BTC"),
    "hanger": ("casing hanger 9-5/8 in BTC", "Futterrohrhänger 9-5/8 in BTC"),
    "liner_hanger": ("liner hanger 7 in LTC", "Linerhänger 7 in LTC"),
}


def test_every_kind_has_items_to_be_tried_with():
    assert set(ITEMS) == set(KINDS)


@pytest.mark.parametrize("code, text", [(code, text) for code, texts in ITEMS.items() for text in texts])
def test_a_kind_is_read_by_its_words_in_english_and_german(code, text):
    spec, problems = read_item(text)
    assert spec is not None, problems
    assert spec.kind == code
    assert spec.od_nm
    assert [one.text for one in problems if one.severity is not Severity.NOTE] == []
    assert spec_from_key(spec.key) == spec


@pytest.mark.parametrize("code, text", [(code, text) for code, texts in ITEMS.items() for text in texts])
def test_a_word_typed_without_german_letters_is_the_same_word(code, text):
    assert read_item(spelled_out(text.lower()))[0].kind == code


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.code)
def test_every_kind_says_its_ends_and_how_it_is_measured(kind):
    assert len(kind.code) <= 20
    assert kind.family in ("shouldered", "coupled")
    assert {kind.up, kind.down} <= {"box", "pin", ""}
    assert kind.lengths in (SHOULDERED, COUPLED, TOOL)
    assert set(kind.lengths) <= set(LENGTH_KINDS)
    assert (kind.lengths == COUPLED) == (kind.family == "coupled")
    if kind.one_end:
        assert {"up": kind.up, "down": kind.down}[kind.one_end], "the end that has a thread has a gender"
        assert not {"up": kind.down, "down": kind.up}[kind.one_end], "the other end has none"


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.code)
def test_the_name_of_a_kind_is_one_of_its_words(kind):
    assert KIND_WORDS[kind.name] == KIND_WORDS[kind.plural] == kind.code
    assert all(word == word.lower() for word in kind.words if word not in ("MWD/LWD tool",))


def test_no_word_means_two_kinds():
    said = [word for kind in KINDS.values() for word in {*kind.words, kind.name, kind.plural}]
    assert sorted(said) == sorted(set(said))


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.code)
def test_the_facts_of_a_kind_are_declared_whole(kind):
    names = [fact.name for fact in kind.facts]
    assert len(names) == len(set(names))
    for fact in kind.facts:
        assert fact.sort in SORTS
        assert fact.of in ("spec", "piece")
        assert (fact.sort == "choice") == bool(fact.choices)
        assert {value for _, value in fact.words} <= {*fact.choices, "yes"}
        if fact.sort in ("size", "length"):
            assert fact.name.endswith("_nm")
            assert fact.low < fact.high


def test_every_piece_of_a_bottom_assembly_has_a_fishing_neck():
    above_the_bit = set(KINDS) - {"drill_pipe", "heavy_weight", "kelly", "bit", "core_bit"}
    for code in above_the_bit:
        names = {fact.name for fact in KINDS[code].facts}
        assert ({"neck_od_nm", "neck_nm"} <= names) == (KINDS[code].family == "shouldered"), code


def test_what_telescopes_are_jars_accelerators_shock_and_bumper_subs():
    assert {kind.code for kind in KINDS.values() if kind.telescopes} == {
        "jar", "accelerator", "shock_sub", "bumper_sub",
    }  # fmt: skip


def test_the_codes_of_stored_rows_stay():
    assert {"drill_pipe", "heavy_weight", "collar", "sub", "casing", "bit", "jar"} <= set(KINDS)


def test_a_kind_that_there_is_not_is_named():
    with pytest.raises(ValueError, match="banana"):
        kind_of("banana")
    with pytest.raises(ValueError, match="colour"):
        kind_of("jar").fact("colour")


@pytest.mark.parametrize(
    "text, facts, words",
    [
        ("spiral drill collar 8 in 6-5/8 REG", {"surface": "spiral"}, "spiral drill collar"),
        ("NMDC 6-3/4 x 2-13/16 in NC50", {"non_magnetic": True}, "non-magnetic drill collar"),
        ("short non-mag collar 8 in NC50", {"non_magnetic": True, "short": True}, "non-magnetic short"),
        ("unmagnetische Schwerstange 8 in NC50", {"non_magnetic": True}, "non-magnetic drill collar"),
        ("mechanische Schlagschere 6-1/2 in NC46", {"action": "mechanical"}, "mechanical jar"),
        ("PDC bit 12-1/4 in IADC M323", {"make": "PDC", "code": "M323"}, "PDC bit"),
        ("Rollenmeissel 8-1/2 in IADC 5-1-7 G 4-1/2 REG", {"make": "roller cone", "code": "5-1-7 G"},
         "roller"),
        ("milled tooth bit 17-1/2 in", {"make": "milled tooth"}, "milled tooth bit"),
        ("core barrel 60 ft 6-3/4 in", {"barrel_nm": 18_288_000_000}, "60 ft core barrel"),
        ("stabilizer 8 in gauge 12-1/4 in 6-5/8 REG", {"gauge_nm": 311_150_000}, "8 in 6-5/8 REG stabilizer"),
        ("stabilizer 8 in 12-1/4 in gauge 6-5/8 REG", {"gauge_nm": 311_150_000}, "8 in 6-5/8 REG stabilizer"),
        (
            "drill collar 8 in FN 6-3/4 in neck length 24 in NC50",
            {"neck_od_nm": 171_450_000, "neck_nm": 609_600_000},
            "8 in NC50 drill collar",
        ),
        ("tool, other: whipstock 8-1/2 in", {"name": "whipstock"}, "8-1/2 in whipstock"),
        ("liner hanger 7 in x 9-5/8 in", {"hangs_in_nm": 244_475_000}, "7 in liner hanger"),
        ("MWD collar 6-3/4 in NC50", {"senses": "MWD", "body": "collar"}, "MWD tool"),
    ],
)
def test_what_only_one_kind_has_is_read_from_the_words_and_said_again(text, facts, words):
    import json

    spec, problems = read_item(text)
    assert json.loads(spec.facts) == facts
    assert words in describe(spec)
    assert [one.text for one in problems if one.severity is not Severity.NOTE] == []


def test_a_pup_joint_with_a_rotary_thread_is_drill_pipe():
    assert read_item("pup joint 5 in 19.50 S-135 NC50")[0].kind == "drill_pipe"
    assert read_item("pup joint 9-5/8 in 47 lb/ft L-80 BTC")[0].kind == "pup_joint"


def test_a_piece_with_one_end_has_its_thread_there_and_nowhere_else():
    shoe, _ = read_item("float shoe 9-5/8 in BTC")
    assert (shoe.up_conn, shoe.up_gender, shoe.down_conn, shoe.down_gender) == ("BTC", "box", "", "")
    lift, _ = read_item("lift sub 6-1/2 in NC46")
    assert (lift.up_conn, lift.up_gender, lift.down_conn, lift.down_gender) == ("", "", "NC46", "pin")


def test_a_bit_sub_has_two_boxes():
    spec, _ = read_item("bit sub 8 in 6-5/8 REG")
    assert (spec.up_gender, spec.down_gender) == ("box", "box")


def test_two_makes_of_one_bit_are_two_specifications():
    plain = SpecFacts(kind="bit", od_nm=1)
    assert len({plain.key, SpecFacts(kind="bit", od_nm=1, facts='{"make":"PDC"}').key}) == 2
