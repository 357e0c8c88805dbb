"""A served workshop with a wheel ready to be read, and how a hand types at its page."""

from __future__ import annotations

import json
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect
from werkzeug.serving import make_server

from buildsheet.actions.bench.gauges import add_table, check_gauge
from buildsheet.actions.bench.view import BenchView
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.web.app import create_app
from tests.actions.bench.day import taken, until_lacing, view_of
from tests.browser.conftest import loaded_file
from tests.browser.looking import faults, fits, focused, page_in, settled
from tests.workshops import EXAMPLES, Dice, morning

__all__ = ["loaded_file"]

SIZES = {"phone": (390, 844), "desk": (1280, 800)}
KEYPAD_PX = 300
"""About what a phone's keypad covers."""


@dataclass
class Stand:
    """A served workshop with both wheels of D-1001 ready to be read, and the device at the stand."""

    address: str
    workshop: Workshop
    serials: dict[str, str]
    context: BrowserContext
    phone: bool

    def view(self, position: str = "front") -> BenchView:
        return view_of(self.workshop, self.serials[position])

    def open(self, do: str = "", position: str = "front") -> Page:
        page = page_in(self.context)
        code = self.view(position).scanned.code
        page.goto(f"{self.address}/w/{code}{'?do=' + do if do else ''}")
        return page


@contextmanager
def set_up(browser: Browser, file: Path, size: str) -> Iterator[Stand]:
    """A stand over a workshop file that has the demo catalog in it and no order yet."""
    workshop = open_workshop(file, clock=morning, chance=Dice())
    for path in sorted((EXAMPLES / "bench" / "gauges").glob("*.json")):
        for table in json.loads(path.read_text(encoding="utf-8")):
            assert add_table(workshop, json.dumps(table).encode()).new
    check_gauge(workshop, b'{"gauge": "G1", "good": true, "by": "M. K."}')
    serials = taken(workshop)
    until_lacing(workshop, serials["front"])
    server = make_server("127.0.0.1", 0, create_app(workshop), threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    width, height = SIZES[size]
    context = browser.new_context(viewport={"width": width, "height": height})
    address = f"http://127.0.0.1:{server.server_port}"
    yield Stand(address, workshop, serials, context, phone=size == "phone")
    context.close()
    server.shutdown()
    thread.join()
    server.server_close()
    workshop.close()


@pytest.fixture(params=SIZES)
def stand(
    request: pytest.FixtureRequest, chromium: Browser, loaded_file: Path, tmp_path: Path
) -> Iterator[Stand]:
    copy = Path(shutil.copy(loaded_file, tmp_path / "workshop.db"))
    with set_up(chromium, copy, request.param) as opened:
        yield opened


def begin(page: Page, unit: str = "newtons") -> None:
    """The first two cards: who, gauge, unit, serials; then hole 1 is open."""
    page.get_by_label("Your name").fill("M. K.")
    page.get_by_label("Gauge", exact=True).select_option("G1")
    page.get_by_label(unit, exact=True).check()
    page.get_by_role("button", name="Next").click()
    page.keyboard.type("33D-0412")
    page.keyboard.press("Enter")
    page.keyboard.type("KF2-118")
    page.keyboard.press("Enter")


def walk(page: Page, texts: list[str]) -> None:
    """As a gauge types: the figure, then Enter."""
    for text in texts:
        page.keyboard.type(text)
        page.keyboard.press("Enter")


def at_target(view: BenchView) -> list[str]:
    return [f"{view.task.target_n[side]:.0f}" for side in view.task.sides]


def shape(page: Page) -> None:
    """Run-out, dish, ends, hub: everything between the last spoke and the mass."""
    walk(page, ["0.14"])
    page.locator(".card.now").get_by_label("full reading of a turn").check()
    page.get_by_role("button", name="Next").click()
    walk(page, ["0,22"])
    page.locator(".card.now").get_by_label("full reading of a turn").check()
    page.keyboard.press("Enter")
    walk(page, ["0.1"])
    # Enter went on to the questions beside the figure: nothing is guessed.
    focused(page, "dish.given_as")
    for words in ("offset of the rim", "left"):
        page.locator(".card.now").get_by_label(words, exact=True).check()
    page.keyboard.press("Enter")
    page.locator(".card.now").get_by_label("yes", exact=True).check()
    page.get_by_role("button", name="Next").click()
    walk(page, ["8", "0", "0"])
    now = page.locator(".card.now")
    for question in ("The hub has play", "Spokes are wound up"):
        now.get_by_role("group", name=question).get_by_label("no", exact=True).check()
    now.get_by_label("Rounds of stress relief").fill("3")
    page.keyboard.press("Enter")


PUT = """boxes => {
  const form = document.querySelector("form[data-form]");
  for (const [name, text] of Object.entries(boxes)) {
    const found = [...form.querySelectorAll(`[name="${name}"]`)];
    if (found[0].type === "radio") found.find(each => each.value === text).checked = true;
    else if (found[0].type === "checkbox") for (const each of found) each.checked = true;
    else found[0].value = text;
    found[0].dispatchEvent(new Event("input", { bubbles: true }));
  }
  const mass = form.dataset.form === "readings" && form.querySelector('[name="mass_g"]');
  if (mass) form.deck.go(mass.closest(".card"));
}"""
RECORD = """() => document.querySelector("form[data-form]").requestSubmit()"""


def started(page: Page) -> None:
    """Wait until the page's script has taken its form over: a machine types faster than it loads."""
    page.wait_for_function("() => 'deck' in (document.querySelector('form[data-form]') ?? {})")


@contextmanager
def answered(page: Page) -> Iterator[None]:
    """What is done inside is sent by the page's script; wait until the answer stands in its place. Its
    heading may say the same as before, and its pictures come after it."""
    before = page.locator("main").element_handle()
    yield
    page.wait_for_function("before => !before.isConnected", arg=before)
    settled(page)


def weigh(page: Page, mass_g: float) -> None:
    """The mass is the last figure of a pass: with it the pass is sent; the page then stands at its
    verdict."""
    with answered(page):
        walk(page, [f"{mass_g:.0f}"])


def put(page: Page, view: BenchView, forces: list[str] | None = None, **changes: str) -> None:
    """A whole pass in its boxes at once, all but the mass, whose card is open then: for tests that are
    about what comes after the typing."""
    forces = forces or at_target(view)
    boxes = {f"tension.typed.{place}": force for place, force in enumerate(forces)}
    said = {
        "by": "M. K.",
        "tension.gauge": "G1",
        "tension.unit": "n",
        "rim_serial": "33D-0412",
        "hub_serial": "KF2-118",
        "lateral.typed_mm": "0.14",
        "lateral.given_as": "full",
        "radial.typed_mm": "0.22",
        "radial.given_as": "full",
        "dish.typed_mm": "0.1",
        "dish.given_as": "offset",
        "dish.toward": "left",
        "caps_fitted": "yes",
        "threads.in": "8",
        "free_play": "no",
        "twisted": "no",
        "relief_rounds": "3",
        **{name.replace("__", "."): text for name, text in changes.items()},
    }
    started(page)
    page.evaluate(PUT, {**said, **boxes})


def record(page: Page, following: str, **boxes: object) -> None:
    """One station's form filled and sent; the page then stands at the following one."""
    texts = {name.replace("__", "."): str(text) for name, text in boxes.items()}
    started(page)
    page.evaluate(PUT, {"by": "M. K.", **texts})
    with answered(page):
        page.evaluate(RECORD)
    expect(page.locator("#now h2")).to_contain_text(following)
    assert faults(page) == []
    assert fits(page)


def in_sight(page: Page, height_px: float) -> bool:
    """Whether the open box and the way on lie in the upper part of the screen, without scrolling."""
    box = page.locator(".card.now input").first.bounding_box()
    onward = page.locator(".bar .next").first.bounding_box()
    assert box is not None
    assert onward is not None
    assert page.evaluate("window.scrollY") == 0
    return max(box["y"] + box["height"], onward["y"] + onward["height"]) <= height_px
