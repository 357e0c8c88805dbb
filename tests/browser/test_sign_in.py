"""Signing in at the stand: by keyboard, on a phone and at a desk, and back to where one wanted."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from werkzeug.serving import make_server

from buildsheet.actions.people.keys import add_key
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.show_wheel import list_wheels
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import open_workshop
from buildsheet.web.app import create_app
from tests.browser.conftest import Served
from tests.browser.looking import faults, fits, follow, page, troubles
from tests.workshops import EXAMPLES, Dice, loaded_file, morning

__all__ = ["loaded_file", "page"]

PASSWORD = "nine spokes and a half"


@pytest.fixture(scope="module")
def closed(loaded_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A served workshop with a wheel, a builder, somebody for the orders, an owner and a key."""
    path = tmp_path_factory.mktemp("closed") / "workshop.db"
    workshop = open_workshop(Path(shutil.copy(loaded_file, path)), clock=morning, chance=Dice())
    assert take_order(workshop, (EXAMPLES / "D-1001.json").read_bytes()).outcome == "taken"
    for name, role in (
        ("B. Builder", Role.BUILDER),
        ("I. Intake", Role.INTAKE),
        ("O. Owner", Role.OWNER),
    ):
        add_person(workshop, name, role, PASSWORD)
    add_key(workshop, "shop-a", Role.INTAKE)
    server = make_server("127.0.0.1", 0, create_app(workshop), threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield Served(f"http://127.0.0.1:{server.server_port}", workshop)
    server.shutdown()
    thread.join()
    server.server_close()
    workshop.close()


def sign_in(page: Page, name: str, password: str = PASSWORD) -> None:
    """By keyboard alone, as the form is filled by whoever knows their way."""
    page.get_by_label("Name").fill(name)
    page.keyboard.press("Tab")
    page.keyboard.type(password)
    with page.expect_navigation():
        page.keyboard.press("Enter")


def test_a_scanned_sheet_leads_through_signing_in_to_its_wheel_and_out_again(
    page: Page, closed: Served
):
    heard = troubles(page)
    page.goto(closed.bench())
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    assert (faults(page), fits(page)) == ([], True)
    sign_in(page, "B. Builder", "not the right words")
    expect(page.get_by_role("alert")).to_contain_text("do not belong together")
    expect(page.get_by_label("Password")).to_have_value("")
    assert (faults(page), fits(page)) == ([], True)
    sign_in(page, "b. builder")
    expect(page).to_have_url(closed.bench())
    follow(page.get_by_role("link", name="B. Builder"))
    assert (faults(page), fits(page)) == ([], True)
    follow(page.get_by_role("button", name="Sign out"))
    page.goto(closed.bench())
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    assert heard == []


def test_another_password_is_given_and_signs_out(page: Page, closed: Served):
    name = f"C. Changer {page.viewport_size['width'] if page.viewport_size else 0}"
    add_person(closed.workshop, name, Role.BUILDER, PASSWORD)
    page.goto(f"{closed.address}/account")
    sign_in(page, name)
    new = "eleven words of steel"
    page.get_by_label("Password until now").fill(PASSWORD)
    page.get_by_label("New password").fill(new)
    page.get_by_label("The new one again").fill("eleven words of steal")
    follow(page.get_by_role("button", name="Change it"))
    expect(page.get_by_role("alert")).to_contain_text("not typed the same twice")
    assert (faults(page), fits(page)) == ([], True)
    page.get_by_label("Password until now").fill(PASSWORD)
    page.get_by_label("New password").fill(new)
    page.get_by_label("The new one again").fill(new)
    follow(page.get_by_role("button", name="Change it"))
    expect(page.locator("main")).to_contain_text("The password is changed")
    sign_in(page, name, new)
    expect(page.get_by_role("link", name=name)).to_be_visible()


def test_whoever_may_not_sees_no_way_there_and_is_told_why(page: Page, closed: Served):
    page.goto(f"{closed.address}/sign-in")
    sign_in(page, "I. Intake")
    links = page.get_by_role("navigation", name="Workshop").get_by_role("link")
    expect(links).to_have_text(["Orders", "New order"])
    page.goto(closed.bench())
    expect(page.locator("main")).to_contain_text("Your role does not do this")
    assert (faults(page), fits(page)) == ([], True)


def test_the_owner_sees_who_is_here(page: Page, closed: Served):
    page.goto(f"{closed.address}/account")
    sign_in(page, "O. Owner")
    follow(page.get_by_role("link", name="People and keys"))
    expect(page).to_have_url(f"{closed.address}/people")
    expect(page.get_by_role("heading", name="shop-a")).to_be_visible()
    assert (faults(page), fits(page)) == ([], True)


def test_whoever_is_signed_in_finds_their_name_on_a_form_and_cannot_type_another(
    page: Page, closed: Served
):
    page.goto(f"{closed.address}/stock")
    sign_in(page, "O. Owner")
    order = next(each.order_id for each in list_wheels(closed.workshop))
    for address in ("/stock", "/catalog/draft", f"/orders/{order}/cancel"):
        page.goto(f"{closed.address}{address}")
        name = page.get_by_label("Your name")
        expect(name).to_have_value("O. Owner")
        expect(name).not_to_be_editable()
        assert (faults(page), fits(page)) == ([], True)
    expect(page.get_by_label("O. Owner approves what is lost")).not_to_be_checked()
