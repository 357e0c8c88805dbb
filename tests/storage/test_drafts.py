"""The draft's history: appended, its files those that edits wrote last, its versions never used again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlite_utils.utils import sqlite3

from buildsheet.storage import drafts, editions
from buildsheet.storage.database import Database, Section
from buildsheet.storage.drafts import Deed, StoredEdit
from buildsheet.storage.editions import StoredEdition, StoredPaper

NOON = "2031-05-01T12:00:00.000Z"


@pytest.fixture
def database(tmp_path: Path) -> Iterator[Database]:
    opened = Database(tmp_path / "workshop.db")
    with opened.writing() as section:
        editions.insert(section, StoredEdition(16, "sha256:16", NOON, NOON), {"a": "1"})
    yield opened
    opened.close()


def edit(
    section: Section, draft: int | None, files: dict[str, str | None], deed: Deed = "edited"
) -> StoredEdit:
    return drafts.append(
        section, draft=draft, based_on=16, at=NOON, by="A", deed=deed, what="{}", files=files
    )


def test_a_draft_holds_what_its_edits_wrote_last(database: Database):
    with database.writing() as section:
        first = edit(section, None, {"a": "1", "b": "1", "c": "1"}, "begun")
        second = edit(section, first.draft, {"a": "2", "b": None, "d": "1"})
        assert drafts.files(section, second) == {"a": "2", "c": "1", "d": "1"}
        assert drafts.files(section, first) == {"a": "1", "b": "1", "c": "1"}
        assert drafts.standing(section) == second
        assert drafts.history(section, first.draft, first.version) == (second,)


@pytest.mark.parametrize("deed", ["published", "discarded"])
def test_a_draft_that_has_ended_stands_no_more_and_leaves_nothing_to_the_next(
    database: Database, deed: Deed
):
    with database.writing() as section:
        first = edit(section, None, {"a": "1", "b": "1"}, "begun")
        last = edit(section, first.draft, {}, deed)
        assert drafts.standing(section) is None
        assert drafts.last(section) == last
        begun = edit(section, None, {"a": "9"}, "begun")
        assert begun.version == last.version + 1
        assert drafts.files(section, begun) == {"a": "9"}
        assert drafts.since(section, first.version) == (last, begun)


EDITS = st.lists(
    st.dictionaries(st.sampled_from("abc"), st.none() | st.text(max_size=3), max_size=3), max_size=6
)


@given(EDITS)
@settings(max_examples=50)
def test_files_are_those_of_a_table_that_every_edit_overwrites(
    tmp_path_factory: pytest.TempPathFactory, edits: list[dict[str, str | None]]
):
    database = Database(tmp_path_factory.mktemp("drafts") / "workshop.db")
    try:
        with database.writing() as section:
            editions.insert(section, StoredEdition(16, "sha256:16", NOON, NOON), {})
            standing = edit(section, None, {"a": "0"}, "begun")
            kept: dict[str, str | None] = {"a": "0"}
            for each in edits:
                standing = edit(section, standing.draft, each)
                kept |= each
                whole = {name: body for name, body in kept.items() if body is not None}
                assert drafts.files(section, standing) == whole
    finally:
        database.close()


def test_an_edition_has_one_paper_and_keeps_it(database: Database):
    paper = StoredPaper(16, "published", "A", None, "r", None, None, NOON)
    with database.writing() as section:
        editions.insert_paper(section, paper)
    with database.reading() as section:
        assert editions.papers(section) == {16: paper}

    def again() -> None:
        with database.writing() as section:
            editions.insert_paper(section, paper)

    with pytest.raises(sqlite3.IntegrityError):
        again()


def test_a_draft_is_of_an_edition_that_is_there(database: Database):
    def foreign() -> None:
        with database.writing() as section:
            drafts.append(
                section, draft=None, based_on=15, at=NOON, by="A", deed="begun", what="{}"
            )

    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
        foreign()
