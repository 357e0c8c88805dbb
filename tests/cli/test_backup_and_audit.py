"""``backup``, ``restore`` and ``audit`` as commands: what they say and the code they leave with."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from tests.cli.conftest import Said
from tests.workshops import example, raw

Ask = Callable[..., Said]


def test_a_copy_is_made_once_and_put_back_by_its_digest(
    said: Ask, workshop: Workshop, tmp_path: Path
):
    take_order(workshop, raw(example("D-1001")))
    copy = tmp_path / "copy.db"
    made = said("backup", copy, "--db", workshop.path, "--json")
    assert (made.code, made.json["rows"]["orders"]) == (0, 1)
    again = said("backup", copy, "--db", workshop.path)
    assert again.code == 2
    assert "is there already" in again.err
    new = tmp_path / "new.db"
    back = said("restore", copy, "--digest", made.json["digest"], "--db", new)
    assert (back.code, back.err) == (0, "")
    assert "restored up to event" in back.out
    assert said("audit", "--db", new).code == 0


def test_a_restore_that_would_lose_something_is_refused_until_told(
    said: Ask, workshop: Workshop, tmp_path: Path
):
    copy = tmp_path / "copy.db"
    assert said("backup", copy, "--db", workshop.path).code == 0
    take_order(workshop, raw(example("D-1001")))
    assert said("restore", copy, "--db", workshop.path).code == 2  # this process has it open
    workshop.close()
    refused = said("restore", copy, "--db", workshop.path, "--json")
    assert (refused.code, refused.json["done"]) == (1, False)
    assert "wheels: 2 more than in the copy" in refused.json["newer"]
    told = said("restore", copy, "--over-newer", "--db", workshop.path, "--json")
    assert (told.code, told.json["done"]) == (0, True)
    assert Path(told.json["aside"]).is_file()


def test_an_audit_says_every_fault_on_a_line_and_leaves_with_1(said: Ask, workshop: Workshop):
    take_order(workshop, raw(example("D-1001")))
    sound = said("audit", "--db", workshop.path, "--json")
    assert (sound.code, sound.json["sound"], sound.json["faults"]) == (0, True, [])
    assert sound.json["looked_at"]["orders"] == 1
    with workshop.database.writing() as section:
        section.run("update allotments set last = last + 1 where kind = 'W'")
        section.run("drop trigger events_no_update")
    found = said("audit", "--db", workshop.path)
    assert found.code == 1
    lines = found.out.splitlines()
    assert lines[0].split(maxsplit=1) == ["guards", "file: trigger events_no_update is missing"]
    assert lines[1].split(maxsplit=1) == ["numbers", "W31-: 3 numbers were given out, 2 are there"]
    assert lines[-1].endswith(": 2 faults")


def test_there_is_nothing_to_look_through_where_no_file_is(said: Ask, tmp_path: Path):
    missing = said("audit", "--db", tmp_path / "none.db")
    assert (missing.code, missing.out) == (2, "")
    assert not (tmp_path / "none.db").exists()
    assert said("backup", tmp_path / "copy.db", "--db", tmp_path / "none.db").code == 2
