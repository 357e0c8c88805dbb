"""Every refusal is a problem document for systems, a page for people, and never a traceback."""

from __future__ import annotations

import logging
import resource
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.workshop import Workshop
from buildsheet.errors import WorldError
from buildsheet.web.app import create_app
from buildsheet.web.problems import KINDS
from tests.workshops import example, raw

PROBLEM = "application/problem+json"


@pytest.mark.parametrize(
    "path",
    [
        "/api/v1/nothing",
        "/api/v1/orders/A31-99999-X",
        "/api/v1/wheels/W31-99999-X",
        "/api/v1/wheels/W31-99999-X/plan",
        "/api/v1/wheels/W31-99999-X/sheet.pdf",
        "/api/v1/wheels/%2e%2e%2f/sheet.pdf",
        "/api/v1/wheels/\u0000/plan",
    ],
)
def test_what_is_not_there_is_a_problem(client: FlaskClient, path: str):
    answer = client.get(path)
    assert (answer.status_code, answer.mimetype) == (404, PROBLEM)
    assert answer.json["findings"] == []
    assert answer.json["type"] == "/problems#not-found"


def test_a_method_that_is_not_there_keeps_what_is(client: FlaskClient):
    answer = client.delete("/api/v1/orders")
    assert (answer.status_code, answer.mimetype) == (405, PROBLEM)
    assert {"GET", "POST"} <= set(answer.headers["Allow"].split(", "))


def test_every_kind_is_explained_at_the_address_it_names(client: FlaskClient):
    page = client.get("/problems").text
    for slug in KINDS:
        assert f'id="{slug}"' in page


def test_a_request_has_a_number_and_keeps_a_decent_one(client: FlaskClient):
    own = client.get("/api/v1/nothing")
    assert own.headers["X-Request-Id"] == own.json["request"]
    given = client.get("/api/v1/nothing", headers={"X-Request-Id": "shop-a.2031-05-01.17"})
    assert given.headers["X-Request-Id"] == given.json["request"] == "shop-a.2031-05-01.17"
    bad = client.get("/api/v1/nothing", headers={"X-Request-Id": "<script>"})
    assert bad.json["request"] != "<script>"
    key = client.get("/api/v1/nothing", headers={"X-Request-Id": f"bk_0a1b2c3d_{'x' * 43}"})
    assert "bk_0a1b2c3d" not in key.json["request"]
    assert client.get("/api/v1/nothing", headers={"X-Request-Id": "7"}).json["request"] == "7"


def test_a_fault_of_the_program_shows_no_traceback(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
):
    def broken(*given: object) -> None:
        raise ZeroDivisionError("secret of the house")

    monkeypatch.setattr("buildsheet.web.api.orders.take_order", broken)
    with caplog.at_level(logging.ERROR):
        answer = client.post(
            "/api/v1/orders", data=raw(example("D-1001")), content_type="application/json"
        )
    assert (answer.status_code, answer.mimetype) == (500, PROBLEM)
    assert "secret" not in answer.text
    (record,) = [each for each in caplog.records if each.exc_info]
    assert vars(record)["request"] == answer.json["request"]
    assert isinstance(record.exc_info and record.exc_info[1], ZeroDivisionError)


def test_a_disk_that_says_no_is_not_the_senders_fault(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
):
    def full(*given: object) -> None:
        raise WorldError("/srv/secret/workshop.db: database or disk is full")

    monkeypatch.setattr("buildsheet.web.api.orders.take_order", full)
    answer = client.post(
        "/api/v1/orders", data=raw(example("D-1001")), content_type="application/json"
    )
    assert (answer.status_code, answer.json["type"]) == (503, "/problems#record-unavailable")
    assert "Retry-After" in answer.headers
    assert "/srv/secret" not in answer.text


def test_health_says_when_the_file_cannot_be_written(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
):
    client = create_app(workshop).test_client()
    well = client.get("/api/v1/healthz")
    assert (well.status_code, well.json["database"], well.json["edition"]) == (200, "writable", 16)

    def full(*given: object) -> None:
        raise WorldError("database or disk is full")

    monkeypatch.setattr("buildsheet.actions.health.heartbeat.beat", full)
    ill = client.get("/healthz")
    assert (ill.status_code, ill.json["database"]) == (503, "not writable")


@contextmanager
def full_disk() -> Iterator[None]:
    """No file of this process may grow meanwhile: what the engine gets from a disk that is full."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def test_health_on_a_disk_that_is_full_and_has_room_again(client: FlaskClient):
    order = {"data": raw(example("D-1001")), "content_type": "application/json"}
    with full_disk():
        ill = client.get("/healthz")
        seen = client.get("/api/v1/orders")
        refused = client.post("/api/v1/orders", **order)
        figures = client.get("/metrics")
    assert (ill.status_code, ill.json["database"], ill.json["edition"]) == (
        503,
        "not writable",
        None,
    )
    assert ill.json["up"] is True
    assert seen.status_code == 200, "what is there can be read"
    assert (refused.status_code, refused.json["type"]) == (503, "/problems#record-unavailable")
    assert "buildsheet_database_readable 1.0" in figures.text
    well = client.get("/healthz")
    assert (well.status_code, well.json["database"], well.json["edition"]) == (200, "writable", 16)
    assert client.get("/api/v1/orders").json["orders"] == []
    assert client.post("/api/v1/orders", **order).status_code == 201


def test_health_before_the_first_edition_says_that_there_is_none(empty_workshop: Workshop):
    answer = create_app(empty_workshop).test_client().get("/healthz")
    assert (answer.status_code, answer.json["edition"]) == (200, None)
