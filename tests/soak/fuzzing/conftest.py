"""What the soak does to the log of its own process is undone after each of its tests."""

from __future__ import annotations

import logging
from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True)
def _log_as_it_was() -> Iterator[None]:
    log = logging.getLogger("buildsheet.web")
    handlers, propagates = [*log.handlers], log.propagate
    yield
    log.handlers[:] = handlers
    log.propagate = propagates
