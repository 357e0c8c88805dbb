"""Spreadsheets: tables as text with every separator, and packed workbooks bent in their cells, in their
inner files and in their packing."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from random import Random
from typing import Any, Final

from openpyxl import Workbook

from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.tables.comparing import compared
from buildsheet.catalog.tables.headers import title_of
from buildsheet.catalog.tables.reading import read_table
from buildsheet.catalog.tables.writing import sheet_of
from tests.catalog.demo_texts import demo_edition, demo_texts
from tests.soak.fuzzing.files import told
from tests.soak.fuzzing.loop import Input, Told
from tests.soak.fuzzing.texts import bent_bytes, bent_lines

CELLS: Final[tuple[Any, ...]] = (
    *(
        "",
        " ",
        "x",
        "=1+1",
        "=HYPERLINK(1)",
        "+49",
        "'=1",
        "1,5",
        "1.5",
        "1.250",
        "12.500,5",
        "1e5",
        "1e999",
    ),
    *(
        "ditto",
        '"',
        '""',
        "007",
        "true",
        "wahr",
        "#REF!",
        "nan",
        "inf",
        "\u00fc" * 400,
        "\u202e",
        "a;b\nc",
    ),
    *(
        0,
        -1,
        1,
        0.1,
        1e300,
        -1e-300,
        10**20,
        True,
        False,
        None,
        45_000,
        "2031-05-01",
        "\u22121",
        "1\u00a0000",
    ),
)
ODD_XML: Final = (
    *(
        "A1048576",
        "XFD1",
        "A0",
        "ZZZZZ1",
        "1",
        "-1",
        "1048577",
        "99999999999",
        "1e400",
        "nan",
        "inlineStr",
    ),
    *(
        "s",
        "e",
        "b",
        "d",
        "str",
        "n",
        "",
        "&amp;",
        "&#0;",
        "&lt;",
        "<x/>",
        "<!DOCTYPE x>",
        "]]>",
        "&xxe;",
    ),
)


class Tables:
    """One kind's parts as a table in text."""

    name = "csv tables"

    def __init__(self) -> None:
        self._texts = demo_texts()
        self._words = [
            *(code for kind in KINDS for code in getattr(demo_edition(), kind)),
            "code",
            "name",
            "mass_g",
            "ditto",
            "1,5",
            "1.5",
            "-",
            "true",
            "active",
        ]

    def seeds(self) -> Sequence[Input]:
        """Four parts of every kind, in every way of separating; and large ones."""
        found = []
        for kind in KINDS:
            rows = [[str(each) for each in row] for row in _rows(kind)[:5]]
            for sign in (";", ",", "\t"):
                text = "\n".join(
                    sign.join(f'"{each}"' if sign in each else each for each in row) for row in rows
                )
                found.append(Input(f"{kind}.csv", text.encode()))
        large = (
            "code;name\n" + "A;B\n" * 400_000,
            ";" * 1_900_000,
            '"' * 1_900_001,
            "code\n" + "\n" * 1_900_000,
            "code;mass_g\n" + "".join(f"X{n};1,{n}\n" for n in range(1900)),
            "code;" + ";".join(f"k{n}" for n in range(199)) + "\n" + ("x;" * 199 + "\n") * 1900,
        )
        return [*found, *(Input("rims.csv", text.encode()) for text in large)]

    def next(self, dice: Random, corpus: Sequence[Input]) -> Input:
        """Lines, numbers, words and signs changed; or bytes."""
        base = dice.choice([each for each in corpus[-300:] if len(each.body) < 20_000])
        where = (
            base.where
            if dice.random() < 0.97
            else dice.choice(("rims.csv", "x.csv", "", "a/b", "hubs.xlsx"))
        )
        way = dice.random()
        if way < 0.15:
            old, new = (
                dice.choice((b";", b",", b".", b"\t", b"\n")),
                dice.choice((b";", b",", b".", b"\t", b"\r\n")),
            )
            return Input(where, base.body.replace(old, new, dice.choice((1, 3, -1))))
        if way < 0.75:
            return Input(where, bent_lines(dice, base.body, self._words))
        return Input(where, bent_bytes(dice, base.body))

    def ask(self, one: Input) -> Told:
        """Read; and where it can be read, compared with the demo's catalog."""
        return _asked(self._texts, one)

    def rest(self) -> None:
        """Nothing is stored."""


class Workbooks:
    """A packed workbook."""

    name = "workbooks"

    def __init__(self) -> None:
        self._texts = demo_texts()
        self._books = [_book(kind, _rows(kind)[:5]) for kind in KINDS]

    def seeds(self) -> Sequence[Input]:
        """One of each kind, and what swells when it is unpacked."""
        return [*(Input("parts.xlsx", each) for each in self._books), *_bombs(self._books[0])]

    def next(self, dice: Random, corpus: Sequence[Input]) -> Input:
        """Cells, inner files or packing."""
        base = dice.choice([each for each in corpus[-300:] if len(each.body) < 100_000])
        way = dice.random()
        if way < 0.4:
            kind = dice.choice([*KINDS])
            rows = [[*row] for row in _rows(kind)[:4]]
            for _ in range(dice.randint(1, 5)):
                row = dice.choice(rows)
                row[dice.randrange(len(row))] = dice.choice(CELLS)
            if dice.random() < 0.2:
                rows.insert(dice.randrange(len(rows)), dice.choice(rows))
            return Input("parts.xlsx", _book(dice.choice((kind, kind, "rims", "x")), rows))
        if way < 0.85:
            try:
                return Input("parts.xlsx", _inside(dice, base.body))
            except Exception:  # noqa: BLE001 - not every damaged packing can be packed again
                pass
        return Input("parts.xlsx", bent_bytes(dice, base.body))

    def ask(self, one: Input) -> Told:
        """Read; and where it can be read, compared with the demo's catalog."""
        return _asked(self._texts, one)

    def rest(self) -> None:
        """Nothing is stored."""


def _asked(texts: Any, one: Input) -> Told:
    imported = read_table(one.where, one.body)
    if imported.findings:
        return told(False, imported.findings)
    found = compared(texts, imported)
    return told(not found.findings, found.findings)


def _rows(kind: str) -> list[list[Any]]:
    grid = sheet_of(kind, getattr(demo_edition(), kind))
    return [["" if cell is None else cell.value for cell in row] for row in grid.rows]


def _book(kind: str, rows: Sequence[Sequence[Any]]) -> bytes:
    book, out = Workbook(), io.BytesIO()
    sheet = book.active
    assert sheet is not None
    sheet.title = title_of(kind) if kind in KINDS else kind
    for row in rows:
        sheet.append(
            ["" if isinstance(each, str) and not each.isprintable() else each for each in row]
        )
    book.save(out)
    return out.getvalue()


def _members(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {each.filename: archive.read(each) for each in archive.infolist()}


def _packed(members: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, body in members.items():
            archive.writestr(name, body)
    return out.getvalue()


def _inside(dice: Random, data: bytes) -> bytes:
    members = _members(data)
    likely = [name for name in members if "sheet" in name or "workbook" in name or "styles" in name]
    name = dice.choice(likely if dice.random() < 0.9 else [*members])
    way = dice.random()
    if way < 0.65:
        members[name] = bent_lines(dice, members[name].replace(b"><", b">\n<"), ODD_XML)
    elif way < 0.9:
        members[name] = bent_bytes(dice, members[name])
    elif way < 0.95:
        del members[name]
    else:
        members[dice.choice(("x" * 300, "../x", "xl/workbook.xml", "xl/sharedStrings.xml"))] = (
            members[name]
        )
    return _packed(members)


def _bombs(book: bytes) -> list[Input]:
    """What is small as a file and large as a table."""
    sheet = "xl/worksheets/sheet1.xml"
    text = _members(book)[sheet].decode()
    head, tail = text[: text.index("<sheetData>") + 11], text[text.index("</sheetData>") :]
    block = '<mergeCell ref="A1:XFD1048576"/>'
    far = '<row r="1048576"><c r="XFD1048576" t="n"><v>1</v></c></row>'
    cells = "".join(f'<c t="n"><v>{n}</v></c>' for n in range(199))
    inner = {
        "far": head + far + tail,
        "rows": head + '<row r="1"/>' * 300_000 + tail,
        "wide": head + "<row>" + '<c t="n"><v>1</v></c>' * 150_000 + "</row>" + tail,
        "full": head + f"<row>{cells}</row>" * 600 + tail,
        "deep": head + "<a>" * 200_000 + "</a>" * 200_000 + tail,
        "merged": head
        + tail.replace("</sheetData>", f"</sheetData><mergeCells>{block * 50_000}</mergeCells>"),
        "text": head
        + '<row><c t="inlineStr"><is><t>'
        + "x" * 3_500_000
        + "</t></is></c></row>"
        + tail,
        "runs": head
        + '<row><c t="inlineStr"><is>'
        + "<r><t>x</t></r>" * 200_000
        + "</is></c></row>"
        + tail,
        "attributes": head + "<row " + " ".join(f'a{n}="1"' for n in range(150_000)) + "/>" + tail,
        "dates": head
        + '<row><c s="1" t="n"><v>1e300</v></c><c t="d"><v>99999-99-99</v></c></row>' * 2000
        + tail,
        "formulas": head
        + '<row><c><f t="shared" si="0" ref="A1:XFD1048576">A1</f></c></row>' * 2000
        + tail,
    }
    found = [_packed({**_members(book), sheet: each.encode()}) for each in inner.values()]
    found.append(_packed({**_members(book), "xl/media/x": b"\0" * 60_000_000}))
    found.append(_packed({**_members(book), **{f"x{n}": b"" for n in range(5000)}}))
    many = {f"xl/x{n}.xml": b"<a/>" for n in range(190)}
    found.append(_packed({**_members(book), **many}))
    return [Input("parts.xlsx", each) for each in found]
