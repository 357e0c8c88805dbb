"""Who may do what: every route of the service is tried by everybody, and the matrix holds exactly."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.routing import Rule

from buildsheet.actions.people.keys import add_key, revoke_key
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import PEOPLE, Role
from buildsheet.actions.people.signing_in import sign_in
from buildsheet.actions.workshop import Workshop
from buildsheet.web.access.matrix import ANYONE, MATRIX
from buildsheet.web.app import create_app

PASSWORD = "nine spokes and a half"
COOKIE = "buildsheet_session"
SAME_ORIGIN = {"Sec-Fetch-Site": "same-origin"}
_PLACE = re.compile(r"<(?:(?P<kind>[^:<>]+):)?(?P<name>[^<>]+)>")


@dataclass(frozen=True)
class Actor:
    """Somebody who asks: ``role`` None for whoever is nobody here, ``api_only`` for a key."""

    name: str
    role: Role | None
    headers: Mapping[str, str] = field(default_factory=dict)
    session: str = ""
    api_only: bool = False


@dataclass(frozen=True)
class House:
    """A closed workshop behind its application, and everybody who may come."""

    workshop: Workshop
    app: Flask
    actors: tuple[Actor, ...]


def bearer(text: str) -> dict[str, str]:
    return {"Authorization": f"Bearer {text}"}


@pytest.fixture
def house(empty_workshop: Workshop) -> House:
    made = {role: add_key(empty_workshop, f"key-{role}", role).text for role in Role}
    gone = add_key(empty_workshop, "gone", Role.OWNER)
    revoke_key(empty_workshop, "gone")
    right = made[Role.OWNER]
    wrong = right[:-2] + ("AA" if right[-2:] != "AA" else "BB")
    actors = [
        Actor("nobody", None),
        Actor("a key that never was", None, bearer(f"bk_0a1b2c3d_{'x' * 43}")),
        Actor("an owner's key with a slip", None, bearer(wrong)),
        Actor("a revoked key", None, bearer(gone.text)),
        Actor("a key without its scheme", None, {"Authorization": right}),
        Actor("a session that never was", None, session="x" * 43),
    ]
    actors += [Actor(f"{role} by key", role, bearer(made[role]), api_only=True) for role in Role]
    for role in sorted(PEOPLE):
        add_person(empty_workshop, f"Person {role}", role, PASSWORD)
        signed = sign_in(empty_workshop, f"Person {role}", PASSWORD, "192.0.2.7")
        assert signed is not None
        actors.append(Actor(f"{role} signed in", role, session=signed.secret))
    return House(empty_workshop, create_app(empty_workshop), tuple(actors))


def requests_of(app: Flask) -> Iterator[tuple[str, str, Rule]]:
    """Method, address and rule of everything that can be asked."""
    places = app.url_map.bind("localhost")
    for rule in app.url_map.iter_rules():
        address = _PLACE.sub(_value, rule.rule)
        for method in sorted((rule.methods or set()) - {"OPTIONS"}):
            assert places.match(address, method)[0] == rule.endpoint, f"{method} {address}"
            yield method, address, rule


def _value(place: re.Match[str]) -> str:
    """Something that may stand at a place of a rule: a number, one of a list, a file, any word."""
    if place["kind"] and place["kind"].startswith("any("):
        return place["kind"].removeprefix("any(").split(",")[0].strip(" )'\"")
    return {"int": "1", "path": "buildsheet.css"}.get(place["kind"] or "", "nothing-here")


def entry_of(method: str, rule: Rule) -> str:
    return f"{'GET' if method == 'HEAD' else method} {rule.rule}"


def ask(house: House, actor: Actor, method: str, address: str) -> str:
    """What became of a request: ``asked`` who they are, ``refused`` for their role, or ``let in``."""
    client = house.app.test_client()
    if actor.session:
        client.set_cookie(COOKIE, actor.session)
    answer = client.open(address, method=method, headers={**SAME_ORIGIN, **actor.headers})
    where = answer.headers.get("Location", "")
    if answer.status_code == 401 or where.startswith("/sign-in?next="):
        return "asked"
    return "refused" if answer.status_code == 403 else "let in"


def expected(entry: str, actor: Actor) -> str:
    allowed = MATRIX[entry]
    if allowed is None:
        return "let in"
    page = " /api/" not in entry and entry != "GET /metrics"
    if actor.role is None or (page and actor.api_only):
        return "asked"
    return "let in" if actor.role in allowed else "refused"


def test_every_route_has_an_entry_and_every_entry_a_route(house: House):
    routes = {entry_of(method, rule) for method, _, rule in requests_of(house.app)}
    assert routes - set(MATRIX) == set(), "routes that nobody may use: say who may in the matrix"
    assert set(MATRIX) - routes == set(), "entries of routes that are gone"


def test_everybody_gets_exactly_what_the_matrix_says_at_every_route(house: House):
    tried = 0
    reached: list[str] = []

    def reach(**values: object) -> str:
        reached.append(f"{values}")
        return "reached"

    # What a route would do is not the question here, and some would do it.
    for endpoint in house.app.view_functions:
        house.app.view_functions[endpoint] = reach
    for method, address, rule in requests_of(house.app):
        entry = entry_of(method, rule)
        for actor in house.actors:
            before = len(reached)
            got = ask(house, actor, method, address)
            assert got == expected(entry, actor), f"{actor.name}: {method} {address}"
            assert (len(reached) > before) == (got == "let in"), f"{actor.name}: {method} {address}"
            tried += 1
    assert tried > 100 * len(house.actors)


def roles(entry: str) -> set[str]:
    return {role.value for role in MATRIX[entry] or ()}


def test_the_matrix_says_what_the_roles_are_for():
    """Written down a second time, by hand, for whoever changes the matrix by a slip."""
    for entry in ("POST /api/v1/orders", "POST /api/v1/orders/check", "POST /api/v1/choices"):
        assert roles(entry) == {"intake", "manager", "owner"}
    for entry in ("GET /w/<code>", "POST /api/v1/wheels/<serial>/readings", "GET /"):
        assert roles(entry) == {"builder", "manager", "owner"}
    for entry in (
        "POST /api/v1/catalog/draft/publish",
        "POST /api/v1/orders/<order_id>/approve",
        "POST /api/v1/stock/movements",
    ):
        assert roles(entry) == {"manager", "owner"}
    intake = {entry for entry, allowed in MATRIX.items() if allowed and Role.INTAKE in allowed}
    assert not [entry for entry in intake if "wheel" in entry or "catalog" in entry]
    watched = {entry for entry, allowed in MATRIX.items() if allowed and Role.WATCH in allowed}
    assert watched == {"GET /metrics"}
    assert roles("GET /metrics") == {"owner", "watch"}
    changing = [entry for entry in MATRIX if not entry.startswith("GET ")]
    anybody = {entry for entry in changing if MATRIX[entry] is ANYONE}
    assert anybody == {"POST /sign-in", "POST /sign-out"}


def test_a_route_without_an_entry_is_open_to_nobody(house: House):
    house.app.add_url_rule("/api/v1/forgotten", view_func=lambda: "reached")
    for actor in house.actors:
        assert ask(house, actor, "GET", "/api/v1/forgotten") != "let in"


def test_what_is_nowhere_is_told_only_to_who_is_known(house: House):
    for actor in house.actors:
        for address in ("/api/v1/nothing", "/nothing"):
            page = not address.startswith("/api/")
            known = actor.role is not None and not (page and actor.api_only)
            assert ask(house, actor, "GET", address) == ("let in" if known else "asked")


def test_a_preflight_is_no_way_in(house: House):
    for actor in house.actors:
        got = ask(house, actor, "OPTIONS", "/api/v1/wheels")
        assert got == expected("GET /api/v1/wheels", actor)


def test_a_system_is_told_how_to_say_who_it_is(house: House):
    answer = house.app.test_client().get("/api/v1/orders")
    assert (answer.status_code, answer.mimetype) == (401, "application/problem+json")
    assert answer.headers["WWW-Authenticate"].startswith("Bearer")
    assert answer.json["type"] == "/problems#not-signed-in"


def test_a_wrong_key_is_not_helped_by_a_session(house: House):
    owner = next(actor for actor in house.actors if actor.name == "owner signed in")
    mixed = Actor("both", None, bearer("bk_0a1b2c3d_" + "x" * 43), session=owner.session)
    assert ask(house, mixed, "GET", "/api/v1/orders") == "asked"


@pytest.fixture
def client(house: House) -> FlaskClient:
    return house.app.test_client()


def test_a_script_and_a_form_are_told_instead_of_led_elsewhere(client: FlaskClient):
    script = client.get("/w/ABC/state", headers={"Sec-Fetch-Dest": "empty"})
    picture = client.get("/catalog/drawing.svg", headers={"Sec-Fetch-Dest": "image"})
    form = client.post("/orders/new", headers=SAME_ORIGIN)
    assert [each.status_code for each in (script, picture, form)] == [401, 401, 401]
    assert "/sign-in" in form.text


def test_a_workshop_without_people_asks_nobody_until_the_first_key(empty_workshop: Workshop):
    open_client = create_app(empty_workshop).test_client()
    assert open_client.get("/api/v1/orders").status_code == 200
    assert "nobody is asked who they are" in open_client.get("/").text
    key = add_key(empty_workshop, "shop-a", Role.INTAKE)
    assert open_client.get("/api/v1/orders").status_code == 401
    assert open_client.get("/").status_code == 303
    revoke_key(empty_workshop, key.stored.name)
    assert open_client.get("/api/v1/orders").status_code == 401
    ended = open_client.get("/api/v1/orders", headers=bearer(key.text))
    assert ended.get_json()["detail"].startswith("The key that was sent opens nothing")
    assert create_app(empty_workshop).test_client().get("/").status_code == 303
