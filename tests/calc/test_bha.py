"""What a BHA sheet says: sums by hand, what is not known, and one text that is the same for ever."""

import json
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.bha import BhaContent, BhaHead, check, content_of, known_weight, line_of
from rack.calc.bha_words import item_words, weight_worked
from rack.calc.bodies import Bodies
from rack.calc.chain import Link
from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts
from rack.calc.string_loads import LoadCase, string_figures
from tests.calc.stringing import bit, collar, heavy, jar, pipe

FT = 304_800_000
IN = 25_400_000
HEAD = BhaHead("SH3", "Sandholm 3", "BHA 7", mud_mppg=10_000)


def link(kind: str, feet: str | None, lb_ft: str = "0", **more: object) -> Link:
    spec = SpecFacts(kind, od_nm=6 * IN, bore_nm=2 * IN if kind != "bit" else 0,
                     weight_mlb_ft=int(Fraction(lb_ft) * 1000))  # fmt: skip
    return Link(kind, spec, Length.parse(feet, "ft") if feet else None, **more)  # type: ignore[arg-type]


def content(*links: Link, head: BhaHead = HEAD) -> BhaContent:
    return content_of(head, links, unit="ft", digits=2, revision=1, code="K7Q2M9A",
                      made_at="2026-11-25T13:40Z",
                      made_by="K. Aune")  # fmt: skip


STRING = (link("bit", "1.00", "100"), link("collar", "30.00", "90"), link("jar", "20.00", "80"),
          link("heavy_weight", "60.00", "50", count=2))  # fmt: skip


def test_lengths_weights_and_what_hangs_below_the_jar_are_the_sums_by_hand() -> None:
    made = content(*STRING)
    assert made.length_nm == 111 * FT and made.count == 5
    assert made.air_mlb == (100 + 2700 + 1600 + 3000) * 1000
    assert made.mud_mlb == round(7_400_000 * (1 - Fraction(10) / Fraction("65.5")))
    (jar,) = made.below_jars
    assert (jar.n, jar.air_mlb) == (3, 2_800_000)
    assert jar.mud_mlb == round(2_800_000 * (1 - Fraction(10) / Fraction("65.5")))
    assert [line.cum_nm for line in made.lines] == [FT, 31 * FT, 51 * FT, 111 * FT]
    assert (made.least_bore_nm, made.least_bore_n) == (2 * IN, 2)
    assert check(made) == ()


def test_what_is_not_known_is_said_and_not_taken_for_nothing() -> None:
    made = content(STRING[0], link("collar", None, "90"), STRING[2])
    assert (made.length_nm, made.air_mlb, made.mud_mlb) == (None, None, None)
    assert made.no_length == (2,) and made.no_weight == (2,)
    assert [line.cum_nm for line in made.lines] == [FT, None, None]
    assert made.below_jars[0].air_mlb is None


def test_without_a_mud_there_is_no_weight_in_mud() -> None:
    made = content(*STRING, head=replace(HEAD, mud_mppg=None))
    assert made.mud_mlb is None and made.air_mlb is not None and made.below_jars[0].mud_mlb is None


def test_a_sensor_lies_its_own_distance_above_the_lower_end_of_its_tool() -> None:
    tool = link("mwd", "30.00", "95", facts={"sensor_nm": str(12 * FT)})
    assert content(*STRING[:2], tool).lines[2].sensor_nm == 43 * FT


def test_the_bore_of_a_tool_joint_is_the_least_one() -> None:
    joint = Link("KD1", SpecFacts("drill_pipe", od_nm=5 * IN, bore_nm=4 * IN, tj_bore_nm=3 * IN),
                Length.parse("31", "ft"))  # fmt: skip
    made = content(STRING[0], joint)
    assert (made.least_bore_nm, made.least_bore_n) == (3 * IN, 2)


@pytest.mark.parametrize("spec, facts, lb_ft, basis", [
    (SpecFacts("collar", od_nm=8 * IN, bore_nm=3 * IN), {}, 147, "geometry, steel at 489.5 lb/ft3 (RP 7G)"),
    (SpecFacts("collar", od_nm=8 * IN, bore_nm=3 * IN), {"surface": "spiral"}, 141, "one source for the 4 %"),
    (SpecFacts("collar", od_nm=8 * IN, bore_nm=3 * IN, weight_mlb_ft=150_000), {}, 150, "as given"),
    (SpecFacts("heavy_weight", od_nm=5 * IN, bore_nm=3 * IN), {}, 49.3, "from memory"),
    (SpecFacts("collar", od_nm=8 * IN), {}, 0, ""), (SpecFacts("bit", od_nm=8 * IN), {}, 0, ""),
    (SpecFacts("drill_pipe", od_nm=5 * IN, bore_nm=4 * IN), {}, 0, ""),
], ids=["plain", "spiral", "given", "heavy-weight", "no bore", "bit", "drill pipe"])  # fmt: skip
def test_a_weight_a_foot_says_where_it_comes_from(
    spec: SpecFacts, facts: dict[str, str], lb_ft: float, basis: str
) -> None:
    line = line_of(1, Link("X", spec, Length(FT), facts=facts), 0, Bodies())
    assert abs(line.mlb_ft / 1000 - lb_ft) < 0.6 and basis in line.weight_from
    assert bool(line.weight_from) == bool(lb_ft)


def test_pipe_weighs_what_it_does_with_its_tool_joints_not_what_its_label_says() -> None:
    """RP 7G tables: 5 in 19.50 E-75 with a 6-3/8 x 3-3/4 NC50 joint weighs 20.85 lb/ft (training deck "Drill
    String Design", 2013, W1 of the worked strings); the formula gives 20.87 for it."""
    made = content(pipe("P1", length="31", grade="E75", tj=("6-3/8", "3-3/4")))
    assert made.lines[0].mlb_ft / 1000 == pytest.approx(20.85, abs=0.03) != 19.5
    assert made.air_mlb == pytest.approx(20.85 * 31 * 1000, rel=0.002)


def test_the_sheet_and_the_loads_weigh_a_string_alike_to_the_pound() -> None:
    links = (bit(), collar("C1"), collar("C2", own={"surface": "spiral"}), jar(), heavy("H1"),
             *(pipe(f"P{n}", grade="S135", tj=(0, 0)) for n in range(40)))  # fmt: skip
    made, loads = content(*links), string_figures(links, LoadCase(mud_ppg=10))
    assert made.air_mlb is None and made.no_weight == (1,) and loads.air_lb.left_out
    air, mud = known_weight(made.lines, 10_000)
    assert air == pytest.approx(loads.air_lb.value * 1000, abs=50)
    assert mud == pytest.approx(loads.mud_lb.value * 1000, abs=50)
    assert made.below_jars[0].air_mlb is None and loads.below_jars[0].air_lb.left_out


def test_the_weight_opens_to_its_rows_each_with_its_weight_a_foot_and_source() -> None:
    opened = weight_worked(content(bit(), collar("C1"), pipe("P1", tj=(0, 0)), pipe("P2", tj=(0, 0))).lines)
    assert opened is not None
    assert list(opened.inputs) == ["no. 1", "no. 2", "no. 3 to 4"] and opened.inputs["no. 1"] == "not weighed"
    assert opened.inputs["no. 3 to 4"].partition(" lb/ft, ")[2], "each weight a foot has its source"
    assert len(opened.steps) == 3 and opened.steps[-1].startswith("sum = ")
    assert weight_worked(content(bit()).lines) is None


def test_a_tool_is_named_by_its_sizes_and_pipe_by_its_label() -> None:
    assert item_words(SpecFacts("jar", od_nm=6 * IN, bore_nm=2 * IN, weight_mlb_ft=80_000)) == "6 x 2 in jar"
    assert "49.30" in item_words(SpecFacts("heavy_weight", od_nm=5 * IN, weight_mlb_ft=49_300))


def test_the_text_is_the_sheet_and_the_same_text_for_ever() -> None:
    made = content(*STRING)
    again = BhaContent.from_text(made.to_text())
    assert again == made and again.to_text() == made.to_text() and len(made.digest()) == 64
    assert BhaContent.from_text(json.dumps(json.loads(made.to_text()), indent=2)).digest() == made.digest()


@pytest.mark.parametrize("text", ["", "[]", "{}", "1", "null", '{"head": {}}', "[" * 100_000])
def test_another_text_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="not the text of a BHA sheet"):
        BhaContent.from_text(text)


def test_a_fraction_in_the_text_is_refused_both_ways() -> None:
    text = content(*STRING).to_text()
    with pytest.raises(ValueError, match="not a whole number"):
        BhaContent.from_text(text.replace('"digits":2', '"digits":2.5'))
    with pytest.raises(ValueError, match="only text and whole numbers"):
        replace(content(*STRING), digits=2.5).to_text()  # type: ignore[arg-type]


@pytest.mark.parametrize("change, words", [
    ({"length_nm": 1}, "length"), ({"air_mlb": 1}, "air"), ({"below_jars": ()}, "below jars"),
    ({"least_bore_nm": 1}, "least bore"), ({"count": 1}, "count"),
])  # fmt: skip
def test_a_sheet_that_was_tampered_with_does_not_add_up(change: dict[str, object], words: str) -> None:
    found = check(replace(content(*STRING), **change))  # type: ignore[arg-type]
    assert len(found) == 1 and words in found[0].text


def test_a_row_out_of_its_place_is_found() -> None:
    made = content(*STRING)
    turned = replace(made, lines=(made.lines[1], made.lines[0], *made.lines[2:]))
    assert any("does not follow" in one.text for one in check(turned))


@given(st.lists(st.tuples(st.integers(1, 60_000_000_000), st.integers(0, 400_000)), min_size=1, max_size=12))
def test_any_string_adds_up_and_comes_back(rows: list[tuple[int, int]]) -> None:
    links = [Link("X", SpecFacts("collar", od_nm=6 * IN, weight_mlb_ft=mlb), Length(nm)) for nm, mlb in rows]
    made = content(*links)
    assert made.length_nm == sum(nm for nm, _ in rows) and check(made) == ()
    assert (made.air_mlb is None) == any(not mlb for _, mlb in rows)
    assert BhaContent.from_text(made.to_text()) == made
