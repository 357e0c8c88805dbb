"""What is typed at the stand outlives a cut line, a closed tab and a closed door, and is sent once."""

from __future__ import annotations

import pytest
from playwright.sync_api import Route, expect

from buildsheet.actions.bench.reissue import reissue
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from tests.browser.conftest import loaded_file
from tests.browser.looking import faults, fits, follow, page_in
from tests.browser.stand import (
    Stand,
    at_target,
    begin,
    put,
    stand,
    started,
    walk,
)

__all__ = ["loaded_file", "stand"]


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_what_was_typed_outlives_a_closed_tab(stand: Stand):
    page = stand.open("readings")
    begin(page)
    walk(page, ["700", "1100"])
    page.keyboard.type("71")
    expect(page.locator("#sync")).to_have_text("Kept on this device.")
    page.close()
    page = stand.open("readings")
    expect(page.locator(".card.now")).to_contain_text("Hole 3,")
    expect(page.locator(".card.now input")).to_have_value("71")
    expect(page.locator('.spoke[data-hole="2"] .reading')).to_have_text("1100")
    expect(page.locator("#sync")).to_have_text("Kept on this device.")
    page.get_by_role("button", name="Back").click()
    expect(page.locator(".card.now input")).to_have_value("1100")
    assert stand.view().passes == ()


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_what_is_typed_before_the_script_has_come_is_not_lost(stand: Stand):
    page = stand.open("readings")
    begin(page)
    walk(page, ["700", "1100"])
    page.get_by_role("button", name="Back").click()
    address = page.url
    page.close()
    page = page_in(stand.context)
    late: list[Route] = []

    def hold(route: Route) -> None:
        late.append(route)

    page.route("**/bench.js", hold)
    page.goto(address, wait_until="commit")
    third = page.locator('input[name="tension.typed.2"]')
    third.press_sequentially("71")
    page.get_by_label("offset of the rim", exact=True).check()
    third.focus()
    while not late:
        page.wait_for_timeout(20)
    late[0].continue_()
    page.unroute("**/bench.js")
    started(page)
    # The card that is being typed in is open, its box goes on where it was; the draft fills the others.
    expect(page.locator(".card.now")).to_contain_text("Hole 3,")
    page.keyboard.type("5")
    expect(third).to_have_value("715")
    expect(page.locator('input[name="tension.typed.1"]')).to_have_value("1100")
    expect(page.locator('.spoke[data-hole="3"] .reading')).to_have_text("715")
    expect(page.get_by_label("offset of the rim", exact=True)).to_be_checked()
    page.reload()
    expect(third).to_have_value("715")


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
    whole = page.locator("form.readings fieldset.whole")
    expect(whole).to_have_js_property("disabled", True)
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
    with page.expect_navigation():
        page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(page.locator("h1")).to_have_text("This sheet is void", ignore_case=True)
    expect(page.locator("main")).to_contain_text("rim measured")
    expect(page.locator("form.bench-form")).to_have_count(0)
    assert faults(page) == []
    assert fits(page)
    # What was typed by the old sheet is evidence, never a pass.
    page.get_by_role("button", name="Send them for the record").click()
    expect(page.locator("#sync")).to_have_text("Sent and kept.")
    assert [each.word for each in stand.view().passes] == ["not-judged"]
    follow(page.get_by_role("link", name="Issue B is in force"))
    expect(page.locator("h1")).to_have_text(stand.serials["front"])
    assert page.url != old


@pytest.mark.parametrize("stand", ["phone"], indirect=True)
def test_a_door_that_closed_meanwhile_keeps_the_pass_until_somebody_signs_in(stand: Stand):
    page = stand.open("readings")
    put(page, stand.view())
    add_person(stand.workshop, "Ida Moll", Role.BUILDER, "nine spokes and a half")
    walk(page, [f"{stand.view().task.mass_g:.0f}"])
    expect(page.locator("#sync")).to_contain_text("Sign in again")
    assert stand.view().passes == ()
    other = page_in(stand.context)
    other.goto(f"{stand.address}/sign-in")
    other.get_by_label("Name").fill("Ida Moll")
    other.get_by_label("Password").fill("nine spokes and a half")
    follow(other.get_by_role("button", name="Sign in"))
    expect(page.locator(".verdict")).to_contain_text("Pass")
    assert [each.read_by for each in stand.view().passes] == ["Ida Moll"]
