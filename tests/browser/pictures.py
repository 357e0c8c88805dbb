"""Draws the pictures of the README anew, out of the program as it is: `make pictures`.

The sheet and the record are their first pages as printed; the stand is photographed in the browser while a
pass of order D-1001 is typed, and where it is judged. The same in every run.
"""

from __future__ import annotations

import json
import logging
import shutil
import sys
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pypdfium2
from playwright.sync_api import Browser, Page, expect, sync_playwright

from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.print_record import record_pdf
from buildsheet.actions.bench.record import record_of
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.load_catalog import load_catalog
from buildsheet.actions.print_sheet import sheet_pdf
from buildsheet.actions.show_wheel import known_wheel
from buildsheet.actions.workshop import Workshop, open_workshop
from tests.actions.bench.day import taken
from tests.browser.looking import settled
from tests.browser.stand import Stand, begin, put, set_up, walk, weigh
from tests.conftest import CHROMIUM_FLAGS
from tests.workshops import EXAMPLES, morning, raw

DOCS = Path(__file__).parents[2] / "docs"
HOLE = 17
"""The hole that is being typed in the picture."""

ROUND_MM = (
    *(0.02, 0.03, 0.09, 0.03, 0.01, -0.06, -0.05, -0.05, 0.02, 0.05, 0.06, 0.04),
    *(-0.01, -0.04, -0.07, -0.03, 0.0, 0.06, 0.05, 0.05, -0.04, -0.04, -0.09, -0.01),
)
"""Sideways run-out of the wheel on the record, hole by hole."""


def main() -> None:
    executable = shutil.which("chromium")
    if executable is None:
        sys.exit("no 'chromium' on the PATH")
    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    with TemporaryDirectory() as scratch, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=executable, args=[*CHROMIUM_FLAGS])
        loaded = _loaded(Path(scratch, "loaded.db"))
        _at_the_stand(browser, Path(shutil.copy(loaded, Path(scratch, "stand.db"))))
        _on_paper(browser, loaded)
        browser.close()


def _loaded(file: Path) -> Path:
    workshop = open_workshop(file, clock=morning)
    load_catalog(workshop, demo_directory())
    workshop.close()
    return file


def _pass(number: int) -> dict[str, Any]:
    text = (EXAMPLES / "bench" / f"D-1001-front-pass-{number}.json").read_text(encoding="utf-8")
    document: dict[str, Any] = json.loads(text)
    return document


def _at_the_stand(browser: Browser, file: Path) -> None:
    forces = [str(each) for each in _pass(1)["tension"]["typed"]]
    with set_up(browser, file, "phone") as stand:
        page = stand.open("readings")
        begin(page)
        walk(page, forces[: HOLE - 1])
        page.keyboard.type(forces[HOLE - 1])
        expect(page.locator(".card.now")).to_contain_text(f"Hole {HOLE},")
        _photograph(page, "stand-typing")
        put(page, stand.view(), forces, lateral__typed_mm="0.42")
        weigh(page, _pass(1)["mass_g"])
        _photograph(page, "stand-verdict")


def _on_paper(browser: Browser, file: Path) -> None:
    with set_up(browser, file, "desk") as stand:
        record = _recorded(stand)
        _print(stand.workshop, taken(stand.workshop, "D-1009")["rear"])
    _save(record_pdf(record), "record", width_px=910)


def _recorded(stand: Stand) -> dict[str, Any]:
    front = stand.serials["front"]
    take_pass(stand.workshop, front, raw(_pass(1)))
    by_hole = {"given_as": "full", "by_hole_mm": [*ROUND_MM]}
    take_pass(stand.workshop, front, raw({**_pass(2), "lateral": by_hole}))
    signature = {"key": "k-sign-0001", "issue": "A", "by": "S. Second", "number": 2}
    sign(stand.workshop, front, raw({**signature, "verdict": "pass"}))
    record = record_of(stand.workshop, front)
    assert record is not None
    assert record["certificate"]
    return record


def _print(workshop: Workshop, serial: str) -> None:
    _save(sheet_pdf(workshop, known_wheel(workshop, serial)), "sheet-front", width_px=707)


def _photograph(page: Page, name: str) -> None:
    settled(page)
    page.screenshot(path=DOCS / f"{name}.png", animations="disabled")


def _save(paper: bytes, name: str, width_px: int) -> None:
    first = pypdfium2.PdfDocument(BytesIO(paper))[0]
    picture = first.render(scale=width_px / first.get_width()).to_pil().convert("L")
    picture.save(DOCS / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
