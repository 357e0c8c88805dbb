"""The desk in a real browser: every page readable on a phone and on a desk, all of it by keyboard, the
drawing with scripts and without."""

from __future__ import annotations

import io
import itertools
import json
import re
from collections.abc import Iterator
from pathlib import Path

import openpyxl
import pytest
from playwright.sync_api import Browser, Page, expect

from buildsheet.actions.choices import choices_for
from buildsheet.actions.desk.draft import begin, discard, drop_part, put_part, the_draft
from buildsheet.actions.desk.part_in_draft import copy_of, values_in
from buildsheet.actions.desk.show_lengths import known_lengths
from buildsheet.actions.editions import running_edition
from tests.browser.conftest import Served
from tests.browser.looking import faults, fits, follow, page, page_in, settled, troubles

__all__ = ["page"]

ANNA, BERT = "A. Example", "B. Example"


@pytest.fixture(scope="module", autouse=True)
def counted(served: Served) -> None:
    """The wheels of the demo catalog, found once: what a first reader of a page would wait for."""
    known_lengths(running_edition(served.workshop))
    choices_for(served.workshop, b"{}")


@pytest.fixture
def drafted(served: Served) -> Iterator[Served]:
    """A draft with a lowered limit, and a copied rim whose seat diameter is in centimetres."""
    workshop = served.workshop
    draft = begin(workshop, ANNA)
    values = values_in(draft.texts, "rims", "OR33D")
    assert values is not None
    values["spoke_limit_n"] = 1200.0
    draft = put_part(workshop, "rims", "OR33D", values, version=draft.version, by=ANNA)
    copied = copy_of(draft.texts, "rims", "OR45D", "OR50D")
    assert copied is not None
    values = {**copied.values, "seat_diameter_mm": 53.96}
    put_part(workshop, "rims", "OR50D", values, version=draft.version, by=BERT)
    yield served
    _close(served)


@pytest.fixture
def desk(served: Served) -> Iterator[Served]:
    """The desk without a draft, before and after."""
    yield served
    _close(served)


def _close(served: Served) -> None:
    if the_draft(served.workshop) is not None:
        discard(served.workshop, version=None, by=ANNA)


def looks_right(page: Page) -> None:
    assert faults(page) == []
    assert fits(page)
    expect(page.locator("h1")).to_have_count(1)
    levels = page.eval_on_selector_all("h1, h2, h3, h4", "all => all.map(h => +h.tagName[1])")
    assert levels[0] == 1
    assert all(low - high <= 1 for high, low in itertools.pairwise(levels)), levels


READ = [
    "/catalog",
    "/catalog/parts?kind=rims",
    "/catalog/parts/rims/OR33D",
    "/catalog/parts/hubs/KR4",
    "/catalog/rules",
    "/catalog/rules/few-spokes-heavy-rider",
    "/catalog/facts",
    "/catalog/house",
    "/catalog/idle",
    "/catalog/lengths",
    "/catalog/choose",
    '/catalog/choose?/kind="front"&/use/brake="disc"&/use/class=1',
    '/catalog/choose?/kind="front"&/use/brake="disc"&/front/rim="OR38R"',
    "/catalog/editions",
    "/catalog/editions/16",
    "/catalog/draft",
]


@pytest.mark.parametrize("path", READ)
def test_every_page_for_reading_is_readable_and_quiet(page: Page, desk: Served, path: str):
    heard = troubles(page)
    page.goto(desk.address + path)
    looks_right(page)
    assert heard == []


DRAFTED = [
    "/catalog/draft",
    "/catalog/draft/parts?kind=rims",
    "/catalog/draft/parts/rims/OR50D",
    "/catalog/draft/parts/hubs/new",
    "/catalog/draft/parts/rims/new?like=OR45D",
    "/catalog/draft/parts/decals/new",
    "/catalog/draft/parts/rims/OR38R/drop",
    "/catalog/draft/rules",
    "/catalog/draft/rules/_new",
    "/catalog/draft/rules/few-spokes-heavy-rider",
    "/catalog/draft/house",
    "/catalog/draft/import",
    "/catalog/draft/impact",
    "/catalog/lengths?of=draft",
    "/catalog/draft/publish",
]


@pytest.mark.parametrize("path", DRAFTED)
def test_every_page_of_a_draft_is_readable_and_quiet(page: Page, drafted: Served, path: str):
    heard = troubles(page)
    page.goto(drafted.address + path)
    looks_right(page)
    assert heard == []


def test_the_impact_of_a_sound_draft_is_readable(page: Page, drafted: Served):
    draft = the_draft(drafted.workshop)
    assert draft is not None
    drop_part(drafted.workshop, "OR50D", version=draft.version, by=ANNA)
    heard = troubles(page)
    page.goto(f"{drafted.address}/catalog/draft/impact")
    looks_right(page)
    expect(page.locator("main")).to_contain_text("D-1001")
    bar = page.locator(".bars rect").first
    assert bar.evaluate("bar => bar.getBoundingClientRect().width") > 50
    assert heard == []


def test_an_order_is_picked_step_by_step_without_scripts(chromium: Browser, desk: Served):
    context = chromium.new_context(
        java_script_enabled=False, viewport={"width": 390, "height": 800}
    )
    page = page_in(context)
    page.goto(f"{desk.address}/catalog/choose")
    follow(page.get_by_role("button", name="a front wheel"))
    for _ in range(40):
        offers = page.locator(".offers").first.get_by_role("button")
        if not offers.count():
            break
        follow(offers.first)
    order = page.get_by_label("The order as JSON")
    text = json.loads(order.input_value())
    text["number"] = "P-1"
    text["use"] |= {"rider_kg": 20, "bike_kg": 3, "luggage_kg": 0}
    order.fill(json.dumps(text))
    follow(page.get_by_role("button", name="Check", exact=True))
    said = re.compile("^(Can be built|Can be built after an approval by name)$")
    expect(page.locator("#verdict")).to_have_text(said)
    context.close()


def test_a_form_that_was_overtaken_is_readable_and_keeps_what_was_typed(
    page: Page, drafted: Served
):
    page.goto(f"{drafted.address}/catalog/draft/parts/rims/OR33D")
    draft = the_draft(drafted.workshop)
    assert draft is not None
    values = values_in(draft.texts, "rims", "OR33D")
    assert values is not None
    values["spoke_limit_n"] = 1100.0
    put_part(drafted.workshop, "rims", "OR33D", values, version=draft.version, by=BERT)
    limit = page.get_by_label("Highest spoke tension").first
    limit.fill("1180")
    page.get_by_label("Your name").fill(ANNA)
    follow(page.get_by_role("button", name="Save in the draft"))
    expect(page.get_by_role("alert")).to_contain_text("Somebody was faster")
    expect(page.get_by_role("alert")).to_contain_text(BERT)
    expect(limit).to_have_value("1180")
    looks_right(page)
    follow(page.get_by_role("button", name="Save in the draft"))
    expect(page.get_by_role("status").first).to_contain_text("Saved in the draft")


def test_a_slip_in_a_rule_is_shown_where_it_is(page: Page, drafted: Served):
    page.goto(f"{drafted.address}/catalog/draft/rules/few-spokes-heavy-rider")
    page.get_by_label("Must hold").fill("use.sistem_kg <= 85.0 &&\n  wheel.holes > 3")
    follow(page.get_by_role("button", name="Look"))
    caret = page.locator("pre.caret").inner_text()
    assert caret.splitlines() == ["use.sistem_kg <= 85.0 &&", "^"]
    expect(page.locator(".finding").first).to_contain_text("use.system_kg")
    expect(page.get_by_label("Must hold")).to_have_attribute("aria-invalid", "true")
    looks_right(page)


def test_the_drawing_follows_what_is_typed(page: Page, drafted: Served):
    heard = troubles(page)
    page.goto(f"{drafted.address}/catalog/draft/parts/rims/OR33D")
    drawing = page.locator("#drawing")
    expect(drawing).to_have_attribute("src", _with("depth_mm=33&"))
    # A whole number, half a one, a word, nothing at all: there is always a drawing.
    for typed, asked in (
        ("61,5", "depth_mm=61%2C5&"),
        ("61,", "depth_mm=61%2C&"),
        ("deep", "depth_mm=deep&"),
        ("", None),
    ):
        page.get_by_label("Depth").fill(typed)
        if asked:
            expect(drawing).to_have_attribute("src", _with(asked))
        else:
            expect(drawing).not_to_have_attribute("src", _with("depth_mm="))
        _is_drawn(page)
    assert heard == []
    assert the_draft(drafted.workshop) is not None


def test_without_scripts_the_drawing_follows_at_a_look(chromium: Browser, drafted: Served):
    context = chromium.new_context(java_script_enabled=False)
    page = page_in(context)
    page.goto(f"{drafted.address}/catalog/draft/parts/hubs/KF2")
    page.get_by_label("Over-locknut distance").fill("110")
    follow(page.get_by_role("button", name="Look"))
    expect(page.locator("#drawing")).to_have_attribute("src", _with("over_locknut_mm=110"))
    context.close()


def _with(text: str) -> re.Pattern[str]:
    return re.compile(re.escape(text))


def _is_drawn(page: Page) -> None:
    settled(page)
    assert page.locator("#drawing").evaluate("image => image.naturalWidth") > 50


REACHED = "name => [document.activeElement.id, document.activeElement.value].includes(name)"


def test_a_form_is_filled_by_keyboard_alone(chromium: Browser, desk: Served):
    begin(desk.workshop, ANNA)
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    page = page_in(context)
    page.goto(f"{desk.address}/catalog/draft/parts/washers/new")
    names = page.eval_on_selector_all(
        "form#part input:not([type=hidden]), form#part select, form#part button",
        "all => all.map(each => each.id || each.value)",
    )
    assert names
    page.locator("#code").focus()
    for name in names:
        page.wait_for_function(REACHED, arg=name)
        expect(page.locator(":focus")).to_have_css("outline-width", "4px")
        page.keyboard.press("Tab")
    page.locator("#code").focus()
    for text in ("W9", "Ring 9"):
        page.keyboard.type(text)
        page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.type("0,8")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    for _ in range(3):
        page.keyboard.press("Tab")
    page.keyboard.type("0.3")
    page.keyboard.press("Tab")
    page.keyboard.type(ANNA)
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_url("**/washers/W9?saved=yes")
    draft = the_draft(desk.workshop)
    assert draft is not None
    assert values_in(draft.texts, "washers", "W9") == {
        "name": "Ring 9",
        "thickness_mm": 0.8,
        "seat_shapes": ["ball"],
        "mass_g": 0.3,
    }
    context.close()


def test_a_manager_copies_a_rim_and_publishes_it_without_scripts(chromium: Browser, desk: Served):
    context = chromium.new_context(
        java_script_enabled=False, viewport={"width": 390, "height": 800}
    )
    page = page_in(context)
    page.goto(f"{desk.address}/catalog/draft")
    page.get_by_label("Your name").fill(ANNA)
    follow(page.get_by_role("button", name="Begin draft 17"))
    follow(page.get_by_role("link", name="Change a part"))
    page.get_by_label("Code or name").fill("OR45D")
    follow(page.get_by_role("button", name="Find parts"))
    follow(page.locator(".lines a", has_text="OR45D").first)
    follow(page.get_by_role("link", name="Copy OR45D to a new part"))
    page.get_by_label("Code", exact=True).fill("OR50D")
    page.get_by_label("Name", exact=True).fill("Ondrel 50 D")
    page.get_by_label("Seat diameter", exact=True).fill("53.96")
    page.get_by_label("Depth", exact=True).fill("50")
    follow(page.get_by_role("button", name="Look"))
    expect(page.locator("main")).to_contain_text("Centimetres? Try 539.6")
    page.get_by_label("Decal size").select_option("L")
    page.get_by_label("Seat diameter", exact=True).fill("539.6")
    page.get_by_label("Seat diameter, measured twice").fill("539,5 539,7")
    for label in (
        "Highest spoke tension",
        "Largest spoke cross-section",
        "Released use classes",
        "Permitted system mass by hole count",
        "Highest pressure by tyre width",
    ):
        page.locator("fieldset", has_text="Evidence for the limits").get_by_label(label).fill(
            "bed test BT-50, 2031"
        )
    follow(page.get_by_role("button", name="Save in the draft"))
    expect(page.locator("main")).to_contain_text("Saved in the draft")
    expect(page.locator(".finding")).to_have_count(0)
    page.goto(f"{desk.address}/catalog/draft/publish")
    expect(page.locator("main")).to_contain_text("OR50D")
    page.get_by_label("Author").fill(ANNA)
    page.get_by_label("Reason").fill("A deeper rim for the summer.")
    follow(page.get_by_role("button", name="Publish edition 17"))
    expect(page.locator("main")).to_contain_text("Not published")
    assert running_edition(desk.workshop).number == 16
    page.get_by_label("Approver").fill(BERT)
    follow(page.get_by_role("button", name="Publish edition 17"))
    expect(page.locator("h1")).to_have_text("Edition 17")
    assert running_edition(desk.workshop).rims["OR50D"].seat_diameter_mm == 539.6
    context.close()


def test_a_spreadsheet_is_tried_then_put_into_the_draft(
    page: Page, drafted: Served, tmp_path: Path
):
    heard = troubles(page)
    book = page.request.get(f"{drafted.address}/catalog/parts.xlsx").body()
    page.goto(f"{drafted.address}/catalog/draft/import")
    file = tmp_path / "may.xlsx"
    file.write_bytes(_changed(book, "depth_mm", 4.5))
    page.get_by_label("Spreadsheet").set_input_files(file)
    follow(page.get_by_role("button", name="Show what it would do"))
    expect(page.locator("#tried")).to_contain_text("nothing is taken over")
    expect(page.locator(".finding").first).to_contain_text("Rims!")
    looks_right(page)
    file.write_bytes(_changed(book, "mass_g", 777.0))
    page.get_by_label("Spreadsheet").set_input_files(file)
    follow(page.get_by_role("button", name="Show what it would do"))
    expect(page.locator("#tried")).to_contain_text("would change")
    looks_right(page)
    draft = the_draft(drafted.workshop)
    assert draft is not None
    assert "777" not in draft.texts["parts/rims.toml"]
    page.get_by_label("Your name").fill(ANNA)
    follow(page.get_by_role("button", name="Put it into the draft"))
    expect(page).to_have_url(f"{drafted.address}/catalog/draft")
    draft = the_draft(drafted.workshop)
    assert draft is not None
    assert "777" in draft.texts["parts/rims.toml"]
    assert heard == []


def _changed(book: bytes, key: str, value: float) -> bytes:
    """The exported workbook with one cell of its second rim changed."""
    opened = openpyxl.load_workbook(io.BytesIO(book))
    sheet = opened["Rims"]
    column = [cell.value for cell in sheet[1]].index(key) + 1
    sheet.cell(3, column).value = value
    file = io.BytesIO()
    opened.save(file)
    return file.getvalue()


def test_another_site_cannot_publish(chromium: Browser, drafted: Served):
    context = chromium.new_context()
    page = page_in(context)
    page.set_content(
        f'<form method="post" action="{drafted.address}/catalog/draft/discard">'
        '<input name="_by" value="x"><input name="_sure" value="yes"><button>go</button></form>'
    )
    follow(page.get_by_role("button"))
    expect(page).to_have_url(f"{drafted.address}/catalog/draft/discard")
    expect(page.locator("h1")).to_contain_text("another site")
    assert the_draft(drafted.workshop) is not None
    context.close()
