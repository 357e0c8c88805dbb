"""A day at the stand in a real browser: typed with a thumb, judged, turned, recorded station by station."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Browser, Page, expect

from buildsheet.actions.bench.passes import take_pass
from tests.actions.bench.day import pass_of
from tests.browser.conftest import loaded_file
from tests.browser.looking import faults, fits, focused, follow, page_in, troubles
from tests.browser.stand import (
    KEYPAD_PX,
    SIZES,
    Stand,
    answered,
    at_target,
    begin,
    in_sight,
    put,
    record,
    shape,
    stand,
    walk,
    weigh,
)
from tests.workshops import EXAMPLES

__all__ = ["loaded_file", "stand"]


def test_a_pass_is_typed_hole_by_hole_and_judged_at_once(stand: Stand):
    page = stand.open("readings")
    heard = troubles(page)
    assert faults(page) == []
    begin(page)
    height = SIZES["phone" if stand.phone else "desk"][1] - KEYPAD_PX
    forces = at_target(stand.view())
    for hole, force in enumerate(forces, start=1):
        expect(page.locator(".card.now")).to_contain_text(f"Hole {hole},")
        expect(page.locator(".card.now input")).to_be_focused()
        expect(page.locator(".card.now input")).to_have_attribute("inputmode", "decimal")
        assert in_sight(page, height)
        page.keyboard.type(force)
        expect(page.locator(".card.now .place")).to_contain_text("in the band")
        page.keyboard.press("Enter")
    expect(page.locator(".spoke.in")).to_have_count(len(forces))
    shape(page)
    assert fits(page)
    assert faults(page) == []
    weigh(page, stand.view().task.mass_g)
    expect(page.locator(".verdict")).to_contain_text("Pass")
    expect(page.locator("#sync")).to_have_text("Sent and kept.")
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
    expect(page.locator(".card.now .place")).to_contain_text("ABOVE STOP")
    expect(page.locator(".spoke.above")).to_have_attribute("data-hole", "1")
    mark = page.locator('.spoke[data-hole="1"] use')
    expect(mark).to_have_attribute("href", "#m-above")
    page.locator(".card.now input").fill("600")
    expect(mark).to_have_attribute("href", "#m-low")
    expect(page.locator(".card.now .place")).to_contain_text("low")


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_the_scale_of_a_gauge_is_placed_by_its_own_table(stand: Stand):
    page = stand.open("readings")
    begin(page, "its own scale")
    expect(page.locator(".card.now .goal")).to_contain_text("on the scale")
    page.keyboard.type("999")
    expect(page.locator(".card.now .place")).to_contain_text("Beyond the gauge's table")


def test_a_wheel_that_is_stopped_says_so_wherever_it_is_opened(stand: Stand):
    view = stand.view()
    forces = [float(each) for each in at_target(view)]
    forces[4] = view.task.stop_n + 40.0
    tension = {"gauge": "G1", "unit": "n", "typed": forces}
    take_pass(
        stand.workshop,
        stand.serials["front"],
        pass_of(stand.workshop, stand.serials["front"], tension=tension),
    )
    page = stand.open()
    expect(page.locator(".verdict")).to_contain_text("Stop")
    page = stand.open("relief")
    banner = page.get_by_text("STOP. Reading no. 1 found a spoke too tight")
    expect(banner).to_be_visible()
    expect(page.locator(".facts.big")).to_have_count(0)
    assert faults(page) == []
    assert fits(page)
    follow(banner.get_by_role("link"))
    expect(page.locator(".turn.now, .turn").first).to_contain_text("slacken")


def test_turns_are_walked_one_by_one_and_the_place_is_kept(stand: Stand):
    page = stand.open("readings")
    document = json.loads((EXAMPLES / "bench" / "D-1001-front-pass-1.json").read_text())
    forces = [str(each) for each in document["tension"]["typed"]]
    put(page, stand.view(), forces, lateral__typed_mm="0.42")
    weigh(page, 641)
    expect(page.locator(".verdict")).to_contain_text("Stop")
    assert faults(page) == []
    turn = page.locator(".card.turn.now")
    expect(turn).to_contain_text("Hole 14")
    expect(turn).to_contain_text("slacken")
    expect(page.locator(".turning .bar .next")).to_be_focused()
    expect(page.locator(".spoke.here")).to_have_attribute("data-hole", "14")
    onward = page.locator(".bar .next").bounding_box()
    assert onward is not None
    assert onward["y"] + onward["height"] <= SIZES["phone"][1]
    page.keyboard.press("Enter")
    following = page.locator(".card.turn.now .of")
    expect(following).to_contain_text("turn 2 of")
    expect(page.locator(".card.now")).not_to_contain_text("Hole 14")
    page.reload()
    expect(following).to_contain_text("turn 2 of")
    expect(page.locator(".card.now")).not_to_contain_text("Hole 14")
    follow(page.get_by_role("link", name="Read again"))
    # Who, gauge, unit and serials stay; not one reading does.
    expect(page.get_by_label("Your name")).to_have_value("M. K.")
    expect(page.locator('input[name="tension.typed.0"]')).to_have_value("")


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
        expect(page.locator(".card.now")).to_contain_text(f"Hole {hole + 1},")
        walk(page, ["0.3" if hole in (5, 6) else "0", "0"])
    expect(page.locator(".card.now h3")).to_have_text("Dish")
    page.get_by_role("button", name="Back").click()
    first = page.locator(".card.now input").first
    first.fill("0.1")
    page.locator(".card.now").get_by_role("button", name="Turn the sign").first.click()
    expect(first).to_have_value("-0.1")
    page.keyboard.press("Enter")
    first.fill("0")
    onward_to_the_end(page)
    expect(page.locator(".gaps")).to_contain_text("Not read yet: dish; mass")
    page.get_by_role("button", name="To the first of them").click()
    focused(page, "dish.typed_mm")
    onward_to_the_end(page)
    with answered(page):
        page.get_by_role("button", name="Judge this pass").click()
    expect(page.locator(".verdict")).to_contain_text("Not judged")
    expect(page.locator(".card.turn")).not_to_have_count(0)
    expect(page.locator("table", has_text="Expected then")).to_contain_text("Lateral")
    kept = json.loads(stand.view().passes[0].document)
    assert kept["lateral"]["by_hole_mm"][5] == 0.3
    # Only what was missing is asked: the first gap is open, and nothing has to be read again.
    follow(page.get_by_role("link", name="Add what is missing"))
    focused(page, "dish.typed_mm")
    expect(page.locator('input[name="lateral.by_hole_mm.5"]')).to_have_value("0.3")


def onward_to_the_end(page: Page) -> None:
    """Press the way on, card by card, until the last one is open."""
    last = page.locator(".card.review.now")
    while not last.count():
        place = page.locator(".bar .count")
        before = place.inner_text()
        page.locator(".bar .next").click()
        expect(place).not_to_have_text(before)


def test_stations_are_recorded_with_enter_alone(stand: Stand):
    page = stand.open(position="rear")
    heard = troubles(page)
    view = stand.view("rear")
    expect(page.locator("#now h2")).to_contain_text("Rim gate")
    assert faults(page) == []
    page.locator(".card.now input").focus()
    walk(page, ["33D-0413", "L7", f"{view.stand.rim.mass_g:.0f}", "0.2", "0.3"])
    page.get_by_label("the spoke ends, ERD").check()
    page.get_by_role("button", name="Next").click()
    walk(page, [f"{view.plan.erd_mm:.1f}"] * 4)
    walk(page, [""])
    with answered(page):
        page.get_by_role("button", name="Record").click()
    # Nobody stands for it yet: it is not kept, and nothing of it is lost.
    expect(page.locator(".refused")).to_contain_text("Not kept")
    expect(page.locator('input[name="batch"]')).to_have_value("L7")
    assert stand.view("rear").steps == ()
    page.get_by_role("button", name="Back").click()
    walk(page, ["M. K."])
    with answered(page):
        page.get_by_role("button", name="Record").click()
    expect(page.locator("#now h2")).to_contain_text("Kit check")
    assert [each.good for each in stand.view("rear").steps] == [True]
    assert fits(page)
    assert faults(page) == []
    assert heard == []


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_a_scanned_label_opens_the_card_of_its_part(stand: Stand):
    page = stand.open("kit", position="rear")
    parts = [each.part for each in stand.view("rear").plan.pick]
    page.locator(".card.now input").first.focus()
    walk(page, [parts[4]])
    count = page.locator('input[name="scanned.4.count"]')
    expect(page.locator(".card.now")).to_have_attribute("data-part", parts[4])
    expect(count).to_be_focused()
    page.keyboard.type("16")
    expect(count).to_have_value("16")
    count.fill("")
    walk(page, ["KF9/99"])
    expect(page.locator('input[name="other"]')).to_have_value("KF9/99")
    expect(page.locator("#sync")).to_contain_text("not on the pick list")


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_forms_beside_the_usual_day_are_readable(stand: Stand):
    for do in ("drill", "gauge-check", "verdict", "sign"):
        page = stand.open(do, position="rear")
        assert faults(page) == []
        assert fits(page)


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
    expect(page.locator(".told")).to_contain_text("the bags are swapped")
    record(page, "Half-way gate", left_mm=left, right_mm=right)
    record(page, "Stress relief", as_picture="yes", label_at_valve="yes")
    for round_ in range(1, view.stand.house.bench.relief_rounds + 1):
        expect(page.locator('input[name="round"]')).to_have_value(str(round_))
        last = round_ == view.stand.house.bench.relief_rounds
        record(page, "Readings" if last else "Stress relief", before_n=1150, after_n=1140)
    forces = at_target(view)
    put(page, view, ["700", *forces[1:]], rim_serial="33D-0413", lateral__typed_mm="0.42")
    weigh(page, view.task.mass_g)
    expect(page.locator(".verdict")).to_contain_text("Rework")
    expect(page.locator(".card.turn.now")).to_have_attribute("data-hole", "1")
    follow(page.get_by_role("link", name="Read again"))
    put(page, view, rim_serial="33D-0413")
    weigh(page, view.task.mass_g)
    expect(page.locator(".verdict strong")).to_have_text("Pass")
    expect(page.locator("#now")).to_contain_text("How good the last advice was")
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
    page = page_in(context)
    view = stand.view()
    page.goto(f"{stand.address}/w/{view.scanned.code}?do=readings")
    page.get_by_label("Your name").fill("M. K.")
    page.get_by_label("Gauge", exact=True).select_option("G1")
    page.get_by_label("newtons", exact=True).check()
    for hole, force in enumerate(at_target(view), start=1):
        page.locator(f'input[name="tension.typed.{hole - 1}"]').fill(force)
    follow(page.get_by_role("button", name="Judge this pass"))
    expect(page.locator(".verdict")).to_contain_text("Not judged")
    expect(page.locator("#now")).to_contain_text("the dish", ignore_case=True)
    assert len(stand.view().passes) == 1
    context.close()
