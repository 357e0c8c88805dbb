"""Spreadsheets at a terminal: what would change, then all of it or nothing."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from buildsheet.actions.workshop import Workshop
from tests.catalog.tables.sheets import commas, workbook


@pytest.fixture
def catalog(said, workshop: Workshop):
    def ask(*words: object) -> Any:
        return said("catalog", *words, "--db", workshop.path)

    return ask


@pytest.fixture
def rims(tmp_path: Path):
    def write(*rows: list[Any]) -> Path:
        path = tmp_path / "rims.csv"
        path.write_bytes(commas([["code", "mass_g", "seat_diameter_mm"], *rows]))
        return path

    return write


def test_a_dry_run_says_what_would_change_and_changes_nothing(catalog, rims):
    answer = catalog("import", rims(["OR33D", "400", "573,6"], ["OR45D", "445", "549,6"]))
    assert (answer.code, answer.err) == (0, "")
    assert "rims OR33D: mass_g 395.0 -> 400.0" in answer.out
    assert "0 new parts, 1 changed, 1 unchanged. Nothing was changed: --apply" in answer.out
    assert catalog("draft", "--json").json == {"draft": None}


def test_applied_it_begins_a_draft_with_all_of_it(catalog, rims):
    answer = catalog("import", rims(["OR33D", "400", "573.6"]), "--apply", "--by", "A. Author")
    assert answer.code == 0
    assert "1 changed, 0 unchanged: in the draft, version 2." in answer.out
    draft = catalog("draft", "--json").json["draft"]
    assert (draft["changed_by"], draft["sound"]) == ("A. Author", True)
    again = catalog("import", rims(["OR33D", "400", "573.6"]), "--apply")
    assert "1 unchanged: nothing to do." in again.out


def test_with_one_fault_nothing_of_it_is_applied(catalog, rims):
    rows = rims(["OR33D", "400", "573,6"], ["OR45D", "445", "54,96"])
    answer = catalog("import", rows, "--apply", "--json")
    assert answer.code == 1
    assert answer.json["applied"] is None
    (finding,) = answer.json["findings"]
    assert finding["at"] == "/rims!C3"
    assert finding["try"] == [{"at": "/rims!C3", "values": [549.6]}]
    assert catalog("draft", "--json").json == {"draft": None}
    assert "REFUSED: 1 fault; nothing was changed." in catalog("import", rows).out


def test_a_version_that_is_no_longer_the_last_is_refused(catalog, rims):
    catalog("import", rims(["OR33D", "400", "573.6"]), "--apply")
    catalog("import", rims(["OR33D", "401", "573.6"]), "--apply")
    answer = catalog("import", rims(["OR33D", "402", "573.6"]), "--apply", "--version", "2")
    assert answer.code == 1
    assert "data.draft-stale" in answer.out


def test_what_was_exported_imports_without_a_change(catalog, tmp_path: Path):
    path = tmp_path / "parts.xlsx"
    answer = catalog("export", path)
    assert answer.code == 0
    assert "The parts of edition 16" in answer.out
    found = catalog("import", path, "--json").json
    assert (found["ok"], found["changes"]) == (True, [])
    assert found["unchanged"] > 100
    assert "is there already" in catalog("export", path).err


def test_the_draft_exports_too_unless_it_is_faulty(catalog, rims, tmp_path: Path):
    catalog("import", rims(["OR33D", "400", "573.6"]), "--apply")
    path = tmp_path / "draft.xlsx"
    assert catalog("export", path, "--draft", "--json").json == {"file": str(path), "edition": 17}
    found = catalog("import", path, "--json").json
    assert (found["draft_version"], found["changes"]) == (2, [])


def test_a_file_that_is_none_and_a_kind_that_is_none_are_said(catalog, tmp_path: Path):
    path = tmp_path / "parts.xlsx"
    path.write_bytes(b"PK not at all")
    answer = catalog("import", path)
    assert answer.code == 1
    assert "parts.xlsx: is damaged" in answer.out
    path.write_bytes(workbook({"Sheet1": [["code", "mass_g"], ["OR33D", 395]]}))
    assert catalog("import", path).code == 1
    assert catalog("import", path, "--kind", "rims").code == 0
    assert catalog("import", tmp_path / "nowhere.csv").code == 2


def test_the_example_with_decimal_commas_changes_two_of_its_three_rims(catalog):
    example = Path(__file__).parents[2] / "examples" / "tables" / "rims.csv"
    found = catalog("import", example, "--json").json
    assert (found["ok"], found["unchanged"]) == (True, 1)
    assert [(each["code"], each["what"]) for each in found["changes"]] == [
        ("OR33D", "changed"),
        ("OR58D", "changed"),
    ]
