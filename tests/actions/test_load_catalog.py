"""Catalog files become an edition once, whole, and forever."""

from __future__ import annotations

import pytest
from sqlite_utils.utils import sqlite3

from buildsheet.actions.catalog_files import demo_directory, read_texts
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


def test_an_edition_never_changes_its_meaning(workshop: Workshop):
    texts = edition_texts(workshop)
    texts["house.toml"] = texts["house.toml"].replace("limit_share = 0.92", "limit_share = 0.9", 1)
    loaded = load_texts(workshop, texts)
    assert loaded.outcome == "refused"
    assert [finding.code for finding in loaded.findings] == ["data.edition-frozen"]
    assert edition_texts(workshop) != texts


def test_an_older_edition_is_not_loaded_after_a_newer_one(workshop: Workshop):
    texts = edition_texts(workshop)
    assert load_texts(workshop, renumbered(texts, 18)).outcome == "loaded"
    loaded = load_texts(workshop, renumbered(texts, 17))
    assert loaded.outcome == "refused"
    assert [finding.code for finding in loaded.findings] == ["data.edition-older"]
    assert running_edition(workshop).number == 18


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
