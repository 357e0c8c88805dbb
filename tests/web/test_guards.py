"""What every answer has, whoever made it: the number of its request, once, and headers that close doors."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.workshop import Workshop
from buildsheet.web import problems
from buildsheet.web.access.doors import Doors
from buildsheet.web.app import create_app
from buildsheet.web.guards import HEADERS
from buildsheet.web.observing.watch import RequestLog
from tests.workshops import example, raw

NUMBER = {"X-Request-Id": "shop-a.17"}
ELSEWHERE = {"Host": "elsewhere.example"}
AS_JSON = {"Content-Type": "application/json"}
CROSS_SITE = {"Sec-Fetch-Site": "cross-site", "Cookie": "a=b"}
ORDERS = "/api/v1/orders"

Ask = Callable[[FlaskClient], TestResponse]
ANSWERS: dict[str, tuple[int, Ask]] = {
    "a page": (200, lambda to: to.get("/orders", headers=NUMBER)),
    "a page's head": (200, lambda to: to.head("/orders", headers=NUMBER)),
    "what an address does": (200, lambda to: to.options("/orders", headers=NUMBER)),
    "JSON": (200, lambda to: to.get(ORDERS, headers=NUMBER)),
    "an order": (201, lambda to: to.post(ORDERS, json=example("D-1001"), headers=NUMBER)),
    "a refused order": (422, lambda to: to.post(ORDERS, json={}, headers=NUMBER)),
    "another name": (400, lambda to: to.get(ORDERS, headers=NUMBER | ELSEWHERE)),
    "an order to another name": (
        400,
        lambda to: to.post(ORDERS, json=example("D-1001"), headers=NUMBER | ELSEWHERE),
    ),
    "another site's form": (403, lambda to: to.post("/sign-in", headers=NUMBER | CROSS_SITE)),
    "another site's order": (403, lambda to: to.post(ORDERS, json={}, headers=NUMBER | CROSS_SITE)),
    "nothing": (404, lambda to: to.get("/nothing", headers=NUMBER)),
    "nothing of the API": (404, lambda to: to.get("/api/v1/nothing", headers=NUMBER)),
    "no way to ask": (405, lambda to: to.delete("/api/v1/orders", headers=NUMBER)),
    "a style": (200, lambda to: to.get("/static/buildsheet.css", headers=NUMBER)),
    "no style": (404, lambda to: to.get("/static/none.css", headers=NUMBER)),
    "a style that is known": (
        304,
        lambda to: to.get("/static/buildsheet.css", headers=NUMBER | {"If-None-Match": "*"}),
    ),
    "too large": (413, lambda to: to.post(ORDERS, data=b" " * 10**6, headers=NUMBER | AS_JSON)),
    "no JSON": (415, lambda to: to.post(ORDERS, data=b"x", headers=NUMBER)),
}


def held_to_all(answer: TestResponse, number: str = NUMBER["X-Request-Id"]) -> None:
    """Every header that closes a door stands there once, and the number of the request."""
    stand = Counter(name.lower() for name, _ in answer.headers)
    for name in (*HEADERS, "X-Request-Id", "Content-Security-Policy", "Cache-Control"):
        assert stand[name.lower()] == 1, name
    for name, value in HEADERS.items():
        assert answer.headers[name] == value
    assert answer.headers["X-Request-Id"] == number


@pytest.mark.parametrize(("status", "ask"), ANSWERS.values(), ids=ANSWERS)
def test_every_answer_has_its_number_and_its_headers_and_a_line_of_the_log(
    workshop: Workshop, status: int, ask: Ask
):
    heard: list[str] = []
    answer = ask(
        create_app(workshop, log=RequestLog(10, heard.append)).test_client(use_cookies=False)
    )
    assert answer.status_code == status
    held_to_all(answer)
    if answer.is_json and status >= 400:
        assert answer.json["request"] == NUMBER["X-Request-Id"]
    answer.close()
    (line,) = map(json.loads, heard)
    assert (line["request"], line["status"]) == (NUMBER["X-Request-Id"], status)


@pytest.mark.parametrize("address", ["/", "/orders?before=x", "/account"])
def test_whoever_is_led_to_sign_in_gets_them_too(workshop: Workshop, address: str):
    add_person(workshop, "B. Builder", Role.BUILDER, "nine spokes and a half")
    answer = create_app(workshop).test_client().get(address, headers=NUMBER)
    assert answer.status_code == 303
    held_to_all(answer)


def test_whoever_comes_without_tls_gets_them_too(workshop: Workshop):
    doors = Doors(frozenset({"wheels.example"}), behind_proxy=True)
    answer = (
        create_app(workshop, doors)
        .test_client()
        .post(ORDERS, data=raw(example("D-1001")), headers={**NUMBER, "Host": "wheels.example"})
    )
    assert (answer.status_code, answer.json["type"]) == (403, "/problems#needs-tls")
    assert answer.headers["Strict-Transport-Security"]
    held_to_all(answer)


@pytest.mark.parametrize("method", ["GET", "HEAD", "POST"])
def test_the_answer_of_last_resort_has_them_too(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch, method: str
):
    def fails(*_given: object, **_more: object) -> None:
        raise RuntimeError("no page")

    monkeypatch.setattr(problems, "refusal", fails)
    answer = client.open("/nothing", method=method, headers={**NUMBER, "Sec-Fetch-Site": "none"})
    assert answer.status_code == 500
    held_to_all(answer)
    if method == "HEAD":
        assert not answer.data
    else:
        assert answer.json["request"] == NUMBER["X-Request-Id"]


@pytest.mark.parametrize("sent", ["", "<b>", "a" * 65, "bk_0a1b2c3d_x", "a b"])
def test_a_number_that_is_none_is_replaced_by_one_for_this_request_alone(
    client: FlaskClient, sent: str
):
    given = {
        client.get("/healthz", headers={"X-Request-Id": sent}).headers["X-Request-Id"] for _ in "ab"
    }
    assert len(given) == 2
    assert all(len(number) == 16 for number in given)


@pytest.mark.parametrize(
    "address", [ORDERS, "/api/v1/catalog/editions", "/api/v1/healthz", "/orders"]
)
def test_a_head_says_of_an_answer_what_the_answer_says_of_itself(client: FlaskClient, address: str):
    whole, head = client.get(address, headers=NUMBER), client.head(address, headers=NUMBER)
    assert not head.data
    assert head.status_code == whole.status_code == 200
    assert head.headers["Content-Length"] == whole.headers["Content-Length"] == str(len(whole.data))
    assert head.headers["Content-Type"] == whole.headers["Content-Type"]


def test_an_order_beyond_ascii_is_answered_with_the_length_of_its_bytes(client: FlaskClient):
    posted = client.post(ORDERS, json=example("D-1001", **{"/note": "für Ålesund 車輪"}))
    again = client.post(ORDERS, json=example("D-1001", **{"/note": "für Ålesund 車輪"}))
    shown = client.get(posted.headers["Location"])
    assert (posted.status_code, again.headers["Idempotent-Replay"]) == (201, "true")
    for answer in (posted, again, shown):
        assert answer.headers["Content-Length"] == str(len(answer.data))
        assert [name for name, _ in answer.headers].count("Content-Length") == 1
        assert answer.headers["Content-Type"] == "application/json"


def test_whoever_comes_by_another_name_is_told_nothing_about_what_there_is(workshop: Workshop):
    """It is refused before anybody looks whether there is such an address, or who asks."""
    app: Flask = create_app(workshop)
    client = app.test_client()
    told = {
        client.open(address, method=method, headers=NUMBER | ELSEWHERE | CROSS_SITE).data
        for address in ("/", "/nothing", ORDERS, "/api/v1/nothing", "/sign-in")
        for method in ("GET", "POST", "DELETE")
    }
    assert len(told) == 1
