"""`catalog`, `demo`, `wheel`, `serve`: what they leave behind, and what they refuse."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildsheet.actions.catalog_files import demo_directory, read_texts
from buildsheet.actions.demo import MARK
from buildsheet.actions.workshop import Workshop
from buildsheet.cli.speak import as_called
from tests.workshops import EXAMPLES


def test_a_catalog_is_loaded_into_a_new_workshop(said, tmp_path: Path):
    file = tmp_path / "new" / "workshop.db"
    answer = said("catalog", "load", demo_directory(), "--db", file)
    assert answer.code == 0
    assert "Edition 16" in answer.out
    assert file.exists()
    again = said("catalog", "load", demo_directory(), "--db", file, "--json")
    assert (again.code, again.json["ok"], again.json["edition"]) == (0, True, 16)


def test_an_exported_catalog_is_the_one_that_was_loaded(said, workshop: Workshop, tmp_path: Path):
    out = tmp_path / "catalog"
    assert said("catalog", "export", out, "--db", workshop.path).code == 0
    assert read_texts(out) == read_texts(demo_directory())
    assert said("catalog", "check", out).code == 0


def test_an_export_overwrites_nothing(said, workshop: Workshop, tmp_path: Path):
    (tmp_path / "mine.txt").write_text("mine")
    answer = said("catalog", "export", tmp_path, "--db", workshop.path)
    assert answer.code == 2
    assert "is there already" in answer.err


def test_every_fault_of_a_catalog_is_said_and_nothing_is_loaded(
    said, workshop: Workshop, tmp_path: Path
):
    out = tmp_path / "catalog"
    said("catalog", "export", out, "--db", workshop.path)
    rims = out / "parts" / "rims.toml"
    rims.write_text(rims.read_text().replace("depth_mm", "depht_mm", 2))
    file = tmp_path / "other.db"
    for words in (("check", out), ("load", out, "--db", file)):
        answer = said("catalog", *words, "--json")
        assert answer.code == 1
        assert answer.json["ok"] is False
        assert len(answer.json["findings"]) >= 2
    assert "REFUSED" in said("catalog", "check", out).out
    assert said("catalog", "export", tmp_path / "none", "--db", file).code == 2


def test_a_command_is_told_as_it_can_be_given(monkeypatch: pytest.MonkeyPatch):
    """By its path where only the path was known to whoever called it: a first look has no other way."""
    monkeypatch.setattr("sys.argv", [".venv-run/bin/buildsheet", "demo"])
    monkeypatch.setenv("PATH", "")
    assert as_called("serve") == ".venv-run/bin/buildsheet serve"
    monkeypatch.setattr("shutil.which", lambda name: f"/bin/{name}")
    assert as_called("serve") == "buildsheet serve"


def test_the_demo_takes_every_example_and_says_where_everything_is(said, tmp_path: Path):
    where = tmp_path / "demo"
    answer = said("demo", "--dir", where)
    assert answer.code == 0, answer.err
    for example in EXAMPLES.glob("*.json"):
        assert example.name in answer.out
    assert f"buildsheet serve --db {where / 'workshop.db'}" in answer.out
    sheets = list((where / "sheets").glob("*.pdf"))
    assert sheets
    assert all(str(sheet) in answer.out for sheet in sheets)
    assert "REFUSED" in answer.out
    assert "way out" in answer.out


def test_a_second_demo_begins_anew(said, tmp_path: Path):
    where = tmp_path / "demo"
    first = said("demo", "--dir", where, "--json")
    again = said("demo", "--dir", where, "--json")
    assert (first.code, again.code) == (0, 0)
    outcomes = [
        [(order["file"], order["outcome"], order["id"]) for order in answer.json["orders"]]
        for answer in (first, again)
    ]
    assert outcomes[0] == outcomes[1]
    assert {file.removesuffix(".json"): outcome for file, outcome, _ in outcomes[0]} == {
        **dict.fromkeys(("D-1001", "D-1003", "D-1009", "D-1010", "D-1011"), "taken"),
        **dict.fromkeys(("D-1002", "D-1004"), "short"),
        **dict.fromkeys(("D-1005", "D-1006", "D-1007", "D-1008"), "refused"),
    }


def test_the_demo_publishes_the_next_edition_and_drafts_the_one_after_it(said, tmp_path: Path):
    answer = said("demo", "--dir", tmp_path / "demo", "--json").json
    published, draft = answer["next"], answer["draft"]
    assert (answer["edition"], published["number"], draft["number"]) == (16, 17, 18)
    assert published["author"] != published["approver"]
    assert [each["code"] for each in draft["findings"]] == ["data.out-of-range"]
    listed = said("catalog", "editions", "--db", answer["database"], "--json").json
    assert [each["number"] for each in listed["editions"]] == [17, 16]
    words = said("demo", "--dir", tmp_path / "demo").out
    for word in ("1250.0 -> 1200.0", "6 findings at once", "Centimetres? Try 539.6"):
        assert word in words


def test_a_demo_never_empties_what_is_not_its_own(said, tmp_path: Path):
    mine = tmp_path / "workshop.db"
    mine.write_text("mine")
    answer = said("demo", "--dir", tmp_path)
    assert answer.code == 2
    assert "holds other files" in answer.err
    assert mine.read_text() == "mine"
    assert not (tmp_path / MARK).exists()


def test_an_open_address_is_refused_unless_it_is_meant(said, workshop: Workshop):
    for host in ("0.0.0.0", "192.168.1.5", "example.org", "::"):
        answer = said("serve", "--host", host, "--db", workshop.path)
        assert answer.code == 2
        assert "may post and read everything" in answer.err
        assert "--without-access-control" in answer.err


def test_an_address_of_this_machine_is_served(
    said, workshop: Workshop, monkeypatch: pytest.MonkeyPatch
):
    served = []
    monkeypatch.setattr("buildsheet.cli.serve._must_be_free", lambda *given: None)
    monkeypatch.setattr("buildsheet.cli.serve._run", lambda *given: served.append(given))
    for host in ("127.0.0.1", "localhost", "::1"):
        answer = said("serve", "--host", host, "--db", workshop.path, "--json")
        assert answer.code == 0
        assert answer.json["edition"] == 16
    answer = said("serve", "--host", "0.0.0.0", "--without-access-control", "--db", workshop.path)
    assert answer.code == 0
    assert "may post and read everything" in answer.err
    assert len(served) == 4
