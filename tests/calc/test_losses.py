"""What comes off a length: a pin taken off twice, or not at all, puts the bit at the wrong depth."""

from decimal import Decimal

import pytest

from rack.calc import losses
from rack.calc.lengths import Length
from rack.calc.lookup import Catalogue, number, rows
from rack.calc.specs import SpecFacts

NM = 25_400_000


def _inches(text):
    return Length(int(number(text) * NM))


def _coupled(product, size, thread, weight=None):
    return losses.make_up_loss(kind_family="coupled", product=product, size=size, thread=thread,
                               weight=weight)


@pytest.mark.parametrize("row", rows("makeup_loss"))
def test_every_printed_loss_is_half_the_coupling_less_the_gap(row):
    weight = row["weight_lb_ft"] if row["weight_lb_ft"][0].isdigit() else "99"
    found = _coupled(row["product"], row["size_in"], row["thread"], weight)
    assert found.row == row
    printed = Decimal(row["makeup_loss_in"])  # printed to 0.0001 in, 1.09375 as 1.0938
    assert abs(Decimal(found.length.nanometres) / NM - printed) <= Decimal("0.00005")
    assert found.source.endswith(row["source"])
    assert found.conf == row["conf"]


@pytest.mark.parametrize(
    "product, size, thread, weight, overall_ft, printed",
    [("casing", "7", "LTC", 29, "40.00", "39.667"), ("casing", "9-5/8", "BTC", 47, "40.00", "39.599"),
     ("tubing", "2-7/8", "EUE", "6.5", "31.00", "30.823")],
)
def test_the_checks_worked_out_from_the_tables_hold(product, size, thread, weight, overall_ft, printed):
    loss = _coupled(product, size, thread, weight)
    assert (Length.parse(overall_ft) - loss.length).shown("ft", 3) == printed


def test_a_joint_of_nc50_loses_four_and_a_half_inches_and_says_that_it_is_nominal():
    loss = losses.make_up_loss(kind_family="shouldered", thread="5 XH")
    assert (Length.parse("31.875") - loss.length).shown("ft", 3) == "31.500"
    assert loss.mark == "nominal, ±1/8 in"


def test_a_pin_from_memory_says_so_too():
    loss = losses.make_up_loss(kind_family="shouldered", thread="5-1/2 IF")
    assert loss.mark == "nominal, ±1/8 in; from memory: verify against your standard"


@pytest.mark.parametrize("thread", ["5 H-90", "3-1/2 XH", "NC10"])
def test_a_thread_without_a_pin_length_loses_an_unknown_amount_not_none(thread):
    assert losses.make_up_loss(kind_family="shouldered", thread=thread) is None


@pytest.mark.parametrize(
    "size, weight, inches",
    [("7", 17, "2-3/8"), ("7", "17.00", "2-3/8"), ("7", "17.05", "2-3/8"), ("7", 20, "3-1/8"),
     ("7", None, None),
     ("7", "", None), ("7", 0, None), ("7", "17.1", "2-3/8"), ("7", "17.11", "3-1/8"), ("7", "16.9", "2-3/8"),
     ("7", "16.89", "3-1/8"), ("10-3/4", "32.75", "2-3/4"), ("10-3/4", "40.5", "3-1/2"),
     ("11-3/4", None, "3-1/2")],
)
def test_the_lightest_weights_have_a_short_thread(size, weight, inches):
    found = _coupled("casing", size, "STC", weight)
    assert (found and found.length) == (_inches(inches) if inches else None)


@pytest.mark.parametrize("size",
                         ["9-5/8", "9 5/8", '9 5/8"', "9.625", "9,625 in", Length.parse("244.5", "mm"),
                                  Length.parse("9.625", "in")])
def test_a_size_is_read_as_people_write_it(size):
    assert _coupled("casing", size, "Buttress").length == _inches("4.8125")


@pytest.mark.parametrize("product, size, thread", [("casing", "9-3/4", "BTC"), ("tubing", "7", "EUE"),
                                                   ("casing", "2-7/8", "EUE"),
                                                   ("casing", "", "BTC")])
def test_what_is_not_in_the_table_is_not_known(product, size, thread):
    assert _coupled(product, size, thread) is None


@pytest.mark.parametrize(
    "more, named",
    [({"kind_family": "welded", "thread": "BTC"}, "kind_family"),
     ({"kind_family": "shouldered", "thread": "BTC"}, "BTC"),
     ({"kind_family": "coupled", "thread": "NC50"}, "NC50"),
     ({"kind_family": "coupled", "thread": "XT57"}, "XT57"),
     ({"kind_family": "coupled", "thread": "BTC", "size": "about 7"}, "about 7"),
     ({"kind_family": "coupled", "thread": "BTC", "size": "-7"}, "size"),
     ({"kind_family": "coupled", "thread": "BTC", "size": "7", "weight": "heavy"}, "weight"),
     ({"kind_family": "coupled", "thread": "BTC", "size": "7", "weight": "NaN"}, "weight"),
     ({"kind_family": "coupled", "thread": "BTC", "size": "7", "weight": -1}, "weight"),
     ({"kind_family": "coupled", "thread": "BTC", "size": "7", "weight": True}, "weight")],
)
def test_what_cannot_be_right_is_refused_and_named(more, named):
    with pytest.raises(ValueError, match=named):
        losses.make_up_loss(**more)


PIPE = SpecFacts("drill_pipe", up_conn="NC50", down_conn="NC50")
CASING = SpecFacts("casing", od_nm=NM * 77 // 8, down_conn="BTC")
TUBING = SpecFacts("casing", od_nm=NM * 23 // 8, down_conn="EUE")


@pytest.mark.parametrize("kind", ["pins off", "threads off"])
@pytest.mark.parametrize("spec", [PIPE, CASING, SpecFacts("sub")])
def test_a_length_to_the_shoulder_or_the_mark_loses_nothing(kind, spec):
    assert losses.for_line(kind, spec).length == Length(0)
    assert losses.for_line(kind, spec, measured_pin=Length(5)).length == Length(0)


@pytest.mark.parametrize(
    "kind, spec, inches",
    [("threads on", CASING, "4.8125"), ("threads on", TUBING, "2.125"), ("threads on", PIPE, "4.5"),
     ("overall, tool", PIPE, "4.5"),
     ("overall, tool", SpecFacts("collar", up_conn="NC50", down_conn="4-1/2 REG"), "4.25"),
     ("overall, tool", SpecFacts("bit", up_conn="6-5/8 REG"), "5"),
     ("overall, tool", SpecFacts("bit", down_conn="6-5/8 REG"), "5"),
     ("overall, tool", SpecFacts("bit", up_conn="4-1/2 REG", up_gender="box"), "0"),
     ("overall, tool", SpecFacts("sub", up_conn="NC50", up_gender="box", down_conn="NC46", down_gender="box"),
      "0"),
     ("overall, tool", SpecFacts("sub", up_conn="NC50", up_gender="pin", down_conn="6-5/8 REG",
                                 down_gender="pin"),
      "9.5"),
     ("overall, tool", SpecFacts("jar", up_conn="NC50", down_conn="NC50", pin_nm=4 * NM), "4")],
)
def test_what_comes_off_depends_on_how_it_was_measured_and_on_the_ends(kind, spec, inches):
    assert losses.for_line(kind, spec).length == Length(int(Decimal(inches) * NM))


def test_a_measured_pin_comes_before_the_specification_and_the_table():
    pin = Length.parse("4-7/16", "in")
    for spec in (PIPE, SpecFacts("jar", up_conn="NC50", down_conn="NC50", pin_nm=4 * NM)):
        found = losses.for_line("overall, tool", spec, measured_pin=pin)
        assert (found.length, found.mark) == (pin, "")


def test_one_measured_pin_does_not_answer_for_two():
    sub = SpecFacts("sub", up_conn="NC50", up_gender="pin", down_conn="NC50", down_gender="pin")
    assert losses.for_line("overall, tool", sub, measured_pin=Length.parse("4", "in")).length == _inches("9")


@pytest.mark.parametrize(
    "kind, spec",
    [("threads on", SpecFacts("casing", od_nm=7 * NM)), ("threads on", SpecFacts("casing", down_conn="BTC")),
     ("threads on", SpecFacts("casing", od_nm=7 * NM, down_conn="STC")),
     ("threads on", SpecFacts("casing", od_nm=7 * NM, down_conn="no such thread")),
     ("overall, tool", SpecFacts("sub", up_conn="NC50", down_conn="NC50")),
     ("overall, tool", SpecFacts("drill_pipe", down_conn="XT57")), ("overall, tool", SpecFacts("drill_pipe")),
     ("overall, tool", SpecFacts("sub", up_conn="NC50", up_gender="pin", down_conn="QX", down_gender="pin"))],
)
def test_what_nobody_knows_is_none_and_not_zero(kind, spec):
    assert losses.for_line(kind, spec) is None


def test_the_weight_of_the_specification_finds_the_short_thread():
    spec = SpecFacts("casing", od_nm=7 * NM, down_conn="STC", weight_mlb_ft=17_000)
    assert losses.for_line("threads on", spec).length == _inches("2.375")


@pytest.mark.parametrize("kind", ["pins on", "", "overall"])
def test_an_unknown_kind_of_length_is_refused(kind):
    with pytest.raises(ValueError, match="length_kind"):
        losses.for_line(kind, PIPE)


def test_a_pin_less_than_nothing_is_refused():
    with pytest.raises(ValueError, match="measured_pin"):
        losses.for_line("overall, tool", PIPE, measured_pin=Length(-1))


def _own(table, **cells):
    return {**dict.fromkeys(rows(table)[0], ""), "source": "maker's sheet 3", **cells}


MAKERS = Catalogue({
    "makeup_loss": [_own("makeup_loss", product="casing", size_in="9-5/8", thread="Vex Top",
                         weight_lb_ft="all",
                         coupling_length_NL_in="11", J_power_tight_in="0.5")],
    "connections": [_own("connections", name="QX 57", pin_length_LPC_in="5.25")],
})


def test_the_office_can_bring_a_makers_coupling():
    spec = SpecFacts("casing", od_nm=NM * 77 // 8, down_conn="VEX TOP")
    found = losses.for_line("threads on", spec, catalogue=MAKERS)
    assert (found.length, found.conf, found.mark) == (_inches("5"), "E", "")
    assert losses.for_line("threads on", spec) is None


def test_the_office_can_bring_a_makers_pin():
    spec = SpecFacts("drill_pipe", down_conn="qx 57")
    assert losses.for_line("overall, tool", spec, catalogue=MAKERS).length == _inches("5.25")
    assert losses.for_line("overall, tool", spec) is None
