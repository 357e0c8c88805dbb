"""A demo workshop for a test: its file, a clock that stands, dice that repeat; orders to post.

Loading the catalog takes longer than most tests, so it is done once and the file is copied.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.desk.draft import discard, replace_texts, the_draft
from buildsheet.actions.desk.publish import Published, publish
from buildsheet.actions.intake.earlier import Took
from buildsheet.actions.load_catalog import load_catalog
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.catalog.edition import Edition

EXAMPLES = Path(__file__).parents[1] / "examples"
MORNING = datetime(2031, 5, 1, 8, 0, 0, tzinfo=UTC)

Document = dict[str, Any]


@dataclass
class Dice:
    """Chance that is the same in every run, and different at every throw."""

    thrown: int = 0
    seed: bytes = field(default=b"demo")

    def __call__(self, count: int) -> bytes:
        self.thrown += 1
        return sha256(self.seed + self.thrown.to_bytes(4, "big")).digest()[:count]


def morning() -> datetime:
    """The clock of the demo workshop stands at the morning of the demo day."""
    return MORNING


def example(name: str, **changes: Any) -> Document:
    """An example order, with members put in place by pointer: ``example("D-1001", **{"/note": "x"})``.

    A value of `...` takes the member out.
    """
    document: Document = json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return changed(document, **changes)


def changed(document: Document, **changes: Any) -> Document:
    """A copy of a document with members put in place by pointer."""
    document = deepcopy(document)
    for place, value in changes.items():
        *above, last = place.lstrip("/").split("/")
        target = document
        for name in above:
            target = target[name]
        if value is ...:
            del target[last]
        else:
            target[last] = value
    return document


def raw(document: object) -> bytes:
    """A document as a sender posts it."""
    return json.dumps(document).encode()


def answer_of(took: Took) -> Document:
    """What a sender is told whose order was taken."""
    assert took.answered is not None, took.findings
    answer: Document = json.loads(took.answered.text)
    return answer


def published(workshop: Workshop, texts: Mapping[str, str], starts: str | None = None) -> Edition:
    """These catalog files as the next edition, by two people; an open draft is thrown away."""
    if (draft := the_draft(workshop)) is not None:
        discard(workshop, version=draft.version, by="A. Author")
    draft = replace_texts(workshop, texts, "A. Author")
    done = publish(
        workshop,
        version=draft.version,
        author="A. Author",
        approver="B. Second",
        reason="a test",
        starts=starts,
    )
    assert isinstance(done, Published), done.findings
    return done.edition


def counts(workshop: Workshop) -> dict[str, int]:
    """Table -> rows, over everything an order could leave behind."""
    tables = (
        "orders",
        "order_revisions",
        "replies",
        "wheels",
        "sheets",
        "plans",
        "allotments",
        "events",
    )
    with workshop.database.reading() as section:
        return {table: section.one(f"select count(*) from {table}")[0] for table in tables}


@pytest.fixture(scope="session")
def loaded_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workshop file with the demo catalog loaded and no order in it; copied, never changed."""
    path = tmp_path_factory.mktemp("workshop") / "workshop.db"
    workshop = open_workshop(path, clock=morning)
    loaded = load_catalog(workshop, demo_directory())
    workshop.close()
    assert loaded.outcome == "loaded", loaded.findings
    return path


@pytest.fixture
def workshop_file(loaded_file: Path, tmp_path: Path) -> Path:
    """A copy of that file for one test."""
    return Path(shutil.copy(loaded_file, tmp_path / "workshop.db"))


@pytest.fixture
def workshop(workshop_file: Path) -> Iterator[Workshop]:
    """The demo workshop on its morning."""
    opened = open_workshop(workshop_file, clock=morning, chance=Dice())
    yield opened
    opened.close()


@pytest.fixture
def empty_workshop(tmp_path: Path) -> Iterator[Workshop]:
    """A workshop without a catalog."""
    opened = open_workshop(tmp_path / "empty.db", clock=morning, chance=Dice())
    yield opened
    opened.close()
