"""The board shows what is there to do; whoever wants what has left the house says so."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from buildsheet.actions import show_wheel
from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.workshop import Workshop
from buildsheet.web.app import create_app
from buildsheet.web.pages import board
from tests.actions.bench.day import pass_of, taken
from tests.actions.moves.asking import put
from tests.workshops import EXAMPLES, empty_workshop, loaded_file, workshop, workshop_file

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


def test_a_wheel_that_a_reading_stopped_is_marked_in_words_wherever_it_is_listed(
    client: FlaskClient, workshop: Workshop
):
    front = taken(workshop)["front"]
    pages = ("/", "/?all=yes", f"/orders/{order_of(workshop, front)}", "/find?by=edition&q=16")
    words = "STOP: reading no. 1 found a spoke too tight"
    listed = "/api/v1/wheels?by=edition&what=16"
    alone = f"/api/v1/wheels/{front}"

    def marked() -> tuple[list[int], list[object], object]:
        lines = client.get(listed).get_json()["wheels"]
        return (
            [client.get(page).text.count(words) for page in pages],
            [each["stopped_at_pass"] for each in sorted(lines, key=lambda line: line["position"])],
            client.get(alone).get_json()["stopped_at_pass"],
        )

    assert marked() == ([0, 0, 0, 0], [None, None], None)
    first = (EXAMPLES / "bench" / "D-1001-front-pass-1.json").read_bytes()
    take_pass(workshop, front, first)
    assert marked() == ([1, 1, 1, 1], [1, None], 1)
    # A reading that nobody could judge takes nothing back.
    take_pass(workshop, front, pass_of(workshop, front, "k-pass-0002"))
    assert marked() == ([1, 1, 1, 1], [1, None], 1)
