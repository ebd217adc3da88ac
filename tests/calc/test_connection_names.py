"""One thread has many names, and names that look alike are different threads."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc import connections as c
from rack.calc.lookup import rows

SPELLINGS = [
    ("NC50", "NC50"), ("NC 50", "NC50"), ("nc-50", "NC50"), ("N.C. 50", "NC50"), ("NC No. 50", "NC50"),
    ("NC50 (4 1/2 IF)", "NC50"), ("4-1/2 IF (NC 50)", "NC50"), ("NC50/4 1/2 IF", "NC50"),
    ("4-1/2 IF", "NC50"), ("4½ IF", "NC50"), ("4 ½ IF", "NC50"), ("4½IF", "NC50"), ("4.1/2 I.F.", "NC50"),
    ("41/2 IF", "NC50"), ("4.5 IF", "NC50"), ("4,5 IF", "NC50"), ("4.500 IF", "NC50"), ("IF 4 1/2", "NC50"),
    ('4 1/2" IF', "NC50"), ("4 1/2” I.F", "NC50"), ("4 1/2 in. IF", "NC50"), ("4–1/2 IF", "NC50"),
    ("4 1/2 Internal Flush", "NC50"), ("4 1/2 INT. FLUSH", "NC50"), ("5 XH", "NC50"), ("5XH", "NC50"),
    ("5 Extra Hole", "NC50"), ("5 X-Hole", "NC50"), ("5-1/2 DSL", "NC50"), ("4 1/2 WO", "NC50"),
    ("NC50 Box x Pin", "NC50"), ("NC50 BxP", "NC50"), ("NC50 pin", "NC50"), ("NC50 (4-1/2)", "NC50"),
    ("NC50 IF", "NC50"),
    ("4 1 / 2 IF", "NC50"), ("API NC50 conn.", "NC50"),
    ("4 IF", "NC46"), ("4 in. IF", "NC46"), ("4-1/2 XH", "NC46"), ("NC31/2 7/8 IF", "NC31"),
    ("3½ IF", "NC38"),
    ("4 FH", "NC40"), ("4 modified open", "NC40"), ("2-3/8 IF", "NC26"), ("3-1/2 SH", "NC31"),
    ("6 5/8 REG", "6-5/8 REG"), ("6-5/8 API Reg", "6-5/8 REG"), ("6⅝ Reg.", "6-5/8 REG"),
    ("API 6 5/8 Regular", "6-5/8 REG"), ("65/8 REG", "6-5/8 REG"), ("6.625 REG", "6-5/8 REG"),
    ("4 1/2 REG PIN", "4-1/2 REG"), ("5 1/2 F.H.", "5-1/2 FH"), ("5-1/2 Full Hole", "5-1/2 FH"),
    ("5 1/2 IF", "5-1/2 IF"), ("3 1/2 H90", "3-1/2 H-90"), ("H-90 3-1/2", "3-1/2 H-90"),
    ("7 5/8 H 90", "7-5/8 H-90"), ("3 1/2 DSL", "2-7/8 XH"), ("4 SH", "3-1/2 XH"),
    ("2-7/8 PAC", "2-7/8 PAC"), ("2 3/8 OH LW", "2-3/8 OHLW"), ("3 1/2 SL-H90", "3-1/2 SLH90"),
    ("BTC", "BTC"), ("Buttress", "BTC"), ("Butt.", "BTC"), ("9 5/8 BTC", "BTC"),
    ("7 in. Buttress thd", "BTC"),
    ("LTC", "LTC"), ("LT&C", "LTC"), ("8rd long", "LTC"), ("Long 8RD", "LTC"), ("7 LTC 8rd", "LTC"),
    ("long thread and coupled", "LTC"), ("STC", "STC"), ("ST & C", "STC"), ("short 8 round", "STC"),
    ("2 7/8 8RD EUE", "EUE"), ("EU 8rd", "EUE"), ("NUE 10rd", "NUE"), ("non-upset", "NUE"),
]


@pytest.mark.parametrize("typed, thread", SPELLINGS)
def test_every_spelling_comes_to_one_name(typed, thread):
    assert c.canonical(typed) == thread
    assert c.canonical(typed.lower()) == c.canonical(f"  {typed} ") == thread


@pytest.mark.parametrize(
    "typed, named",
    [("", "''"), ("XT57", "XT57"), ("NC99", "NC99"), ("5 IF", "5 IF"), ("4 1/2", "4 1/2"), ("REG", "REG"),
     ("NC50 3 1/2", "NC50 3 1/2"), ("NC50 REG", "NC50 REG"), ("4 1/3 IF", "4 1/3"), ("4.6 IF", r"4\.6"),
     ("IF", "IF"),
     ("8rd", "LTC, STC"), ("NC50 LH", "left-hand"), ("6 5/8 REG left hand", "left-hand"), ("NC50 DS", "DS"),
     ("NC50!", "NC50!"), (None, "None"), (50, "50"), (True, "True")],
)
def test_an_unknown_name_is_refused_and_named(typed, named):
    with pytest.raises(ValueError, match=named):
        c.canonical(typed)


@pytest.mark.parametrize("typed", ["x" * 10_000, "NC50 " + "9" * 10_000, "no thread " * 1000, "8.1 " * 999])
def test_a_paragraph_is_no_name_and_is_not_repeated_whole(typed):
    with pytest.raises(ValueError, match="no thread is known.*longer than 120 signs") as refused:
        c.canonical(typed)
    assert len(str(refused.value)) < 250


@pytest.mark.parametrize("typed", ["NC50 (4 IF)", "NC46/4 1/2 IF", "BTC LTC", "NC50 box x 6-5/8 REG pin"])
def test_a_name_of_two_different_threads_is_refused(typed):
    with pytest.raises(ValueError, match="not the same"):
        c.canonical(typed)


NAMES = sorted({name for name, _ in SPELLINGS} | set(c.known()) | {r["name"] for r in rows("connections")}
               | {r["same_thread_name"] for r in rows("interchange")})


@pytest.mark.parametrize("name", NAMES)
def test_a_canonical_name_is_its_own_name(name):
    assert c.canonical(c.canonical(name)) == c.canonical(name)
    assert c.canonical(name) in c.known()


@given(st.sampled_from(NAMES), st.sampled_from(NAMES), st.sampled_from(NAMES))
def test_interchange_is_an_equivalence(one, two, three):
    assert c.mates(one, one)
    assert c.mates(one, two) == c.mates(two, one)
    assert not (c.mates(one, two) and c.mates(two, three)) or c.mates(one, three)


@pytest.mark.parametrize("row", rows("interchange"))
def test_every_row_of_the_interchange_table_mates(row):
    assert c.mates(row["canonical_thread"], row["same_thread_name"])
    assert row["same_thread_name"] in c.names_of(row["canonical_thread"])


def test_no_two_canonical_threads_mate():
    known = c.known()
    assert len(set(known)) == len(known)
    assert [(a, b) for a in known for b in known if a != b and c.mates(a, b)] == []


NM = 25_400_000
BTC7, BTC9 = (c.End("BTC", gender, size * NM // 8) for gender, size in (("pin", 56), ("box", 77)))


@pytest.mark.parametrize(
    "first, second, mate",
    [(c.End("NC50", "pin"), c.End("4-1/2 IF", "box"), True),
     (c.End("NC50", "pin"), c.End("5 XH", "pin"), False),
     (c.End("NC50", "box"), c.End("NC50", "box"), False), (c.End("NC50", "pin"), c.End("NC46", "box"), False),
     (c.End("NC50"), c.End("NC50", "pin"), True), ("4-1/2 REG", "4-1/2 FH", False),
     (BTC7, BTC9, False), (BTC7, c.End("Buttress", "box"), True),
     (c.End("LTC", "pin"), c.End("STC", "box"), False)],
)
def test_what_makes_up_with_what(first, second, mate):
    assert c.mates(first, second) is mate
    assert (c.why_not(first, second) == "") is mate


def test_a_gender_that_is_none_is_refused():
    with pytest.raises(ValueError, match="male"):
        c.mates(c.End("NC50", "male"), "NC50")


@pytest.mark.parametrize("typed, size", [("4 1/8 IF", "4-1/8"), ("4.25 IF", "4-1/4"), ("4¾ IF", "4-3/4"),
                                         ("4 7/8 IF", "4-7/8"), ("4.0 REG", "4")])
def test_a_size_is_read_exactly_also_where_no_thread_has_it(typed, size):
    with pytest.raises(ValueError, match=f"there is no {size} "):
        c.canonical(typed)


def test_the_refusal_of_a_joint_is_a_sentence():
    assert c.why_not("4 IF", "4-1/2 IF") == "NC46 does not make up with NC50."
    two_pins = c.why_not(c.End("NC50", "pin"), c.End("5 XH", "pin"))
    assert two_pins == "NC50 pin does not make up with another pin."
    sizes = c.why_not(BTC7, BTC9)
    assert sizes == "BTC makes up only in one size; the two ends are of different sizes."
