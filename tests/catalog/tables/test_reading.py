"""Cells become values, or say at their address what happened to them."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import date, datetime
from typing import Any

import pytest
from openpyxl import load_workbook

from buildsheet.catalog.codes import FAULT_CODES
from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.tables.columns import columns_of
from buildsheet.catalog.tables.reading import read_table
from tests.catalog.tables.sheets import commas, imported, repacked, the_only, workbook


def rim(*cells: tuple[str, Any]) -> dict[str, list[list[Any]]]:
    """A sheet of rims with one row: OR99D and these cells."""
    return {"Rims": [["code", *(key for key, _ in cells)], ["OR99D", *(each for _, each in cells)]]}


def value(key: str, cell: Any) -> Any:
    found = imported(rim((key, cell)))
    assert not found.findings, [each.says for each in found.findings]
    return found.rows[0].values[tuple(key.split("."))]


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_of_a_kind_has_one_column(kind: str):
    headers = [each.header for each in columns_of(kind)]
    assert headers[0] == "code"
    assert len(set(headers)) == len(headers)
    heads = {each.split(".")[0] for each in headers}
    assert heads == set(KINDS[kind].model_fields)


@pytest.mark.parametrize(
    ("key", "cell", "means"),
    [
        ("depth_mm", 33, 33),
        ("depth_mm", 33.5, 33.5),
        ("depth_mm", "33.5", 33.5),
        ("depth_mm", " 33,5 ", 33.5),
        ("bead_seat_mm", 622.0, 622),
        ("bead_seat_mm", "622", 622),
        ("tubeless", True, True),
        ("tubeless", "yes", True),
        ("tubeless", "No", False),
        ("brake", "disc", "disc"),
        ("name", "  Ondrel 99 D ", "Ondrel 99 D"),
        ("name", '"=1+1"', "=1+1"),
        ("name", "'+1 rim", "+1 rim"),
        ("name", '28" rim', '28" rim'),
        ("name", '"2031-12-03"', "2031-12-03"),
        ("name", "3-12", "3-12"),
        ("holes", "20 24 28", [20, 24, 28]),
        ("holes", "20, 24; 28", [20, 24, 28]),
        ("holes", 24, [24]),
        ("use_classes", "none", []),
        ("drillings", "external hidden", ["external", "hidden"]),
        ("seat_measured_mm", "573,5 573,7", [573.5, 573.7]),
        ("seat_measured_mm", "573,5, 573,7", [573.5, 573.7]),
        ("seat_measured_mm", "573.5; 573.7", [573.5, 573.7]),
        ("section.radius_mm", 302, 302),
        ("evidence.use_classes", "release RL-1", "release RL-1"),
        (
            "system_limits",
            "holes=20 front_kg=90; holes=24 front_kg=105,5 rear_kg=100",
            [{"holes": 20, "front_kg": 90}, {"holes": 24, "front_kg": 105.5, "rear_kg": 100}],
        ),
        ("system_limits", "none", []),
        ("depth_mm", None, None),
        ("depth_mm", "  ", None),
    ],
)
def test_a_cell_means(key: str, cell: Any, means: Any):
    found = value(key, cell)
    assert found == means
    assert type(found) is type(means)


def test_colours_may_have_spaces_inside():
    found = imported({"Nipples": [["code", "colours"], ["NB99", "dark red; black"]]})
    assert found.rows[0].values["colours",] == ["dark red", "black"]


@pytest.mark.parametrize(
    ("key", "cell", "code", "says"),
    [
        ("name", datetime.fromisoformat("2031-12-03"), "data.retyped", "became a date, 2031-12-03"),
        ("depth_mm", date(2031, 3, 3), "data.retyped", "became a date, 2031-03-03"),
        ("holes", datetime.fromisoformat("2031-12-03T04:05"), "data.retyped", "became a date"),
        ("name", 33, "data.retyped", "is a number, 33, in a column of text"),
        ("name", True, "data.retyped", "is true or false, true, in a column of text"),
        ("name", "3-Dec", "data.retyped", "became a date, 3-Dec"),
        ("name", "1.2E+11", "data.retyped", "became a power of ten"),
        ("name", "03. Dez", "data.retyped", "became a date, 03. Dez"),
        ("name", "12/3/2031", "data.retyped", "became a date, 12/3/2031"),
        ("name", "2031-12-03", "data.retyped", "put it in double quotes where it is meant"),
        ("name", "=A1&B1", "data.formula", "nothing is calculated here. Paste its value."),
        ("depth_mm", "=1+1", "data.formula", "the formula"),
        ("depth_mm", "#REF!", "data.formula", "the error #REF!"),
        ("name", '"', "data.ditto", "write the value out"),
        ("depth_mm", "same as above", "data.ditto", "write the value out"),
        ("depth_mm", "33 mm", "data.wrong-type", "the unit in the header"),
        ("depth_mm", "1.234,5", "data.wrong-type", 'found "1.234,5"; a number is wanted'),
        ("depth_mm", "1 234", "data.wrong-type", "a number is wanted"),
        ("depth_mm", True, "data.wrong-type", "a number is wanted"),
        ("tubeless", "perhaps", "data.wrong-type", "allowed is true or false"),
        ("tubeless", 1, "data.wrong-type", "allowed is true or false"),
        ("holes", "20 twenty-four", "data.wrong-type", "in the list"),
        ("system_limits", "20: 90", "data.wrong-form", "allowed are rows like holes=..."),
        ("system_limits", "holes=20 frnt_kg=9", "data.unknown-key", "Try front_kg."),
        ("system_limits", "holes=20 holes=24", "data.unknown-key", "stands twice"),
        ("system_limits", "holes=20 front_kg=x", "data.wrong-type", "front_kg: found"),
        ("system_limits", 20, "data.wrong-type", "allowed are rows like"),
    ],
)
def test_a_cell_that_cannot_be_read_says_so_at_its_address(
    key: str, cell: Any, code: str, says: str
):
    found = the_only(imported(rim(("state", "draft"), (key, cell))).findings)
    assert (found.at, found.code) == ("/Rims!C2", code)
    assert found.says.startswith("Rims!C2: ")
    assert says in found.says
    assert code in FAULT_CODES


def test_a_code_that_became_a_date_or_a_number_is_refused():
    rows: list[list[Any]] = [
        ["code", "name"],
        [datetime.fromisoformat("2031-12-03"), "a"],
        [12, "b"],
        ["1E+05", "c"],
    ]
    found = imported({"Hubs": rows})
    assert [each.at for each in found.findings] == ["/Hubs!A2", "/Hubs!A3", "/Hubs!A4"]
    assert {each.code for each in found.findings} == {"data.retyped"}
    assert found.rows == ()


def test_a_code_of_figures_and_zeros_in_front_is_kept_as_text():
    assert imported({"Hubs": [["code"], ["0012"]]}).rows[0].code == "0012"
    assert read_table("hubs.csv", b"code\r\n0012\r\n").rows[0].code == "0012"


def test_decimal_commas_and_points_in_one_file_are_refused_with_both_places():
    rows = [["code", "depth_mm", "bed_mm"], ["OR1", "33,5", "2"], ["OR2", "40", "2.5"]]
    found = the_only(imported({"Rims": rows}).findings)
    assert (found.code, found.at, found.also) == (
        "data.mixed-decimals",
        "/Rims!B2",
        ("/Rims!C3",),
    )


def test_number_cells_have_no_mark_and_mix_with_either():
    rows: list[list[Any]] = [["code", "depth_mm", "bed_mm"], ["OR1", "33,5", 2.5]]
    assert imported({"Rims": rows}).findings == ()


@pytest.mark.parametrize(
    ("header", "says"),
    [
        ("Depth", '"Depth" is no key of Rims. The unit belongs to the name. Try depth_mm.'),
        ("depht_mm", '"depht_mm" is no key of Rims. Try depth_mm.'),
        ("price", '"price" is no key of Rims.'),
        (33, '"33" is no key of Rims.'),
    ],
)
def test_a_header_that_is_no_key_is_refused_with_the_nearest(header: Any, says: str):
    found = the_only(imported({"Rims": [["code", header], ["OR1", 3]]}).findings)
    assert (found.at, found.code) == ("/Rims!B1", "data.unknown-key")
    assert says in found.says


def test_headers_are_found_in_friendly_spelling():
    rows: list[list[Any]] = [["Code", " Depth (mm)", "Left-flange.Circle [mm]"], ["KF9", 3, 4]]
    found = imported({"Hubs": [rows[0][:1] + rows[0][2:], rows[1][:1] + rows[1][2:]]})
    assert not found.findings
    assert found.rows[0].values["left_flange", "circle_mm"] == 4
    assert imported({"rims": [rows[0][:2], rows[1][:2]]}).rows[0].values["depth_mm",] == 3


@pytest.mark.parametrize(
    ("rows", "at", "code"),
    [
        ([["name"], ["a"]], "/Rims!A1", "data.missing-key"),
        ([["code", "name", "name"], ["OR1", "a", "b"]], "/Rims!C1", "data.duplicate"),
        ([["code", None], ["OR1", "a"]], "/Rims!B1", "data.missing-key"),
        ([["code", "name"], [None, "a"]], "/Rims!A2", "data.missing-key"),
        ([["code"], ["OR1"], ["OR2"], [" OR1 "]], "/Rims!A4", "data.duplicate"),
    ],
)
def test_a_sheet_out_of_form_is_refused(rows: list[list[Any]], at: str, code: str):
    found = the_only(imported({"Rims": rows}).findings)
    assert (found.at, found.code) == (at, code)


def test_one_code_stands_once_in_all_sheets():
    found = the_only(imported({"Rims": [["code"], ["X1"]], "Hubs": [["code"], ["X1"]]}).findings)
    assert (found.code, found.at, found.also) == ("data.duplicate", "/Hubs!A2", ("/Rims!A2",))


def test_a_sheet_of_no_kind_is_refused_and_the_sheet_of_words_passed_over():
    sheets = {"About": [["words"]], "Rimms": [["code"], ["X1"]], "Sheet2": []}
    found = the_only(imported(sheets).findings)
    assert (found.at, found.code) == ("/Rimms", "data.unknown-word")
    assert found.says.endswith("Try rims.")


def test_empty_rows_between_parts_do_not_count_and_addresses_stay():
    rows: list[list[Any]] = [["code", "depth_mm"], ["OR1", 33], [None], ["OR2", "x"]]
    assert the_only(imported({"Rims": rows}).findings).at == "/Rims!B4"


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_separated_text_reads_with_any_usual_separator(separator: str):
    data = commas([["code", "depth_mm", "holes"], ["OR1", "33,5", "20 24"]], separator)
    found = read_table("upload/rims.csv", b"\xef\xbb\xbf" + data)
    assert not found.findings
    assert found.rows[0].values["depth_mm",] == 33.5
    assert found.rows[0].kind == "rims"


def test_the_kind_of_separated_text_may_be_said():
    data = commas([["code", "depth_mm"], ["OR1", "x"]])
    assert the_only(read_table("new.csv", data, "rims").findings).at == "/Rims!B2"
    found = the_only(read_table("new.csv", data).findings)
    assert "new is no kind of part" in found.says
    assert "Try rims" in the_only(read_table("new.csv", data, "rimz").findings).says


def test_a_workbook_of_one_sheet_may_be_named_too():
    data = workbook({"Sheet1": [["code"], ["OR1"]]})
    assert read_table("x.xlsx", data, "rims").rows[0].kind == "rims"
    assert len(read_table("x.xlsx", data).findings) == 1


def test_shared_texts_rich_texts_and_dates_by_their_format_are_read_as_other_programs_write_them():
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    with zipfile.ZipFile(io.BytesIO(workbook({"Rims": [["code"]]}))) as archive:
        types, styles = archive.read("[Content_Types].xml"), archive.read("xl/styles.xml")
    shared = (
        f'<sst xmlns="{main}"><si><t>code</t></si><si><t>name</t></si><si><t>0012</t></si>'
        "<si><r><t>On</t></r><r><rPr><b/></rPr><t>drel</t></r></si></sst>"
    )
    part = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
    override = f'<Override PartName="/xl/sharedStrings.xml" ContentType="{part}"/></Types>'
    types = re.sub(rb"<Override[^>]*sharedStrings[^>]*/>", b"", types)
    sheet = (
        f'<worksheet xmlns="{main}"><sheetData>'
        '<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row>'
        '<row r="2"><c r="A2" t="s"><v>2</v></c><c r="B2" t="s"><v>3</v></c></row>'
        '<row r="4"><c r="A4" s="1"><v>48000</v></c><c r="B4" t="str"><f>A1</f><v>x</v></c></row>'
        "</sheetData></worksheet>"
    )
    dated = re.sub(
        rb"<cellXfs.*</cellXfs>",
        b'<cellXfs count="2"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/>'
        b'<xf numFmtId="14" fontId="0" fillId="0" borderId="0"/></cellXfs>',
        styles,
    )
    data = repacked(
        workbook({"Rims": [["code"]]}),
        {
            "[Content_Types].xml": types.replace(b"</Types>", override.encode()),
            "xl/sharedStrings.xml": shared.encode(),
            "xl/styles.xml": dated,
            "xl/worksheets/sheet1.xml": sheet.encode(),
        },
    )
    found = read_table("x.xlsx", data)
    assert [(row.code, row.values["name",]) for row in found.rows] == [("0012", "Ondrel")]
    assert [(each.at, each.code) for each in found.findings] == [
        ("/Rims!A4", "data.retyped"),
        ("/Rims!B4", "data.formula"),
    ]
    assert "became a date, 2031-06-01" in found.findings[0].says


def test_merged_cells_are_refused_since_only_the_first_holds_a_value():
    rows: list[list[Any]] = [["code", "state"], ["OR33D", "ended"], ["OR45D", None]]
    book = load_workbook(io.BytesIO(workbook({"Rims": rows})))
    book["Rims"].merge_cells("B2:B3")
    file = io.BytesIO()
    book.save(file)
    found = the_only(read_table("parts.xlsx", file.getvalue()).findings)
    assert (found.at, found.code) == ("/Rims!B2:B3", "data.ditto")
    assert "split them" in found.says
    assert not imported({"Rims": rows}).findings
