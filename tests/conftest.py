"""What every test may ask for, and the rule that CI skips nothing."""

from __future__ import annotations

import ctypes
import os
import shutil
from collections.abc import Generator, Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser

IN_CI = os.environ.get("CI", "").lower() not in ("", "0", "false")

HOW_TO_GET_IT = "on Debian `apt-get install chromium libatomic1`, or run `make test` as root"

# A browser that starts without a display, as root, and calls nobody.
CHROMIUM_FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """A running Chromium, one for each test process; every test opens its own context in it."""
    executable = shutil.which("chromium")
    if executable is None:
        pytest.skip(f"no 'chromium' on the PATH: {HOW_TO_GET_IT}")
    try:
        ctypes.CDLL("libatomic.so.1")
    except OSError:
        pytest.skip(f"no libatomic for the browser's driver: {HOW_TO_GET_IT}")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=executable, args=list(CHROMIUM_FLAGS))
        yield browser
        browser.close()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Whatever asks for the browser carries its mark, so that `-m 'not browser'` leaves it out."""
    for item in items:
        if "chromium" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.browser)


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """In CI a skipped test has failed; an expected failure is not a skip."""
    report = yield
    if IN_CI and report.skipped and not hasattr(report, "wasxfail"):
        report.longrepr = f"skipped, and CI skips nothing: {_reason(report)}"
        report.outcome = "failed"
    return report


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_make_collect_report() -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """The same for a whole file that skips itself while it is collected."""
    report = yield
    if IN_CI and report.skipped:
        report.longrepr = f"skipped, and CI skips nothing: {_reason(report)}"
        report.outcome = "failed"
    return report


def _reason(report: pytest.TestReport | pytest.CollectReport) -> str:
    return str(report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr)
