"""Files that are damaged, enormous or meant to do harm: always findings, never an exception."""

from __future__ import annotations

import io
import zipfile
from functools import lru_cache
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.catalog.tables.comparing import compared
from buildsheet.catalog.tables.grid import MOST_BYTES, MOST_COLUMNS, MOST_ROWS
from buildsheet.catalog.tables.reading import Imported, read_table
from buildsheet.catalog.tables.workbook import MOST_MEMBERS, MOST_UNPACKED
from tests.catalog.demo_texts import demo_texts
from tests.catalog.tables.sheets import repacked, the_only, workbook

SHEET = "xl/worksheets/sheet1.xml"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


@lru_cache(maxsize=1)
def sound() -> bytes:
    return workbook({"Rims": [["code", "name", "depth_mm"], ["OR33D", "Ondrel 33 D", 33.0]]})


def with_sheet(xml: str) -> bytes:
    """A workbook whose only sheet is this text."""
    return repacked(sound(), {SHEET: xml.encode()})


def rows_xml(rows: str) -> str:
    return f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>'


def unreadable(data: bytes) -> str:
    found = read_table("parts.xlsx", data)
    assert found.rows == ()
    fault = the_only(found.findings)
    assert fault.code == "data.unreadable"
    return fault.says


def test_the_file_that_is_damaged_here_was_sound_before():
    assert read_table("parts.xlsx", repacked(sound(), {})).findings == ()


@settings(max_examples=80, deadline=None)
@given(st.binary(max_size=400), st.sampled_from(["x.xlsx", "rims.csv", "rims", "x.xls", ""]))
def test_any_bytes_are_answered(data: bytes, name: str):
    for start in (b"", b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"code,name\n"):
        found = read_table(name, start + data)
        assert isinstance(found, Imported)
        assert found.rows or found.findings
        assert all(each.says.isprintable() for each in found.findings)
        if found.rows:
            compared(demo_texts(), found)


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5, 0.9, 0.99])
def test_a_truncated_workbook_is_refused(share: float):
    assert unreadable(sound()[: int(share * len(sound()))])


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_a_workbook_with_bytes_changed_is_read_or_refused(seed: int):
    chance = Random(seed)
    data = bytearray(sound())
    for _ in range(chance.randrange(1, 6)):
        data[chance.randrange(len(data))] = chance.randrange(256)
    assert isinstance(read_table("parts.xlsx", bytes(data)), Imported)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([SHEET, "xl/workbook.xml", "xl/styles.xml"]))
def test_a_workbook_with_its_inside_changed_is_read_or_refused(seed: int, member: str):
    chance = Random(seed)
    with zipfile.ZipFile(io.BytesIO(sound())) as archive:
        inside = bytearray(archive.read(member))
    for _ in range(chance.randrange(1, 4)):
        inside[chance.randrange(len(inside))] = chance.randrange(32, 127)
    found = read_table("parts.xlsx", repacked(sound(), {member: bytes(inside)}))
    assert isinstance(found, Imported)


def test_what_unpacks_to_too_much_is_refused_before_it_is_unpacked():
    bomb = repacked(sound(), {"xl/media/nothing.bin": bytes(MOST_UNPACKED)})
    assert len(bomb) < 50_000
    assert "bytes; allowed are" in unreadable(bomb)


def test_a_cell_of_hundreds_of_thousands_of_pieces_is_not_read():
    sheet = "xl/worksheets/sheet1.xml"
    pieces = b"<sheetData><row><c t='inlineStr'><is>" + b"<r><t>x</t></r>" * 160_000
    text = b"<worksheet>" + pieces + b"</is></c></row></sheetData></worksheet>"
    found = read_table("parts.xlsx", repacked(sound(), {sheet: text})).findings
    assert [each.code for each in found] == ["data.unreadable"]
    assert "marks of XML" in found[0].says


def test_what_lies_about_its_size_is_refused():
    data = repacked(sound(), {"xl/media/nothing.bin": bytes(MOST_UNPACKED)})
    size = MOST_UNPACKED.to_bytes(4, "little")
    assert data.count(size) == 2
    assert "is damaged" in unreadable(data.replace(size, (10).to_bytes(4, "little")))


def test_too_many_members_are_refused():
    members = {f"xl/media/{number}.bin": b"" for number in range(MOST_MEMBERS)}
    assert f"allowed are {MOST_MEMBERS}" in unreadable(repacked(sound(), members))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_entities_of_its_own_are_refused(encoding: str):
    xml = f'<!DOCTYPE a [<!ENTITY b "bb"><!ENTITY c "&b;&b;">]>{rows_xml("")}'
    data = repacked(sound(), {SHEET: xml.encode(encoding)})
    assert "defines entities of its own" in unreadable(data)


def test_a_sheet_that_goes_on_for_ever_is_refused():
    rows = "".join(f'<row r="{number}"><c><v>1</v></c></row>' for number in range(1, MOST_ROWS + 3))
    assert "goes beyond" in unreadable(with_sheet(rows_xml(rows)))


def test_a_row_at_the_end_of_the_world_is_not_walked_to():
    row = '<row r="1048576"><c r="A1048576"><v>1</v></c></row>'
    assert read_table("parts.xlsx", with_sheet(rows_xml(row))).findings


def test_a_cell_at_the_end_of_its_row_is_refused():
    head = '<row r="1"><c r="A1" t="str"><v>code</v></c><c r="XFD1" t="str"><v>name</v></c></row>'
    found = read_table("parts.xlsx", with_sheet(rows_xml(head)))
    assert all(isinstance(each.says, str) for each in found.findings)
    wide = "".join(f'<c t="str"><v>k{n}</v></c>' for n in range(MOST_COLUMNS + 1))
    assert "goes beyond" in unreadable(with_sheet(rows_xml(f'<row r="1">{wide}</row>')))


@pytest.mark.parametrize(
    "cell",
    ["1e999", "nan", "inf", "-1e999", "1" * 400, "9" * 5000, "0x10"],
)
def test_numbers_that_are_none_are_findings(cell: str):
    rows = (
        '<row r="1"><c t="str"><v>code</v></c><c t="str"><v>depth_mm</v></c></row>'
        f'<row r="2"><c t="str"><v>OR33D</v></c><c><v>{cell}</v></c></row>'
    )
    found = compared(demo_texts(), read_table("parts.xlsx", with_sheet(rows_xml(rows))))
    assert found.findings
    assert all(each.says.isprintable() for each in found.findings)


def test_too_many_bytes_are_refused_unread():
    found = read_table("rims.csv", b"x" * (MOST_BYTES + 1))
    assert the_only(found.findings).code == "data.unreadable"


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"\xd0\xcf\x11\xe0old", "old .xls form"),
        (b"", "holds no rows"),
        (b"\n\n\n", "holds no rows"),
        (b"code\n\xff\xfe", "line 2 is not UTF-8"),
        (b"code\0name", "is no text file"),
        (b'code,name\nOR1,"never closed', "is not separated text"),
        (b"code\n" + b"OR1\n" * (MOST_ROWS + 5), "goes beyond"),
        (b"code" + b",a" * (MOST_COLUMNS + 5), "goes beyond"),
    ],
)
def test_text_out_of_form_is_refused(data: bytes, says: str):
    assert says in the_only(read_table("rims.csv", data).findings).says


def test_a_workbook_of_another_program_is_no_workbook():
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
    assert "is no .xlsx workbook" in unreadable(file.getvalue())


def test_a_code_that_is_no_code_is_put_nowhere():
    codes = ["a b", "..", '"]\\n[x', "__proto__", "A" * 200, "house", "\u202eABC"]
    data = workbook({"Washers": [["code", "name"], *([code, "x"] for code in codes)]})
    found = compared(demo_texts(), read_table("parts.xlsx", data))
    assert found.edits == ()
    assert found.texts == demo_texts()
    places = {each.at for each in found.findings}
    assert places == {f"/Washers!A{row}" for row in range(2, len(codes) + 2)}


def test_the_rows_of_all_sheets_count_together():
    rows = [["code"], *([f"X{number}"] for number in range(MOST_ROWS // 2))]
    found = read_table("parts.xlsx", workbook({"Rims": rows, "Hubs": rows}))
    assert "rows in all its sheets; import it in pieces" in the_only(found.findings).says
