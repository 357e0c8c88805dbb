"""Every engine, empty and furnished."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.storage.contract.engines import ENGINES, Engine, Store
from tests.storage.contract.furnished import furnish


@pytest.fixture(params=sorted(ENGINES))
def engine(request: pytest.FixtureRequest) -> Engine:
    """Each engine in its turn."""
    return ENGINES[str(request.param)]


@pytest.fixture
def store(engine: Engine, tmp_path: Path) -> Iterator[Store]:
    """A new workshop with nothing in it."""
    with engine.opened(tmp_path) as opened:
        yield opened


@pytest.fixture
def workshop(store: Store) -> Store:
    """A workshop with an edition, two orders and their wheels."""
    with store.writing() as section:
        furnish(section)
    return store
