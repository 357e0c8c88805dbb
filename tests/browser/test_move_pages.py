"""The pages that move an order, in a real browser: readable, quiet, and nothing done by asking."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from buildsheet.actions.show_order import list_orders
from tests.browser.conftest import Served
from tests.browser.looking import faults, fits, follow, page, troubles

__all__ = ["page"]


def first_order(served: Served) -> str:
    return min(each.id for each in list_orders(served.workshop) if each.state == "accepted")


@pytest.mark.parametrize("path", ["", "/hold", "/release", "/change", "/cancel"])
def test_the_pages_of_a_move_are_readable_and_quiet(page: Page, served: Served, path: str):
    heard = troubles(page)
    page.goto(f"{served.address}/orders/{first_order(served)}{path}")
    assert faults(page) == []
    assert fits(page)
    expect(page.locator("h1")).to_have_count(1)
    assert heard == []


def test_asking_what_would_be_lost_loses_nothing(page: Page, served: Served):
    number = first_order(served)
    page.goto(f"{served.address}/orders/{number}")
    follow(page.get_by_role("link", name="Cancel"))
    page.get_by_label("Your name").fill("A. Maker")
    page.get_by_label("Reason").fill("Only asking.")
    follow(page.get_by_role("button", name="What would be lost"))
    expect(page.locator("main")).to_contain_text("what was held is free again")
    expect(page.get_by_label("Your name")).to_have_value("A. Maker")
    assert faults(page) == []
    assert first_order(served) == number


def test_a_change_that_cannot_be_made_is_explained_where_it_was_typed(page: Page, served: Served):
    page.goto(f"{served.address}/orders/{first_order(served)}/change")
    order = page.get_by_label("The order as it should be, as JSON")
    order.fill(order.input_value().replace('"KF2"', '"KF9"'))
    page.get_by_label("Your name").fill("A. Maker")
    page.get_by_label("Reason").fill("Another hub.")
    follow(page.get_by_role("button", name="What would be lost"))
    expect(page.get_by_role("alert")).to_contain_text("KF9")
    assert faults(page) == []
    assert fits(page)
