"""Posted orders go through a worker one at a time, and nobody else waits for them."""

from __future__ import annotations

import io
import json
import os
from pathlib import Path
from threading import Thread

import pytest
from flask import Flask, request
from flask.testing import FlaskClient

from buildsheet.actions.intake import judged
from buildsheet.actions.people.keys import add_key, revoke_key
from buildsheet.actions.people.roles import Role
from buildsheet.actions.people.visitor import Visitor
from buildsheet.actions.workshop import Workshop
from buildsheet.orders.search import Search
from buildsheet.web import turns
from buildsheet.web.access import who
from buildsheet.web.app import create_app
from buildsheet.web.limits import BODY_BYTES

ORDER = (Path(__file__).parents[2] / "examples" / "D-1001.json").read_bytes()


@pytest.fixture
def seen(workshop: Workshop) -> list[tuple[bool, bytes]]:
    """Whether each request had its turn, and its body."""
    return []


@pytest.fixture
def watched(workshop: Workshop, seen: list[tuple[bool, bytes]]) -> FlaskClient:
    """Somebody who asks an application that only notes what it is asked."""
    app = Flask("watched")

    def note() -> str:
        seen.append((workshop.database._gathering._holder is not None, request.get_data()))
        return ""

    for path in (turns.ORDERS, "/api/v1/orders/check", "/else"):
        app.add_url_rule(path, path, note, methods=["GET", "POST"])
    turns.take_turns(app, workshop)
    return app.test_client()


def test_a_posted_order_has_its_turn_and_its_body(watched: FlaskClient, seen):
    watched.post(turns.ORDERS, data=ORDER)
    assert seen == [(True, ORDER)]


def test_the_turn_is_given_back(watched: FlaskClient, workshop: Workshop):
    watched.post(turns.ORDERS, data=ORDER)
    assert workshop.database._gathering._holder is None
    assert not workshop.database._gathering._coming


def test_whatever_is_no_posted_order_has_none(watched: FlaskClient, seen):
    watched.get(turns.ORDERS)
    watched.post("/api/v1/orders/check", data=ORDER)
    watched.post("/else", data=ORDER)
    assert [had_turn for had_turn, _ in seen] == [False] * 3


def test_a_body_whose_length_is_not_said_or_too_large_has_none(watched: FlaskClient, seen):
    watched.post(turns.ORDERS, data=ORDER, environ_overrides={"CONTENT_LENGTH": ""})
    watched.post(turns.ORDERS, data=b" " * (BODY_BYTES + 1))
    assert [had_turn for had_turn, _ in seen] == [False] * 2


@pytest.mark.parametrize("length", ["9" * 30, "9" * 5000, "-1", "+5", " 5", "5x", "\u00b2"])
def test_a_length_that_is_none_is_no_fault_of_the_program(client: FlaskClient, length: str):
    answer = client.post(
        turns.ORDERS,
        data=ORDER,
        content_type="application/json",
        environ_overrides={"CONTENT_LENGTH": length},
    )
    assert answer.status_code in {400, 413}
    assert client.get("/api/v1/orders").json == {"orders": [], "next": None}


class GoneAway(io.RawIOBase):
    """A body whose sender went away."""

    def readable(self) -> bool:
        return True

    def read(self, _size: int = -1) -> bytes:
        raise OSError("gone")

    def readinto(self, _into: object) -> int:
        raise OSError("gone")


@pytest.mark.parametrize("body", [GoneAway(), io.BytesIO(ORDER[:10])], ids=["broken", "short"])
def test_a_body_that_never_came_is_refused_and_nothing_is_kept(
    client: FlaskClient, body: io.IOBase
):
    answer = client.post(
        turns.ORDERS,
        data=ORDER,
        content_type="application/json",
        environ_overrides={"wsgi.input": body},
    )
    assert answer.status_code == 400
    assert client.get("/api/v1/orders").json == {"orders": [], "next": None}


def test_an_order_judged_anew_is_judged_outside_its_turn_and_one_alike_within(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
):
    judged.forget()
    had_turn: list[bool] = []
    checked = judged.checked  # type: ignore[attr-defined]  # as it is called there

    def watched(*judgement, **more):
        had_turn.append(workshop.database._gathering._holder is not None)
        return checked(*judgement, **more)

    monkeypatch.setattr(judged, "checked", watched)
    client = create_app(workshop).test_client()
    for number, rider_kg in (("T-1", 71.0), ("T-2", 71.0), ("T-3", 70.5)):
        order = json.loads(ORDER)
        order["number"], order["use"]["rider_kg"] = number, rider_kg
        assert client.post(turns.ORDERS, json=order).status_code == 201
    # The first is judged whole, the others for their masses only.
    assert had_turn == [False, True, True]


def test_ways_out_of_an_order_alike_are_looked_for_outside_its_turn(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
):
    judged.forget()
    had_turn: list[bool] = []
    single = Search.single

    def watched(search, raised, asked):
        had_turn.append(workshop.database._gathering._holder is not None)
        return single(search, raised, asked)

    monkeypatch.setattr(Search, "single", watched)
    client = create_app(workshop).test_client()
    for number, rider_kg, status in (("T-1", 71.0, 201), ("T-2", 249.0, 422)):
        order = json.loads(ORDER)
        order["number"], order["use"]["rider_kg"] = number, rider_kg
        had_turn.clear()
        assert client.post(turns.ORDERS, json=order).status_code == status
    assert had_turn
    assert not any(had_turn)


@pytest.mark.skipif(not hasattr(os, "SCHED_BATCH"), reason="Linux has this rule")
def test_threads_of_a_worker_do_not_throw_one_another_off_the_processor():
    rules: list[int] = []

    def note() -> None:
        rules.append(os.sched_getscheduler(0))

    def as_a_worker() -> None:
        turns.wake_gently()
        child = Thread(target=note)
        child.start()
        child.join()

    worker = Thread(target=as_a_worker)
    worker.start()
    worker.join()
    note()
    assert rules == [os.SCHED_BATCH, os.SCHED_OTHER]


def test_where_the_system_forbids_it_orders_are_taken_all_the_same(monkeypatch: pytest.MonkeyPatch):
    def forbidden(*_asked: object) -> None:
        raise PermissionError("not here")

    monkeypatch.setattr(os, "sched_setscheduler", forbidden)
    turns.wake_gently()
    assert os.sched_getscheduler(0) == os.SCHED_OTHER


class NeverComes(io.RawIOBase):
    """A body for which whoever reads it would wait for ever."""

    def readable(self) -> bool:
        return True

    def read(self, _size: int = -1) -> bytes:
        pytest.fail("somebody waits for this body")

    def readinto(self, _into: object) -> int:
        pytest.fail("somebody waits for this body")


@pytest.mark.parametrize("kind", ["none", "no key", "unknown", "revoked"])
def test_nobody_waits_for_the_body_of_somebody_who_is_not_to_post_one(
    client: FlaskClient, workshop: Workshop, kind: str
):
    revoked = add_key(workshop, "gone", Role.INTAKE).text
    revoke_key(workshop, "gone")
    unknown = revoked[:-2] + ("AA" if revoked[-2:] != "AA" else "BB")
    given = {"no key": "Basic abc", "unknown": f"Bearer {unknown}", "revoked": f"Bearer {revoked}"}
    answer = client.post(
        turns.ORDERS,
        data=ORDER,
        content_type="application/json",
        headers={"Authorization": given[kind]} if kind in given else {},
        environ_overrides={"wsgi.input": NeverComes()},
    )
    assert answer.status_code == 401


def test_whose_key_it_is_is_looked_up_once_and_decides_as_ever(
    client: FlaskClient, workshop: Workshop, monkeypatch: pytest.MonkeyPatch
):
    made = {role: add_key(workshop, f"key-{role}", role, None).text for role in Role}
    asked: list[str] = []
    key_holder = who.key_holder  # type: ignore[attr-defined]  # as it is called there

    def counted(house: Workshop, text: str) -> Visitor | None:
        asked.append(text)
        found: Visitor | None = key_holder(house, text)
        return found

    monkeypatch.setattr(who, "key_holder", counted)
    order = json.loads(ORDER) | {"source": "key-intake"}
    answered = {
        role: client.post(
            turns.ORDERS,
            json=order | {"number": f"K-{role}"},
            headers={"Authorization": f"Bearer {key}"},
        ).status_code
        for role, key in made.items()
    }
    assert answered[Role.INTAKE] == 201
    assert answered[Role.WATCH] == answered[Role.BUILDER] == 403
    assert len(asked) == len(made)
