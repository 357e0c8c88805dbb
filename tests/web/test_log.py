"""The log: a line of JSON for every request, and in none of them anything that was sent."""

from __future__ import annotations

import json
import logging
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from buildsheet.actions.people.keys import add_key
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.people.signing_in import sign_in
from buildsheet.actions.workshop import Workshop
from buildsheet.errors import WorldError
from buildsheet.web.app import create_app
from buildsheet.web.observing.lines import (
    MOST_BYTES,
    JsonLines,
    logging_config,
    now_text,
    time_text,
)
from buildsheet.web.observing.watch import RequestLog
from tests.workshops import example, raw

JSON = "application/json"
PASSWORD = "nine spokes and a half"
SAME_ORIGIN = {"Sec-Fetch-Site": "same-origin"}
RFC_3339 = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z")


class Heard(logging.Handler):
    """Every line of requests and of the program, as they would stand on standard error."""

    def __init__(self) -> None:
        super().__init__()
        self.text: list[str] = []
        self.setFormatter(JsonLines())

    def emit(self, record: logging.LogRecord) -> None:
        self.text.append(self.format(record))

    def lines(self) -> list[dict[str, Any]]:
        return [json.loads(line) for line in self.text]


@pytest.fixture
def heard() -> Iterator[Heard]:
    handler, log = Heard(), logging.getLogger("buildsheet")
    log.addHandler(handler)
    yield handler
    log.removeHandler(handler)


@pytest.fixture
def app(workshop: Workshop, heard: Heard) -> Flask:
    return create_app(workshop, log=RequestLog(logging.INFO, heard.text.append))


def test_a_request_is_one_line(app: Flask, heard: Heard):
    client = app.test_client()
    client.get("/api/v1/orders?before=nonsense", headers={"X-Request-Id": "shop-a.17"})
    (line,) = heard.lines()
    assert RFC_3339.fullmatch(line.pop("time"))
    assert 0.0 < line.pop("duration_ms") < 60_000.0
    assert line == {
        "level": "info",
        "request": "shop-a.17",
        "method": "GET",
        "route": "/api/v1/orders",
        "status": 400,
        "problem": "bad-request",
    }


def test_a_line_names_the_order_or_the_wheel_in_its_own_form_only(app: Flask, heard: Heard):
    client = app.test_client()
    client.post("/api/v1/orders", data=raw(example("D-1001")), content_type=JSON)
    order = client.get("/api/v1/orders").json["orders"][0]["id"]
    client.get(f"/api/v1/orders/{order}")
    client.get("/api/v1/orders/A31-00001-X'or'1")
    client.get("/api/v1/wheels/W31-99999-X")
    told = [(line.get("order"), line.get("wheel")) for line in heard.lines()[2:]]
    assert told == [(order, None), (None, None), (None, "W31-99999-X")]


def test_the_code_of_a_sheet_and_an_address_that_is_nowhere_are_not_told(app: Flask, heard: Heard):
    client = app.test_client()
    for path in ("/w/0123456789abcdef", "/w/0123456789abcdef/state", "/0123456789abcdef"):
        client.get(path)
    assert [line["route"] for line in heard.lines()] == ["/w/<code>", "/w/<code>/state", "(none)"]
    assert "0123456789abcdef" not in "".join(heard.text)


def test_a_line_says_who_asked(app: Flask, heard: Heard, workshop: Workshop):
    key = add_key(workshop, "shop-a", Role.INTAKE)
    add_person(workshop, 'O. "Owner"', Role.OWNER, PASSWORD)
    session = sign_in(workshop, 'O. "Owner"', PASSWORD, "192.0.2.7")
    assert session is not None
    client = app.test_client()
    client.get("/api/v1/orders", headers={"Authorization": f"Bearer {key.text}"})
    client.get("/api/v1/orders")
    client.set_cookie("buildsheet_session", session.secret)
    client.get("/orders")
    lines = heard.lines()
    who = [(line.get("role"), line.get("who")) for line in lines]
    assert who == [("intake", "shop-a"), (None, None), ("owner", 'O. "Owner"')]
    assert lines[1]["problem"] == "not-signed-in"


def test_what_is_asked_all_day_is_said_only_when_it_is_refused(
    app: Flask, heard: Heard, monkeypatch: pytest.MonkeyPatch
):
    client = app.test_client()
    for path in ("/healthz", "/metrics", "/static/buildsheet.css", "/static/nothing.css"):
        client.get(path).close()

    def full(*given: object) -> None:
        raise WorldError("database or disk is full")

    monkeypatch.setattr("buildsheet.actions.health.heartbeat.beat", full)
    client.get("/healthz")
    told = [(line["route"], line["status"], line["level"]) for line in heard.lines()]
    assert told == [
        ("/static/<path:filename>", 404, "info"),
        ("/healthz", 503, "error"),
    ]


def test_the_time_of_a_line_is_the_clocks(monkeypatch: pytest.MonkeyPatch):
    first = datetime(2031, 5, 1, 8, 0, 0, tzinfo=UTC)
    for later_ms in (0, 1, 999, 1000, 59_500, 86_399_999, 3):
        moment = first + timedelta(milliseconds=later_ms)
        # A tenth of a millisecond more: a float does not hold every millisecond exactly.
        clock_s = [moment.timestamp() + 1e-4]
        monkeypatch.setattr("buildsheet.web.observing.lines.time", clock_s.pop)
        assert now_text() == time_text(moment)


def test_from_level_warning_on_only_faults_are_said(workshop: Workshop, heard: Heard):
    client = create_app(workshop, log=RequestLog(logging.WARNING, heard.text.append)).test_client()
    client.get("/api/v1/orders")
    client.get("/api/v1/nothing")
    assert heard.text == []


def broken(app: Flask, message: str) -> None:
    """Let one route fail with an exception that repeats what it was given."""

    def fail(**given: object) -> None:
        try:
            {}[message]
        except KeyError as error:
            raise ZeroDivisionError(f"{message} {given}") from error

    app.view_functions.update({"api.take_posted": fail, "pages.board": fail})  # type: ignore[dict-item]


def test_a_fault_is_logged_with_its_place_and_the_number_that_the_sender_sees(
    app: Flask, heard: Heard
):
    broken(app, "secret of the house")
    answer = app.test_client().post("/api/v1/orders", data=b"{}", content_type=JSON)
    assert answer.status_code == 500
    fault, request = heard.lines()
    assert fault["request"] == request["request"] == answer.json["request"]
    assert (fault["level"], request["level"], request["problem"]) == ("error", "error", "fault")
    assert fault["route"] == "/api/v1/orders"
    assert fault["fault"]["types"] == ["ZeroDivisionError", "KeyError"]
    assert re.fullmatch(
        r"tests/web/test_log\.py:\d+ broken\.<locals>\.fail", fault["fault"]["at"][-1]
    )
    assert "secret of the house" not in "".join(heard.text)


def test_a_fault_while_a_fault_is_answered_is_answered_too(
    app: Flask, heard: Heard, monkeypatch: pytest.MonkeyPatch
):
    def no_page(*given: object, **more: object) -> None:
        raise RuntimeError("no template")

    app.view_functions["pages.bench_page"] = no_page  # type: ignore[assignment]
    monkeypatch.setattr("buildsheet.web.problems.render_template", no_page)
    answer = app.test_client().get("/w/0123456789abcdef")
    assert (answer.status_code, answer.json["type"]) == (500, "/problems#fault")
    last = heard.lines()[-1]
    assert last["request"] == answer.json["request"] == answer.headers["X-Request-Id"]
    assert last["fault"]["types"][0] == "RuntimeError"
    assert len(heard.text) == 3, (
        "the fault, the fault of its page, and that of the framework's way out"
    )
    assert "0123456789abcdef" not in "".join(heard.text)


def test_a_fault_in_the_last_touch_to_an_answer_is_told_without_its_address(
    app: Flask, heard: Heard
):
    def clumsy(response: object) -> None:
        raise RuntimeError

    app.after_request(clumsy)
    answer = app.test_client().get("/w/0123456789abcdef/state")
    assert answer.status_code == 500
    assert heard.lines()[0]["route"] == "/w/<code>/state"
    assert "0123456789abcdef" not in "".join(heard.text)


def deep(levels: int) -> None:
    if levels == 0:
        raise RecursionError
    deep(levels - 1)


def test_a_line_is_short_enough_to_come_whole(heard: Heard):
    log = logging.getLogger("buildsheet.web")
    try:
        deep(400)
    except RecursionError as error:
        log.error("%s", "\N{SPOUTING WHALE}" * 5000, exc_info=error)  # noqa: TRY400 - as the program does
    (line,) = heard.text
    assert len(line.encode()) < MOST_BYTES
    assert line.isascii()
    at = json.loads(line)["fault"]["at"]
    assert at == [] or at[-1].endswith("deep")


def test_every_logger_of_a_worker_speaks_in_lines():
    """The server sets up logging by this; here in a process of its own."""
    script = (
        "import logging, logging.config, warnings, threading\n"
        "from buildsheet.web.observing.lines import logging_config, take_over\n"
        "logging.config.dictConfig({'version': 1, **logging_config('info')})\n"
        "take_over()\n"
        "logging.getLogger('_granian').info('begun')\n"
        "logging.getLogger('buildsheet.web').info('a word')\n"
        "logging.getLogger('somebody.else').warning('careful')\n"
        "warnings.warn('old')\n"
        "thread = threading.Thread(target=lambda: {}['secret'])\n"
        "thread.start()\n"
        "thread.join()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    lines = [json.loads(line) for line in done.stderr.splitlines()]
    assert [line["logger"] for line in lines] == [
        "_granian",
        "buildsheet.web",
        "somebody.else",
        "py.warnings",
        "buildsheet",
    ]
    assert lines[-1]["fault"]["types"] == ["KeyError"]
    assert "secret" not in done.stderr
    assert logging_config("warning")["loggers"]["buildsheet"]["level"] == logging.WARNING


def test_a_worker_that_cannot_start_says_why_in_a_line(tmp_path: Path):
    script = (
        "import logging.config\n"
        "from buildsheet.web.observing.lines import logging_config\n"
        "from buildsheet.web import app\n"
        "logging.config.dictConfig({'version': 1, **logging_config('info')})\n"
        "if '/broken' in app.os.environ['BUILDSHEET_DB']: app.create_app = None\n"
        "app.from_environment()\n"
    )
    (tmp_path / "no-file.db").mkdir()
    for name in ("no-file.db", "broken.db"):
        done = subprocess.run(
            [sys.executable, "-c", script],
            env={**os.environ, "BUILDSHEET_DB": str(tmp_path / name)},
            capture_output=True,
            text=True,
            check=False,
        )
        (line,) = [json.loads(each) for each in done.stderr.splitlines()]
        assert done.returncode == 1
        assert line["says"].startswith("a worker cannot start")
        assert ("fault" in line) == (name == "broken.db")


# ---- secrets ---------------------------------------------------------------------

SECRETS = some.one_of(
    some.text(some.characters(codec="ascii", categories=("L", "N")), min_size=12, max_size=40),
    some.text(
        some.characters(codec="utf-8", exclude_characters="\x00\r\n"), min_size=12, max_size=30
    ),
)
PLACES = (
    "bearer", "basic", "cookie", "session", "header", "query", "path", "code", "form", "password",
    "name", "member", "value", "key", "type", "method", "host", "origin", "agent",
)  # fmt: skip


def ascii_form(text: str) -> str:
    return "".join(f"{ord(each):x}" for each in text)[:40]


def send(app: Flask, place: str, secret: str) -> None:
    """One request with a secret somewhere, as somebody might send it by mistake or on purpose."""
    plain = secret if secret.isascii() else ascii_form(secret)
    order, client = {**example("D-1001"), "number": "S-1"}, app.test_client()
    headers = {
        "bearer": {"Authorization": f"Bearer {plain}"},
        "basic": {"Authorization": f"Basic {plain}"},
        "header": {f"X-{plain[:8]}-Secret": plain, "X-Signature": plain},
        "key": {"Idempotency-Key": plain, "If-Match": plain},
        "host": {"Host": plain},
        "origin": {"Origin": f"https://{plain}", "Referer": f"https://{plain}/"},
        "agent": {"User-Agent": plain, "X-Forwarded-For": plain, "Accept-Language": plain},
    }.get(place, {})
    if place in ("cookie", "session"):
        client.set_cookie("buildsheet_session" if place == "session" else "other", plain)
    post = {"headers": headers, "content_type": JSON}
    if place in ("form", "password", "name"):
        fields = {"name": "O. Owner", "password": PASSWORD, "next": "/"}
        fields[{"form": "next"}.get(place, place)] = secret
        client.post("/sign-in", data=fields, headers=SAME_ORIGIN)
        client.post("/orders/new", data={"order": secret, "deed": "take"}, headers=SAME_ORIGIN)
    elif place == "query":
        client.get("/find", query_string={"q": secret, secret: secret})
    elif place == "path":
        client.get(f"/{secret}/{secret}")
        client.get(f"/catalog/rules/{secret}")
        client.get(f"/api/v1/wheels/{secret}/plan")
    elif place == "code":
        client.get(f"/w/{secret}")
        client.post(f"/w/{secret}/{secret}", headers=SAME_ORIGIN)
    elif place == "member":
        client.post("/api/v1/orders", data=raw({**order, secret: 1}), **post)
    elif place == "value":
        client.post("/api/v1/orders", data=raw({**order, "note": secret, "source": secret}), **post)
        client.post("/api/v1/orders", data=secret.encode(), **post)
    elif place == "type":
        client.post("/api/v1/orders", data=b"{}", content_type=f"application/{plain}")
    elif place == "method":
        client.open("/api/v1/orders", method=plain)
    else:
        client.get("/api/v1/orders", headers=headers)
        client.get("/", headers=headers)
        client.post("/api/v1/orders", data=raw(order), **post)


@pytest.fixture(params=["open", "closed", "broken"])
def house(request: pytest.FixtureRequest, app: Flask, workshop: Workshop) -> Flask:
    """A workshop that asks nobody, one that asks everybody, and one whose program has faults."""
    if request.param == "closed":
        add_person(workshop, "O. Owner", Role.OWNER, PASSWORD)
    return app


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(secret=SECRETS, place=some.sampled_from(PLACES))
def test_nothing_that_was_sent_is_ever_in_the_log(
    request: pytest.FixtureRequest, house: Flask, heard: Heard, secret: str, place: str
):
    if "broken" in request.node.name:
        broken(house, secret)
    heard.text.clear()
    send(house, place, secret)
    said = "\n".join(heard.text)
    assert said
    for form in {secret, ascii_form(secret), json.dumps(secret)[1:-1]}:
        assert form not in said
    assert PASSWORD not in said
    for line in heard.text:
        assert set(json.loads(line)) <= {
            "time", "level", "logger", "says", "request", "route", "method", "status",
            "duration_ms", "role", "who", "problem", "order", "wheel", "fault",
        }  # fmt: skip
