"""How the tests of this folder look at a page: its size, what axe and the browser complain of."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Error, Page

SIZES = {"phone": (360, 740), "desk": (1280, 900)}


@pytest.fixture(params=SIZES)
def page(request: pytest.FixtureRequest, chromium: Browser) -> Iterator[Page]:
    """An empty page on a phone or on a desk, without scripts: no page of ours needs them."""
    width, height = SIZES[request.param]
    context = chromium.new_context(
        viewport={"width": width, "height": height}, java_script_enabled=True
    )
    opened = context.new_page()
    opened.set_default_timeout(20_000)
    yield opened
    context.close()


def troubles(page: Page) -> list[str]:
    """What the browser complains of from now on; answers that refuse on purpose are no complaint."""
    heard: list[str] = []
    page.on(
        "console",
        lambda said: heard.append(said.text) if "Failed to load" not in said.text else None,
    )
    page.on("pageerror", lambda error: heard.append(str(error)))
    page.on("requestfailed", lambda request: heard.append(f"failed {request.url}"))
    return heard


def faults(page: Page) -> list[str]:
    """What axe finds wrong, apart from the minor."""
    found = _looked_at(page)["violations"]
    return [
        f"{each['id']} ({each['impact']}): {[node['html'] for node in each['nodes']]}"
        for each in found
        if each["impact"] in {"moderate", "serious", "critical"}
    ]


def _looked_at(page: Page) -> dict[str, Any]:
    """What axe says of the page that a click led to; asked again where the click was still on its way and
    the page under axe went away."""
    page.wait_for_load_state()
    try:
        return dict(Axe().run(page).response)
    except Error as gone:
        if "context was destroyed" not in str(gone):
            raise
    page.wait_for_load_state()
    return dict(Axe().run(page).response)


def fits(page: Page) -> bool:
    """Whether nothing sticks out to the side."""
    return bool(page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"))
