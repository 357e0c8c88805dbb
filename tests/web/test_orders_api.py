"""Orders over HTTP: posted, repeated, refused, shown."""

from __future__ import annotations

import json

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.workshop import Workshop
from buildsheet.web.app import create_app
from tests.workshops import counts, example, raw

JSON = "application/json"
PROBLEM = "application/problem+json"


def test_a_good_order_is_taken(client: FlaskClient):
    answer = client.post("/api/v1/orders", data=raw(example("D-1001")), content_type=JSON)
    assert answer.status_code == 201
    assert answer.headers["Location"] == f"/api/v1/orders/{answer.json['id']}"
    assert "Idempotent-Replay" not in answer.headers
    assert set(answer.json["plans"]) == {"front", "rear"}
    shown = client.get(answer.headers["Location"])
    assert shown.status_code == 200
    assert shown.json["document"] == example("D-1001")
    listed = client.get("/api/v1/orders").json
    assert [order["id"] for order in listed["orders"]] == [answer.json["id"]]
    assert listed["next"] is None


def test_a_repeated_order_gets_the_same_bytes(client: FlaskClient):
    body = raw(example("D-1001"))
    first = client.post("/api/v1/orders", data=body, content_type=JSON)
    again = client.post("/api/v1/orders", data=body, content_type=JSON)
    assert (again.status_code, again.data) == (201, first.data)
    assert again.headers["Idempotent-Replay"] == "true"
    assert again.headers["Location"] == first.headers["Location"]


def test_a_key_is_a_key_with_or_without_quotes(client: FlaskClient):
    body = raw(example("D-1001"))
    keys = ({"Idempotency-Key": '"k-1"'}, {"Idempotency-Key": "k-1"})
    first, again = (
        client.post("/api/v1/orders", data=body, content_type=JSON, headers=key) for key in keys
    )
    assert again.data == first.data
    other = raw(example("D-1001", **{"/number": "D-2"}))
    refused = client.post("/api/v1/orders", data=other, content_type=JSON, headers=keys[1])
    assert (refused.status_code, refused.mimetype) == (422, PROBLEM)
    assert refused.json["type"] == "/problems#key-reused"


@pytest.mark.parametrize("key", ["", " ", "two words", "k" * 201])
def test_a_key_that_is_none_is_refused(client: FlaskClient, key: str):
    headers = {"Idempotency-Key": key}
    answer = client.post(
        "/api/v1/orders", data=raw(example("D-1001")), content_type=JSON, headers=headers
    )
    assert (answer.status_code, answer.mimetype) == (400, PROBLEM)
    assert "Idempotency-Key holds 1 to 200" in answer.json["detail"]


def test_the_same_number_with_other_content_is_a_conflict(client: FlaskClient):
    client.post("/api/v1/orders", data=raw(example("D-1001")), content_type=JSON)
    other = raw(example("D-1001", **{"/note": "another"}))
    answer = client.post("/api/v1/orders", data=other, content_type=JSON)
    assert (answer.status_code, answer.mimetype) == (409, PROBLEM)
    assert answer.json["findings"][0]["code"] == "order.duplicate"
    assert "as revision 2;" in answer.json["findings"][0]["says"]


def test_a_refused_order_gets_every_finding_at_once(client: FlaskClient):
    answer = client.post("/api/v1/orders", data=raw(example("D-1005")), content_type=JSON)
    assert (answer.status_code, answer.mimetype) == (422, PROBLEM)
    blocks = [each for each in answer.json["findings"] if each["severity"] == "block"]
    assert {each["code"].split(".")[0] for each in blocks} >= {"fit", "load", "finish", "order"}
    assert answer.json["detail"].startswith(f"{len(blocks)} findings")
    assert answer.json["status"] == 422


def test_check_stores_nothing_and_says_what_taking_would(client: FlaskClient, workshop: Workshop):
    before = counts(workshop)
    good = client.post("/api/v1/orders/check", data=raw(example("D-1001")), content_type=JSON)
    bad = client.post("/api/v1/orders/check", data=raw(example("D-1005")), content_type=JSON)
    assert (good.status_code, good.json["buildable"], good.json["edition"]) == (200, True, 16)
    assert (bad.status_code, bad.json["buildable"]) == (200, False)
    assert counts(workshop) == before
    refused = client.post("/api/v1/orders", data=raw(example("D-1005")), content_type=JSON)
    assert refused.json["findings"] == bad.json["findings"]


def test_the_list_goes_on_at_the_next_page(client: FlaskClient, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("buildsheet.actions.show_order.PAGE", 2)
    monkeypatch.setattr("buildsheet.web.api.orders.PAGE", 2)
    for number in range(3):
        body = raw(example("D-1001", **{"/number": f"N-{number}"}))
        assert client.post("/api/v1/orders", data=body, content_type=JSON).status_code == 201
    first = client.get("/api/v1/orders").json
    rest = client.get(first["next"]).json
    numbers = [order["number"] for order in [*first["orders"], *rest["orders"]]]
    assert numbers == ["N-2", "N-1", "N-0"]
    assert rest["next"] is None


def test_an_order_on_hold_is_taken_and_its_sheet_waits(client: FlaskClient):
    from tests.actions.test_take_order import on_hold_order

    answer = client.post("/api/v1/orders", data=json.dumps(on_hold_order()), content_type=JSON)
    assert (answer.status_code, answer.json["state"]) == (201, "on-hold")
    for document in ("sheet.pdf", "sheet.svg"):
        sheet = client.get(f"{answer.json['wheels'][0]['wheel']}/{document}")
        assert (sheet.status_code, sheet.mimetype) == (409, PROBLEM)
        assert sheet.json["type"] == "/problems#waits-for-release"


def test_without_a_catalog_the_service_says_so(empty_workshop: Workshop):
    client = create_app(empty_workshop).test_client()
    for route in ("/api/v1/orders", "/api/v1/orders/check"):
        answer = client.post(route, data=raw(example("D-1001")), content_type=JSON)
        assert (answer.status_code, answer.mimetype) == (503, PROBLEM)
        assert answer.json["type"] == "/problems#no-edition"
    assert client.get("/").status_code == 200
    assert client.get("/healthz").json["edition"] is None
