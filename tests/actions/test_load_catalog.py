"""Catalog files become an edition once, whole, and forever."""

from __future__ import annotations

import pytest
from sqlite_utils.utils import sqlite3

from buildsheet.actions.catalog_files import demo_directory, read_texts
from buildsheet.actions.desk.draft import DraftOpen, begin
from buildsheet.actions.editions import edition_numbered, edition_texts, running_edition
from buildsheet.actions.load_catalog import load_catalog, load_texts
from buildsheet.actions.workshop import Workshop
from tests.workshops import counts


def renumbered(texts: dict[str, str], number: int) -> dict[str, str]:
    house = texts["house.toml"].replace("edition = 16", f"edition = {number}", 1)
    return {**texts, "house.toml": house}


def test_a_catalog_is_loaded_once_and_known_afterwards(empty_workshop: Workshop):
    assert load_catalog(empty_workshop, demo_directory()).outcome == "loaded"
    before = counts(empty_workshop)
    assert load_catalog(empty_workshop, demo_directory()).outcome == "known"
    assert counts(empty_workshop) == before


def test_an_edition_can_be_read_again_from_its_own_texts(workshop: Workshop):
    texts, faults = read_texts(demo_directory())
    assert not faults
    assert edition_texts(workshop) == texts
    assert running_edition(workshop).number == 16
    assert edition_numbered(workshop, 16) is running_edition(workshop)


def test_files_that_say_something_else_under_a_taken_number_become_a_draft_of_the_next(
    workshop: Workshop,
):
    texts = edition_texts(workshop)
    texts["house.toml"] = texts["house.toml"].replace("limit_share = 0.92", "limit_share = 0.9", 1)
    loaded = load_texts(workshop, texts)
    assert loaded.outcome == "drafted"
    assert loaded.draft is not None
    assert (loaded.draft.number, loaded.draft.based_on, loaded.draft.findings) == (17, 16, ())
    assert running_edition(workshop).number == 16
    assert edition_texts(workshop) != texts


def test_a_higher_number_in_the_files_stays(workshop: Workshop):
    loaded = load_texts(workshop, renumbered(edition_texts(workshop), 18))
    assert loaded.draft is not None
    assert loaded.draft.number == 18


def test_files_do_not_take_the_place_of_a_draft_that_nobody_named(workshop: Workshop):
    draft = begin(workshop, "A. Author")
    texts = renumbered(edition_texts(workshop), 18)
    with pytest.raises(DraftOpen, match=r"A\. Author"):
        load_texts(workshop, texts)
    loaded = load_texts(workshop, texts, version=draft.version)
    assert loaded.draft is not None
    assert loaded.draft.number == 18


def test_a_faulty_catalog_is_not_half_loaded(empty_workshop: Workshop):
    texts, _ = read_texts(demo_directory())
    texts["parts/rims.toml"] = texts["parts/rims.toml"].replace("depth_mm", "depht_mm", 1)
    before = counts(empty_workshop)
    loaded = load_texts(empty_workshop, texts)
    assert loaded.outcome == "refused"
    assert loaded.findings
    assert counts(empty_workshop) == before


def test_a_stored_edition_cannot_be_edited(workshop: Workshop):
    def edit() -> None:
        with workshop.database.writing() as section:
            section.run("update edition_files set body = '' where name = 'house.toml'")

    with pytest.raises(sqlite3.IntegrityError, match="only appended to"):
        edit()
