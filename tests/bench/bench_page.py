"""From the last reading typed at the stand to verdict and advice on screen, in a real browser.

A pass of D-1001's front wheel is put into the page of a served workshop, all but its mass; then the mass is
typed and Enter pressed. The clock runs in the page, from that key to the first frame that is drawn with
the verdict in it. The first pass of a server stands apart; the bar is 200 ms. The second
figure is what one keystroke costs: kept on the device, and the drawing brought up to it.
"""

from __future__ import annotations

import json
import shutil
import statistics
import sys
import threading
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Page, sync_playwright
from werkzeug.serving import WSGIRequestHandler, make_server

from buildsheet.actions.bench.gauges import add_table
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.load_catalog import load_catalog
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.web.app import create_app
from tests.actions.bench.day import taken, view_of
from tests.conftest import CHROMIUM_FLAGS
from tests.workshops import EXAMPLES, Dice, morning

ROUNDS = 9
BAR_MS = 200

FILL = """values => {
  const form = document.querySelector("form.readings");
  for (const [name, text] of Object.entries(values)) {
    const boxes = [...form.querySelectorAll(`[name="${name}"]`)];
    if (boxes[0].type === "radio") boxes.find(each => each.value === text).checked = true;
    else boxes[0].value = text;
  }
  form.deck.go(form.querySelector('[name="mass_g"]').closest(".card"));
}"""
TIMED = """async () => {
  const began = performance.now();
  const box = document.querySelector('[name="mass_g"]');
  box.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true, cancelable: true }));
  while (!document.querySelector(".verdict")) await new Promise(requestAnimationFrame);
  await new Promise(requestAnimationFrame);
  return performance.now() - began;
}"""
KEYSTROKES = """() => {
  const boxes = [...document.querySelectorAll('[name^="tension.typed."]')];
  const began = performance.now();
  for (const box of boxes) {
    box.value = "1000";
    box.dispatchEvent(new Event("input", { bubbles: true }));
  }
  return (performance.now() - began) / boxes.length;
}"""


class Quiet(WSGIRequestHandler):
    """A server that does not write down every request."""

    def log_request(self, code: object = "-", size: object = "-") -> None:
        """Nothing."""


def boxes() -> dict[str, str]:
    """The first pass of the examples, as the form holds it."""
    path = EXAMPLES / "bench" / "D-1001-front-pass-1.json"
    document = json.loads(path.read_text(encoding="utf-8"))
    return {
        **{
            f"tension.typed.{at}": str(each) for at, each in enumerate(document["tension"]["typed"])
        },
        "by": "M. K.",
        "tension.gauge": "G1",
        "tension.unit": "n",
        "rim_serial": document["rim_serial"],
        "hub_serial": document["hub_serial"],
        "lateral.typed_mm": "0.42",
        "lateral.given_as": "full",
        "radial.typed_mm": "0.31",
        "radial.given_as": "full",
        "dish.typed_mm": "0.6",
        "dish.given_as": "gap",
        "dish.toward": "left",
        "caps_fitted": "yes",
        "threads.in": "8",
        "threads.below": "0",
        "threads.above": "0",
        "free_play": "no",
        "twisted": "no",
        "relief_rounds": "2",
        "mass_g": "641",
    }


def measure(page: Page, address: str) -> tuple[list[float], float]:
    """Milliseconds of every round, and of one keystroke."""
    rounds = []
    for _ in range(ROUNDS):
        page.goto(f"{address}?do=readings")
        page.evaluate(FILL, boxes())
        rounds.append(page.evaluate(TIMED))
    page.goto(f"{address}?do=readings")
    return rounds, page.evaluate(KEYSTROKES)


def served(workshop: Workshop, code: str) -> None:
    """Prints the figures at phone and at desk size."""
    server = make_server("127.0.0.1", 0, create_app(workshop), threaded=True, request_handler=Quiet)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    address = f"http://127.0.0.1:{server.server_port}/w/{code}"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=list(CHROMIUM_FLAGS)
        )
        for name, width, height in (("phone", 390, 844), ("desk", 1280, 800)):
            page = browser.new_context(viewport={"width": width, "height": height}).new_page()
            (first, *rest), key_ms = measure(page, address)
            print(
                f"{name:6} first {first:6.0f} ms   then median {statistics.median(rest):5.0f} ms, "
                f"worst {max(rest):5.0f} ms (bar {BAR_MS} ms)   one keystroke {key_ms:5.2f} ms"
            )
        browser.close()
    server.shutdown()
    thread.join()
    server.server_close()


def main() -> None:
    """Opens a workshop of its own, takes the order, serves it."""
    if shutil.which("chromium") is None:
        sys.exit("no 'chromium' on the PATH")
    with TemporaryDirectory() as place:
        workshop = open_workshop(Path(place) / "workshop.db", clock=morning, chance=Dice())
        load_catalog(workshop, demo_directory())
        for path in sorted((EXAMPLES / "bench" / "gauges").glob("*.json")):
            for table in json.loads(path.read_text(encoding="utf-8")):
                add_table(workshop, json.dumps(table).encode())
        serial = taken(workshop)["front"]
        served(workshop, view_of(workshop, serial).scanned.code)
        workshop.close()
