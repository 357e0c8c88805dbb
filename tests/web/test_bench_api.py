"""The bench over HTTP: kept once, answered the same, refused with every fault."""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.workshops import EXAMPLES, example

V1 = "/api/v1"


@pytest.fixture
def front(client: FlaskClient) -> str:
    """The front wheel of D-1001, taken, with every gauge of the examples on the wall."""
    for path in sorted((EXAMPLES / "bench" / "gauges").glob("*.json")):
        for table in json.loads(path.read_text(encoding="utf-8")):
            assert client.post(f"{V1}/gauges", json=table).status_code == 201
    check = {"gauge": "G1", "good": True, "by": "M. K."}
    assert client.post(f"{V1}/gauges/check", json=check).status_code == 201
    answer = client.post(f"{V1}/orders", json=example("D-1001")).get_json()
    serial: str = next(each["serial"] for each in answer["wheels"] if each["position"] == "front")
    return serial


def first_pass() -> dict[str, Any]:
    document: dict[str, Any] = json.loads(
        (EXAMPLES / "bench" / "D-1001-front-pass-1.json").read_text(encoding="utf-8")
    )
    return document


def test_a_pass_is_answered_with_verdict_and_advice(client: FlaskClient, front: str):
    answer = client.post(f"{V1}/wheels/{front}/readings", json=first_pass())
    assert answer.status_code == 201
    body = answer.get_json()
    assert body["verdict"] == "stop"
    assert {14, 18} <= {turn["hole"] for turn in body["advice"]["rounds"][0]}
    assert all(turn["eighths"] < 0 for turn in body["advice"]["rounds"][0])
    again = client.post(f"{V1}/wheels/{front}/readings", json=first_pass())
    assert again.headers["Idempotent-Replay"] == "true"
    assert again.data == answer.data
    truing = client.get(f"{V1}/wheels/{front}/truing").get_json()
    assert truing["advice"] == body["advice"]


def test_a_gauge_without_a_table_is_not_judged(client: FlaskClient):
    answer = client.post(f"{V1}/orders", json=example("D-1001")).get_json()
    serial = answer["wheels"][0]["serial"]
    body = client.post(f"{V1}/wheels/{serial}/readings", json=first_pass()).get_json()
    # two spokes are above the stop value whatever the gauge is worth: that is said first
    assert body["verdict"] == "stop"
    tension = {**first_pass()["tension"], "gauge": "G3", "unit": "scale", "typed": [19.0] * 24}
    other = {**first_pass(), "key": "d1001-front-3", "tension": tension}
    body = client.post(f"{V1}/wheels/{serial}/readings", json=other).get_json()
    assert body["verdict"] == "not-judged"


def test_the_state_at_the_stand_names_what_is_next(client: FlaskClient, front: str):
    body = client.get(f"{V1}/wheels/{front}/bench").get_json()
    assert (body["next"], body["state"], body["issue"]) == ("rim-gate", "planned", "A")
    assert [each["gauge"] for each in body["gauges"] if each["suits"]] == ["G1", "G2", "G3"]


def test_a_step_moves_the_wheel_and_a_faulty_one_says_every_fault(client: FlaskClient, front: str):
    picks = client.get(f"{V1}/wheels/{front}/plan").get_json()["pick"]
    scanned = [
        {"part": each["part"], "count": each["count"] + each.get("spare", 0)} for each in picks
    ]
    step = {"station": "kit", "key": "k-kit-0001", "issue": "A", "by": "M. K."}
    good = {**step, "scanned": scanned, "bagged_apart": True}
    body = client.post(f"{V1}/wheels/{front}/steps", json=good).get_json()
    assert (body["good"], body["state"]) == (True, "kitted")
    faulty = client.post(f"{V1}/wheels/{front}/steps", json={**step, "issue": "a", "scanned": 3})
    assert faulty.status_code == 422
    assert [each["at"] for each in faulty.get_json()["findings"]] == ["/issue", "/scanned"]


@pytest.mark.parametrize("route", ["steps", "readings", "sign", "reissue"])
def test_bodies_that_are_none_are_refused_in_the_usual_way(client: FlaskClient, route: str):
    where = f"{V1}/wheels/W31-00001-A/{route}"
    assert client.post(where, data="{", content_type="application/json").status_code == 400
    assert client.post(where, data="{}").status_code == 415
    assert client.post(where, json={}).status_code in (404, 422)


def test_a_new_issue_makes_the_old_one_void(client: FlaskClient, front: str):
    plan = client.get(f"{V1}/wheels/{front}/plan").get_json()
    asked = {"by": "M. K.", "because": "rim measured +0.9", "erd_mm": plan["erd_mm"] + 0.9}
    made = client.post(f"{V1}/wheels/{front}/reissue", json=asked)
    assert (made.status_code, made.get_json()["issue"]) == (201, "B")
    late = client.post(f"{V1}/wheels/{front}/readings", json={**first_pass(), "tension": None})
    assert late.get_json()["verdict"] == "not-judged"
    same = client.post(f"{V1}/wheels/{front}/reissue", json=asked)
    assert (same.status_code, same.get_json()["unchanged"]) == (200, True)


def test_a_new_issue_that_cannot_be_is_refused_as_that_and_the_sheet_stays(
    client: FlaskClient, front: str
):
    asked: dict[str, object] = {"by": "M. K.", "because": "rim measured", "erd_mm": 300.0}
    refused = client.post(f"{V1}/wheels/{front}/reissue", json=asked).get_json()
    assert (refused["type"], refused["status"]) == ("/problems#issue-refused", 422)
    assert refused["title"] == "No new issue of the sheet is made"
    assert refused["detail"] == (
        "The sheet that the wheel has stays in force; every finding is one reason."
    )
    assert [each["code"] for each in refused["findings"]] == ["bench.erd-off"]
    faulty = client.post(f"{V1}/wheels/{front}/reissue", json={**asked, "erd_mm": "300"})
    assert faulty.get_json()["type"] == "/problems#document-refused"
    assert client.get(f"{V1}/wheels/{front}/bench").get_json()["issue"] == "A"


def test_a_wheel_that_a_reading_stopped_leads_nowhere_but_to_what_is_slackened(
    client: FlaskClient, front: str
):
    assert client.get(f"{V1}/wheels/{front}/bench").get_json()["stopped"] is None
    answer = client.post(f"{V1}/wheels/{front}/readings", json=first_pass()).get_json()
    body = client.get(f"{V1}/wheels/{front}/bench").get_json()
    assert (body["next"], body["stopped"]["pass"], body["stopped"]["by"]) == ("slacken", 1, "M. K.")
    assert body["stopped"]["slacken"] == answer["advice"]["rounds"]
    spokes = body["stopped"]["spokes"]
    assert [each["hole"] for each in spokes] == [14, 18]
    sides = {each["hole"]: each["side"] for each in body["holes"]}
    for each in spokes:
        assert each["side"] == sides[each["hole"]]
        assert each["reads_n"] > each["stop_n"] == body["targets"]["stop_n"]
        assert each["says"].startswith(f"STOP. Hole {each['hole']} reads")


def test_a_reading_that_cannot_be_judged_takes_no_stop_back(client: FlaskClient, front: str):
    stopped = client.post(f"{V1}/wheels/{front}/readings", json=first_pass()).get_json()
    typed = [None, *first_pass()["tension"]["typed"][1:13], *[None] * 11]
    part = {
        **first_pass(),
        "key": "d1001-part",
        "tension": {**first_pass()["tension"], "typed": typed},
    }
    answer = client.post(f"{V1}/wheels/{front}/readings", json=part).get_json()
    assert (answer["verdict"], answer["advice"]["rounds"]) == ("not-judged", [])
    assert "too tight" in answer["advice"]["why_not"]
    body = client.get(f"{V1}/wheels/{front}/bench").get_json()
    assert (body["next"], body["stopped"]["pass"]) == ("readings", 1)
    truing = client.get(f"{V1}/wheels/{front}/truing").get_json()
    assert (truing["pass"], truing["advice"]) == (1, stopped["advice"])
    good = json.loads((EXAMPLES / "bench" / "D-1001-front-pass-2.json").read_text(encoding="utf-8"))
    assert client.post(f"{V1}/wheels/{front}/readings", json=good).get_json()["verdict"] == "pass"
    body = client.get(f"{V1}/wheels/{front}/bench").get_json()
    assert body["stopped"] is None
    assert body["next"] == "rim-gate"


def test_no_new_issue_of_the_sheet_takes_a_stop_back(client: FlaskClient, front: str):
    client.post(f"{V1}/wheels/{front}/readings", json=first_pass())
    plan = client.get(f"{V1}/wheels/{front}/plan").get_json()
    asked = {"by": "M. K.", "because": "rim measured", "erd_mm": plan["erd_mm"] + 0.9}
    assert client.post(f"{V1}/wheels/{front}/reissue", json=asked).status_code == 201
    body = client.get(f"{V1}/wheels/{front}/bench").get_json()
    assert (body["issue"], body["next"]) == ("B", "slacken")
    assert (body["stopped"]["issue"], body["stopped"]["pass"]) == ("A", 1)
