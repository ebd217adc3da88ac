"""A whole invented rig for tests that walk every address: people, pieces, tallies in each state."""

import hashlib
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from typing import Any

from django.apps import apps
from django.contrib.auth.models import User

from rack.actions import (
    casing_printing,
    closing,
    doing,
    happenings,
    loads,
    pencil,
    pieces,
    plans,
    receiving,
    reference,
    running,
    sections,
    stands,
    straps,
    strings,
    tallies,
    wells,
)
from rack.actions.files import keep_bytes
from rack.actions.string_printing import print_bha
from rack.calc.daily import Choices
from rack.calc.lengths import Length
from rack.calc.sections import SectionFacts
from rack.exchange.delivery import read_delivery
from rack.models import (
    CasingSheet,
    Component,
    Delivery,
    Hold,
    LoadOut,
    LoadSheet,
    OfficeRow,
    PencilPhoto,
    Place,
    Plan,
    Post,
    Run,
    Sheet,
    Site,
    Stand,
    Strap,
    String,
    StringSheet,
    Tally,
    Well,
)
from tests import stock
from tests.laid_down import laid_down
from tests.runs import two_runs

LIST_NAME = "gantry_42.csv"
LIST = (
    b"Serial;Painted;Item;Length ft\r\n"
    b"KD7001;1;5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe;31.02\r\n"
    b"KD7002;2;5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe;30.97\r\n"
    b"KD7003;3;5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe;31.15\r\n"
)
REPORT_NAME = "tern_2026-03-02.csv"
REPORT = (
    b"Date;From;To;Depth ft;Activity;Remark\r\n"
    b"2026-03-02;17:00;19:30;4560;drilling -- drill;Drilled from 4500 ft to 4560 ft. String RPM 120.\r\n"
    b"2026-03-02;19:30;20:00;4560;drilling -- drill;Circulated bottoms up at 450 gpm.\r\n"
    b"2026-03-02;20:00;24:00;1200;drilling -- drill;POOH to 1200 ft.\r\n"
)
#: What an inspection company wrote of two pieces of the rig.
INSPECTED = (
    b"NORTHGATE GAUGING\r\nReport No.,NG-26-7\r\nDate started,2026-03-12,Date finished,2026-03-13\r\n"
    b"Inspectors,\"A. Berg, Level II to 11-2036\"\r\nPipe,\"5\"\" 19.50# S-135 Range 2\",Connection,NC50\r\n"
    b"Scope,\"Visual tube and connections, UT wall\"\r\nAcceptance,\"API RP 7G-2:2009, Premium\"\r\n"
    b"Jt No,Serial,UT wall,Cl,Class,Remarks\r\n"
    b"1,KD4103,0.339,P,P,\r\n2,KD4104,0.336,P,P,\r\n"
)
#: Begins as a picture does; nothing looks further.
PHOTO = b"\x89PNG\r\n\x1a\n an invented photograph"


@dataclass
class Rig:
    """Everything that a row of the address table needs to name."""

    site: Site
    other: Site
    who: dict[str, User | None]
    layer: Place
    pieces: list[Component]
    hold: Hold
    delivery: Delivery
    waiting: str
    sheets: list[Sheet]
    photo: PencilPhoto
    added: OfficeRow
    everywhere: User
    jar: Component
    well: Well
    stand: Stand
    runs: tuple[Run, Run] = ()  # type: ignore[assignment]
    bha: StringSheet = None  # type: ignore[assignment]
    plan: Plan = None  # type: ignore[assignment]
    spare: list[Component] = field(default_factory=list)
    plans: list[CasingSheet] = field(default_factory=list)
    tallies: dict[str, Tally] = field(default_factory=dict)
    loads: dict[str, LoadOut] = field(default_factory=dict)
    strings: dict[str, String] = field(default_factory=dict)
    #: tests.rig_inspection.Inspected, where inspection is installed.
    inspected: Any = None

    def list_of(self, load: str) -> LoadSheet:
        return LoadSheet.objects.standing().get(loadout=self.loads[load])

    def post_of(self, role: str) -> Post:
        return Post.objects.get(user=self.who[role], site=self.site)

    def reading(self, tally: str) -> Strap:
        """The first reading of a tally that stands."""
        rows = Strap.objects.standing().filter(line__tally=self.tallies[tally], strap_n=1)
        return rows.order_by("line__rank").first()


def build() -> Rig:
    """The rig, built by the actions the first time and laid down as the same rows after that."""
    return laid_down("rig", _build)  # type: ignore[no-any-return]


def _build() -> Rig:
    site, other = stock.site(), stock.site("KV1")
    who: dict[str, User | None] = {role: stock.person(role, role, site) for role in
                                   ("crew", "supervisor", "office", "viewer")}
    who["stranger"], who["nobody"] = stock.person("stranger", "office", other), None
    layer = stock.rack(site)
    stock.rack(other, "K1")
    lengths = [f"{30.8 + (7 * n % 13) / 20:.2f}" for n in range(24)]
    made = stock.pieces(layer, 24, lengths=lengths, word_of="the owner's book")
    hold = pieces.put_hold(stock.asks(who["crew"]), made[2], "slip cut, wants a look", photo=PHOTO)
    # Office of every site and supervisor of this one: sees every page and all that can be done there.
    everywhere = stock.person("everywhere", "office", everywhere=True)
    Post.objects.create(user=everywhere, site=site, role="supervisor")
    row = {"grade": "Z1", "min_yield_psi": "150000"}
    rig = Rig(
        site=site, other=other, who=who, layer=layer, pieces=made, hold=hold,
        delivery=_receive(who["office"], layer), waiting=keep_list(b"KD7101;9;"), sheets=[],
        photo=None,  # type: ignore[arg-type]
        added=reference.add_row(stock.asks(everywhere), "grades", row, "a maker's sheet"),
        everywhere=everywhere,
        jar=stock.pieces(layer, 1, facts=stock.JAR, first=8001)[0], well=_well(who["office"], site),
        stand=None,  # type: ignore[arg-type]
    )
    _tallies(rig)
    _casing(rig)
    _loads(rig)
    _strings(rig)
    if apps.is_installed("inspection"):
        from tests.rig_inspection import inspect

        rig.inspected = inspect(rig)
    return rig


def _loads(rig: Rig) -> None:
    """One load open, one on its way outside, one coming from the other site, one taken back there."""
    ines, stranger = rig.who["office"], rig.who["stranger"]
    outside = loads.LoadHead("return", to="Gantry Lending, quay 4", carrier="M/V Invented")
    more = stock.pieces(rig.layer, 6, first=5101)
    for _ in range(2):  # so that no load bears a number that the stranger's own loads have
        stock.load(ines, rig.site, [], head=outside)
    rig.loads["open"] = stock.load(ines, rig.site, more[:2], head=outside)
    rig.loads["sent"] = stock.load(ines, rig.site, more[2:4], head=outside, sent=True)
    theirs = stock.pieces(Place.objects.get(site=rig.other, path="K1/1"), 4, first=6101)
    here = loads.LoadHead("site", to_site=rig.site)
    rig.loads["coming"] = stock.load(stranger, rig.other, theirs[:2], head=here, sent=True)
    rig.loads["elsewhere"] = stock.load(stranger, rig.other, theirs[2:], head=outside, sent=True)


def _strings(rig: Rig) -> None:
    """One string that runs, a stand of it in the derrick, some of it by count; one that is empty."""
    crew, ola = rig.who["crew"], rig.who["supervisor"]
    on = stock.pieces(rig.layer, 8, first=6501, lengths=[f"{31 + n / 50:.2f}" for n in range(8)])
    section = sections.add_section(stock.asks(ola), rig.well, SectionFacts(
        "8-1/2 in", 215_900_000, stock.feet("9000"), 10_200, "9-5/8 in 47 lb/ft", stock.feet("4200"),
        216_535_000,
    ))  # fmt: skip
    head = plans.PlanHead("8-1/2 in string", rig.well, section)
    puts = [plans.Put(piece) for piece in rig.pieces[6:10]]
    rig.plan = plans.begin_plan(stock.asks(ola), rig.site, head, puts)
    for name, title in (("running", "8-1/2 in section"), ("empty", "next one")):
        head = strings.StringHead(rig.well, section, title=title)
        rig.strings[name] = strings.begin_string(stock.asks(ola), rig.site, head)
    before = doing.Said(datetime(2026, 3, 1, tzinfo=UTC))
    running.join(stock.asks(crew), rig.strings["running"], on[:6], before)
    rig.bha = print_bha(stock.asks(ola), rig.strings["running"])
    running.rack_back(stock.asks(crew), rig.strings["running"], on[3:6], "A", 1)
    rig.spare = on[6:]
    happenings.add_dogleg(stock.asks(crew), rig.well, stock.feet("4150"), stock.feet("4300"), 3_250, "KOP")
    rig.runs = two_runs(crew, rig.strings["running"])


def _well(user: User | None, site: Site) -> Well:
    facts = wells.WellFacts("Sandholm A-1", "4", date(2026, 3, 1))
    well = wells.add_well(stock.asks(user), site, facts)
    measured = wells.Measured("RKB", Length.parse("84 ft"), "sea", date(2026, 3, 2), "Ola Brandt",
                              Length.parse("231 ft"), Length.parse("312.55 ft"))  # fmt: skip
    wells.measure_datum(stock.asks(user), well, measured)
    return well


def keep_list(mark: bytes) -> str:
    """A list that waits to be accepted; each mark makes a file of its own."""
    return keep_bytes(_list(mark))


def _list(mark: bytes) -> bytes:
    return LIST + mark + b"5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe;31.15\r\n"


def rig_report() -> dict[str, dict[str, str]]:
    """An inspection company's report of two pieces of the rig, as choosing its file keeps it."""
    digest = keep_bytes(INSPECTED)
    return {digest: {"digest": digest, "name": "northgate_26.csv", "media": "text/plain"}}


def waits(client: Any, rig: Rig, digest: str = "") -> None:
    """Put the waiting list and the waiting report into the session of a client, as choosing them does."""
    session = client.session
    facts = {"digest": digest or rig.waiting, "name": "gantry_43.csv", "media": "text/csv",
             "place": rig.layer.pk, "sender": "Gantry Lending", "owner": "", "left_out": []}
    session["incoming"] = {facts["digest"]: facts}
    report = {"digest": keep_bytes(REPORT), "name": REPORT_NAME, "media": "text/csv",
              "choices": Choices().to_text()}  # fmt: skip
    session["reports"] = {f"{rig.runs[1].pk}:{report['digest']}": report}
    session["inspection_reports"] = rig_report()
    session["site"] = rig.site.pk
    session.save()


def report_digest() -> str:
    return hashlib.sha256(REPORT).hexdigest()


def _receive(user: User | None, layer: Place) -> Delivery:
    keep_bytes(LIST)
    read = read_delivery(LIST, LIST_NAME, length_kind="pins off")
    receipt = receiving.Receipt(place=layer, file_name=LIST_NAME, media="text/csv", confirmed=True)
    return receiving.accept(stock.asks(user), read, receipt)


def _tallies(rig: Rig) -> None:
    """Tally 1 closed twice, 2 with two straps, 3 blind, 4 open and half read, 5 with a waiting question."""
    crew, ola = rig.who["crew"], rig.who["supervisor"]
    names = {"closed": rig.pieces[:6], "both": rig.pieces[6:12], "blind": rig.pieces[12:15],
             "open": rig.pieces[15:18], "asking": rig.pieces[18:24]}
    for name, on in names.items():
        rig.tallies[name] = stock.tally(crew, rig.site, on, title=f"the {name} one")
    closed = rig.tallies["closed"]
    _read(crew, closed, 1)
    rig.sheets.append(closing.close(stock.asks(ola), closed))
    closing.revise(stock.asks(ola), closed, "the owner wants it in the other order")
    rig.sheets.append(closing.close(stock.asks(ola), closed))
    _read(crew, rig.tallies["both"], 1)
    _second(crew, rig.tallies["both"])
    _read(crew, rig.tallies["both"], 2, slip=True)
    straps.finish_strap(stock.asks(crew), rig.tallies["both"], 2)
    _read(crew, rig.tallies["blind"], 1)
    _second(crew, rig.tallies["blind"])
    first = rig.tallies["open"].lines.in_order()[0]
    straps.read(stock.asks(crew), straps.Reading(rig.tallies["open"], "31.20", 1, first))
    rig.photo = pencil.keep_photo(stock.asks(crew), rig.tallies["open"], 1, PHOTO, "sheet.png")
    tallies.add_numbers(stock.asks(crew), rig.tallies["open"], "X1", 2)
    _read(crew, rig.tallies["asking"], 1, odd=5)
    out = stock.tally(crew, rig.site, rig.pieces[6:12], title="the way out", purpose="strap out")
    rig.tallies["out"] = out
    rig.stand = stands.read_stand(stock.asks(crew), out, "4-6", "94.60")


def _casing(rig: Rig) -> None:
    """A casing tally of eight joints with its plan printed twice, and one whose second strap is open."""
    crew, ola = rig.who["crew"], rig.who["supervisor"]
    joints = stock.pieces(rig.layer, 11, facts=stock.CASING, first=5201)
    one = stock.tally(crew, rig.site, joints[:8], kind="threads on", title="9-5/8 in casing")
    shut = stock.tally(crew, rig.site, joints[8:], kind="threads on", title="casing strapped twice")
    rig.tallies |= {"casing": one, "shut casing": shut}
    for n, line in enumerate(one.lines.in_order()):
        straps.read(stock.asks(crew), straps.Reading(one, f"39.{10 + 3 * n}", 1, line))
    stock.casing_plan(crew, one)
    rig.plans = [casing_printing.print_plan(stock.asks(ola), one.casing, reason="walked by a test")
                 for _ in range(2)]
    for n, line in enumerate(shut.lines.in_order()):
        straps.read(stock.asks(crew), straps.Reading(shut, f"39.{40 + n}", 1, line))
    stock.casing_plan(crew, shut)
    rig.plans.append(casing_printing.print_plan(stock.asks(ola), shut.casing, reason="walked by a test"))
    _second(crew, shut)


def _second(user: User | None, tally: Tally) -> None:
    straps.begin_strap(stock.asks(user), tally, 2, "T-11", "Bo", "Cy")


def _read(user: User | None, tally: Tally, strap_n: int, *, slip: bool = False, odd: int = -1) -> None:
    for n, line in enumerate(tally.lines.in_order()):
        typed = "31.62" if slip and n == 2 else "61.20" if n == odd else f"31.{10 + 3 * n}"
        straps.read(stock.asks(user), straps.Reading(tally, typed, strap_n, line))
