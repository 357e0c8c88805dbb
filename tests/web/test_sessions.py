"""Signing in by form: the cookie, its end, other sites' forms, and nothing secret where others read."""

from __future__ import annotations

import json
import logging
from datetime import timedelta

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from buildsheet.actions.desk.draft import the_draft
from buildsheet.actions.moves.move import move_order
from buildsheet.actions.people.keys import add_key
from buildsheet.actions.people.persons import add_person, end_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.people.signing_in import MOST_BY_ADDRESS, MOST_BY_NAME, WINDOW
from buildsheet.actions.show_order import list_orders
from buildsheet.actions.show_wheel import list_wheels
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.web.app import create_app
from tests.workshops import EXAMPLES, example

PASSWORD = "nine spokes and a half"
COOKIE = "buildsheet_session"
SAME_ORIGIN = {"Sec-Fetch-Site": "same-origin"}
ELSEWHERE = {"Sec-Fetch-Site": "cross-site"}


@pytest.fixture
def app(workshop: Workshop) -> Flask:
    """The demo workshop with one order, a builder and somebody for the orders."""
    took = take_order(workshop, (EXAMPLES / "D-1001.json").read_bytes())
    assert took.outcome == "taken"
    add_person(workshop, "B. Builder", Role.BUILDER, PASSWORD)
    add_person(workshop, "I. Intake", Role.INTAKE, PASSWORD)
    return create_app(workshop)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


def sign_in(
    client: FlaskClient, name: str = "B. Builder", password: str = PASSWORD, back: str = ""
) -> TestResponse:
    form = {"name": name, "password": password, "next": back}
    return client.post("/sign-in", data=form, headers=SAME_ORIGIN)


def secret_of(client: FlaskClient) -> str:
    cookie = client.get_cookie(COOKIE)
    assert cookie is not None
    return cookie.value


def holding(app: Flask, secret: str) -> FlaskClient:
    other = app.test_client()
    other.set_cookie(COOKIE, secret)
    return other


def test_a_builder_signs_in_and_comes_to_where_they_wanted(client: FlaskClient):
    asked = client.get("/orders?before=A31-00099-A")
    assert asked.status_code == 303
    form = client.get(asked.headers["Location"])
    assert 'name="next" value="/orders?before=A31-00099-A"' in form.text
    answer = sign_in(client, back="/orders?before=A31-00099-A")
    assert (answer.status_code, answer.headers["Location"]) == (303, "/orders?before=A31-00099-A")
    assert "Signed in as" in client.get("/orders").text


def test_a_place_elsewhere_is_no_place_to_go_to(client: FlaskClient):
    for back in ("//elsewhere.example/", "https://elsewhere.example", "/\\elsewhere.example", "x"):
        assert sign_in(client, back=back).headers["Location"] == "/"
    assert sign_in(client, "I. Intake").headers["Location"] == "/orders"


def test_the_cookie_is_out_of_reach_of_scripts_and_of_other_sites(client: FlaskClient):
    given = sign_in(client).headers["Set-Cookie"]
    words = {word.strip() for word in given.split(";")}
    assert {"HttpOnly", "SameSite=Lax", "Path=/"} <= words
    assert not [word for word in words if word.startswith("Domain")]


def test_every_signing_in_has_a_number_of_its_own_and_the_old_one_ends(
    app: Flask, client: FlaskClient
):
    sign_in(client)
    first = secret_of(client)
    sign_in(client)
    second = secret_of(client)
    assert first != second
    assert holding(app, first).get("/").status_code == 303
    assert holding(app, second).get("/").status_code == 200


def test_signing_out_ends_the_session_in_the_file_too(app: Flask, client: FlaskClient):
    sign_in(client)
    secret = secret_of(client)
    assert client.post("/sign-out", headers=SAME_ORIGIN).status_code == 303
    assert client.get_cookie(COOKIE) is None
    assert holding(app, secret).get("/").status_code == 303


def test_who_has_ended_is_signed_out_at_once(client: FlaskClient, workshop: Workshop):
    sign_in(client)
    assert client.get("/").status_code == 200
    end_person(workshop, "B. Builder")
    assert client.get("/").status_code == 303


def test_another_password_ends_the_sessions_on_every_device(app: Flask, client: FlaskClient):
    sign_in(client)
    phone = app.test_client()
    sign_in(phone)
    new = "eleven words of steel"
    form = {"old": PASSWORD, "new": new, "again": new}
    slips = (
        {**form, "old": "not the right words"},
        {**form, "again": "eleven words of steal"},
        {**form, "new": "short", "again": "short"},
    )
    for slip in slips:
        refused = client.post("/account", data=slip, headers=SAME_ORIGIN)
        assert refused.status_code == 422
        assert not any(value in refused.text for value in slip.values())
    assert phone.get("/").status_code == 200
    changed = client.post("/account", data=form, headers=SAME_ORIGIN)
    assert changed.status_code == 303
    assert [each.get("/").status_code for each in (client, phone)] == [303, 303]
    assert sign_in(client).status_code == 422
    assert sign_in(client, password=new).status_code == 303


def test_a_wrong_name_and_a_wrong_password_look_the_same(client: FlaskClient):
    wrong = sign_in(client, password="not the right words")
    strange = sign_in(client, name="N. Obody", password="not the right words")
    assert wrong.status_code == strange.status_code == 422
    assert wrong.text == strange.text
    assert "Set-Cookie" not in wrong.headers


def test_who_tries_too_often_waits_and_is_told_how_long(client: FlaskClient):
    for _ in range(MOST_BY_NAME):
        assert sign_in(client, password="not the right words").status_code == 422
    answer = sign_in(client)
    assert answer.status_code == 429
    assert int(answer.headers["Retry-After"]) == WINDOW / timedelta(seconds=1)
    assert "15 minutes" in answer.text


def test_an_invented_address_in_a_header_does_not_count_as_another(client: FlaskClient):
    for number in range(MOST_BY_ADDRESS):
        client.post(
            "/sign-in",
            data={"name": f"Name {number}", "password": "x"},
            headers={**SAME_ORIGIN, "X-Forwarded-For": f"192.0.2.{number}"},
        )
    assert sign_in(client).status_code == 429


def test_another_site_can_neither_sign_somebody_in_nor_out(client: FlaskClient):
    form = {"name": "B. Builder", "password": PASSWORD}
    assert client.post("/sign-in", data=form, headers=ELSEWHERE).status_code == 403
    assert client.get_cookie(COOKIE) is None
    sign_in(client)
    assert client.post("/sign-out", headers=ELSEWHERE).status_code == 403
    assert client.get("/").status_code == 200


def test_another_site_cannot_use_the_session_through_the_api(
    client: FlaskClient, workshop: Workshop
):
    sign_in(client)
    address = "/api/v1/gauges/check"
    assert client.post(address, json={}, headers=ELSEWHERE).json["type"] == "/problems#other-origin"
    assert client.post(address, json={}).status_code == 403
    assert client.post(address, json={}, headers=SAME_ORIGIN).status_code == 422
    key = add_key(workshop, "bench-terminal", Role.BUILDER).text
    with_key = {"Authorization": f"Bearer {key}"}
    assert client.post(address, json={}, headers=with_key).status_code == 422


def test_a_sheets_code_opens_its_wheel_for_who_may_be_at_the_stand_and_nobody_else(
    app: Flask, client: FlaskClient, workshop: Workshop
):
    wheel = list_wheels(workshop)[0]
    place = f"/w/{wheel.sheet.code}"
    assert client.get(place).headers["Location"] == f"/sign-in?next={place}"
    # A stranger is not told either whether there is such a code.
    assert client.get("/w/nothing").headers["Location"] == "/sign-in?next=/w/nothing"
    intake = app.test_client()
    sign_in(intake, "I. Intake")
    assert intake.get(place).status_code == 403
    answer = sign_in(client, back=place)
    assert answer.headers["Location"] == place
    page = client.get(place)
    assert page.status_code == 200
    assert wheel.serial in page.text
    others = [each.serial for each in list_wheels(workshop) if each.serial != wheel.serial]
    assert others
    assert not [serial for serial in others if serial in page.text]
    assert client.get("/w/nothing").status_code == 404


def test_a_key_of_intake_takes_and_sees_the_orders_of_its_own_source(
    app: Flask, workshop: Workshop
):
    one = example("D-1009")
    other = {**one, "number": "D-9009", "source": "shop-z"}
    shop = app.test_client()
    headers = {
        "Authorization": f"Bearer {add_key(workshop, 'z', Role.INTAKE, source='shop-z').text}"
    }
    foreign = shop.post("/api/v1/orders", json=one, headers=headers)
    assert (foreign.status_code, foreign.json["type"]) == (403, "/problems#not-allowed")
    assert shop.get("/api/v1/orders", headers=headers).json["orders"] == []
    taken = shop.post("/api/v1/orders", json=other, headers=headers)
    assert taken.status_code == 201
    listed = shop.get("/api/v1/orders", headers=headers).json["orders"]
    assert [each["source"] for each in listed] == ["shop-z"]
    assert shop.get(f"/api/v1/orders/{listed[0]['id']}", headers=headers).status_code == 200
    theirs = example("D-1001")["number"]
    with workshop.database.reading() as section:
        hidden = section.one("select id from orders where number = ?", theirs)[0]
    assert shop.get(f"/api/v1/orders/{hidden}", headers=headers).status_code == 404
    checked = shop.post("/api/v1/orders/check", json=one, headers=headers)
    assert checked.status_code == 200
    garbage = shop.post(
        "/api/v1/orders", data=b"{", headers={**headers, "Content-Type": "application/json"}
    )
    assert garbage.status_code == 400
    twice = b'{"source": "shop-z", "source": "shop-a"}'
    doubled = shop.post(
        "/api/v1/orders", data=twice, headers={**headers, "Content-Type": "application/json"}
    )
    assert doubled.status_code in (403, 422)


def test_in_a_batch_another_senders_order_is_refused_in_its_place_and_the_others_go_on(
    app: Flask, workshop: Workshop
):
    """The one order is on record, the other is not: both are answered alike."""
    on_record, unheard_of = example("D-1001"), {**example("D-1001"), "number": "D-9010"}
    own = {**example("D-1009"), "source": "shop-z"}
    key = add_key(workshop, "z", Role.INTAKE, source="shop-z").text
    answer = app.test_client().post(
        "/api/v1/orders/batch",
        json={"orders": [on_record, own, unheard_of, {**on_record, "market": 7}]},
        headers={"Authorization": f"Bearer {key}"},
    )
    assert answer.status_code == 200
    refused = {
        "type": "/problems#not-allowed",
        "title": "Your role does not do this",
        "status": 403,
        "detail": "This key takes the orders of shop-z and of nobody else.",
        "findings": [],
    }
    items = answer.json["orders"]
    assert [each["status"] for each in items] == [403, 201, 403, 403]
    assert [each["body"] for each in items if each["status"] == 403] == [refused] * 3
    assert [answer.json[each] for each in ("taken", "replayed", "refused")] == [1, 0, 3]
    listed = [(each.source, each.number) for each in list_orders(workshop)]
    assert listed == [("shop-z", "D-1009"), (on_record["source"], "D-1001")]


def test_a_fault_while_somebody_signs_in_tells_nobody_their_password(
    app: Flask, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
):
    def broken(*given: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("buildsheet.web.pages.sign_in.sign_in", broken)
    with caplog.at_level(logging.DEBUG):
        answer = sign_in(app.test_client(), back="/w/secret-code")
    assert answer.status_code == 500
    assert "ZeroDivisionError" in caplog.text
    for secret in (PASSWORD, "secret-code", "B. Builder"):
        assert secret not in caplog.text
        assert secret not in answer.text


def test_no_key_session_or_code_stands_in_a_log_when_a_route_breaks(
    app: Flask,
    workshop: Workshop,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
):
    def broken(*given: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("buildsheet.web.pages.bench.page.bench_of_code", broken)
    monkeypatch.setattr("buildsheet.web.api.orders.list_orders", broken)
    client = app.test_client()
    sign_in(client)
    key = add_key(workshop, "erp", Role.OWNER).text
    with caplog.at_level(logging.DEBUG):
        page = client.get("/w/secret-code")
        listed = client.get("/api/v1/orders", headers={"Authorization": f"Bearer {key}"})
    assert [page.status_code, listed.status_code] == [500, 500]
    for secret in (secret_of(client), key, "secret-code"):
        assert secret not in caplog.text
        assert secret not in page.text + listed.text


def test_who_is_here_is_shown_to_the_owner_without_a_secret(app: Flask, workshop: Workshop):
    made = add_key(workshop, "shop-a", Role.INTAKE)
    add_person(workshop, "O. Owner", Role.OWNER, PASSWORD)
    client = app.test_client()
    sign_in(client, "O. Owner")
    page = client.get("/people").text
    assert "B. Builder" in page
    assert made.stored.prefix in page
    assert made.text not in page
    assert made.stored.digest not in page
    assert "argon2" not in page


def test_another_houses_system_is_told_the_moves_and_nobodys_name(app: Flask, workshop: Workshop):
    order = list_orders(workshop)[0].id
    said = {"by": "A. Maker", "reason": "The rider calls back."}
    assert move_order(workshop, order, "hold", json.dumps(said).encode()).outcome == "done"
    key = add_key(workshop, "shop-a", Role.INTAKE).text
    address, client = f"/api/v1/orders/{order}", app.test_client()
    shown = client.get(address, headers={"Authorization": f"Bearer {key}"})
    assert shown.json["moves"][0]["state"] == "on-hold"
    assert "A. Maker" not in shown.text
    assert "calls back" not in shown.text
    sign_in(client)
    assert client.get(address, headers=SAME_ORIGIN).json["moves"][0]["by"] == "A. Maker"


def test_the_pages_keep_their_strict_policy(client: FlaskClient):
    for page in (client.get("/sign-in"), sign_in(client), client.get("/account")):
        assert "script-src 'self'" in page.headers["Content-Security-Policy"]
        assert "unsafe" not in page.headers["Content-Security-Policy"]
        assert page.headers["Cache-Control"] == "no-store"
        assert page.headers["Referrer-Policy"] == "no-referrer"


def test_who_is_signed_in_does_not_act_under_another_name(client: FlaskClient, workshop: Workshop):
    sign_in(client)
    address = "/api/v1/gauges/check"
    check = {"gauge": "G1", "good": True, "note": ""}
    other = client.post(address, json={**check, "by": "O. Ther"}, headers=SAME_ORIGIN)
    assert (other.status_code, other.json["type"]) == (403, "/problems#other-name")
    own = client.post(address, json={**check, "by": "b. builder"}, headers=SAME_ORIGIN)
    assert own.status_code != 403
    # A system says for whom it acts: a terminal at the stand is used by several builders.
    key = add_key(workshop, "stand", Role.BUILDER).text
    headers = {"Authorization": f"Bearer {key}"}
    told = client.post(address, json={**check, "by": "O. Ther"}, headers=headers)
    assert told.status_code != 403


def test_a_change_of_the_draft_is_kept_under_the_name_of_who_is_signed_in(
    app: Flask, workshop: Workshop
):
    add_person(workshop, "M. Manager", Role.MANAGER, PASSWORD)
    client = app.test_client()
    sign_in(client, "M. Manager")
    form = {"_by": "S. Omebody", "by": "S. Omebody"}
    begun = client.post("/catalog/draft/begin", data=form, headers=SAME_ORIGIN)
    assert begun.status_code == 303
    draft = the_draft(workshop)
    assert draft is not None
    assert draft.changed_by == "M. Manager"
