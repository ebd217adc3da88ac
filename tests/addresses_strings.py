"""The rows of strings in the table of addresses."""

from collections.abc import Callable

from tests.address import DO, LOOK, OWN, POST_ONLY, WORK, Address, Made, Post, text
from tests.rig import REPORT, Rig, report_digest


def string(name: str, rest: str = "") -> Callable[[Rig], str]:
    return lambda rig: f"/strings/{rig.strings[name].number}/{rest}"


def done(what: str, body: Made, answers: str = DO, on: str = "running") -> Post:
    """Something done on the page of a string."""
    return Post(what, body, answers, string(on, f"do/{what}/"))


HEADS = "403 302 302 403 404 302"


def _head(rig: Rig) -> dict[str, object]:
    return {"well": rig.well.pk, "stand_n": "3", "title": "another"}


def _line(rig: Rig) -> dict[str, object]:
    newest = rig.strings["running"].changes.order_by("-id").first()
    return {"line": newest.journal_id if newest else 0}


def _correction(rig: Rig) -> dict[str, object]:
    return {"length": "0.40", "way": "shallower", "reason": "strap out, tally 4"}


def run(rest: str = "", n: int = 1) -> Callable[[Rig], str]:
    return lambda rig: f"/runs/{rig.runs[n].pk}/{rest}"


def of_run(what: str, body: Made, answers: str = DO, n: int = 1) -> Post:
    """Something done on the page of a run."""
    return Post(what, body, answers, run(f"do/{what}/", n))


def report() -> Callable[[Rig], str]:
    """The report that waits for the run that is on."""
    return lambda rig: f"/runs/{rig.runs[1].pk}/report/{report_digest()}/"


def kept(rest: str = "") -> Callable[[Rig], str]:
    """A report that was accepted for the run that is on."""

    def at(rig: Rig) -> str:
        from tests.reports import kept_report

        return f"/runs/{rig.runs[1].pk}/reports/{kept_report(rig).pk}/{rest}"

    return at


def _new_run(rig: Rig) -> dict[str, object]:
    return {"string": rig.strings["empty"].pk, "bit_no": "9", "drill_pipe": "whole run"}


def _tour(rig: Rig) -> dict[str, object]:
    cells = ("17:00", "19:00", "4500", "4530", "2", "0", "2", "2", "2", "120")
    names = ("from", "to", "from_depth", "to_depth", "rotating", "sliding", "circulating", "bottom",
             "below_rotary", "rpm")  # fmt: skip
    typed = {f"{name}-0": cell for name, cell in zip(names, cells, strict=True)}
    return {"day": "2026-03-02", "reason": "as the sheet has it", **typed}


def _row(rows: str) -> Callable[[Rig], dict[str, object]]:
    """Takes back the first of the lines or of the events of the ended run."""
    return lambda rig: {"row": getattr(rig.runs[0], rows).order_by("id")[0].pk, "reason": "a slip"}


RUN_AREA = (
    Address("runs/", text("/runs/"), OWN),
    Address("runs/new/", text("/runs/new/"), "200 200 200 403 200 302", posts=(
        Post("begin", _new_run, "302 302 302 403 422 302"),)),
    Address("runs/limits/", text("/runs/limits/"), OWN, states=(
        text("/runs/limits/?kind=drill_pipe&clock=rotating_s"), text("/runs/limits/?kind=jar"),
        lambda rig: f"/runs/limits/?string={rig.strings['running'].number}")),
    Address("runs/limits.svg", text("/runs/limits.svg"), OWN, page=False),
    Address("runs/limits.pdf", text("/runs/limits.pdf"), OWN, page=False),
    Address("runs/totals/", text("/runs/totals/"), OWN, states=(
        text("/runs/totals/?by=spec"), text("/runs/totals/?by=delivery"), text("/runs/totals/?by=well"))),
    Address("runs/totals.<slug:form>", text("/runs/totals.xlsx"), OWN, page=False),
    Address("runs/<int:ident>/", run(), LOOK, states=(run(n=0),)),
    Address("runs/<int:ident>/do/<slug:what>/", run("do/lines/"), POST_ONLY, page=False, posts=(
        of_run("lines", _tour),
        of_run("again", lambda rig: {}),
        of_run("event", lambda rig: {"kind": "washout", "note": "at the shoe"}),
        of_run("line-back", _row("legs"), n=0),
        of_run("event-back", _row("events"), n=0),
        of_run("end-back", lambda rig: {"reason": "a slip"}, "422 422 422 403 404 302", n=0),
        of_run("end", lambda rig: {"reason": "not noted", "bit_type": "fixed cutter"}),
    )),
    Address("runs/<int:ident>/report/", run("report/"), WORK, posts=(
        Post("report", lambda rig: {"pasted": REPORT.decode()}, DO, writes=False),)),
    Address("runs/<int:ident>/report/<slug:digest>/", report(), WORK,
            states=(lambda rig: report()(rig) + "?row=1",), posts=(
        Post("choices", lambda rig: {"what": "choices", "unit": "ft"}, DO, writes=False),
        Post("row", lambda rig: {"what": "row", "row": "1", "date": "2026-03-02", "from": "17:00"}, DO,
             writes=False),
        Post("toggle", lambda rig: {"what": "toggle", "row": "2"}, DO, writes=False),
        Post("accept", lambda rig: {"what": "accept", "reason": "as the report has it"}, DO),)),
    Address("runs/<int:ident>/reports/<int:pk>/", kept(), LOOK),
    Address("runs/<int:ident>/reports/<int:pk>/file/", kept("file/"), LOOK, page=False),
    Address("runs/<int:ident>/hours.<slug:form>", run("hours.xlsx"), LOOK, page=False),
)  # fmt: skip


STRING_AREA = (
    *RUN_AREA,
    Address("strings/", text("/strings/"), OWN),
    Address("strings/new/", text("/strings/new/"), "403 200 200 403 200 302", posts=(
        Post("begin", _head, "403 302 302 403 422 302"),)),
    Address("strings/<int:number>/", string("running"), LOOK, states=(string("empty"),)),
    Address("strings/<int:number>/do/<slug:what>/", string("running", "do/join/"), POST_ONLY,
            page=False, posts=(
        done("join", lambda rig: {"way": "names", "names": rig.spare[0].tag}),
        done("back", lambda rig: {"count": "1", "side": "A", "row": "2"}),
        done("again", lambda rig: {"count": "3"}),
        done("down", lambda rig: {"count": "1", "place": rig.layer.pk + 1}),
        done("count", lambda rig: {"spec": rig.spare[0].spec_id, "count": "2"}),
        done("yes", lambda rig: {"code": "R01", "reason": "a short run"}, HEADS),
        done("swap", lambda rig: {"out": "KD6503", "new": "KD6508", "place": rig.layer.pk + 1}),
        done("stay", lambda rig: {"names": "KD6501", "state": "left_in_well", "reason": "twisted off"}),
        done("undo", _line),
        done("past", lambda rig: {"piece": rig.spare[0].tag, "reason": "x"}, "422 422 422 403 404 302"),
        done("comes", lambda rig: {"piece": rig.spare[0].tag}, "422 422 422 403 404 302"),
        done("head", _head, HEADS),
        done("end", lambda rig: {}, HEADS, on="empty"),
    )),
    Address("strings/<int:number>/rules/", string("running", "rules/"), LOOK),
    Address("strings/<int:number>/loads/", string("running", "loads/"), LOOK,
            states=(string("empty", "loads/"),)),
    Address("strings/<int:number>/driller/", string("running", "driller/"), LOOK,
            states=(string("empty", "driller/"),)),
    Address("strings/<int:number>/mousehole/", string("running", "mousehole/"), POST_ONLY, page=False,
            posts=(Post("make ready", lambda rig: {"piece": rig.spare[0].tag}, DO,
                        string("running", "mousehole/")),)),
    Address("strings/<int:number>/then/", string("running", "then/"), LOOK, states=(
        string("running", "then/?depth=4300"), string("running", "then/?at=2026-03-02T03:00"))),
    Address("strings/<int:number>/depths/", string("running", "depths/?driller=94.00"), LOOK),
    Address("strings/<int:number>/depths/correct/", string("running", "depths/correct/"), POST_ONLY,
            page=False, posts=(Post("correct", _correction, HEADS, string("running", "depths/correct/")),)),
    Address("strings/<int:number>/depths/strap-out/", string("running", "depths/strap-out/"), POST_ONLY,
            page=False, posts=(Post("open a strap out", lambda rig: {}, DO,
                                    string("running", "depths/strap-out/")),)),
    Address("strings/<int:number>/handover.pdf", string("running", "handover.pdf"), LOOK, page=False),
    Address("strings/<int:number>/handover.<slug:form>", string("running", "handover.xlsx"), LOOK,
            page=False),
)  # fmt: skip


def plan(rest: str = "") -> Callable[[Rig], str]:
    return lambda rig: f"/plans/{rig.plan.number}/{rest}"


def planned(what: str, body: Made, answers: str = HEADS) -> Post:
    """Something done on the page of a plan."""
    return Post(what, body, answers, plan(f"do/{what}/"))


def _lot(rig: Rig) -> str:
    return plan(f"pull/?lot={rig.spare[0].spec_id}&count=2&class_wanted=")(rig)


PLAN_HEAD = {"title": "next section", "class_wanted": "premium", "class_by": "default"}
PLAN_AREA = (
    Address("plans/", text("/plans/"), OWN),
    Address("plans/new/", text("/plans/new/"), "403 200 200 403 200 302", posts=(
        Post("begin", lambda rig: PLAN_HEAD, "403 302 302 403 302 302"),)),
    Address("plans/<int:number>/", plan(), LOOK),
    Address("plans/<int:number>/loads/", plan("loads/"), LOOK),
    Address("plans/<int:number>/pull/", plan("pull/"), "403 200 200 403 404 302", states=(_lot,), posts=(
        Post("take", lambda rig: {"lot": rig.spare[0].spec_id, "count": "1", "class_wanted": ""}, HEADS),)),
    Address("plans/<int:number>/picks.pdf", plan("picks.pdf"), LOOK, page=False),
    Address("plans/<int:number>/picks.<slug:form>", plan("picks.xlsx"), LOOK, page=False),
    Address("plans/<int:number>/do/<slug:what>/", plan("do/put/"), POST_ONLY, page=False, posts=(
        planned("put", lambda rig: {"way": "names", "names": rig.pieces[10].tag}),
        planned("count", lambda rig: {"spec": rig.spare[0].spec_id, "count": "2"}),
        planned("out", lambda rig: {"row": rig.plan.lines.from_the_bit()[0].pk}),
        planned("exchange", lambda rig: {"line": rig.plan.lines.from_the_bit()[0].pk,
                                         "piece": rig.pieces[11].tag}),
        planned("move", lambda rig: {"line": rig.plan.lines.from_the_bit()[0].pk, "way": "up"}),
        planned("head", lambda rig: PLAN_HEAD),
        planned("yes", lambda rig: {"code": "R01", "reason": "a short run"}),
        planned("end", lambda rig: {}),
    )),
)  # fmt: skip
