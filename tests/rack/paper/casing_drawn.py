"""An invented casing plan for the tests of paper."""

from rack.calc.casing_content import CasingContent, CasingRow, check
from rack.calc.casing_tally import lay_out
from rack.calc.lengths import Length

FT = 304_800_000


def row(kind: str, name: str, feet: float, role: str = "run", reason: str = "") -> CasingRow:
    """One item; what is run is drifted, and the shoe track is locked."""
    run = role == "run"
    return CasingRow(
        kind, name, f"9-5/8 in {kind}", f"CS{name}", role, round(feet * 100) * FT // 100, 4 * FT // 10, 1, 0,
        reason, False, kind != "joint", run, run, "2 x bow" if name == "2" else "", 2 if name == "2" else 0,
        "couplings measured", name if kind == "joint" else "",
    )  # fmt: skip


def plan() -> CasingContent:
    """A shoe, forty joints and a hanger; one joint spare and one left out."""
    rows = (
        row("shoe", "FS", 1.85), *(row("joint", str(n), 39 + n / 100) for n in range(1, 41)),
        row("joint", "41", 39.5, "spare"), row("joint", "42", 39.6, "out", "thread damaged"),
        row("hanger", "HGR", 1.2),
    )  # fmt: skip
    shoulder = 24 * FT
    layout = lay_out([one.item() for one in rows], Length(shoulder))
    made = CasingContent(
        site_code="SH3", site_name="Sandholm 3", tally_no=7, tally_title="9-5/8 in casing", tally_revision=1,
        length_kind="threads on", string="9-5/8 in casing", well="SD-14", datum="RKB", shoulder_nm=shoulder,
        measured="measured 2026-10-30", hole_nm=None, off_bottom_nm=None, track_n=None, unit="ft", digits=2,
        hands=("Ada Fenn reads, Ola Brandt writes",), printed_at="2026-11-02T14:20+01:00",
        printed_by="Ola Brandt", revision=1, code="K7Q2M9A", received=42, rows=rows,
        total_nm=layout.total.nanometres, shoe_nm=layout.shoe.nanometres if layout.shoe else None,
        to_run=40, spare=1, left_out=1, on_rack=("41", "42"),
    )  # fmt: skip
    assert not check(made)
    return made
