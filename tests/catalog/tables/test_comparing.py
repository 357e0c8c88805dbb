"""What a spreadsheet would change in a catalog, and what would then be wrong, at its cells."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from buildsheet.catalog.amending.amend import amended
from buildsheet.catalog.differences import FieldChange
from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.reading import read_catalog
from buildsheet.catalog.tables.comparing import compared
from buildsheet.catalog.tables.reading import read_table
from buildsheet.catalog.tables.writing import sheets_of
from tests.catalog.demo_texts import RIMS, demo_edition, demo_texts
from tests.catalog.tables.sheets import against_demo, imported, the_only, workbook


def test_a_column_alone_changes_its_key_and_leaves_the_rest():
    rows: list[list[Any]] = [["code", "mass_g"], ["OR33D", 400], ["OR45D", 445]]
    found = against_demo({"Rims": rows})
    assert found.findings == ()
    assert found.unchanged == 1
    (change,) = found.changes
    assert (change.kind, change.code, change.what) == ("rims", "OR33D", "changed")
    assert change.fields == (FieldChange("mass_g", 395.0, 400.0),)
    edition, faults = read_catalog(found.texts)
    assert edition is not None, faults
    assert edition.rims["OR33D"].mass_g == 400.0
    assert edition.rims["OR33D"].depth_mm == 33.0


def test_comments_of_the_text_files_survive():
    found = against_demo({"Rims": [["code", "mass_g"], ["OR45A", 451]]})
    assert "# asymmetric: which way round it goes" in found.texts[RIMS]


def test_an_empty_cell_takes_its_key_out_and_says_so():
    rows = [["code", "seat_measured_mm", "evidence.use_classes"], ["OR33D"]]
    found = against_demo({"Rims": rows})
    assert found.findings == ()
    assert found.changes[0].fields == (
        FieldChange("seat_measured_mm", [573.5, 573.6], None),
        FieldChange("evidence.use_classes", "release RL-OR33D-1, 2030", None),
    )


def test_defaults_written_out_change_nothing():
    rows: list[list[Any]] = [
        ["code", "state", "bed_offset_mm", "split"],
        ["OR33D", "active", 0, "1:1"],
    ]
    found = against_demo({"Rims": rows})
    assert (found.edits, found.changes, found.unchanged) == ((), (), 1)


def test_edits_are_what_amending_makes_of_them():
    rows: list[list[Any]] = [["code", "mass_g"], ["OR33D", 400], ["OR45D", 446]]
    found = against_demo({"Rims": rows, "Washers": [["code", "mass_g"], ["W05", 0.06]]})
    texts, trouble = amended(demo_texts(), found.edits)
    assert trouble == ()
    assert texts == found.texts


def test_centimetres_are_caught_at_their_cell_with_what_was_meant():
    found = against_demo({"Rims": [["code", "seat_diameter_mm"], ["OR33D", 57.36]]})
    fault = the_only(found.findings)
    assert (fault.code, fault.at) == ("data.out-of-range", "/Rims!B2")
    assert fault.says.startswith("Rims!B2: rims.toml [OR33D] seat_diameter_mm: found 57.36")
    assert fault.try_[0].at == "/Rims!B2"
    assert fault.try_[0].values == (573.6,)


@pytest.mark.parametrize(
    ("sheets", "at", "code"),
    [
        ({"Rims": [["code", "system_limits"], ["OR33D", "holes=20 front_kg=9000"]]}, "/Rims!B2",
         "data.out-of-range"),
        ({"Rims": [["code", "holes"], ["OR33D", "20.5 24 28"]]}, "/Rims!B2", "data.wrong-type"),
        ({"Rims": [["code", "name", "brake"], ["OR33D", "x", "dics"]]}, "/Rims!C2",
         "data.unknown-word"),
        ({"Hubs": [["code", "left_flange.circle_mm"], ["KF4", 45]]}, "/Hubs!B2",
         "data.missing-key"),
        ({"Spokes": [["name", "code"], ["x", "sj99"]]}, "/Spokes!B2", "data.wrong-form"),
        ({"Hubs": [["code", "drivers"], ["KR2", "A Q"]]}, "/Hubs!B2", "data.unknown-reference"),
    ],
)  # fmt: skip
def test_a_fault_of_the_catalog_stands_at_the_cell(
    sheets: Mapping[str, list[list[Any]]], at: str, code: str
):
    found = against_demo(sheets)
    assert at in {each.at for each in found.findings}
    assert code in {each.code for each in found.findings if each.at == at}
    assert all(each.says.startswith(each.at[1:]) for each in found.findings if "!" in each.at)


def test_a_new_part_that_lacks_a_key_says_so_at_its_code():
    found = against_demo({"Washers": [["code", "name", "thickness_mm"], ["W10", "Washer", 1]]})
    assert {(each.at, each.code) for each in found.findings} == {
        ("/Washers!A2", "data.missing-key")
    }
    assert [each.what for each in found.changes] == ["added"]


def test_a_row_that_cannot_be_read_does_not_make_references_to_it_faults():
    rows: list[list[Any]] = [["code", "name", "spline", "smallest_sprocket", "mass_g"]]
    rows.append(["D", "Driver D", "D", 10, "38 g"])
    found = against_demo({"Drivers": rows, "Hubs": [["code", "drivers"], ["KR2", "A B C D"]]})
    assert the_only(found.findings).at == "/Drivers!E2"


def test_faults_that_the_draft_has_already_are_not_told_again():
    texts = {**demo_texts(), RIMS: demo_texts()[RIMS].replace("depth_mm = 33.0", "depth_mm = 3.3")}
    found = compared(texts, imported({"Rims": [["code", "mass_g"], ["OR45D", 446]]}))
    assert found.findings == ()
    assert len(found.edits) == 1


def test_a_draft_whose_file_is_no_toml_is_said_to_be_so():
    texts = {**demo_texts(), RIMS: "[OR33D"}
    found = compared(texts, imported({"Rims": [["code", "mass_g"], ["OR45D", 446]]}))
    assert "data.syntax" in {each.code for each in found.findings}


def test_an_export_without_changes_changes_nothing():
    sheets = {
        grid.title: [[cell.value if cell else None for cell in row] for row in grid.rows]
        for grid in sheets_of(demo_edition())
    }
    found = compared(demo_texts(), read_table("parts.xlsx", workbook(sheets)))
    assert found.findings == ()
    assert (found.edits, found.unchanged) == (
        (),
        sum(len(getattr(demo_edition(), kind)) for kind in KINDS),
    )
