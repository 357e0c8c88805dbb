"""The stand's page as plain forms: whole without a script, kept once, refused with what was typed."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.datastructures import MultiDict

from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.view import BenchView
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import wheels
from buildsheet.web.pages.bench.page import fields_of
from buildsheet.web.pages.bench.typed import from_document, pass_document
from tests.actions.bench.day import pass_of, taken, until_lacing, view_of
from tests.actions.bench.test_box import OWN, first_in_the_box
from tests.workshops import EXAMPLES

PASSWORD = "nine spokes and a half"
SAME = {"Sec-Fetch-Site": "same-origin"}
KEY = re.compile(r'name="key" value="([A-Za-z0-9_-]+)"')


@pytest.fixture
def front(client: FlaskClient, workshop: Workshop) -> str:
    """The front wheel of D-1001, with the gauges of the examples on the wall."""
    for path in sorted((EXAMPLES / "bench" / "gauges").glob("*.json")):
        for table in json.loads(path.read_text(encoding="utf-8")):
            assert client.post("/api/v1/gauges", json=table).status_code == 201
    check = {"gauge": "G1", "good": True, "by": "M. K."}
    assert client.post("/api/v1/gauges/check", json=check).status_code == 201
    return taken(workshop)["front"]


def page_of(client: FlaskClient, view: BenchView, do: str = "") -> str:
    answer = client.get(f"/w/{view.scanned.code}", query_string={"do": do} if do else None)
    assert answer.status_code == 200
    return answer.get_data(as_text=True)


def send(client: FlaskClient, view: BenchView, what: str, **members: Any) -> tuple[int, str]:
    """One form sent as a browser without a script sends it; the page that comes of it."""
    form = {"key": f"form-{what}-0001", "issue": view.task.issue, "by": "M. K.", **members}
    answer = client.post(f"/w/{view.scanned.code}/{what}", data=form, headers=SAME)
    status = answer.status_code
    if status == 303:
        answer = client.get(answer.headers["Location"])
    return status, answer.get_data(as_text=True)


def readings(view: BenchView, **changes: str) -> dict[str, str]:
    """The boxes of a whole pass at target."""
    boxes = {
        f"tension.typed.{each.hole - 1}": f"{view.task.target_n[each.side]:.0f}"
        for each in view.task.lacing
    }
    return {
        **boxes,
        "tension.gauge": "G1",
        "tension.unit": "n",
        "rim_serial": "33D-0412",
        "hub_serial": "KF2-118",
        "lateral.typed_mm": "0,14",
        "lateral.given_as": "full",
        "radial.typed_mm": "0.11",
        "radial.given_as": "plus-minus",
        "dish.typed_mm": "0.2",
        "dish.given_as": "gap",
        "dish.toward": "left",
        "caps_fitted": "yes",
        "threads.in": "8",
        "free_play": "no",
        "twisted": "no",
        "relief_rounds": "3",
        "mass_g": f"{view.task.mass_g:.0f}",
        **changes,
    }


def test_the_page_opens_at_the_next_thing_to_do(
    client: FlaskClient, workshop: Workshop, front: str
):
    view = view_of(workshop, front)
    assert 'data-form="rim-gate"' in page_of(client, view)
    until_lacing(workshop, front)
    assert 'data-form="relief"' in page_of(client, view)
    assert 'data-form="kit"' in page_of(client, view, "kit")
    assert 'data-form="relief"' in page_of(client, view, "no-such-thing")


def test_a_wheel_that_a_reading_stopped_says_so_at_every_station(
    client: FlaskClient, workshop: Workshop, front: str
):
    until_lacing(workshop, front)
    view = view_of(workshop, front)
    assert 'class="facts big"' in page_of(client, view)
    typed = [round(view.task.target_n[each.side]) for each in view.task.lacing]
    typed[4] = round(view.task.stop_n) + 40
    too_tight = {"gauge": "G1", "unit": "n", "typed": typed}
    take_pass(workshop, front, pass_of(workshop, front, tension=too_tight))
    # It opens at what to slacken, not at the next station.
    opened = page_of(client, view)
    assert 'class="verdict v-stop"' in opened
    assert 'data-form="relief"' not in opened
    for station in ("relief", "readings", "finishing", "box"):
        page = page_of(client, view, station)
        assert "STOP. Reading no. 1 found a spoke too tight" in page
        assert "Stopped at reading no. 1" in page
        assert 'class="facts big"' not in page
    take_pass(workshop, front, pass_of(workshop, front, "k-pass-0002"))
    after = page_of(client, view)
    assert "STOP. Reading" not in after
    assert 'class="facts big"' in after


def test_a_stop_is_shown_with_what_is_missing_of_the_reading_after_it(
    client: FlaskClient, workshop: Workshop, front: str
):
    until_lacing(workshop, front)
    view = view_of(workshop, front)
    typed = [round(view.task.target_n[each.side]) for each in view.task.lacing]
    typed[4] = round(view.task.stop_n) + 40
    too_tight = {"gauge": "G1", "unit": "n", "typed": typed}
    take_pass(workshop, front, pass_of(workshop, front, tension=too_tight))
    part = {**too_tight, "typed": [*typed[:4], None, *typed[5:]]}
    take_pass(workshop, front, pass_of(workshop, front, "k-pass-0002", tension=part))
    # It opens where the rest is read; what to slacken is behind a link and says what it rests on.
    opened = page_of(client, view)
    assert 'data-form="readings"' in opened
    assert "STOP. Reading no. 1 found a spoke too tight" in opened
    verdict = page_of(client, view, "verdict")
    assert 'class="verdict v-stop"' in verdict
    assert "Reading no. 2 since then was not judged" in verdict
    assert "Add what is missing" in verdict
    assert "Hole 5" in verdict


def test_a_whole_pass_sent_as_a_form_is_judged(client: FlaskClient, workshop: Workshop, front: str):
    view = view_of(workshop, front)
    assert "none has a table" not in page_of(client, view, "readings")
    status, page = send(client, view, "readings", **readings(view))
    assert status == 303
    assert 'class="verdict v-pass"' in page
    kept = view_of(workshop, front).passes
    assert [each.word for each in kept] == ["pass"]
    document = json.loads(kept[0].document)
    assert document["lateral"] == {"typed_mm": 0.14, "given_as": "full"}
    assert document["dish"] == {"typed_mm": 0.2, "given_as": "gap", "toward": "left"}
    assert document["threads"] == ["in"] * 8
    assert f'data-keys="{kept[0].key}"' in page


def test_the_same_form_sent_twice_is_one_pass(client: FlaskClient, workshop: Workshop, front: str):
    view = view_of(workshop, front)
    first = send(client, view, "readings", **readings(view))
    again = send(client, view, "readings", **readings(view))
    assert first[0] == again[0] == 303
    assert len(view_of(workshop, front).passes) == 1


def test_a_corrected_form_sent_from_an_old_page_comes_back_with_a_key_of_its_own(
    client: FlaskClient, workshop: Workshop, front: str
):
    view = view_of(workshop, front)
    boxes = readings(view)
    send(client, view, "readings", **boxes)
    status, page = send(client, view, "readings", **{**boxes, "mass_g": "700"})
    assert status == 422
    assert "This key belongs to pass 1" in page
    assert 'value="700"' in page
    fresh = re.search(r'name="key" value="([^"]+)"', page)
    assert fresh is not None
    assert fresh[1] != "form-readings-0001"
    status, _ = send(client, view, "readings", **{**boxes, "mass_g": "700", "key": fresh[1]})
    assert status == 303
    assert len(view_of(workshop, front).passes) == 2


def test_what_was_not_typed_is_missing_and_never_zero(
    client: FlaskClient, workshop: Workshop, front: str
):
    view = view_of(workshop, front)
    boxes = readings(view, **{"tension.typed.4": " ", "dish.typed_mm": "", "mass_g": ""})
    _, page = send(client, view, "readings", **boxes)
    assert "v-not-judged" in page
    document = json.loads(view_of(workshop, front).passes[0].document)
    assert document["tension"]["typed"][4] is None
    assert "dish" not in document
    assert "mass_g" not in document


def test_a_pass_that_lacked_something_is_completed_and_not_typed_again(
    client: FlaskClient, workshop: Workshop, front: str
):
    view = view_of(workshop, front)
    boxes = readings(view)
    del boxes["mass_g"]
    _, page = send(client, view, "readings", **boxes)
    assert "Add what is missing" in page
    answer = client.get(f"/w/{view.scanned.code}?do=readings&from=last")
    form = answer.get_data(as_text=True)
    for name, text in (("tension.typed.0", "766"), ("dish.typed_mm", "0.2"), ("threads.in", "8")):
        assert re.search(f'name="{name}" value="{text}"', form)
    assert 'name="mass_g" value=""' in form
    again = {**boxes, "key": "form-readings-0002", "mass_g": f"{view.task.mass_g:.0f}"}
    _, page = send(client, view, "readings", **again)
    assert "v-pass" in page
    # A pass that was judged is read anew.
    form = client.get(f"/w/{view.scanned.code}?do=readings&from=last").get_data(as_text=True)
    assert 'name="tension.typed.0" value=""' in form


def test_a_form_that_cannot_be_read_comes_back_with_what_was_typed(
    client: FlaskClient, workshop: Workshop, front: str
):
    view = view_of(workshop, front)
    boxes = readings(view, **{"mass_g": "6o0", "tension.unit": "", "by": ""})
    status, page = send(client, view, "readings", **boxes)
    assert status == 422
    assert "Not kept" in page
    assert 'value="6o0"' in page
    assert 'id="f-mass-g-bad"' in page
    assert KEY.findall(page)[0] == "form-readings-0001"
    assert view_of(workshop, front).passes == ()


def test_where_no_gauge_has_a_table_the_forms_say_how_one_gets_it(
    client: FlaskClient, workshop: Workshop
):
    view = view_of(workshop, taken(workshop)["front"])
    for do in ("gauge-check", "readings"):
        assert "buildsheet gauge add FILE" in page_of(client, view, do)


def test_a_step_not_passed_says_why_and_keeps_what_was_typed(
    client: FlaskClient, workshop: Workshop, front: str
):
    view = view_of(workshop, front)
    gate = {
        "rim_serial": "33D-0412",
        "batch": "L7",
        "mass_g": "500",
        "lateral_mm": "0,2",
        "radial_mm": "0,3",
        "diameter_of": "erd",
        **{f"diameters_mm.{each}": f"{view.plan.erd_mm:.1f}" for each in range(4)},
    }
    status, page = send(client, view, "rim-gate", **gate)
    assert status == 303
    assert "Not passed:</strong> Rim gate, by M. K." in page
    assert "bench.rim-mass" in page
    assert 'value="500"' in page
    assert KEY.findall(page)[0] != "form-rim-gate-0001"
    status, page = send(
        client, view, "rim-gate", **{**gate, "key": "form-rim-gate-0002", "mass_g": "395"}
    )
    assert "Recorded" in page
    assert 'data-form="kit"' in page


def test_a_rim_measured_off_leads_to_a_new_issue(
    client: FlaskClient, workshop: Workshop, front: str
):
    view = view_of(workshop, front)
    off = {f"diameters_mm.{each}": f"{view.plan.erd_mm + 1.6:.1f}" for each in range(4)}
    gate = {"rim_serial": "33D-0412", "batch": "L7", "mass_g": "395", "diameter_of": "erd"}
    run_out = {"lateral_mm": "0.2", "radial_mm": "0.3"}
    _, page = send(client, view, "rim-gate", **gate, **run_out, **off)
    assert "Issue the sheet again for this rim" in page
    erd = f"{view.plan.erd_mm + 1.6:.1f}"
    status, page = send(client, view, "reissue", erd_mm=erd, because="rim measured +1.6")
    assert status == 303
    assert "issue <strong>B</strong>" in page
    old = page_of(client, view)
    assert "This sheet is void" in old
    assert "rim measured +1.6" in old
    assert "Issue B is in force" in old


def test_a_new_issue_whose_spokes_are_short_waits_with_what_is_missing(
    client: FlaskClient, workshop: Workshop
):
    text = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
    assert load_stock(workshop, text, by="S. Keeper").outcome == "entered"
    front = taken(workshop, "D-1001")["front"]
    view = view_of(workshop, front)
    assert "Not all of its parts are there" not in page_of(client, view, do="kit")
    line = {"kind": "counted", "part": "SJB9/280", "pieces": 5}
    counted = {"key": "k-counted-1", "by": "S.", "reason": "seen", "movements": [line]}
    assert client.post("/api/v1/stock/movements", json=counted).status_code == 201
    asked = {"by": "M. K.", "because": "rim measured", "erd_mm": view.plan.erd_mm + 1.6}
    made = client.post(f"/api/v1/wheels/{front}/reissue", json=asked)
    assert (made.status_code, made.json["issue"]) == (201, "B")
    assert [each["code"] for each in made.json["findings"]] == ["stock.overdrawn"]
    page = page_of(client, view_of(workshop, front), do="kit")
    assert "Not all of its parts are there" in page
    assert "SJB9/280: this sheet takes 14; 5 on the shelf" in page


def test_readings_under_a_void_sheet_are_kept_and_stop(
    client: FlaskClient, workshop: Workshop, front: str
):
    view = view_of(workshop, front)
    asked = {"by": "M. K.", "because": "rim measured", "erd_mm": view.plan.erd_mm + 0.9}
    assert client.post(f"/api/v1/wheels/{front}/reissue", json=asked).status_code == 201
    status, page = send(client, view, "readings", **readings(view))
    assert status == 303
    assert "This sheet is void" in page
    assert "form-readings-0001" in page
    assert [each.word for each in view_of(workshop, front).passes] == ["not-judged"]
    state = client.get(f"/w/{view.scanned.code}/state").get_json()
    assert (state["in_force"], state["issue"]) == (False, "A")


def test_a_signature_is_refused_with_every_reason_and_then_given(
    client: FlaskClient, workshop: Workshop, front: str
):
    view = view_of(workshop, front)
    send(client, view, "readings", **readings(view))
    status, page = send(client, view, "sign", number="1", verdict="pass")
    assert status == 422
    assert "Not recorded yet" in page
    until_lacing(workshop, front)
    status, page = send(client, view, "sign", number="1", verdict="pass")
    assert status == 303
    assert view_of(workshop, front).state == "inspected"


def test_a_pass_with_remark_needs_a_name_and_a_reason(
    client: FlaskClient, workshop: Workshop, front: str
):
    until_lacing(workshop, front)
    view = view_of(workshop, front)
    _, page = send(client, view, "readings", **readings(view, **{"lateral.typed_mm": "0.3"}))
    assert "v-rework remark" in page
    assert "let it pass with a remark" in page
    short = {"number": "1", "verdict": "pass-with-remark", "reason": "ok"}
    status, page = send(client, view, "sign", **short)
    assert (status, "at least 10 characters" in page) == (422, True)
    assert 'value="ok"' in page
    short["reason"] = "trued again by the rider after 100 km"
    assert send(client, view, "sign", **short)[0] == 303
    assert view_of(workshop, front).signatures[0].word == "pass-with-remark"


@pytest.mark.parametrize("station", ["kit", "drill", "relief", "finishing", "pair", "box", "ship"])
def test_every_station_has_a_form_that_an_empty_hand_can_send(
    client: FlaskClient, workshop: Workshop, front: str, station: str
):
    view = view_of(workshop, front)
    assert f'data-form="{station}"' in page_of(client, view, station)
    status, page = send(client, view, station)
    assert status in (303, 422)
    assert ("Not kept" in page) is (status == 422)
    assert ("Not passed" in page) is (status == 303)


def test_what_lies_in_the_box_already_is_told_and_not_asked(
    client: FlaskClient, workshop: Workshop, front: str
):
    order = view_of(workshop, front).wheel.stored.order_id
    with workshop.database.reading() as section:
        of_order = {each.position: each.serial for each in wheels.of_order(section, order)}
    serials = first_in_the_box(workshop, of_order)
    view = view_of(workshop, serials["rear"])
    page = " ".join(page_of(client, view, "box").split())
    assert re.findall(r'type="checkbox" name="packed" value="([^"]*)"', page) == OWN
    told = f"In the box already, ticked by M. K., 2031-05-01 08:00 UTC, with {serials['front']}"
    assert told in page
    assert "manual M7 de" in page.partition(told)[2]
    status, after = send(client, view, "box", packed=OWN)
    assert (status, "Not passed" in after) == (303, False)
    assert view_of(workshop, serials["rear"]).state == "packed"


def test_what_is_said_of_a_gauge_is_said_in_words(
    client: FlaskClient, workshop: Workshop, front: str
):
    view = view_of(workshop, front)
    status, _ = send(client, view, "gauge-check", gauge="G2", good="yes")
    assert status == 303
    status, page = send(client, view, "gauge-check", gauge="", good="")
    assert status == 422
    assert "Not kept" in page


def test_whoever_is_signed_in_stands_for_what_they_send(
    client: FlaskClient, workshop: Workshop, front: str
):
    add_person(workshop, "Ida Moll", Role.BUILDER, PASSWORD)
    view = view_of(workshop, front)
    where = f"/w/{view.scanned.code}/readings"
    form = {"key": "form-readings-0001", "issue": "A", "by": "M. K.", **readings(view)}
    # Nobody in particular: refused, and a page with a script keeps what was typed.
    assert client.post(where, data=form, headers=SAME).status_code == 401
    assert view_of(workshop, front).passes == ()
    signed = {"name": "Ida Moll", "password": PASSWORD}
    assert client.post("/sign-in", data=signed, headers=SAME).status_code == 303
    page = page_of(client, view, "readings")
    assert 'name="by" value="Ida Moll" readonly' in page
    assert client.post(where, data=form, headers=SAME).status_code == 303
    assert [each.read_by for each in view_of(workshop, front).passes] == ["Ida Moll"]


def test_another_site_cannot_send_the_forms(client: FlaskClient, workshop: Workshop, front: str):
    where = f"/w/{view_of(workshop, front).scanned.code}/readings"
    assert client.post(where, headers={"Sec-Fetch-Site": "cross-site"}).status_code == 403
    assert client.post("/w/none/readings", headers=SAME).status_code == 404
    assert client.post(where.replace("readings", "nothing"), headers=SAME).status_code == 404


def test_a_kept_pass_fills_the_form_that_sends_it_again(workshop: Workshop, front: str):
    view = view_of(workshop, front)
    fields = fields_of(view, "readings")
    document = json.loads(pass_of(workshop, front))
    shown = from_document(json.dumps(document), fields)
    sent = MultiDict((name, text) for name, texts in shown.items() for text in texts)
    sent.update({"key": document["key"], "threads.in": "8"})
    again = pass_document(fields, sent, len(view.task.lacing))
    assert again == document
