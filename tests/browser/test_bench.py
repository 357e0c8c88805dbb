"""A day at the stand in a real browser: typed with a thumb, cut off, closed, opened again, sent once."""

from __future__ import annotations

import json
import shutil
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from werkzeug.serving import make_server

from buildsheet.actions.bench.gauges import add_table, check_gauge
from buildsheet.actions.bench.reissue import reissue
from buildsheet.actions.bench.view import BenchView
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.web.app import create_app
from tests.actions.bench.day import taken, until_lacing, view_of
from tests.browser.conftest import loaded_file
from tests.browser.looking import faults, fits, troubles
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
        page = self.context.new_page()
        page.set_default_timeout(20_000)
        code = self.view(position).scanned.code
        page.goto(f"{self.address}/w/{code}{'?do=' + do if do else ''}")
        return page


@pytest.fixture(params=SIZES)
def stand(
    request: pytest.FixtureRequest, chromium: Browser, loaded_file: Path, tmp_path: Path
) -> Iterator[Stand]:
    copy = Path(shutil.copy(loaded_file, tmp_path / "workshop.db"))
    workshop = open_workshop(copy, clock=morning, chance=Dice())
    for path in sorted((EXAMPLES / "bench" / "gauges").glob("*.json")):
        for table in json.loads(path.read_text(encoding="utf-8")):
            assert add_table(workshop, json.dumps(table).encode()).new
    check_gauge(workshop, b'{"gauge": "G1", "good": true, "by": "M. K."}')
    serials = taken(workshop)
    until_lacing(workshop, serials["front"])
    server = make_server("127.0.0.1", 0, create_app(workshop), threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    width, height = SIZES[request.param]
    context = chromium.new_context(viewport={"width": width, "height": height})
    phone = request.param == "phone"
    yield Stand(f"http://127.0.0.1:{server.server_port}", workshop, serials, context, phone)
    context.close()
    server.shutdown()
    thread.join()
    server.server_close()
    workshop.close()


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
    assert page.evaluate("document.activeElement.name") == "dish.given_as"
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
    page.evaluate(PUT, {**said, **boxes})


def record(page: Page, following: str, **boxes: object) -> None:
    """One station's form filled and sent; the page then stands at the following one."""
    texts = {name.replace("__", "."): str(text) for name, text in boxes.items()}
    page.evaluate(PUT, {"by": "M. K.", **texts})
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


def test_a_pass_is_typed_hole_by_hole_and_judged_at_once(stand: Stand):
    page = stand.open("readings")
    heard = troubles(page)
    assert faults(page) == []
    begin(page)
    height = SIZES["phone" if stand.phone else "desk"][1] - KEYPAD_PX
    forces = at_target(stand.view())
    for hole, force in enumerate(forces, start=1):
        assert f"Hole {hole}," in page.locator(".card.now").inner_text()
        assert page.evaluate("document.activeElement.inputMode") == "decimal"
        assert in_sight(page, height)
        page.keyboard.type(force)
        assert "in the band" in page.locator(".card.now .place").inner_text()
        page.keyboard.press("Enter")
    assert page.locator(".spoke.in").count() == len(forces)
    shape(page)
    assert fits(page)
    assert faults(page) == []
    walk(page, [f"{stand.view().task.mass_g:.0f}"])
    expect(page.locator(".verdict")).to_contain_text("Pass")
    assert page.locator("#sync").inner_text() == "Sent and kept."
    kept = stand.view().passes
    assert [each.word for each in kept] == ["pass"]
    assert json.loads(kept[0].document)["tension"]["typed"] == [float(each) for each in forces]
    assert page.evaluate("Object.keys(localStorage).filter(n => n.startsWith('bench/'))") == []
    assert faults(page) == []
    assert fits(page)
    assert heard == []


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_a_spoke_above_stop_is_called_while_it_is_typed(stand: Stand):
    page = stand.open("readings")
    begin(page)
    page.keyboard.type(f"{stand.view().task.stop_n + 20:.0f}")
    assert "ABOVE STOP" in page.locator(".card.now .place").inner_text()
    assert page.locator(".spoke.above").get_attribute("data-hole") == "1"
    assert page.locator('.spoke[data-hole="1"] use').get_attribute("href") == "#m-above"
    page.locator(".card.now input").fill("600")
    assert page.locator('.spoke[data-hole="1"] use').get_attribute("href") == "#m-low"
    assert "low" in page.locator(".card.now .place").inner_text()


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_the_scale_of_a_gauge_is_placed_by_its_own_table(stand: Stand):
    page = stand.open("readings")
    begin(page, "its own scale")
    assert "on the scale" in page.locator(".card.now .goal").inner_text()
    page.keyboard.type("999")
    assert "Beyond the gauge's table" in page.locator(".card.now .place").inner_text()


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_what_was_typed_outlives_a_closed_tab(stand: Stand):
    page = stand.open("readings")
    begin(page)
    walk(page, ["700", "1100"])
    page.keyboard.type("71")
    page.close()
    page = stand.open("readings")
    assert "Hole 3," in page.locator(".card.now").inner_text()
    assert page.locator(".card.now input").input_value() == "71"
    assert page.locator('.spoke[data-hole="2"] .reading').text_content() == "1100"
    assert page.locator("#sync").inner_text() == "Kept on this device."
    page.get_by_role("button", name="Back").click()
    assert page.locator(".card.now input").input_value() == "1100"
    assert stand.view().passes == ()


def test_a_cut_line_delays_a_pass_and_doubles_nothing(stand: Stand):
    page = stand.open("readings")
    begin(page)
    walk(page, at_target(stand.view())[:2])
    stand.context.set_offline(True)
    walk(page, at_target(stand.view())[2:4])
    put(page, stand.view())
    walk(page, [f"{stand.view().task.mass_g:.0f}"])
    expect(page.locator("#sync")).to_contain_text("Kept here, not yet sent")
    # It may have arrived although no answer came: from now on nothing of it is changed.
    assert page.locator("form.readings fieldset.whole").evaluate("whole => whole.disabled")
    assert stand.view().passes == ()
    page.close()
    stand.context.set_offline(False)
    page = stand.open()
    expect(page.locator(".verdict")).to_contain_text("Pass")
    assert len(stand.view().passes) == 1
    page.reload()
    expect(page.locator(".verdict")).to_contain_text("Pass")
    assert len(stand.view().passes) == 1


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_an_answer_that_got_lost_is_asked_for_again_with_the_same_key(stand: Stand):
    page = stand.open("readings")
    put(page, stand.view())
    lost: list[int] = []

    def lose(route: Route) -> None:
        if not lost:
            # The server hears it; the answer never arrives.
            lost.append(route.fetch(max_redirects=0).status)
            route.abort()
        else:
            route.continue_()

    page.route("**/w/*/readings", lose)
    walk(page, [f"{stand.view().task.mass_g:.0f}"])
    expect(page.locator(".verdict")).to_contain_text("Pass")
    assert lost == [303]
    assert len(stand.view().passes) == 1


def test_a_sheet_that_was_superseded_stops_the_page(stand: Stand):
    page = stand.open("readings")
    begin(page)
    walk(page, ["700", "1100"])
    erd = stand.view().plan.erd_mm + 0.9
    made = reissue(stand.workshop, stand.serials["front"], because="rim measured", erd_mm=erd)
    assert made is not None
    old = page.url
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(page.locator("h1")).to_have_text("This sheet is void", ignore_case=True)
    assert "rim measured" in page.locator("main").inner_text()
    assert page.locator("form.bench-form").count() == 0
    assert faults(page) == []
    assert fits(page)
    # What was typed by the old sheet is evidence, never a pass.
    page.get_by_role("button", name="Send them for the record").click()
    expect(page.locator("#sync")).to_have_text("Sent and kept.")
    assert [each.word for each in stand.view().passes] == ["not-judged"]
    page.get_by_role("link", name="Issue B is in force").click()
    assert page.locator("h1").inner_text() == stand.serials["front"]
    assert page.url != old


def test_turns_are_walked_one_by_one_and_the_place_is_kept(stand: Stand):
    page = stand.open("readings")
    document = json.loads((EXAMPLES / "bench" / "D-1001-front-pass-1.json").read_text())
    forces = [str(each) for each in document["tension"]["typed"]]
    put(page, stand.view(), forces, lateral__typed_mm="0.42")
    walk(page, ["641"])
    expect(page.locator(".verdict")).to_contain_text("Stop")
    assert faults(page) == []
    turn = page.locator(".card.turn.now")
    assert "Hole 14" in turn.inner_text()
    assert "slacken" in turn.inner_text()
    assert page.evaluate("document.activeElement.className") == "next strong"
    assert page.locator(".spoke.here").get_attribute("data-hole") == "14"
    onward = page.locator(".bar .next").bounding_box()
    assert onward is not None
    assert onward["y"] + onward["height"] <= SIZES["phone"][1]
    page.keyboard.press("Enter")
    assert "Hole 14" not in page.locator(".card.now").inner_text()
    page.reload()
    assert "Hole 14" not in page.locator(".card.now").inner_text()
    page.get_by_role("link", name="Read again").click()
    # Who, gauge, unit and serials stay; not one reading does.
    assert page.get_by_label("Your name").input_value() == "M. K."
    assert page.locator('input[name="tension.typed.0"]').input_value() == ""


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_run_out_read_at_each_hole_tells_what_to_turn(stand: Stand):
    page = stand.open("readings")
    view = stand.view()
    put(page, view)
    page.evaluate("""() => {
      const form = document.querySelector("form.readings");
      for (const each of form.querySelectorAll('[name$=".typed_mm"]')) each.value = "";
      form.deck.go(form.querySelector('[name="radial.typed_mm"]').closest(".card"));
    }""")
    page.get_by_role("button", name="Read run-out at each hole").click()
    for hole in range(len(view.task.lacing)):
        assert f"Hole {hole + 1}," in page.locator(".card.now").inner_text()
        walk(page, ["0.3" if hole in (5, 6) else "0", "0"])
    assert page.locator(".card.now h3").inner_text() == "Dish"
    page.get_by_role("button", name="Back").click()
    first = page.locator(".card.now input").first
    first.fill("0.1")
    page.locator(".card.now").get_by_role("button", name="Turn the sign").first.click()
    assert first.input_value() == "-0.1"
    page.keyboard.press("Enter")
    first.fill("0")
    while "Send" not in page.locator(".card.now").inner_text():
        page.locator(".bar .next").click()
    assert "Not read yet: dish; mass" in page.locator(".gaps").inner_text()
    page.get_by_role("button", name="To the first of them").click()
    assert page.evaluate("document.activeElement.name") == "dish.typed_mm"
    while "Send" not in page.locator(".card.now").inner_text():
        page.locator(".bar .next").click()
    page.get_by_role("button", name="Judge this pass").click()
    expect(page.locator(".verdict")).to_contain_text("Not judged")
    assert page.locator(".card.turn").count() > 0
    assert "Lateral" in page.locator("table", has_text="Expected then").inner_text()
    kept = json.loads(stand.view().passes[0].document)
    assert kept["lateral"]["by_hole_mm"][5] == 0.3
    # Only what was missing is asked: the first gap is open, and nothing has to be read again.
    page.get_by_role("link", name="Add what is missing").click()
    assert page.evaluate("document.activeElement.name") == "dish.typed_mm"
    assert page.locator('input[name="lateral.by_hole_mm.5"]').input_value() == "0.3"


def test_stations_are_recorded_with_enter_alone(stand: Stand):
    page = stand.open(position="rear")
    heard = troubles(page)
    view = stand.view("rear")
    assert "Rim gate" in page.locator("#now h2").inner_text()
    assert faults(page) == []
    page.locator(".card.now input").focus()
    walk(page, ["33D-0413", "L7", f"{view.stand.rim.mass_g:.0f}", "0.2", "0.3"])
    page.get_by_label("the spoke ends, ERD").check()
    page.get_by_role("button", name="Next").click()
    walk(page, [f"{view.plan.erd_mm:.1f}"] * 4)
    walk(page, [""])
    page.get_by_role("button", name="Record").click()
    # Nobody stands for it yet: it is not kept, and nothing of it is lost.
    expect(page.locator(".refused")).to_contain_text("Not kept")
    assert page.locator('input[name="batch"]').input_value() == "L7"
    assert stand.view("rear").steps == ()
    page.get_by_role("button", name="Back").click()
    walk(page, ["M. K."])
    page.get_by_role("button", name="Record").click()
    expect(page.locator("#now h2")).to_contain_text("Kit check")
    assert [each.good for each in stand.view("rear").steps] == [True]
    assert fits(page)
    assert faults(page) == []
    assert heard == []


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_a_door_that_closed_meanwhile_keeps_the_pass_until_somebody_signs_in(stand: Stand):
    page = stand.open("readings")
    put(page, stand.view())
    add_person(stand.workshop, "Ida Moll", Role.BUILDER, "nine spokes and a half")
    walk(page, [f"{stand.view().task.mass_g:.0f}"])
    expect(page.locator("#sync")).to_contain_text("Sign in again")
    assert stand.view().passes == ()
    other = stand.context.new_page()
    other.goto(f"{stand.address}/sign-in")
    other.get_by_label("Name").fill("Ida Moll")
    other.get_by_label("Password").fill("nine spokes and a half")
    other.get_by_role("button", name="Sign in").click()
    expect(page.locator(".verdict")).to_contain_text("Pass", timeout=10_000)
    assert [each.read_by for each in stand.view().passes] == ["Ida Moll"]


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_a_scanned_label_opens_the_card_of_its_part(stand: Stand):
    page = stand.open("kit", position="rear")
    parts = [each.part for each in stand.view("rear").plan.pick]
    page.locator(".card.now input").first.focus()
    walk(page, [parts[4]])
    assert page.locator(".card.now").get_attribute("data-part") == parts[4]
    page.keyboard.type("16")
    assert page.locator('input[name="scanned.4.count"]').input_value() == "16"
    page.locator('input[name="scanned.4.count"]').fill("")
    walk(page, ["KF9/99"])
    assert page.locator('input[name="other"]').input_value() == "KF9/99"
    assert "not on the pick list" in page.locator("#sync").inner_text()


def test_the_whole_day_of_a_wheel_is_played_at_the_stand(stand: Stand):
    page = stand.open(position="rear")
    heard = troubles(page)
    view = stand.view("rear")
    plan = view.plan
    erd = {f"diameters_mm__{place}": f"{plan.erd_mm:.1f}" for place in range(4)}
    gate = {"rim_serial": "33D-0413", "batch": "L7", "mass_g": view.stand.rim.mass_g}
    run_out = {"lateral_mm": "0,2", "radial_mm": "0.3", "diameter_of": "erd"}
    record(page, "Kit check", **gate, **run_out, **erd)
    counts = {
        f"scanned__{place}__count": each.count + each.spare for place, each in enumerate(plan.pick)
    }
    record(page, "First spokes", bagged_apart="yes", **counts)
    left, right = plan.spokes.left.stock_mm, plan.spokes.right.stock_mm
    # The bags are swapped: the stand says so, keeps that it was tried, and waits for the right ones.
    record(page, "First spokes", left_mm=right, right_mm=left)
    assert "the bags are swapped" in page.locator(".told").inner_text()
    record(page, "Half-way gate", left_mm=left, right_mm=right)
    record(page, "Stress relief", as_picture="yes", label_at_valve="yes")
    for round_ in range(1, view.stand.house.bench.relief_rounds + 1):
        assert page.locator('input[name="round"]').input_value() == str(round_)
        last = round_ == view.stand.house.bench.relief_rounds
        record(page, "Readings" if last else "Stress relief", before_n=1150, after_n=1140)
    forces = at_target(view)
    put(page, view, ["700", *forces[1:]], rim_serial="33D-0413", lateral__typed_mm="0.42")
    walk(page, [f"{view.task.mass_g:.0f}"])
    expect(page.locator(".verdict")).to_contain_text("Rework")
    assert page.locator(".card.turn.now").get_attribute("data-hole") == "1"
    page.get_by_role("link", name="Read again").click()
    put(page, view, rim_serial="33D-0413")
    walk(page, [f"{view.task.mass_g:.0f}"])
    expect(page.locator(".verdict strong")).to_have_text("Pass")
    assert "How good the last advice was" in page.locator("#now").inner_text()
    record(page, "Finishing", verdict="pass")
    decals = dict(zip(("left_decal", "right_decal"), view.stand.decals, strict=True))
    photos = {"photos__0": "P-1", "photos__1": "P-2"}
    record(page, "Pair check", at_template="yes", limits_readable="yes", **decals, **photos)
    record(
        page,
        "Box",
        serial=stand.serials["rear"],
        other_serial=stand.serials["front"],
        same_finish="yes",
    )
    record(page, "Hand-over", packed="all")
    record(page, "All done", carrier="Oddmoor Carriers", reference="P-77")
    assert stand.view("rear").state == "shipped"
    kept = [each.station for each in stand.view("rear").steps]
    assert kept.count("first-spoke") == 2
    assert [each.word for each in stand.view("rear").passes] == ["rework", "pass"]
    assert heard == []


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_without_a_script_a_pass_is_one_long_form(chromium: Browser, stand: Stand):
    context = chromium.new_context(
        viewport={"width": 390, "height": 844}, java_script_enabled=False
    )
    page = context.new_page()
    view = stand.view()
    page.goto(f"{stand.address}/w/{view.scanned.code}?do=readings")
    page.get_by_label("Your name").fill("M. K.")
    page.get_by_label("Gauge", exact=True).select_option("G1")
    page.get_by_label("newtons", exact=True).check()
    for hole, force in enumerate(at_target(view), start=1):
        page.locator(f'input[name="tension.typed.{hole - 1}"]').fill(force)
    page.get_by_role("button", name="Judge this pass").click()
    assert "Not judged" in page.locator(".verdict").inner_text()
    assert "the dish" in page.locator("#now").inner_text().lower()
    assert len(stand.view().passes) == 1
    context.close()
