"""The pages in a real browser: readable on a phone and on a desk, for eyes and for screen readers."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Page, expect

from buildsheet.actions.show_wheel import list_wheels
from buildsheet.storage import wheels
from tests.browser.conftest import Served
from tests.browser.looking import faults, fits, follow, page, page_in, settled, troubles
from tests.workshops import EXAMPLES

__all__ = ["page"]

PATHS = [
    "/",
    "/orders",
    "/stock",
    "/orders/new",
    "/find?q=D-1001",
    "/find?q=nothing",
    "/problems",
    "/w/none",
    "/no",
]


@pytest.mark.parametrize("path", PATHS)
def test_every_page_is_readable_and_quiet(page: Page, served: Served, path: str):
    heard = troubles(page)
    page.goto(served.address + path)
    assert faults(page) == []
    assert fits(page)
    expect(page.locator("h1")).to_have_count(1)
    assert heard == []


def test_the_board_opens_every_wheel_and_its_papers(page: Page, served: Served):
    heard = troubles(page)
    page.goto(served.address)
    stored = list_wheels(served.workshop)
    expect(page.locator(".wheel")).to_have_count(len(stored))
    for wheel in stored:
        expect(page.get_by_role("link", name=wheel.serial, exact=True)).to_have_count(1)
    # An order that waits for an approval has no sheet to open.
    held = [wheel for wheel in stored if wheel.order_state == "on-hold"]
    assert len(held) == 1
    expect(page.get_by_text("waits for an approval")).to_have_count(len(held))
    expect(page.get_by_role("link", name="Sheet PDF")).to_have_count(len(stored) - len(held))
    for words in ("Building side", "Record side", "Lacing"):
        link = page.get_by_role("link", name=words).first
        answer = page.request.get(served.address + str(link.get_attribute("href")))
        assert answer.status == 200
        assert answer.headers["content-type"].startswith("image/svg+xml")
    sheet = page.get_by_role("link", name="Sheet PDF").first.get_attribute("href")
    assert page.request.get(f"{served.address}{sheet}").body().startswith(b"%PDF-")
    assert heard == []


@pytest.mark.parametrize("place", [0, 1, 2])
def test_a_bench_page_shows_targets_and_the_lacing(page: Page, served: Served, place: int):
    heard = troubles(page)
    wheel = list_wheels(served.workshop)[place]
    page.goto(served.bench(place))
    expect(page.locator("h1")).to_have_text(wheel.serial)
    waits = wheel.order_state == "on-hold"
    expect(page.get_by_text("Do not build")).to_have_count(int(waits))
    if waits:
        # Nothing of its sheet is seen before somebody asks for it, and then nothing of it counts.
        expect(page.locator(".side:visible")).to_have_count(0)
        page.get_by_text("none of which counts now").click()
        expect(page.locator(".stop")).to_have_count(0)
        expect(page.get_by_text("does not count")).to_have_count(3)
    else:
        expect(page.locator(".stop")).to_contain_text("No spoke above")
    expect(page.locator(".side:visible")).to_have_count(2)
    settled(page)
    picture = page.locator("img.lacing")
    assert picture.evaluate("image => image.naturalWidth") > 100
    assert "rim hole 1" in str(picture.get_attribute("alt"))
    assert faults(page) == []
    assert fits(page)
    assert heard == []


def test_a_void_sheet_says_so_and_leads_to_the_one_in_force(page: Page, served: Served):
    workshop = served.workshop
    old = list_wheels(workshop)[-1].sheet
    new = replace(old, code="void" + old.code[4:], issue=chr(ord(old.issue) + 1))
    if page.viewport_size and page.viewport_size["width"] > 400:
        new = replace(new, code="desk" + old.code[4:])
    with workshop.database.writing() as section:
        wheels.issue_sheet(section, new, "the rim limit was lowered")
    page.goto(f"{served.address}/w/{old.code}")
    expect(page.locator("h1")).to_contain_text("void", ignore_case=True)
    expect(page.locator("main")).to_contain_text("the rim limit was lowered")
    expect(page.locator(".side")).to_have_count(0)
    assert faults(page) == []
    assert fits(page)
    follow(page.get_by_role("link", name=f"Issue {new.issue} is in force"))
    expect(page.locator("h1")).to_have_text(old.serial)


def test_a_person_checks_corrects_and_takes_an_order_without_scripts(
    chromium: Browser, served: Served
):
    context = chromium.new_context(java_script_enabled=False)
    page = page_in(context)
    good = (EXAMPLES / "D-1010.json").read_text()
    page.goto(f"{served.address}/orders/new")
    page.get_by_label("The order as JSON").fill(good.replace('"KR2"', '"KR4"'))
    follow(page.get_by_role("button", name="Check and take"))
    expect(page.locator("#verdict")).to_contain_text("Cannot be built")
    expect(page.locator(".finding.block")).not_to_have_count(0)
    expect(page.locator(".ways li")).not_to_have_count(0)
    # What was typed is still there, to be corrected.
    expect(page.get_by_label("The order as JSON")).to_have_value(re.compile('"KR4"'))
    page.get_by_label("The order as JSON").fill(good)
    follow(page.get_by_role("button", name="Check", exact=True))
    expect(page.locator("#verdict")).to_have_text("Can be built")
    before = len(list_wheels(served.workshop))
    follow(page.get_by_role("button", name="Check and take"))
    expect(page.locator("h1")).to_have_text("Order D-1010 of shop-a")
    assert len(list_wheels(served.workshop)) == before + 2
    context.close()


def test_findings_and_an_order_are_readable(page: Page, served: Served):
    heard = troubles(page)
    page.goto(f"{served.address}/orders/new")
    page.get_by_label("The order as JSON").fill((EXAMPLES / "D-1005.json").read_text())
    follow(page.get_by_role("button", name="Check", exact=True))
    expect(page.locator(".finding").nth(5)).to_be_attached()
    assert faults(page) == []
    assert fits(page)
    page.goto(f"{served.address}/orders")
    follow(page.locator(".lines a").first)
    expect(page).to_have_url(re.compile(r"/orders/A[^/]*$"))
    assert faults(page) == []
    assert fits(page)
    assert heard == []


def test_the_keyboard_reaches_the_content_first(page: Page, served: Served):
    page.goto(served.address)
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the content")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_be_focused()


def test_another_site_cannot_send_the_form(chromium: Browser, served: Served):
    context = chromium.new_context()
    page = page_in(context)
    page.set_content(
        f'<form method="post" action="{served.address}/orders/new">'
        '<input name="order" value="{}"><input name="deed" value="take"><button>go</button></form>'
    )
    follow(page.get_by_role("button"))
    expect(page).to_have_url(f"{served.address}/orders/new")
    expect(page.locator("h1")).to_contain_text("another site")
    context.close()
