"""Records and pictures in a real browser: readable on a phone and on a desk, by whoever cannot see too."""

from __future__ import annotations

import json
import re

import pytest
from playwright.sync_api import Page, expect

from buildsheet.actions.bench.gauges import add_table, check_gauge
from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.show_wheel import list_wheels
from tests.actions.bench.day import pass_of, until_lacing
from tests.browser.conftest import Served
from tests.browser.looking import faults, fits, follow, page, troubles
from tests.workshops import EXAMPLES, raw

__all__ = ["page"]


@pytest.fixture(scope="module")
def built(served: Served) -> str:
    """The serial of D-1001's front wheel, built, read hole by hole and signed."""
    workshop = served.workshop
    for table in json.loads((EXAMPLES / "bench/gauges/G1.json").read_text("utf-8")):
        add_table(workshop, raw(table))
    check_gauge(workshop, b'{"gauge": "G1", "good": true, "by": "M. K."}')
    wheels = [each for each in list_wheels(workshop) if each.number == "D-1001"]
    front = next(each.serial for each in wheels if each.position == "front")
    until_lacing(workshop, front)
    wave = {"given_as": "full", "by_hole_mm": [0.0, 0.05, 0.1, 0.05] * 6}
    take_pass(workshop, front, pass_of(workshop, front, lateral=wave))
    signature = {"key": "k-sign-0001", "issue": "A", "by": "S. Second", "number": 1}
    answer = json.loads(sign(workshop, front, raw({**signature, "verdict": "pass"})).answer)
    assert answer["good"], answer
    return front


def looks_right(page: Page) -> None:
    assert faults(page) == []
    assert fits(page)
    expect(page.locator("h1")).to_have_count(1)


def test_a_signed_record_is_readable_and_its_pictures_are_drawn(
    page: Page, served: Served, built: str
):
    heard = troubles(page)
    page.goto(f"{served.address}/wheels/{built}/record")
    looks_right(page)
    expect(page.locator(".verdict")).to_have_text(re.compile(r"^\s*PASS"), use_inner_text=True)
    pictures = page.locator("svg[role=img]")
    expect(pictures).to_have_count(2)
    width = page.evaluate("document.querySelector('main').getBoundingClientRect().width")
    for place in range(2):
        box = pictures.nth(place).bounding_box()
        assert box is not None
        assert 250 < box["width"] <= width
    assert heard == []


@pytest.mark.usefixtures("built")
def test_a_record_without_a_certificate_is_readable_and_loud(page: Page, served: Served):
    wheels = list_wheels(served.workshop)
    rear = next(each.serial for each in wheels if each.position == "rear")
    page.goto(f"{served.address}/wheels/{rear}/record")
    looks_right(page)
    verdict = page.locator(".verdict")
    expect(verdict).to_have_text(re.compile(r"^\s*NO CERTIFICATE"), use_inner_text=True)
    expect(page.locator("main")).to_contain_text("NOT FOR RIDING", use_inner_text=True)


@pytest.mark.usefixtures("built")
def test_a_recall_is_two_answers_and_a_button(page: Page, served: Served):
    page.goto(f"{served.address}/")
    follow(page.get_by_role("link", name="Find by batch, gauge or person"))
    looks_right(page)
    page.get_by_label("What you have").select_option(label="rim batch")
    page.get_by_label("What it says").fill("L7")
    follow(page.get_by_role("button", name="Find wheels"))
    looks_right(page)
    expect(page.locator("main")).to_contain_text("1 wheel with rim batch L7")


@pytest.mark.usefixtures("built")
def test_the_pictures_of_the_bench_are_readable(page: Page, served: Served):
    heard = troubles(page)
    page.goto(f"{served.address}/bench/pictures")
    looks_right(page)
    expect(page.locator("svg[role=img]")).to_have_count(2)
    expect(page.locator("svg title").first).to_contain_text("1 of 1 wheels")
    assert heard == []
