"""The demo workshop's edition, read from the catalog in the tree."""

from __future__ import annotations

import pytest

from buildsheet.actions.catalog_files import demo_directory, read_directory
from buildsheet.catalog.edition import Edition


@pytest.fixture(scope="session")
def demo_edition() -> Edition:
    edition, findings = read_directory(demo_directory())
    assert edition is not None, findings
    return edition
