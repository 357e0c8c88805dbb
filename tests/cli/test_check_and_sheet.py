"""`check` and `sheet`: what they say, and the code they leave with."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Callable
from pathlib import Path

import pypdfium2
import pytest

from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from tests.workshops import EXAMPLES, counts, example, raw

Ask = Callable[..., object]


def test_a_buildable_order_leaves_with_0_and_its_plans(said, workshop: Workshop):
    answer = said("check", EXAMPLES / "D-1001.json", "--db", workshop.path)
    assert answer.code == 0
    assert "CAN BE BUILT" in answer.out
    assert "12 x 277 mm" in answer.out
    assert "1150 N (117 kgf)" in answer.out
    assert answer.err == ""


def test_a_refused_order_leaves_with_1_and_every_finding(said, workshop: Workshop):
    answer = said("check", EXAMPLES / "D-1005.json", "--db", workshop.path)
    document = said("check", EXAMPLES / "D-1005.json", "--db", workshop.path, "--json")
    assert (answer.code, document.code) == (1, 1)
    assert document.json["buildable"] is False
    for finding in document.json["findings"]:
        assert f"[{finding['code']}]" in answer.out
        for change in finding["try"]:
            assert f"way out: {change['at']} = " in answer.out


def test_json_is_the_document_of_the_interfaces(said, workshop: Workshop):
    document = said("check", EXAMPLES / "D-1001.json", "--db", workshop.path, "--json").json
    assert list(document) == ["buildable", "edition", "findings", "plans"]
    assert (document["buildable"], document["edition"]) == (True, 16)
    assert set(document["plans"]) == {"front", "rear"}


def test_check_stores_nothing(said, workshop: Workshop):
    before = counts(workshop)
    said("check", EXAMPLES / "D-1001.json", "--db", workshop.path)
    assert counts(workshop) == before


def test_without_a_workshop_the_catalog_that_comes_along_counts(
    said, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(tmp_path)
    assert said("check", EXAMPLES / "D-1001.json").code == 0
    assert list(tmp_path.iterdir()) == []


def test_standard_input_is_a_file_too(said, workshop: Workshop, monkeypatch: pytest.MonkeyPatch):
    class Typed:
        buffer = io.BytesIO(raw(example("D-1001")))

    monkeypatch.setattr(sys, "stdin", Typed())
    assert said("check", "-", "--db", workshop.path).code == 0


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"order please", "order.not-json"),
        (b"\xff\xfe\x00", "order.not-utf8"),
        (b"[" * 100_000, "order.too-large"),
        (b"[" * 50_000, "order.too-deep"),
        (b"x" * 2_000_000, "order.too-large"),
    ],
)
def test_what_is_no_order_leaves_with_2(
    said, workshop: Workshop, tmp_path: Path, content: bytes, code: str
):
    file = tmp_path / "order.json"
    file.write_bytes(content)
    answer = said("check", file, "--db", workshop.path, "--json")
    assert answer.code == 2
    assert [finding["code"] for finding in answer.json["findings"]] == [code]


def test_the_sheets_of_an_order_file_are_written(said, workshop: Workshop, tmp_path: Path):
    out = tmp_path / "new" / "sheets"
    answer = said("sheet", EXAMPLES / "D-1001.json", "--out", out, "--db", workshop.path)
    assert answer.code == 0
    assert sorted(path.name for path in out.iterdir()) == ["D-1001-front.pdf", "D-1001-rear.pdf"]
    for path in out.iterdir():
        document = pypdfium2.PdfDocument(path)
        assert len(document) == 2
        document.close()
        assert str(path) in answer.out


def test_a_taken_order_is_printed_with_its_serials(said, workshop: Workshop, tmp_path: Path):
    took = take_order(workshop, raw(example("D-1001")))
    assert took.answered is not None
    serials = [wheel["serial"] for wheel in json.loads(took.answered.text)["wheels"]]
    answer = said(
        "sheet", EXAMPLES / "D-1001.json", "--out", tmp_path / "s", "--db", workshop.path, "--json"
    )
    assert [sheet["serial"] for sheet in answer.json["sheets"]] == serials


def test_letter_paper_is_another_sheet(said, workshop: Workshop, tmp_path: Path):
    for paper in ("a4", "letter"):
        words = ("sheet", EXAMPLES / "D-1001.json", "--out", tmp_path / paper, "--paper", paper)
        assert said(*words, "--db", workshop.path).code == 0
    a4, letter = ((tmp_path / name / "D-1001-front.pdf").read_bytes() for name in ("a4", "letter"))
    assert a4 != letter


def test_a_refused_order_has_no_sheet(said, workshop: Workshop, tmp_path: Path):
    out = tmp_path / "sheets"
    answer = said("sheet", EXAMPLES / "D-1005.json", "--out", out, "--db", workshop.path)
    assert answer.code == 1
    assert not out.exists()


def test_an_order_that_needs_a_release_has_no_sheet_yet(said, workshop: Workshop, tmp_path: Path):
    order = EXAMPLES / "refused" / "lacing.head-clearance.json"
    out = tmp_path / "sheets"
    answer = said("sheet", order, "--out", out, "--db", workshop.path)
    assert answer.code == 1
    assert "approval by name" in answer.out
    assert not out.exists()
    check = said("check", order, "--db", workshop.path)
    assert check.code == 0
    assert "CAN BE BUILT AFTER AN APPROVAL BY NAME" in check.out
