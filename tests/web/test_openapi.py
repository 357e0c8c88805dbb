"""The description is valid, complete, and true: real answers fit the shapes it gives."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator
from openapi_spec_validator import validate

from buildsheet.web.openapi.document import openapi
from tests.actions.test_take_order import on_hold_order
from tests.workshops import example, raw

JSON = "application/json"


@pytest.fixture(scope="module")
def description() -> dict[str, Any]:
    return openapi()


def test_the_description_is_valid_openapi_3_1(description: dict[str, Any]):
    assert description["openapi"].startswith("3.1")
    validate(description)


def test_what_is_served_is_the_description(client: FlaskClient, description: dict[str, Any]):
    assert client.get("/api/v1/openapi.json").json == description


def test_every_route_of_the_api_is_described(client: FlaskClient, description: dict[str, Any]):
    served = {
        (rule.rule.removeprefix("/api/v1").replace("<", "{").replace(">", "}"), method.lower())
        for rule in client.application.url_map.iter_rules()
        for method in rule.methods or set()
        if rule.rule.startswith("/api/v1") and method not in {"HEAD", "OPTIONS"}
    }
    described = {
        (path, method) for path, methods in description["paths"].items() for method in methods
    }
    assert served - described == {("/openapi.json", "get")}
    assert described <= served


def test_every_reference_leads_somewhere(description: dict[str, Any]):
    schemas = description["components"]["schemas"]

    def references(part: object) -> set[str]:
        if isinstance(part, dict):
            own = {part["$ref"]} if isinstance(part.get("$ref"), str) else set()
            return own.union(*map(references, part.values()))
        return set().union(*map(references, part)) if isinstance(part, list) else set()

    found = references(description)
    assert found
    assert {each.removeprefix("#/components/schemas/") for each in found} <= set(schemas)


def fits(description: dict[str, Any], path: str, method: str, answer: Any) -> None:
    """Fails where an answer is not what the description promises for its status and type."""
    described = description["paths"][path][method]["responses"][str(answer.status_code)]
    schema = described["content"][answer.mimetype].get("schema")
    if schema is not None:
        whole = {**schema, "components": description["components"]}
        Draft202012Validator(whole).validate(answer.json)


def test_real_answers_fit_the_description(client: FlaskClient, description: dict[str, Any]):
    def post(path: str, document: object, **more: Any) -> Any:
        answer = client.post(f"/api/v1{path}", data=raw(document), content_type=JSON, **more)
        fits(description, path, "post", answer)
        return answer

    for name in ("D-1001", "D-1002", "D-1005", "D-1007", "D-1008", "D-1009"):
        post("/orders/check", example(name))
        post("/orders", example(name))
    post("/orders", on_hold_order())
    assert post("/orders", example("D-1001", **{"/note": "x"})).status_code == 409
    assert post("/orders", [1]).status_code == 422
    orders = client.get("/api/v1/orders")
    fits(description, "/orders", "get", orders)
    order = client.get(f"/api/v1/orders/{orders.json['orders'][-1]['id']}")
    fits(description, "/orders/{order_id}", "get", order)
    serial = order.json["wheels"][0]["serial"]
    for path in description["paths"]:
        if path.startswith("/wheels/") and "get" in description["paths"][path]:
            answer = client.get("/api/v1" + path.format(serial=serial))
            assert answer.status_code == 200
            fits(description, path, "get", answer)
    for path in ("/finding-codes", "/healthz"):
        fits(description, path, "get", client.get(f"/api/v1{path}"))


def test_every_finding_that_is_said_is_listed(client: FlaskClient):
    listed = {each["code"] for each in client.get("/api/v1/finding-codes").json["codes"]}
    for name in ("D-1001", "D-1005", "D-1007"):
        answer = client.post("/api/v1/orders/check", data=raw(example(name)), content_type=JSON)
        assert {each["code"] for each in answer.json["findings"]} <= listed
