"""The board shows what is there to do; whoever wants what has left the house says so."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from buildsheet.actions import show_wheel
from buildsheet.actions.workshop import Workshop
from buildsheet.web.app import create_app
from buildsheet.web.pages import board
from tests.actions.bench.day import taken
from tests.actions.moves.asking import put
from tests.workshops import empty_workshop, loaded_file, workshop, workshop_file

__all__ = ["empty_workshop", "loaded_file", "workshop", "workshop_file"]


@pytest.fixture
def client(workshop: Workshop) -> FlaskClient:
    return create_app(workshop).test_client()


def order_of(workshop: Workshop, serial: str) -> str:
    return show_wheel.known_wheel(workshop, serial).order.id


@pytest.mark.parametrize("state", ["shipped", "stock", "cancelled"])
def test_a_wheel_that_has_left_the_house_is_not_on_the_board(
    client: FlaskClient, workshop: Workshop, state: str
):
    wheels = taken(workshop)
    put(workshop, order_of(workshop, wheels["front"]), state, "front")
    shown, every = client.get("/").text, client.get("/?all=yes").text
    assert wheels["front"] not in shown
    assert wheels["rear"] in shown
    assert wheels["front"] in every
    assert wheels["rear"] in every


def test_a_board_without_wheels_says_so(client: FlaskClient):
    assert "No wheel is in the house" in client.get("/").text
    assert "No wheel is ordered yet" in client.get("/?all=yes").text


@pytest.mark.parametrize("which", ["", "&all=yes"])
def test_older_wheels_are_on_the_next_page(
    client: FlaskClient, workshop: Workshop, monkeypatch: pytest.MonkeyPatch, which: str
):
    monkeypatch.setattr(show_wheel, "PAGE", 3)
    monkeypatch.setattr(board, "PAGE", 3)
    newest = [each for name in ("D-1001", "D-1002") for each in taken(workshop, name).values()][
        ::-1
    ]
    following = f"/?before={newest[2]}{which}"
    first = client.get(f"/?{which}").text
    assert f'href="{following.replace("&", "&amp;")}"' in first
    assert [each in first for each in newest] == [True, True, True, False]
    second = client.get(following).text
    assert [each in second for each in newest] == [False, False, False, True]
    assert "Older wheels" not in second
