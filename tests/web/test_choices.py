"""Other systems ask over HTTP what may still be chosen."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient

from buildsheet.web.openapi.choices_shapes import ChoicesAnswer, PartOfOrder
from tests.workshops import example

PROBLEM = "application/problem+json"


def ask(client: FlaskClient, part: object) -> Any:
    answer = client.post("/api/v1/choices", json=part)
    assert answer.status_code == 200, answer.text
    ChoicesAnswer.model_validate(answer.json)
    return answer.json


def test_any_part_of_an_order_is_answered(client: FlaskClient):
    whole = ask(client, {})
    some = ask(client, {"kind": "front", "front": {"hub": "KF4"}})
    assert whole["ways"] > some["ways"] > 0
    assert some["forced"]["/front/spoke/left"] == "SSB9"
    assert {each["value"] for each in some["open"]["/front/holes"]} == {20, 24}
    assert some["closed"]["/front/holes"][0]["finding"]["code"] == "fit.hole-count"
    assert some["assumed"]["/use/rider_kg"] == 20


def test_a_whole_order_leaves_what_it_left_out(client: FlaskClient):
    answer = ask(client, example("D-1001"))
    assert answer["ways"] > 0
    assert "/front/rim" not in answer["open"]
    assert answer["assumed"] == {}


def test_a_part_that_leads_nowhere_is_answered_with_the_way_back(client: FlaskClient):
    answer = ask(client, {"front": {"rim": "OR38R", "hub": "KF2"}})
    assert (answer["ways"], answer["open"]) == (0, {})
    assert answer["findings"][0]["try"]


def test_a_part_that_breaks_the_form_is_refused_with_all_findings(client: FlaskClient):
    answer = client.post("/api/v1/choices", json={"kind": "pair", "use": {"class": 9}, "cost": 1})
    assert (answer.status_code, answer.mimetype) == (422, PROBLEM)
    assert answer.json["type"] == "/problems#part-refused"
    assert [each["at"] for each in answer.json["findings"]] == ["/cost", "/kind", "/use/class"]


def test_what_is_no_document_is_a_problem(client: FlaskClient):
    broken = client.post("/api/v1/choices", data=b"{", content_type="application/json")
    assert (broken.status_code, broken.mimetype) == (400, PROBLEM)
    text = client.post("/api/v1/choices", data=b"{}", content_type="text/plain")
    assert text.status_code == 415


def test_the_description_of_a_part_is_that_of_the_order_with_every_member_left_open():
    schema = PartOfOrder.model_json_schema()
    parts = [schema, *schema["$defs"].values()]
    assert not any("required" in each for each in parts)
    assert not any("default" in member for each in parts for member in each["properties"].values())
    assert schema["properties"]["kind"] == {
        "enum": ["set", "front", "rear"],
        "title": "Kind",
        "type": "string",
    }
