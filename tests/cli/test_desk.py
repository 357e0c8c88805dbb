"""The desk at a terminal: the same words, clean refusals, and an exit code for each outcome."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from buildsheet.actions.catalog_files import demo_directory, read_texts
from buildsheet.actions.workshop import Workshop

LIMIT = {
    "part": "OR33D",
    "set": {"spoke_limit_n": 1200, "evidence.spoke_limit_n": "bed test BT-OR33D-2, 2031"},
}
SIGNED = ("--by", "A. Author", "--reason", "bed test")


@pytest.fixture
def desk(said, workshop: Workshop):
    def ask(*words: object) -> Any:
        return said("catalog", *words, "--db", workshop.path)

    return ask


@pytest.fixture
def edits(tmp_path: Path):
    def write(*content: object) -> Path:
        path = tmp_path / "edits.json"
        path.write_text(json.dumps(content))
        return path

    return write


def test_a_change_file_begins_a_draft_and_says_what_it_changes(desk, edits):
    answer = desk("change", edits(LIMIT), "--by", "A. Author")
    assert (answer.code, answer.err) == (0, "")
    assert "Draft of edition 17, based on edition 16" in answer.out
    assert "rims OR33D: spoke_limit_n 1250.0 -> 1200.0" in answer.out
    assert "Wants a second person" in answer.out
    shown = desk("draft", "--json").json["draft"]
    assert (shown["version"], shown["changed_by"], shown["sound"]) == (2, "A. Author", True)


@pytest.mark.parametrize("said_before", [("--author", "A. Author"), ()])
def test_who_publishes_is_said_as_before_too_and_by_the_environment(
    desk, edits, monkeypatch: pytest.MonkeyPatch, said_before: tuple[str, ...]
):
    monkeypatch.setenv("BUILDSHEET_BY", "C. Caller" if said_before else "A. Author")
    desk("change", edits({"part": "OR33D", "set": {"name": "Another name"}}))
    done = desk("publish", *said_before, "--reason", "a clearer name", "--json")
    assert (done.code, done.json["edition"]["author"]) == (0, "A. Author")
    assert "--author" not in desk("publish", "--help").out


def test_a_draft_is_published_by_two_and_listed(desk, edits):
    desk("change", edits(LIMIT))
    refused = desk("publish")
    assert (refused.code, refused.err) == (1, "")
    for code in ("data.author-missing", "data.reason-missing", "data.second-person"):
        assert code in refused.out
    done = desk("publish", *SIGNED, "--approver", "B. Second", "--json")
    assert (done.code, done.json["edition"]["number"]) == (0, 17)
    listed = desk("editions", "--json").json
    assert (listed["running"], len(listed["editions"])) == (17, 2)
    shown = desk("editions", 17)
    assert "A. Author and B. Second: bed test" in shown.out
    assert "spoke_limit_n 1250.0 -> 1200.0" in shown.out
    assert desk("editions", 99).code == 2
    assert desk("draft", "--json").json == {"draft": None}


def test_an_edition_is_scheduled_and_one_is_taken_up_again(desk, edits):
    desk("change", edits({"part": "OR33D", "set": {"name": "x"}}))
    done = desk("publish", *SIGNED, "--starts", "2131-05-01T06:00:00+02:00")
    assert "starts at 2131-05-01T06:00:00+02:00" in done.out
    assert "scheduled" in desk("editions").out
    back = desk("roll-back", 16, *SIGNED)
    assert (back.code, "Edition 18" in back.out) == (0, True)
    assert "equal to edition 16" in desk("editions").out
    assert desk("roll-back", 99, *SIGNED).code == 2


def test_a_faulty_draft_is_kept_says_why_and_ends_in_a_refusal(desk, edits):
    answer = desk("change", edits({"part": "OR33D", "set": {"seat_diameter_mm": 57.36}}))
    assert answer.code == 1
    assert "NOT TO BE PUBLISHED: 1 finding in the way." in answer.out
    assert "way out: /parts/rims.toml/OR33D/seat_diameter_mm = 573.6" in answer.out
    assert desk("publish", *SIGNED).code == 1
    assert "Centimetres? Try 573.6" in desk("draft").out


def test_edits_that_cannot_be_made_change_nothing(desk, edits, tmp_path: Path):
    answer = desk("change", edits({"drop_part": "OR3D"}, {"part": "OR33D"}), "--json")
    assert (answer.code, answer.json["ok"]) == (1, False)
    assert [each["at"] for each in answer.json["findings"]] == ["/1"]
    answer = desk("change", edits({"drop_part": "OR3D"}))
    assert answer.code == 1
    assert "Try OR33D" in answer.out
    for text in ("{", "[NaN]", "[" * 100_000):
        (tmp_path / "bad.json").write_text(text)
        answer = desk("change", tmp_path / "bad.json")
        assert answer.code == 2
        assert answer.err.count("\n") == 1
    assert desk("change", tmp_path / "none.json").code == 2


def test_whoever_was_overtaken_is_told_what_changed(desk, edits):
    version = desk("draft", "--begin", "--json").json["draft"]["version"]
    desk("change", edits({"part": "OR33D", "set": {"name": "x"}}), "--by", "B. Second")
    late = desk("change", edits({"drop_part": "SJB12"}), "--version", version)
    assert late.code == 1
    assert "B. Second: OR33D: name" in late.out.replace("\n           ", " ")
    assert desk("draft", "--begin").code == 1
    assert desk("draft", "--discard", "--version", version).code == 1
    assert desk("draft", "--discard").code == 0
    assert desk("draft").out == "No draft is open. Begin one: buildsheet catalog draft --begin\n"
    assert desk("publish", *SIGNED).code == 2


def test_a_directory_becomes_a_draft_and_an_export_of_it_comes_back(
    desk, said, workshop: Workshop, tmp_path: Path
):
    out = tmp_path / "out"
    assert desk("export", out, "--edition", 16).code == 0
    house = out / "house.toml"
    house.write_text(house.read_text().replace("gauge_error = 0.03", "gauge_error = 0.04"))
    loaded = desk("load", out, "--by", "A. Author", "--json")
    assert (loaded.code, loaded.json["outcome"], loaded.json["edition"]) == (0, "drafted", 17)
    again = desk("load", out)
    assert again.code == 1
    assert "A. Author" in again.out
    assert desk("load", out, "--version", loaded.json["draft_version"]).code == 0
    assert desk("export", tmp_path / "draft", "--draft").code == 0
    assert "gauge_error = 0.04" in (tmp_path / "draft" / "house.toml").read_text()
    assert desk("export", tmp_path / "none", "--edition", 99).code == 2
    assert desk("export", tmp_path / "none", "--edition", 16, "--draft").code == 2
    desk("publish", *SIGNED, "--approver", "B")
    assert desk("export", tmp_path / "new").code == 0
    digest = desk("editions", 17, "--json").json["digest"]
    other = said("catalog", "load", tmp_path / "new", "--db", tmp_path / "other.db", "--json")
    assert (other.json["outcome"], other.json["digest"]) == ("loaded", digest)


def test_a_catalog_that_is_loaded_already_is_no_draft(desk):
    answer = desk("load", demo_directory(), "--json")
    assert (answer.code, answer.json["outcome"]) == (0, "known")
    assert desk("draft", "--json").json == {"draft": None}
    texts, _ = read_texts(demo_directory())
    assert texts


@pytest.mark.parametrize("number", ["0", "x", "1" + "0" * 30])
def test_a_number_that_no_edition_has_is_wrong_use(desk, tmp_path: Path, number: str):
    for words in (
        ("editions", number),
        ("roll-back", number, *SIGNED),
        ("export", tmp_path / "out", "--edition", number),
        ("draft", "--discard", "--version", number),
    ):
        answer = desk(*words)
        assert answer.code == 2
        assert "Invalid value" in answer.err


def test_an_edition_number_beyond_all_editions_is_a_fault(desk, edits):
    answer = desk("change", edits({"house": "edition", "value": 10**30}), "--json")
    assert answer.code == 1
    assert [each["at"] for each in answer.json["draft"]["findings"]] == ["/house.toml/edition"]
    assert desk("publish", *SIGNED).code == 1
