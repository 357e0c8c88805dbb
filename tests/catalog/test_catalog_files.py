"""A catalog directory on disk is read whole, or refused with every fault."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from buildsheet.actions.catalog_files import demo_directory, read_directory, read_stock_file
from buildsheet.errors import WorldError
from tests.catalog.demo_texts import demo_edition


@pytest.fixture
def directory(tmp_path: Path) -> Path:
    return Path(shutil.copytree(demo_directory(), tmp_path / "catalog"))


def test_the_demo_directory_becomes_an_edition(directory: Path) -> None:
    edition, faults = read_directory(directory)
    assert faults == ()
    assert edition == demo_edition()


def test_a_byte_that_is_no_utf_8_is_named_with_its_line(directory: Path) -> None:
    file = directory / "parts" / "rims.toml"
    file.write_bytes(b"# one\n# caf\xe9\n" + file.read_bytes())
    edition, faults = read_directory(directory)
    assert edition is None
    assert [each.says for each in faults] == [
        "parts/rims.toml: byte 0xe9 in line 2 is not UTF-8; save the file as UTF-8."
    ]


def test_a_byte_order_mark_does_not_count(directory: Path) -> None:
    file = directory / "parts" / "rims.toml"
    file.write_bytes(b"\xef\xbb\xbf" + file.read_bytes())
    assert read_directory(directory)[0] == demo_edition()


def test_a_file_too_large_to_be_a_catalog_is_not_read_to_its_end(directory: Path) -> None:
    (directory / "parts" / "rims.toml").write_bytes(b"#" * 5_000_000)
    (fault,) = read_directory(directory)[1]
    assert (fault.code, fault.at) == ("data.unreadable", "/parts/rims.toml")


def test_a_file_that_nobody_reads_is_refused(directory: Path) -> None:
    (directory / "parts" / "tyres.toml").write_text("")
    (fault,) = read_directory(directory)[1]
    assert (fault.code, fault.at) == ("data.unknown-file", "/parts/tyres.toml")


def test_a_rule_file_is_read_with_the_parts(directory: Path) -> None:
    for file in (directory / "rules").glob("*.toml"):
        file.unlink()
    (directory / "rules" / "spokes.toml").write_text("[[rule]]\nid = 'no-more'\n")
    edition, faults = read_directory(directory)
    assert edition is None
    assert {each.code for each in faults} == {"data.missing-key"}
    assert {each.at.rsplit("/", 1)[0] for each in faults} == {"/rules/spokes.toml/no-more"}


@pytest.mark.parametrize("name", ["rules/Spokes.toml", "rules/more/spokes.toml", "spokes.toml"])
def test_a_rule_file_that_nobody_would_read_is_refused_and_not_passed_over(
    directory: Path, name: str
) -> None:
    (directory / name).parent.mkdir(exist_ok=True, parents=True)
    (directory / name).write_text("[[rule]]\n")
    edition, faults = read_directory(directory)
    assert edition is None
    assert [(each.code, each.at) for each in faults] == [("data.unknown-file", f"/{name}")]
    assert "rules/<subject>.toml" in faults[0].says


def test_no_directory_is_a_trouble_of_the_world(tmp_path: Path) -> None:
    with pytest.raises(WorldError, match="no catalog directory"):
        read_directory(tmp_path / "nowhere")


def test_the_environment_names_another_catalog(
    directory: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BUILDSHEET_CATALOG", str(directory))
    assert demo_directory() == directory
    monkeypatch.setenv("BUILDSHEET_CATALOG", str(directory / "nowhere"))
    with pytest.raises(WorldError, match="BUILDSHEET_CATALOG names"):
        demo_directory()


def test_a_directory_without_stock_is_an_empty_shelf(directory: Path) -> None:
    (directory / "stock.csv").unlink()
    assert read_stock_file(directory, demo_edition()) == ((), ())


def test_a_shelf_that_is_no_text_is_refused(directory: Path) -> None:
    (directory / "stock.csv").write_bytes(b"part,variant\n\xff")
    (fault,) = read_stock_file(directory, demo_edition())[1]
    assert fault.at == "/stock.csv"
