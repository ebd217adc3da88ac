"""An inspection report of an invented lot, clean as made; a test damages one cell and looks for its fault."""

import csv
import io

_HEADINGS = ("Jt No,Serial,Ptd No,Lgth ft,OD min,UT wall,% rem,EMI,Slip MT,Str,IPC,Defect,Cl,"
             "OD,Shldr,C'bore,Tong,HB,Seal,Thd,Cond,OD,ID,Lead .001,Tong,Seal,Thd,Cond,"
             "Class,Bands,Stencil,Remarks")
HEADINGS = _HEADINGS.split(",")
#: Column by a short name: the tube, then b_ for the box and p_ for the pin.
NAMES = ("jt", "serial", "painted", "length", "od", "wall", "rem", "emi", "slip", "str", "ipc", "defect",
         "cl",
         "b_od", "b_shldr", "b_cbore", "b_tong", "b_hb", "b_seal", "b_thd", "b_cond", "p_od", "p_id",
         "p_lead",
         "p_tong", "p_seal", "p_thd", "p_cond", "class", "bands", "stencil", "remarks")  # fmt: skip
GROUPS = {4: "TUBE", 13: "BOX", 21: "PIN", 28: "JOINT"}
HEAD = [
    ["NORTHGATE GAUGING (invented)", "", "", "", "USED DRILL PIPE INSPECTION REPORT"],
    ["Report No.", "NG-26-7", "", "Place", "Yard 2"],
    ["Date started", "12-Mar-26", "", "Date finished", "13-Mar-26", "", "Inspectors",
     "A. Berg, Level II to 11-2027; L. Moe, Level II to 04-2027"],
    ["Pipe", '5" 19.50# S-135 Range 2', "", "Connection", "NC50", "", "Tool joint new", "6 5/8 x 2 3/4"],
    ["Scope",
     "Visual tube and connections, OD gauge full length, UT wall, EMI tube, wet MT slip and upset both "
     "ends, tool joint dimensions"],
    ["Acceptance", "API RP 7G-2:2009, Premium"],
    ["Equipment", "UT gauge 7 cal. due 28-Aug-26", "", "Yoke Y-3 cal. due 30-Jun-26"], [],
]  # fmt: skip


def joint(number, **more):
    """One sound row; `more` replaces cells by name."""
    wall = 330 + number % 9
    row = {
        "jt": str(number), "serial": f"KD{4200 + number}", "painted": str(number),
        "length": f"31.{10 + number:02d}",
        "od": "4.971", "wall": f"0.{wall}", "rem": str(round(wall / 3.62)), "emi": "OK", "slip": "OK",
        "str": "OK",
        "ipc": "1", "defect": "", "cl": "P", "b_od": "6 1/2", "b_shldr": "33/64", "b_cbore": "5.321",
        "b_tong": "8.5",
        "b_hb": "flush", "b_seal": "OK", "b_thd": "OK", "b_cond": "OK", "p_od": "6 1/2", "p_id": "2 3/4",
        "p_lead": "1", "p_tong": "6", "p_seal": "OK", "p_thd": "OK", "p_cond": "OK", "class": "P",
        "bands": "2W",
        "stencil": f"3 6 E . {number}", "remarks": "",
    }  # fmt: skip
    return {**row, **more}


def as_csv(joints, head=None, foot=(), headings=None):
    """The report as the bytes of a CSV."""
    groups = [GROUPS.get(at, "") for at in range(len(HEADINGS))]
    rows = [*(HEAD if head is None else head), groups, headings or HEADINGS,
            *([one[name] for name in NAMES] for one in joints), [], *foot]
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows(rows)
    return out.getvalue().encode()


def lot(count=12, **damaged):
    """`count` sound rows; `damaged` maps "n5" to the cells that replace those of joint 5."""
    return [joint(number, **damaged.get(f"n{number}", {})) for number in range(1, count + 1)]


def foot_for(joints, **more):
    """A foot that is right, with `more` counts replaced."""
    counts = {"Inspected": len(joints), "Premium": sum(one["class"] == "P" for one in joints),
              "Class 2": sum(one["class"] == "2" for one in joints), "Bent": 0, "DBR": 0, "RF": 0, "RC": 0,
              **more}
    cells = [str(cell) for pair in counts.items() for cell in pair]
    return [cells, ["Signed", "A. Berg"], ["Joints listed only"]]


def accepted(rig):
    """A report of two joints of the rig that was accepted: another file than the one that waits."""
    from inspection.actions.reports import accept
    from inspection.models import AcceptedReport
    from inspection.views.report_incoming import Incoming
    from inspection.views.report_reading import plan_of, preview_of
    from rack.actions.files import keep_bytes
    from tests import stock
    from tests.rig import INSPECTED

    there = AcceptedReport.objects.at(rig.site).first()
    if there:
        return there
    incoming = Incoming(keep_bytes(INSPECTED + b"\r\n"), "northgate_25.csv", "text/plain")
    plan = plan_of(incoming, preview_of(incoming, rig.site))
    return accept(stock.asks(rig.who["supervisor"]), rig.site, plan, "for a test")
