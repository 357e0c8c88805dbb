"""Two browsers at one wheel: an open page says what the other one recorded, and keeps what was typed."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from tests.actions.bench.day import kit, rim_gate
from tests.browser.conftest import loaded_file
from tests.browser.looking import SIZES, faults, fits, page_in
from tests.browser.stand import Stand, answered, stand

__all__ = ["loaded_file", "stand"]

pytestmark = pytest.mark.parametrize("stand", ["phone"], indirect=True)


@pytest.fixture(autouse=True)
def kitted(stand: Stand) -> None:
    """The rear wheel stands before its first spokes."""
    rear = stand.serials["rear"]
    for done in (rim_gate(stand.workshop, rear, rim_serial="33D-0413"), kit(stand.workshop, rear)):
        assert done.findings == ()


@pytest.fixture
def other(stand: Stand) -> Iterator[Page]:
    """The same page in a browser of its own, which keeps nothing for the first one."""
    width, height = SIZES["phone"]
    browser = stand.context.browser
    assert browser is not None
    context = browser.new_context(viewport={"width": width, "height": height})
    page = page_in(context)
    page.goto(f"{stand.address}/w/{stand.view('rear').scanned.code}?do=first-spoke")
    yield page
    context.close()


def fill(page: Page, stand: Stand, by: str) -> None:
    spokes = stand.view("rear").plan.spokes
    for name, text in (
        ("left_mm", f"{spokes.left.stock_mm}"),
        ("right_mm", f"{spokes.right.stock_mm}"),
        ("by", by),
    ):
        page.locator(f"form[data-form] [name={name}]").fill(text)


def record(page: Page) -> None:
    with answered(page):
        page.get_by_role("button", name="Record").click()
    expect(page.locator("#sync")).to_have_text("Sent and kept.")


def test_an_open_page_says_what_was_recorded_in_another_browser(stand: Stand, other: Page):
    page = stand.open("first-spoke", "rear")
    page.locator("[name=left_mm]").fill("284")
    fill(other, stand, "P. Acker")
    record(other)
    said = page.locator("#meanwhile")
    expect(said).to_be_hidden()
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(said).to_contain_text("First spokes by P. Acker")
    expect(page.locator("[name=left_mm]")).to_have_value("284")
    assert faults(page) == []
    assert fits(page)
    page.get_by_role("link", name="Show the wheel as it is now").click()
    expect(page.locator("#meanwhile")).to_be_hidden()
    expect(page.locator("[name=left_mm]")).to_have_value("284")


def test_what_is_sent_from_an_overtaken_page_is_kept_and_the_other_is_named(
    stand: Stand, other: Page
):
    page = stand.open("first-spoke", "rear")
    fill(other, stand, "P. Acker")
    record(other)
    fill(page, stand, "M. K.")
    record(page)
    expect(page.locator("#meanwhile")).to_contain_text("First spokes, by P. Acker")
    expect(page.locator("#meanwhile")).to_contain_text("Yours is kept as well.")
    assert [each.done_by for each in stand.view("rear").steps[-2:]] == ["P. Acker", "M. K."]
    assert faults(page) == []
    assert fits(page)
