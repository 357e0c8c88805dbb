"""Editions and their papers; the draft's history: its files those that edits wrote last, its versions never
used again."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.storage import approvals, drafts, editions
from buildsheet.storage.approvals import StoredApproval
from buildsheet.storage.database import Section
from buildsheet.storage.drafts import Deed, StoredEdit
from buildsheet.storage.editions import StoredEdition, StoredPaper
from tests.storage.contract.engines import ENGINES, Engine, Store
from tests.storage.contract.furnished import EDITION, LATER, NOON


@pytest.fixture
def database(store: Store) -> Store:
    with store.writing() as section:
        editions.insert(section, EDITION, {"a": "1"})
    return store


def edit(
    section: Section, draft: int | None, files: dict[str, str | None], deed: Deed = "edited"
) -> StoredEdit:
    return drafts.append(
        section, draft=draft, based_on=16, at=NOON, by="A", deed=deed, what="{}", files=files
    )


def test_a_draft_holds_what_its_edits_wrote_last(database: Store):
    with database.writing() as section:
        first = edit(section, None, {"a": "1", "b": "1", "c": "1"}, "begun")
        second = edit(section, first.draft, {"a": "2", "b": None, "d": "1"})
        assert drafts.files(section, second) == {"a": "2", "c": "1", "d": "1"}
        assert drafts.files(section, first) == {"a": "1", "b": "1", "c": "1"}
        assert drafts.standing(section) == second
        assert drafts.history(section, first.draft, first.version) == (second,)


@pytest.mark.parametrize("deed", ["published", "discarded"])
def test_a_draft_that_has_ended_stands_no_more_and_leaves_nothing_to_the_next(
    database: Store, deed: Deed
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


TEXTS = st.none() | st.text(st.characters(exclude_characters="\0"), max_size=3)
"""Without the character that ends a text elsewhere: no engine but the embedded one keeps it."""

EDITS = st.lists(st.dictionaries(st.sampled_from("abc"), TEXTS, max_size=3), max_size=6)


@given(EDITS)
@settings(max_examples=50)
@pytest.mark.parametrize("engine_name", sorted(ENGINES))
def test_files_are_those_of_a_table_that_every_edit_overwrites(
    tmp_path_factory: pytest.TempPathFactory,
    engine_name: str,
    edits: list[dict[str, str | None]],
):
    opened = ENGINES[engine_name].opened(tmp_path_factory.mktemp("drafts"))
    with opened as database, database.writing() as section:
        editions.insert(section, EDITION, {})
        standing = edit(section, None, {"a": "0"}, "begun")
        kept: dict[str, str | None] = {"a": "0"}
        for each in edits:
            standing = edit(section, standing.draft, each)
            kept |= each
            whole = {name: body for name, body in kept.items() if body is not None}
            assert drafts.files(section, standing) == whole


def test_an_edition_has_one_paper_and_keeps_it(engine: Engine, database: Store):
    paper = StoredPaper(16, "published", "A", None, "r", None, None, NOON)
    with database.writing() as section:
        editions.insert_paper(section, paper)
    with database.reading() as section:
        assert editions.papers(section) == {16: paper}

    def again() -> None:
        with database.writing() as section:
            editions.insert_paper(section, paper)

    with pytest.raises(engine.broken_rule):
        again()


def test_a_draft_is_of_an_edition_that_is_there(engine: Engine, database: Store):
    def foreign() -> None:
        with database.writing() as section:
            drafts.append(
                section, draft=None, based_on=15, at=NOON, by="A", deed="begun", what="{}"
            )

    with pytest.raises(engine.broken_rule):
        foreign()


def test_editions_are_found_by_number_with_their_files(engine: Engine, database: Store):
    next_one = StoredEdition(17, "sha256:17", LATER, LATER)
    with database.writing() as section:
        editions.insert(section, next_one, {"b": "2", "a": "1"})
        assert editions.newest(section) == next_one
        assert editions.numbered(section, 16) == EDITION
        assert editions.numbered(section, 18) is None
        assert editions.everyone(section) == (EDITION, next_one)
        assert editions.files(section, 17) == {"a": "1", "b": "2"}
        assert editions.files(section, 18) == {}
    with pytest.raises(engine.broken_rule), database.writing() as section:
        editions.insert(section, next_one, {})


def test_an_edit_is_found_by_its_version(database: Store):
    with database.writing() as section:
        first = edit(section, None, {}, "begun")
        assert drafts.numbered(section, first.version) == first
        assert drafts.numbered(section, first.version + 1) is None


def test_an_approval_is_one_persons_of_one_thing(store: Store):
    draft, edition = approvals.of_draft(3), approvals.of_edition(16, 18)
    with store.writing() as section:
        second = StoredApproval(draft, "B", LATER)
        for each in (second, StoredApproval(draft, "A", NOON), StoredApproval(edition, "A", NOON)):
            approvals.insert(section, each)
        approvals.insert(section, StoredApproval(draft, "B", NOON))
        assert approvals.of(section, draft) == (StoredApproval(draft, "A", NOON), second)
        assert approvals.of(section, edition) == (StoredApproval(edition, "A", NOON),)
        assert approvals.of(section, approvals.of_draft(4)) == ()
