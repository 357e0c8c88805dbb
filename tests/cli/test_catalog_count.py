"""``catalog count`` says how many wheels can be built: of files, of the running edition, of the draft."""

from __future__ import annotations

import io
import shutil
import sys
from pathlib import Path

import pytest

from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.desk.draft import replace_texts
from buildsheet.actions.workshop import Workshop
from buildsheet.space.count import count
from tests.catalog.demo_texts import RIMS, changed
from tests.orders.workshop import demo


@pytest.fixture
def nowhere(tmp_path: Path) -> Path:
    return tmp_path / "none.db"


def test_without_a_workshop_file_the_catalog_beside_the_program_is_counted(said, nowhere: Path):
    answer = said("catalog", "count", "--db", nowhere, "--json")
    assert answer.code == 0
    assert answer.json == count(demo()).as_json()
    assert answer.json["buildable"] == sum(answer.json["by_rim"].values())
    assert not nowhere.exists()


def test_the_running_edition_is_counted(said, workshop: Workshop):
    answer = said("catalog", "count", "--db", workshop.path)
    assert answer.code == 0
    assert f"Edition 16: {count(demo()).buildable:,} buildable wheels" in answer.out
    assert "sets of two" in answer.out
    assert answer.err == ""


def test_files_in_a_directory_are_counted(said, tmp_path: Path, nowhere: Path):
    files = tmp_path / "catalog"
    shutil.copytree(demo_directory(), files)
    for name, text in changed(RIMS, "OR33D", 'name = "', 'state = "ended"\nname = "').items():
        (files / name).write_text(text, "utf-8")
    by_rim = said("catalog", "count", files, "--db", nowhere, "--json").json["by_rim"]
    assert by_rim == {**count(demo()).by_rim, "OR33D": 0}


def test_faulty_files_are_not_counted(said, tmp_path: Path, nowhere: Path):
    (tmp_path / "house.toml").write_text("edition = 1")
    answer = said("catalog", "count", tmp_path, "--db", nowhere)
    assert answer.code == 1
    assert "nothing was counted" in answer.out


def test_the_draft_is_counted_where_one_is_open(said, workshop: Workshop):
    none = said("catalog", "count", "--draft", "--db", workshop.path)
    assert none.code == 2
    assert "no draft is open" in none.err
    texts = changed(RIMS, "OR33D", 'name = "', 'state = "ended"\nname = "')
    replace_texts(workshop, texts, "A. Author")
    answer = said("catalog", "count", "--draft", "--db", workshop.path, "--json")
    assert answer.json["by_rim"]["OR33D"] == 0
    assert answer.json["buildable"] < count(demo()).buildable


def test_a_draft_in_a_directory_is_a_misuse(said, tmp_path: Path):
    assert said("catalog", "count", tmp_path, "--draft").code == 2


def test_progress_is_shown_where_somebody_looks_on(
    said, nowhere: Path, monkeypatch: pytest.MonkeyPatch
):
    class Screen(io.StringIO):
        def isatty(self) -> bool:
            return True

    screen = Screen()
    monkeypatch.setattr(sys, "stderr", screen)
    assert said("catalog", "count", "--db", nowhere).code == 0
    assert "60 of 60 rims with hubs" in screen.getvalue()
