"""Whoever is signed in finds their name on every form as a fact; where nobody is asked, it is typed."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.show_order import show_order
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from tests.web.desk_forms import post
from tests.web.test_sessions import PASSWORD, SAME_ORIGIN, sign_in
from tests.workshops import answer_of, example, raw

OWNER = "O. Owner"
PAGES = (
    "/catalog/draft",
    "/catalog/draft/house",
    "/catalog/draft/publish",
    "/catalog/draft/parts/rims/OR33D",
    "/catalog/draft/parts/rims/OR33D/drop",
    "/catalog/draft/rules/_new",
    "/catalog/editions/16/again",
    "/stock",
    "/orders/{order}/hold",
    "/orders/{order}/cancel",
    "/orders/{order}/change",
)


@pytest.fixture
def order(workshop: Workshop) -> str:
    return str(answer_of(take_order(workshop, raw(example("D-1001"))))["id"])


def asked(page: str) -> list[str]:
    """The boxes in which whoever does it would type their name."""
    return re.findall(r'<input [^>]*name="_?by"[^>]*>', page)


def test_where_nobody_is_asked_every_form_asks_for_a_name(client: FlaskClient, order: str):
    no_draft = client.get("/catalog/draft").text
    assert len(asked(no_draft)) == 1
    assert post(client, "/catalog/draft/begin", _by="A. Example").status_code == 303
    for address in PAGES:
        boxes = asked(client.get(address.format(order=order)).text)
        assert boxes, address
        assert not any("readonly" in each for each in boxes), address


def test_where_somebody_is_signed_in_no_form_lets_another_name_be_typed(
    client: FlaskClient, workshop: Workshop, order: str
):
    add_person(workshop, OWNER, Role.OWNER, PASSWORD)
    assert sign_in(client, OWNER).status_code == 303
    (begin,) = asked(client.get("/catalog/draft").text)
    assert f'value="{OWNER}"' in begin
    assert "readonly" in begin
    assert post(client, "/catalog/draft/begin", _by=OWNER).status_code == 303
    for address in PAGES:
        answer = client.get(address.format(order=order))
        assert answer.status_code == 200, address
        boxes = asked(answer.text)
        assert boxes, address
        for each in boxes:
            assert f'value="{OWNER}"' in each, address
            assert "readonly" in each, address


def test_whoever_is_signed_in_approves_by_a_tick_and_for_nobody_else(
    client: FlaskClient, workshop: Workshop, order: str
):
    add_person(workshop, OWNER, Role.OWNER, PASSWORD)
    assert sign_in(client, OWNER).status_code == 303
    page = client.get(f"/orders/{order}/cancel").text
    (tick,) = re.findall(r'<input [^>]*name="approved_by"[^>]*>', page)
    assert 'type="checkbox"' in tick
    assert f'value="{OWNER}"' in tick
    form = {"by": OWNER, "reason": "the rider changed her mind", "deed": "do", "old_revision": "1"}
    answer = client.post(f"/orders/{order}/cancel", data=form, headers=SAME_ORIGIN)
    assert answer.status_code == 303
    cancelled = show_order(workshop, order)
    assert cancelled is not None
    assert cancelled.stored.state == "cancelled"
    assert cancelled.moves[-1].done_by == OWNER
