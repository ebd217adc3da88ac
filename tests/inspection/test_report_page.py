"""The page that takes an inspection company's report: read, tied, put right, accepted once."""

import uuid
from datetime import date

import pytest

from inspection.models import AcceptedReport, Inspection, Inspector, RememberedReport
from rack.models import Component, Consent, Journal
from tests import stock
from tests.inspection.pieces import pipe
from tests.inspection.reporting import choose, page, send, whole
from tests.inspection.reports import HEAD, HEADINGS, as_csv, foot_for, joint, lot


@pytest.fixture
def joints(layer):
    made = stock.pieces(layer, 12, facts=pipe(), first=4201)
    Component.objects.filter(pk__in=[one.pk for one in made]).update(received_on=date(2026, 1, 5))
    return made


@pytest.fixture
def desk(client, ola):
    client.force_login(ola, backend="django.contrib.auth.backends.ModelBackend")
    return client


def test_a_sound_report_is_tied_to_its_lot_without_a_question_and_recorded(desk, joints):
    at = choose(desk, whole())
    shown = page(desk, at)
    assert "ASKS" not in shown and "STOPS" not in shown, shown
    assert "Accept 12 rows" in shown and "as full inspections on 2026-03-13" in shown
    answer = send(desk, at, "accept")
    assert answer.status_code == 302
    rows = Inspection.objects.all()
    assert {row.component.serial for row in rows} == {f"KD{4200 + n}" for n in range(1, 13)}
    assert {(row.class_held, row.on, row.company) for row in rows} == {
        ("Premium", date(2026, 3, 13), "NORTHGATE GAUGING (invented)")}
    assert {row.report.sha256 for row in rows} == {at.split("/")[-2]}
    assert {row.inspector.name for row in rows} == {"A. Berg"}
    assert set(Inspector.objects.values_list("name", flat=True)) == {"A. Berg", "L. Moe"}
    assert "KD4212" in page(desk, answer["Location"])


def test_the_preview_stores_nothing_and_is_the_same_each_time(desk, joints):
    at = choose(desk, whole(n5={"serial": "KD42O5"}, n7={"wall": "0.280", "rem": "77"}))
    lines = Journal.objects.count()
    first, again = (desk.get(at).context["preview"] for _ in "12")
    assert first == again
    assert Journal.objects.count() == lines and not Inspection.objects.exists()


def test_the_same_accept_twice_stores_each_row_once(desk, joints):
    at, key = choose(desk, whole()), str(uuid.uuid4())
    first, second = (send(desk, at, "accept", key=key) for _ in "12")
    assert first["Location"] == second["Location"]
    assert Inspection.objects.count() == 12 and AcceptedReport.objects.count() == 1


def test_another_page_accepting_the_same_report_records_nothing_again(desk, joints):
    at = choose(desk, whole())
    send(desk, at, "accept")
    assert "recorded already" in page(desk, at)
    assert send(desk, at, "accept").status_code == 422
    assert Inspection.objects.count() == 12


def test_what_was_broken_off_is_recorded_by_the_same_key(desk, joints, monkeypatch):
    from inspection.actions import reports as actions

    monkeypatch.setattr(actions, "BATCH", 5)
    at, key, real, calls = choose(desk, whole()), str(uuid.uuid4()), actions.record, []

    def breaks(*given, **more):
        calls.append(1)
        if len(calls) == 2:
            raise KeyboardInterrupt
        return real(*given, **more)

    monkeypatch.setattr(actions, "record", breaks)
    with pytest.raises(KeyboardInterrupt):
        send(desk, at, "accept", key=key)
    assert Inspection.objects.count() == 5
    answer = send(desk, at, "accept", key=key)
    assert answer.status_code == 302
    assert Inspection.objects.count() == 12
    assert sorted(Inspection.objects.values_list("component__serial", flat=True)) == [
        f"KD{4200 + n}" for n in range(1, 13)]


def test_a_question_wants_a_reason_and_the_reason_is_kept(desk, joints):
    at = choose(desk, whole(n7={"wall": "0.280", "rem": "77"}))
    assert "classed Premium;" in page(desk, at) and "allow Class 2" in page(desk, at)
    assert "falls" not in page(desk, at)  # the register holds no class before
    refused = send(desk, at, "accept")
    assert refused.status_code == 422 and not Inspection.objects.exists()
    send(desk, at, "accept", reason="the company will correct it")
    assert Inspection.objects.get(component__serial="KD4207").class_held == "Class 2"
    assert "the company will correct it" in Consent.objects.values_list("reason", flat=True)


def test_a_crack_that_is_classed_premium_is_recorded_as_scrap_and_held(desk, joints):
    at = choose(desk, whole(n7={"slip": "crack 1/2 in"}))
    assert "cracked and classed P" in page(desk, at)
    answer = send(desk, at, "accept", reason="stands as Scrap")
    assert answer.status_code == 302
    row = Inspection.objects.get(component__serial="KD4207")
    row.component.refresh_from_db()
    assert (row.class_given, row.class_held, row.component.holds_n) == ("Premium", "Scrap", 1)


def test_an_end_past_repair_makes_scrap_of_a_joint_that_was_classed_premium(desk, joints):
    at = choose(desk, whole(n7={"b_cond": "DBR"}))
    send(desk, at, "accept", reason="stands as Scrap")
    row = Inspection.objects.get(component__serial="KD4207")
    assert (row.class_given, row.class_held, row.box_found) == ("Premium", "Scrap", "reject")


def test_a_misread_serial_is_guessed_and_recorded_once_it_is_confirmed(desk, joints):
    at = choose(desk, whole(n5={"serial": "KD42O5"}))
    shown = page(desk, at)
    assert "It is KD4205" in shown and "Accept 11 rows" in shown
    row = next(line for line in desk.get(at).context["preview"].lines if not line.recorded)
    send(desk, at, guess=f"{row.joint.row}|{row.tie.guesses[0].tag}")
    assert "Accept 12 rows" in page(desk, at)
    send(desk, at, "accept", reason="read again on the pin")
    assert Inspection.objects.filter(component__serial="KD4205").exists()


@pytest.mark.parametrize("cells, words", [
    ({"serial": "ILL"}, "by painted number"),
    ({"serial": "KD4250"}, "It is KD4205"),  # one figure off, and no other row names it
    ({"serial": "ZX9999", "painted": ""}, "bears the serial ZX9999"),
    ({"serial": "ILL", "painted": ""}, "the serial cannot be read, and there is no painted number"),
    ({"serial": "KD4204"}, "means KD4204 too; leave one out"),
])  # fmt: skip
def test_a_row_says_what_it_is_tied_to_or_why_not(desk, joints, cells, words):
    assert words in page(desk, choose(desk, whole(n5=cells)))


def test_a_row_is_tied_by_the_tag_that_stands_where_the_serial_should(desk, joints):
    at = choose(desk, whole(n5={"serial": joints[4].tag, "painted": ""}))
    line = next(one for one in desk.get(at).context["preview"].lines if one.joint.jt == "5")
    assert (line.tie.how, line.piece) == ("tag", joints[4])


def test_rows_left_out_are_named_with_their_reason(desk, joints):
    at = choose(desk, whole(n5={"serial": "KD4204", "painted": "44"}))
    row = next(line.joint.row for line in desk.get(at).context["preview"].lines if line.joint.jt == "5")
    assert send(desk, at, "out", row=[row]).status_code == 422  # a reason is wanted
    send(desk, at, "out", row=[row], why="stands twice")
    answer = send(desk, at, "accept", reason="one row stands twice")
    assert Inspection.objects.count() == 11
    stored = page(desk, answer["Location"])
    assert "Joint 5" in stored and "stands twice" in stored
    send(desk, at, "in", row=[row])
    assert row not in desk.get(at).context["incoming"].out


def test_a_joint_of_the_lot_without_a_row_is_listed(desk, joints):
    rows = [one for one in lot(12) if one["jt"] != "5"]
    shown = page(desk, choose(desk, as_csv(rows, foot=foot_for(rows))))
    assert "1 of the lot without a row" in shown and "1 joint of the lot has no row: KD4205." in shown


def test_a_row_that_is_not_of_the_lot_is_not_recorded_by_itself(desk, joints, layer):
    stock.pieces(stock.rack(layer.site, "R9"), 1, facts=pipe(), first=4213)
    shown = page(desk, choose(desk, as_csv([*lot(12), joint(13)])))
    assert "it is of this site and not of this lot" in shown and "Accept 12 rows" in shown


def test_the_columns_are_remembered_for_this_company_and_for_no_other(desk, joints):
    headings = ["Seen by" if text == "Serial" else text for text in HEADINGS]
    rows = lot(12)
    at = choose(desk, as_csv(rows, headings=headings))
    read = desk.get(at).context["preview"].read
    index = next(one.index for one in read.mapping.columns if one.heading == "Seen by")
    assert read.mapping.index_of("serial") is None
    form = desk.get(at).context["columns_form"]
    typed = {f"col-{name}": field.initial for name, field in form.fields.items()}
    send(desk, at, "columns", **typed | {f"col-role-{index}": "serial"})
    assert desk.get(at).context["preview"].read.mapping.index_of("serial") == index
    send(desk, at, "accept", reason="as agreed")
    assert RememberedReport.objects.count() == 1
    again = choose(desk, as_csv(rows, headings=headings) + b"\r\n")
    assert desk.get(again).context["preview"].read.mapping.index_of("serial") == index
    assert "as they were settled for the last report of NORTHGATE" in page(desk, again)
    other = [["SOUTHGATE GAUGING", *HEAD[0][1:]], *HEAD[1:]]
    at = choose(desk, as_csv(rows, headings=headings, head=other))
    assert desk.get(at).context["preview"].read.mapping.index_of("serial") is None


def test_a_word_for_a_class_is_settled_once(desk, joints):
    damaged = {"cl": "N1", "class": "N1", "bands": ""}
    at = choose(desk, whole(n5=damaged))
    assert "different houses" in page(desk, at)
    assert "“N1” is not settled" in page(desk, at) and "Accept 11 rows" in page(desk, at)
    send(desk, at, "words", **{"word-0": "Premium"})
    shown = desk.get(at).context["preview"]
    assert not [one for line in shown.lines for one in line.problems if one.code == "class"]
    send(desk, at, "accept", reason="x")
    again = choose(desk, whole(n6=damaged))
    shown = desk.get(again).context["preview"]
    assert not [one for line in shown.lines for one in line.problems if one.code == "class"]


def test_the_head_is_put_right_and_the_report_read_anew(desk, joints):
    head = [["Pipe", "see order"] if row[:1] == ["Pipe"] else row for row in HEAD]
    at = choose(desk, as_csv(lot(12), head=head))
    assert "does not say which pipe" in page(desk, at)
    form = desk.get(at).context["head_form"]
    typed = {f"head-{name}": form.initial.get(name, "") for name in form.fields}
    typed |= {"head-pipe": '5" 19.50# S-135 Range 2', "head-connection": "NC50",
              "head-joint": "6 5/8 x 2 3/4", "head-number": "NG-26-8"}
    send(desk, at, "head", **typed)
    shown = page(desk, at)
    assert "does not say which pipe" not in shown and "NG-26-8" in shown


def test_a_report_of_another_item_than_the_register_holds_is_one_question(desk, joints):
    head = [[text.replace("S-135", "X-95") for text in row] for row in HEAD]
    shown = desk.get(choose(desk, as_csv(lot(12), head=head))).context["preview"]
    assert [one.text for one in shown.problems if one.code == "item"] == [
        "The report is of another item: the pieces are S135. So it is with 12 rows."]
    assert not [one for line in shown.lines for one in line.problems if one.code == "item"]


def test_steel_does_not_grow(desk, joints):
    send(desk, choose(desk, whole(n5={"wall": "0.300", "rem": "83"})), "accept")
    later = [[text.replace("Mar-26", "Apr-26") for text in row] for row in HEAD]
    rows = lot(12, n5={"wall": "0.340", "rem": "94"})
    rows = [{**one, "stencil": ""} for one in rows]
    shown = page(desk, choose(desk, as_csv(rows, head=later)))
    assert "0.300 in at the inspection of 2026-03-13: steel does not grow" in shown


def test_the_class_that_would_hold_is_the_one_that_no_repair_lifts(desk, joints):
    thin = {"wall": "0.280", "rem": "77", "cl": "2", "class": "2", "bands": "1Y", "defect": "even wear"}
    send(desk, choose(desk, whole(n5=thin)), "accept", reason="x")
    later = [[text.replace("Mar-26", "Apr-26").replace("26-7", "26-8") for text in row] for row in HEAD]
    rows = [{**one, "stencil": ""} for one in lot(12)]
    lines = desk.get(choose(desk, as_csv(rows, head=later))).context["lines"]
    line, worth = next(pair for pair in lines if pair[0].joint.jt == "5")
    assert (line.given, worth["held"]) == ("Premium", "Class 2")


def test_a_reface_that_was_done_ends_the_length_and_raises_nothing_by_itself(desk, layer):
    stock.pieces(layer, 12, facts=pipe(), first=4201, lengths=[f"31.{10 + n:02d}" for n in range(1, 13)])
    Component.objects.update(received_on=date(2026, 1, 5))
    at = choose(desk, whole(n5={"b_seal": "pitted", "b_cond": "RF done",
                                "remarks": "BM ok, new length 31.14"}))
    assert "Box refaced: its length ends" in page(desk, at)
    send(desk, at, "accept", reason="taped again tomorrow")
    piece = Component.objects.get(serial="KD4205")
    row = Inspection.objects.get(component=piece)
    assert (row.box_found, row.box_after, piece.length_nm, piece.holds_n) == ("reface", "ok", None, 0)
    assert row.class_held == "Premium"


def test_a_wall_that_was_not_read_is_not_taken_for_looked_at(desk, joints):
    at = choose(desk, whole(n5={"wall": "", "rem": ""}))
    line = next(one for one in desk.get(at).context["preview"].lines if one.joint.jt == "5")
    assert line.judged.effect.computed == ""
    assert "full" not in line.judged.resets and "tube" not in line.judged.resets


def test_rows_copied_from_another_are_asked(desk, joints):
    rows = lot(12)
    rows[6] |= {name: rows[5][name] for name in ("length", "od", "wall", "rem")}
    assert "are those of joint 6 throughout" in page(desk, choose(desk, as_csv(rows)))


def test_a_report_of_the_same_number_from_another_file_is_asked(desk, joints):
    send(desk, choose(desk, whole()), "accept")
    assert "from another file: a corrected one, or twice?" in page(desk, choose(desk, whole() + b"\r\n"))


def test_a_report_waits_for_whoever_chose_it_alone(desk, joints, here, client):
    at = choose(desk, whole())
    desk.logout()
    other = stock.person("una", "supervisor", here)
    desk.force_login(other, backend="django.contrib.auth.backends.ModelBackend")
    assert desk.get(at).status_code == 404
