"""How the tests of this folder look at a page: its size, what axe and the browser complain of.

A click comes back before the page it leads to is there. So whoever presses a door follows it, and whoever
looks at what a script does asks with `expect`: nothing here may hang on how fast the machine is.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Locator, Page

SIZES = {"phone": (360, 740), "desk": (1280, 900)}


def page_in(context: BrowserContext) -> Page:
    """An empty page that waits as long as a busy machine may take: the heaviest page of ours, what a draft
    changes, computes for seconds on a machine that has nothing else to do."""
    opened = context.new_page()
    opened.set_default_timeout(20_000)
    opened.set_default_navigation_timeout(180_000)
    return opened


@pytest.fixture(params=SIZES)
def page(request: pytest.FixtureRequest, chromium: Browser) -> Iterator[Page]:
    """An empty page on a phone or on a desk."""
    width, height = SIZES[request.param]
    context = chromium.new_context(viewport={"width": width, "height": height})
    yield page_in(context)
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


def follow(door: Locator) -> None:
    """Press what leads to another page, and be there when all of that page has arrived."""
    with door.page.expect_navigation():
        door.click()


def settled(page: Page) -> None:
    """Wait until the page and every picture on it has arrived: a picture that is left behind is cut off."""
    page.wait_for_function(
        "() => document.readyState === 'complete' && [...document.images].every(each => each.complete)"
    )


def focused(page: Page, name: str) -> None:
    """Wait until the box of this name has the focus."""
    page.wait_for_function("name => document.activeElement?.name === name", arg=name)


def faults(page: Page) -> list[str]:
    """What axe finds wrong, apart from the minor."""
    settled(page)
    found = Axe().run(page).response["violations"]
    return [
        f"{each['id']} ({each['impact']}): {[node['html'] for node in each['nodes']]}"
        for each in found
        if each["impact"] in {"moderate", "serious", "critical"}
    ]


def fits(page: Page) -> bool:
    """Whether nothing sticks out to the side."""
    return bool(page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"))
