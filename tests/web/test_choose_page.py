"""An order is picked step by step, never into a dead end, and ends in a filled order form."""

from __future__ import annotations

import json
import random
import re
from html import unescape
from urllib.parse import urlencode

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.check_order import check_posted
from buildsheet.actions.workshop import Workshop
from buildsheet.web.pages.catalog.picks import PLACES, as_pick, as_query, document_of, picks_of

_OFFER = re.compile(r'<button name="(/[^"]*)" value="([^"]*)"><span>')


def page_of(client: FlaskClient, picks: dict[str, str]) -> str:
    answer = client.get(f"/catalog/choose?{urlencode(picks)}")
    assert answer.status_code == 200
    return answer.text


@pytest.mark.parametrize("seed", [1, 2])
def test_any_offers_followed_end_in_an_order_that_can_be_built(
    client: FlaskClient, workshop: Workshop, seed: int
):
    dice = random.Random(seed)
    picks: dict[str, str] = {}
    for _ in PLACES:
        page = page_of(client, picks)
        offers = [(at, unescape(value)) for at, value in _OFFER.findall(page)]
        if not offers:
            break
        at, value = dice.choice(offers)
        assert at not in picks
        picks[at] = value
    page = page_of(client, picks)
    assert "1 way to go on" in page
    text = re.search(r"<textarea[^>]*>\n?([^<]*)<", page)
    assert text
    order = json.loads(unescape(text[1]))
    # Nobody's mass is made up: the order form asks for what was not typed.
    assert "rider_kg" not in order["use"]
    order["number"] = "C-1"
    order["use"] |= {"rider_kg": 20, "bike_kg": 3, "luggage_kg": 0}
    checked = check_posted(workshop, json.dumps(order).encode())
    assert checked.buildable, checked.findings


def test_a_pick_can_be_taken_back(client: FlaskClient):
    picks = {"/kind": '"front"', "/front/rim": '"OR33D"'}
    page = page_of(client, picks)
    back = [unescape(link) for link in re.findall(r'href="(/catalog/choose\?[^"]*)"', page)]
    assert client.get(back[-1]).text.count("Take back") == 1


def test_a_closed_value_says_what_closes_it(client: FlaskClient):
    page = page_of(client, {"/kind": '"front"', "/use/brake": '"disc"'})
    assert "OR38R" in page
    assert re.search(r"<strong>OR38R[^<]*</strong>: [A-Z]", page)


def test_picks_that_cannot_go_together_are_said_with_a_way_back(client: FlaskClient):
    page = page_of(client, {"/kind": '"front"', "/use/brake": '"disc"', "/front/rim": '"OR38R"'})
    assert "leads to nothing that can be built" in page
    assert "Take back" in page
    assert 'class="finding block"' in page


def test_masses_that_are_typed_count(client: FlaskClient):
    page = page_of(client, {"/use/rider_kg": "119,5", "/use/bike_kg": "9", "/use/luggage_kg": "2"})
    assert 'value="119.5"' in page
    assert "the lightest are assumed" not in page


@pytest.mark.parametrize(
    "query",
    [
        "/front/rim=%5B",
        "/front/rim=%22NOPE%22",
        "/front/rim=%7B%7D",
        "/use/rider_kg=heavy",
        "/use/rider_kg=nan",
        "/kind=null",
        "/front/crossings=%7B%22left%22:2%7D&/front/crossings/left=1",
        "/front=1",
        "//=1",
        "/front/spoke/left=true",
    ],
)
def test_a_slip_in_the_address_breaks_nothing(client: FlaskClient, query: str):
    assert client.get(f"/catalog/choose?{query}").status_code == 200


def test_picks_come_back_from_their_address():
    picks = picks_of(
        [
            ("/front/crossings", '{"left": 2, "right": 3}'),
            ("/front/washer", "null"),
            ("/kind", '"set"'),
        ]
    )
    assert picks == {
        "/kind": "set",
        "/front/crossings": {"left": 2, "right": 3},
        "/front/washer": None,
    }
    assert picks_of(as_query(picks).items()) == picks
    assert as_pick("OR33D") == '"OR33D"'
    assert document_of(picks)["front"]["washer"] is None
