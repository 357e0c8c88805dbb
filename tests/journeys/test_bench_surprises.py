"""Four surprises at the stand: a limit lowered meanwhile, a rim laced turned round, a rim measured off, a
gauge without a table for the spoke."""

from __future__ import annotations

import json
import re

import pytest

from buildsheet.actions.bench.gauges import add_table, check_gauge
from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.reissue import reissue
from buildsheet.actions.bench.view import bench_of_code
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.hints import mistakes
from buildsheet.web.app import create_app
from tests.actions.bench.day import pass_of, rim_gate, said, step, taken, until_lacing, view_of
from tests.journeys.test_editions_story import edition_17
from tests.web.test_sessions import PASSWORD, SAME_ORIGIN, sign_in
from tests.workshops import EXAMPLES


@pytest.fixture
def stand(workshop: Workshop) -> Workshop:
    """The gauges on the wall; G1 checked this morning."""
    for path in sorted((EXAMPLES / "bench" / "gauges").glob("*.json")):
        for table in json.loads(path.read_text(encoding="utf-8")):
            add_table(workshop, json.dumps(table).encode())
    check_gauge(workshop, b'{"gauge": "G1", "good": true, "by": "M. K."}')
    return workshop


def test_a_limit_lowered_while_the_sheet_lies_on_the_bench_stops_the_scan_until_issue_b(
    stand: Workshop,
):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    sheet_a = view_of(stand, front).scanned
    assert view_of(stand, front).task.stop_n == 1210
    edition_17(stand)
    stopped = said(step(stand, front, "relief", round=1, before_n=1150, after_n=1140))
    assert stopped["good"] is False
    assert (
        "lowers the stop value of this wheel from 1210 N to 1160 N"
        in (stopped["findings"][0]["says"])
    )
    page = create_app(stand).test_client().get(f"/w/{sheet_a.code}").get_data(as_text=True)
    assert "Issue the sheet again under edition 17" in page
    # what stood at the old target is above the new stop value of one spoke: that is said at once
    assert said(take_pass(stand, front, high_pass(stand, front)))["verdict"] == "stop"
    made = reissue(stand, front, because="edition 17 lowers the stop value", edition=17)
    assert made is not None
    assert made.sheet is not None
    assert (made.sheet.issue, made.sheet.edition) == ("B", 17)
    after = view_of(stand, front)
    assert after.lowered is None
    assert (round(after.task.target_n.left), round(after.task.target_n.right)) == (1104, 735)
    assert after.task.stop_n == 1160
    old = bench_of_code(stand, sheet_a.code)
    assert old is not None
    assert not old.in_force
    # the same parts: what was recorded of rim, kit and lacing still counts
    assert {"rim-gate", "kit", "first-spoke", "half-way"} <= after.done


def test_the_page_of_a_wheel_whose_limit_was_lowered_shows_no_figure_that_counts(stand: Workshop):
    front = taken(stand)["front"]
    view = view_of(stand, front)
    client = create_app(stand).test_client()
    before = client.get(f"/w/{view.scanned.code}").text
    assert 'class="facts big"' in before
    assert "does not count" not in before
    edition_17(stand)
    page = client.get(f"/w/{view.scanned.code}").text
    assert "The sheet: not to be built from" in page
    # Nothing of it is seen before somebody asks for it, nothing is large, and no force stands unmarked.
    above, _, sheet = page.partition('<details class="put-aside">')
    assert "1150 N" not in above
    assert 'class="facts big"' not in page
    assert 'class="stop"' not in page
    shut = sheet.partition("</details>")[0]
    forces = re.findall(r"[0-9]+ N<", shut)
    assert sorted(forces) == ["1150 N<", "1210 N<", "766 N<"]
    assert len(re.findall(r"<s>.*?</s> <span class=\"one\">does not count", shut)) == len(forces)


def high_pass(workshop: Workshop, serial: str) -> bytes:
    """A pass with one spoke at 1190 N: fine under the old stop value, too much under the new one."""
    task = view_of(workshop, serial).task
    typed = [round(task.target_n[side]) for side in task.sides]
    typed[1] = 1190
    return pass_of(
        workshop, serial, "k-pass-high", tension={"gauge": "G1", "unit": "n", "typed": typed}
    )


def test_the_page_issues_the_sheet_again_under_the_edition_that_lowered_the_limit(
    stand: Workshop,
):
    front = taken(stand)["front"]
    code = view_of(stand, front).scanned.code
    edition_17(stand)
    client = create_app(stand).test_client()
    origin = {"Origin": "http://localhost"}
    nobody = client.post(f"/w/{code}/newer", data={"by": ""}, headers=origin)
    assert nobody.status_code == 422
    answer = client.post(f"/w/{code}/newer", data={"by": "M. K."}, headers=origin)
    assert answer.status_code == 303
    assert view_of(stand, front).scanned.issue == "B"
    assert "void" in client.get(f"/w/{code}").get_data(as_text=True)


def test_whoever_is_signed_in_issues_it_again_under_their_own_name(stand: Workshop):
    front = taken(stand)["front"]
    code = view_of(stand, front).scanned.code
    edition_17(stand)
    add_person(stand, "B. Builder", Role.BUILDER, PASSWORD)
    client = create_app(stand).test_client()
    assert sign_in(client).status_code == 303
    field = re.search(r'<input id="newer-by"[^>]*>', client.get(f"/w/{code}").text)
    assert field is not None
    assert 'value="B. Builder" readonly' in field[0]
    answer = client.post(f"/w/{code}/newer", data={"by": "Somebody Else"}, headers=SAME_ORIGIN)
    assert answer.status_code == 303
    assert view_of(stand, front).scanned.issue == "B"


def test_an_edition_that_lowers_nothing_of_this_wheel_leaves_its_sheet_alone(stand: Workshop):
    rear = taken(stand, "D-1009")["rear"]
    edition_17(stand)
    assert view_of(stand, rear).lowered is None


def test_a_rim_laced_turned_round_is_named_by_the_ratio_of_the_sides(stand: Workshop):
    rear = taken(stand, "D-1009")["rear"]
    task = view_of(stand, rear).task
    turned = next(each for each in mistakes(task) if "turned round" in each.what)
    tight_n = task.target_n[task.tight_side]
    typed = [tight_n if side == task.tight_side else tight_n * turned.ratio for side in task.sides]
    reading = {"gauge": "G1", "unit": "n", "typed": typed}
    answer = said(take_pass(stand, rear, pass_of(stand, rear, tension=reading)))
    assert answer["verdict"] == "rework"
    hints = [each["says"] for each in answer["findings"] if each["code"] == "bench.ratio-hint"]
    assert "laced turned round" in hints[0]
    assert answer["advice"]["rounds"] == []


def test_a_rim_that_measures_nine_tenths_more_gets_lengths_of_its_own(stand: Workshop):
    front = taken(stand)["front"]
    before = view_of(stand, front).plan
    off = rim_gate(stand, front, diameters_mm=[before.erd_mm + 0.9] * 4)
    assert [each.code for each in off.findings] == ["bench.erd-off"]
    assert reissue(stand, front, because="rim measured +0.9", erd_mm=before.erd_mm + 0.9)
    after = view_of(stand, front).plan
    grown_mm = after.spokes.left.target_mm - before.spokes.left.target_mm
    assert grown_mm == pytest.approx(0.45, abs=0.01)


def test_a_gauge_without_a_table_for_the_spoke_judges_nothing(stand: Workshop):
    wheels = taken(stand, "D-1003")
    front = wheels["front"]
    task = view_of(stand, front).task
    assert task.spokes.left == "SSB9"
    reading = {"gauge": "G3", "unit": "scale", "typed": [19.0] * len(task.sides)}
    answer = said(take_pass(stand, front, pass_of(stand, front, tension=reading)))
    assert answer["verdict"] == "not-judged"
    told = [each for each in answer["findings"] if each["code"] == "bench.gauge-table"]
    assert told[0]["says"].startswith("Gauge G3 has no table for spoke SSB9")
