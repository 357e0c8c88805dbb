"""A workshop file in which words are written down."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from buildsheet.storage.database import Database


@pytest.fixture
def database(tmp_path: Path) -> Iterator[Database]:
    opened = Database(tmp_path / "workshop.db")
    with opened.writing() as section:
        section.run("create table said (word text not null primary key)")
    yield opened
    opened.close()
