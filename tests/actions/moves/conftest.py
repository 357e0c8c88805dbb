"""The demo workshop, for the tests of this folder."""

from __future__ import annotations

import pytest

from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.workshop import Workshop
from tests.workshops import empty_workshop, loaded_file, workshop, workshop_file

__all__ = ["empty_workshop", "loaded_file", "stocked", "workshop", "workshop_file"]


@pytest.fixture
def stocked(workshop: Workshop) -> Workshop:
    """The demo workshop with the demo's shelves."""
    text = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
    assert load_stock(workshop, text, by="S. Keeper").outcome == "entered"
    return workshop
