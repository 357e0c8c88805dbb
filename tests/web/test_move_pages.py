"""Orders are moved from their page, with what would be lost said before the deed."""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.workshop import Workshop
from buildsheet.storage import orders
from buildsheet.web.pages.words import STATE_WORDS
from tests.actions.moves.asking import WHY, changed_example, put, standing, state_of, take
from tests.actions.test_take_order import on_hold_order
from tests.workshops import counts, example, raw

FROM_HERE = {"Origin": "http://localhost"}


def send(client: FlaskClient, number: str, move: str, **fields: Any) -> Any:
    typed = {"by": "A. Maker", "reason": WHY, "deed": "do", **fields}
    return client.post(f"/orders/{number}/{move}", data=typed, headers=FROM_HERE)


def test_an_order_page_offers_what_its_state_allows(client: FlaskClient, workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    page = client.get(f"/orders/{order}").text
    for move in ("hold", "release", "change", "cancel"):
        assert f'href="/orders/{order}/{move}"' in page
    assert f"/orders/{order}/approve" not in page


def test_an_approval_is_made_and_stands_on_the_page(client: FlaskClient, workshop: Workshop):
    order = take(workshop, on_hold_order())["id"]
    asked = client.get(f"/orders/{order}/approve").text
    assert "printed on the sheets" in asked
    assert "State: waits for an approval. Revision 1." in asked
    assert send(client, order, "approve").status_code == 303
    page = client.get(f"/orders/{order}").text
    assert f"approve, waits for an approval → {STATE_WORDS['accepted']}, by A. Maker: {WHY}" in page
    assert state_of(workshop, order) == "accepted"


@pytest.mark.parametrize("move", ["hold", "release"])
def test_an_order_is_held_or_released_from_its_page(
    client: FlaskClient, workshop: Workshop, move: str
):
    order = take(workshop, example("D-1001"))["id"]
    assert client.get(f"/orders/{order}/{move}").status_code == 200
    assert send(client, order, move).headers["Location"] == f"/orders/{order}"
    assert state_of(workshop, order) == {"hold": "on-hold", "release": "released"}[move]


def test_a_shipped_order_offers_to_be_closed_and_nothing_else(
    client: FlaskClient, workshop: Workshop
):
    order = take(workshop, example("D-1001"))["id"]
    with workshop.database.writing() as section:
        orders.move(section, order, "shipped")
    page = client.get(f"/orders/{order}").text
    assert re.findall(rf'href="/orders/{order}/([a-z]+)"', page) == ["close"]
    assert client.get(f"/orders/{order}/close").status_code == 200
    assert send(client, order, "close", reason="").status_code == 303
    assert state_of(workshop, order) == "closed"


def test_a_cancellation_says_what_is_lost_before_anything_is(
    client: FlaskClient, workshop: Workshop
):
    order = take(workshop, example("D-1001"))["id"]
    put(workshop, order, "building")
    page = client.get(f"/orders/{order}/cancel").text
    assert "becomes a stock wheel" in page
    refused = send(client, order, "cancel")
    assert refused.status_code == 409
    assert "Say who approves that" in refused.text
    assert WHY in refused.text
    assert state_of(workshop, order) == "accepted"
    assert send(client, order, "cancel", approved_by="B. Second").status_code == 303
    assert standing(workshop, order)["front"][0] == "stock"


def test_a_change_is_looked_at_and_then_made(client: FlaskClient, workshop: Workshop):
    order = take(workshop, example("D-1011"))["id"]
    form = client.get(f"/orders/{order}/change").text
    assert "&#34;revision&#34;: 2" in form
    fields = {"order": raw(changed_example("D-1011")).decode(), "old_revision": "1"}
    before = counts(workshop)
    asked = send(client, order, "change", **fields, deed="ask")
    assert asked.status_code == 200
    assert "gets issue B" in asked.text
    assert counts(workshop) == before
    assert send(client, order, "change", **fields).status_code == 303
    assert standing(workshop, order)["front"] == ("planned", "B")


@pytest.mark.parametrize("order_text", ["", "no json", '{"a": 1}', "[1]"])
def test_a_change_that_is_none_is_refused_with_what_was_typed(
    client: FlaskClient, workshop: Workshop, order_text: str
):
    order = take(workshop, example("D-1011"))["id"]
    refused = send(client, order, "change", order=order_text, old_revision="1")
    assert refused.status_code == 422
    assert state_of(workshop, order) == "accepted"


def test_a_move_from_another_site_is_refused(client: FlaskClient, workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    answer = client.post(
        f"/orders/{order}/cancel",
        data={"by": "A", "reason": WHY},
        headers={"Origin": "https://elsewhere.example"},
    )
    assert answer.status_code == 403
    assert state_of(workshop, order) == "accepted"


def test_there_is_no_move_of_no_order(client: FlaskClient):
    assert client.get("/orders/A31-09999-X/hold").status_code == 404
    assert send(client, "A31-09999-X", "hold").status_code == 404
