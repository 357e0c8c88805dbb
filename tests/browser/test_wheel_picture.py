"""The wheel at the stand on a phone: every number and every reading is read, none lies on another."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import wheels
from tests.actions.bench.day import pass_of, view_of
from tests.browser.looking import page_in, settled
from tests.browser.stand import Stand, set_up
from tests.workshops import answer_of, example, published, raw

BOXES = """() => [...document.querySelectorAll(".stand-wheel text")].filter(each => each.textContent.trim())
  .map(each => [each.textContent, each.getBoundingClientRect()])
  .map(([text, box]) => [text, box.left, box.top, box.right, box.bottom])"""
SHARED_PX = 0.5
"""Boxes of neighbours may share so much, which nobody sees: the page rounds what it draws."""

TRACK = {"/use/brake": "rim", "/use/rotor_mount": ..., "/kind": "front", "/rear": ...}
ON_TRACK = {**TRACK, "/use/rear_axle": ..., "/use/cassette": ..., "/number": "D-20"}
WITH_36 = {
    "/rear/holes": 36,
    "/kind": "rear",
    "/front": ...,
    "/edition_seen": 17,
    "/number": "D-36",
}


@pytest.fixture
def stand(chromium: Browser, loaded_file: Path, tmp_path: Path) -> Iterator[Stand]:
    copy = Path(shutil.copy(loaded_file, tmp_path / "workshop.db"))
    with set_up(chromium, copy, "phone") as opened:
        yield opened


def drilled_36(workshop: Workshop) -> None:
    """The next edition has the widest rim of the demo, and a hub for it, with 36 holes too."""
    texts = {
        str(path.relative_to(demo_directory())): path.read_text(encoding="utf-8")
        for path in demo_directory().rglob("*.toml")
    }
    last = "    { holes = 32, front_kg = 135.0, rear_kg = 135.0 },\n"
    rims = texts["parts/rims.toml"].replace("LT-OR30G-1, 2030", "LT-OR30G-2, 2031")
    rims = rims.replace(last, last + last.replace("32", "36"))
    before, _, rim = rims.partition("[OR30G]")
    texts["parts/rims.toml"] = before + "[OR30G]" + rim.replace("28, 32]", "28, 32, 36]", 1)
    before, _, hub = texts["parts/hubs.toml"].partition("[KR5]")
    texts["parts/hubs.toml"] = before + "[KR5]" + hub.replace("28, 32]", "28, 32, 36]", 1)
    programs = texts["parts/programs.toml"]
    (block,) = (each for each in programs.split("\n\n") if "[OR30G-32R-X]" in each)
    texts["parts/programs.toml"] = f"{programs}\n{block.replace('32', '36')}\n"
    published(workshop, texts)


def wheel_of(workshop: Workshop, holes: int) -> str:
    """The serial of a wheel with so many holes, ordered now."""
    if holes == 36:
        drilled_36(workshop)
    name, position, changes = {
        20: ("D-1007", "front", ON_TRACK),
        32: ("D-1009", "rear", {}),
        36: ("D-1009", "rear", WITH_36),
    }[holes]
    answer = answer_of(take_order(workshop, raw(example(name, **changes))))
    with workshop.database.reading() as section:
        found = wheels.of_order(section, answer["id"])
    return next(each.serial for each in found if each.position == position)


@pytest.mark.parametrize("holes", [20, 32, 36])
def test_no_text_of_the_wheel_lies_on_another(stand: Stand, holes: int):
    workshop = stand.workshop
    serial = wheel_of(workshop, holes)
    view = view_of(workshop, serial)
    # four figures wherever a spoke may carry that much: the widest that can be read
    typed = [max(1000, round(view.task.target_n[side])) for side in view.task.sides]
    tension: dict[str, Any] = {"gauge": "G1", "unit": "n", "typed": typed}
    take_pass(workshop, serial, pass_of(workshop, serial, tension=tension))
    page = page_in(stand.context)
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{stand.address}/w/{view.scanned.code}?do=verdict")
    settled(page)
    boxes = page.evaluate(BOXES)
    assert len(boxes) == 2 * holes + 2
    assert [
        (one[0], other[0])
        for place, one in enumerate(boxes)
        for other in boxes[place + 1 :]
        if min(one[3], other[3]) - max(one[1], other[1]) > SHARED_PX
        and min(one[4], other[4]) - max(one[2], other[2]) > SHARED_PX
    ] == []
    around = page.locator(".stand-wheel").bounding_box()
    assert around is not None
    for _, left, top, right, bottom in boxes:
        assert around["x"] <= left < right <= around["x"] + around["width"]
        assert around["y"] <= top < bottom <= around["y"] + around["height"]
