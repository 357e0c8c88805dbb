"""By which names the service is called, and what stands between it and the world."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.workshop import Workshop
from buildsheet.web.access.doors import Doors, doors_from_environment, is_known_host
from buildsheet.web.app import create_app

PASSWORD = "nine spokes and a half"
PROXIED = Doors(frozenset({"wheels.example"}), behind_proxy=True)
OVER_TLS = {
    "Host": "wheels.example",
    "X-Forwarded-Proto": "https",
    "X-Forwarded-For": "198.51.100.9",
    "Sec-Fetch-Site": "same-origin",
}


@pytest.fixture
def proxied(empty_workshop: Workshop) -> FlaskClient:
    """The service as a proxy with TLS reaches it."""
    add_person(empty_workshop, "B. Builder", Role.BUILDER, PASSWORD)
    return create_app(empty_workshop, PROXIED).test_client(use_cookies=False)


@pytest.mark.parametrize(
    ("host", "plain", "behind_proxy"),
    [
        ("localhost:8000", True, True),
        ("LOCALHOST", True, True),
        ("127.0.0.1:8000", True, True),
        ("[::1]:8000", True, True),
        ("wheels.example", True, True),
        ("wheels.example.:443", True, True),
        ("192.0.2.7:8000", True, False),
        ("elsewhere.example", False, False),
        ("wheels.example.elsewhere.example", False, False),
        ("localhost.elsewhere.example", False, False),
        ("127.0.0.1.elsewhere.example", False, False),
        ("[::1", False, False),
        ("[elsewhere.example]", False, False),
        ("wheels.example@elsewhere.example", False, False),
        ("", False, False),
    ],
)
def test_a_name_is_known_or_not(host: str, plain: bool, behind_proxy: bool):
    assert is_known_host(host, Doors(PROXIED.hosts)) is plain
    assert is_known_host(host, PROXIED) is behind_proxy


def test_a_page_elsewhere_cannot_point_its_own_name_here(empty_workshop: Workshop):
    client = create_app(empty_workshop).test_client()
    for address in ("/", "/api/v1/orders", "/healthz", "/nothing", "/static/buildsheet.css"):
        answer = client.get(address, headers={"Host": "elsewhere.example"})
        assert answer.status_code == 400
        assert "elsewhere.example" not in answer.text
    assert client.get("/healthz", headers={"Host": "127.0.0.1:8000"}).status_code == 200


@pytest.mark.parametrize("host", ["", "[", "x:y:z", "a" * 5000, "\u00ff", "a/b", "localhost:x y"])
def test_a_name_that_is_none_is_refused_and_breaks_nothing(empty_workshop: Workshop, host: str):
    client = create_app(empty_workshop).test_client()
    for address in ("/sign-in", "/api/v1/orders", "/nothing"):
        for ask in (client.get, client.post):
            assert ask(address, headers={"Host": host}).status_code == 400


def test_behind_a_proxy_nothing_but_health_is_answered_without_tls(proxied: FlaskClient):
    plain = {**OVER_TLS, "X-Forwarded-Proto": "http"}
    for address in ("/", "/sign-in", "/api/v1/orders"):
        assert proxied.get(address, headers=plain).status_code == 403
        assert proxied.get(address, headers={"Host": "localhost"}).status_code == 403
    assert proxied.get("/sign-in", headers=OVER_TLS).status_code == 200
    assert proxied.get("/healthz", headers={"Host": "localhost"}).status_code == 200


def test_behind_a_proxy_the_cookie_travels_over_tls_alone(proxied: FlaskClient):
    form = {"name": "B. Builder", "password": PASSWORD}
    answer = proxied.post("/sign-in", data=form, headers=OVER_TLS)
    assert answer.status_code == 303
    given = answer.headers["Set-Cookie"]
    assert given.startswith("__Host-buildsheet_session=")
    assert "Secure" in {word.strip() for word in given.split(";")}
    assert answer.headers["Strict-Transport-Security"] == "max-age=31536000"
    inside = {**OVER_TLS, "Cookie": given.partition(";")[0]}
    assert proxied.get("/account", headers=inside).status_code == 200


def test_behind_a_proxy_a_forms_origin_is_the_address_with_tls(proxied: FlaskClient):
    old_browser = {name: value for name, value in OVER_TLS.items() if name != "Sec-Fetch-Site"}
    form = {"name": "B. Builder", "password": PASSWORD}
    for origin, status in (
        ("https://wheels.example", 303),
        ("http://wheels.example", 403),
        ("https://elsewhere.example", 403),
    ):
        headers = {**old_browser, "Origin": origin}
        assert proxied.post("/sign-in", data=form, headers=headers).status_code == status


def test_behind_a_proxy_tries_are_counted_by_the_address_that_the_proxy_saw(proxied: FlaskClient):
    for number in range(30):
        # What the visitor claimed stands before what the proxy added.
        claimed = {**OVER_TLS, "X-Forwarded-For": f"203.0.113.{number}, 198.51.100.9"}
        tried = proxied.post("/sign-in", data={"name": f"N {number}"}, headers=claimed)
        assert tried.status_code == 422
    assert proxied.post("/sign-in", data={"name": "N"}, headers=OVER_TLS).status_code == 429
    other = {**OVER_TLS, "X-Forwarded-For": "198.51.100.10"}
    assert proxied.post("/sign-in", data={"name": "N"}, headers=other).status_code == 422


def test_workers_find_the_doors_in_their_environment(monkeypatch: pytest.MonkeyPatch):
    assert doors_from_environment() == Doors()
    monkeypatch.setenv("BUILDSHEET_HOSTS", "Wheels.example, desk.example")
    monkeypatch.setenv("BUILDSHEET_BEHIND_PROXY", "1")
    names = frozenset({"wheels.example", "desk.example"})
    assert doors_from_environment() == Doors(names, behind_proxy=True)
