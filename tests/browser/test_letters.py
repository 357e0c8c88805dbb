"""On a phone every letter is read: 11 CSS px at least, in pages and in the pictures on them."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.desk.draft import begin, change, the_draft
from buildsheet.actions.show_wheel import list_wheels
from buildsheet.catalog.amending.edits import PutPart
from tests.actions.bench.day import pass_of, until_lacing
from tests.browser.conftest import Served
from tests.browser.looking import fits, page_in, settled

LEAST_PX = 11.0
LETTERS = """root => [...root.querySelectorAll("*")].flatMap(each => {
  const own = [...each.childNodes].some(n => n.nodeType === Node.TEXT_NODE && n.textContent.trim());
  if (!own || ["SCRIPT", "STYLE", "TITLE", "title"].includes(each.tagName)) return [];
  const size = parseFloat(getComputedStyle(each).fontSize);
  const drawn = each.getScreenCTM?.();
  return [[drawn ? size * Math.hypot(drawn.a, drawn.b) : size, each.textContent.trim().slice(0, 60)]];
})"""
PICTURES = "() => [...document.images].map(each => [each.src, each.getBoundingClientRect().width])"


@pytest.fixture(scope="module")
def front(served: Served) -> str:
    """The serial of D-1001's front wheel, read hole by hole, with a draft that lowers its rim's limit."""
    workshop = served.workshop
    wheels = [each for each in list_wheels(workshop) if each.number == "D-1001"]
    serial = next(each.serial for each in wheels if each.position == "front")
    until_lacing(workshop, serial)
    wave = {"given_as": "full", "by_hole_mm": [0.0, 0.05, 0.1, 0.05] * 6}
    kept = take_pass(workshop, serial, pass_of(workshop, serial, lateral=wave))
    assert json.loads(kept.answer)["tension_n"]
    begun = the_draft(workshop) or begin(workshop, "A. Example")
    lower = PutPart(
        "OR33D", values={"spoke_limit_n": 1150.0, "evidence.spoke_limit_n": "bed test, again"}
    )
    edited = change(workshop, [lower], version=begun.version, by="A. Example")
    assert edited.draft is not None
    return serial


@pytest.fixture
def phone(chromium: Browser) -> Iterator[Page]:
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    yield page_in(context)
    context.close()


@pytest.mark.parametrize(
    "address",
    [
        "/catalog/draft/impact",
        "/catalog/lengths",
        "/catalog/parts/hubs/KF2",
        "/catalog/draft/parts/rims/OR33D",
        "/bench/pictures",
        "/wheels/{serial}/record",
        "/w/{code}",
        "/stock",
    ],
)
def test_no_letter_of_a_page_or_of_its_pictures_is_too_small_on_a_phone(
    phone: Page, served: Served, front: str, address: str
):
    (code,) = [each.sheet.code for each in list_wheels(served.workshop) if each.serial == front]
    phone.goto(served.address + address.format(serial=front, code=code))
    settled(phone)
    letters = phone.evaluate(f"({LETTERS})(document.body)")
    assert len(letters) > 10
    small = [each for each in letters if each[0] < LEAST_PX - 1e-6]
    for source, wide_px in phone.evaluate(PICTURES):
        picture = page_in(phone.context)
        picture.goto(source)
        # Opened by itself a picture is drawn as large as it says; on the page it is as wide as it is there.
        drawn_px = picture.evaluate("document.documentElement.getBoundingClientRect().width")
        for size_px, text in picture.evaluate(f"({LETTERS})(document)"):
            if size_px * wide_px / drawn_px < LEAST_PX - 1e-6:
                small.append([size_px * wide_px / drawn_px, text])
        picture.close()
    assert small == []
    assert fits(phone)
