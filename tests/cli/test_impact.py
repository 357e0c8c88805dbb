"""Impact, lengths and standing at a terminal."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from tests.workshops import example, raw

LIMIT = {"part": "OR33D", "set": {"spoke_limit_n": 1200}}


@pytest.fixture
def desk(said, workshop: Workshop):
    def ask(*words: object) -> Any:
        return said("catalog", *words, "--db", workshop.path)

    return ask


def changed(desk: Any, tmp_path: Path, *edits: object) -> None:
    path = tmp_path / "edits.json"
    path.write_text(json.dumps(edits))
    desk("change", path, "--by", "A. Author")


def test_impact_says_what_a_lower_limit_does_to_wheels_and_orders(
    desk, workshop: Workshop, tmp_path: Path
):
    take_order(workshop, raw(example("D-1001")))
    changed(desk, tmp_path, LIMIT)
    answer = desk("impact")
    assert answer.code == 0
    assert "73,416 change" in answer.out
    assert "1 of 1 open order touched" in answer.out
    assert "RE-ISSUE  shop-a D-1001 (accepted): same parts, lower tension" in answer.out
    document = json.loads(desk("impact", "--json").out)
    assert document["impact"]["orders"]["by_state"] == {"accepted": {"re-issue": 1}}


@pytest.mark.parametrize(
    "words",
    [
        ("impact",),
        ("count", "--draft"),
        ("lengths", "--draft"),
        ("publish", "--by", "A. Author", "--reason", "a test"),
    ],
)
def test_a_command_that_needs_a_draft_says_in_a_line_how_one_is_begun(desk, words: tuple[str, ...]):
    answer = desk(*words)
    assert answer.code == 2
    assert answer.err.count("\n") == 1
    assert "no draft is open; begin one first: buildsheet catalog draft --begin" in answer.err
    assert desk("draft", "--begin").code == 0
    again = desk("impact")
    assert (again.code, again.err) == (0, "")


def test_impact_of_a_faulty_draft_says_the_fault(desk, tmp_path: Path):
    changed(desk, tmp_path, {"part": "OR33D", "set": {"seat_diameter_mm": 57.36}})
    answer = desk("impact")
    assert answer.code == 1
    assert "seat_diameter_mm" in answer.out


def test_lengths_of_the_draft_are_planned_where_it_is_sound(desk, tmp_path: Path):
    none = desk("lengths", "--draft")
    assert (none.code, "no draft is open" in none.err) == (2, True)
    changed(desk, tmp_path, {"part": "OR33D", "set": {"state": "ended"}})
    planned = desk("lengths", "--draft", "--json").json
    assert planned["edition"] == 17
    assert "OR33D" not in {each["rim"] for each in planned["rims"]}
    changed(desk, tmp_path, {"part": "OR45D", "set": {"seat_diameter_mm": 57.36}})
    faulty = desk("lengths", "--draft")
    assert (faulty.code, "seat_diameter_mm" in faulty.out) == (1, True)
    assert desk("lengths", tmp_path, "--draft").code == 2


def test_lengths_are_listed_and_drawn(desk, tmp_path: Path):
    answer = desk("lengths", "--picture", tmp_path / "pictures")
    assert answer.code == 0
    assert "SSB9: 25 lengths for 64 targets" in answer.out
    drawn = sorted(path.name for path in (tmp_path / "pictures").iterdir())
    assert drawn == [f"lengths-{spoke}.svg" for spoke in ("SJ15", "SJ18", "SJB9", "SSB9")]
    for name in drawn:
        ET.fromstring((tmp_path / "pictures" / name).read_text(encoding="utf-8"))


def test_programs_are_counted_for_the_houses_tolerance(desk):
    document = json.loads(desk("lengths", "--programs", "--json").out)
    assert (document["fewest"], document["proved"], document["within_deg"]) == (31, True, 3.0)


def test_standing_names_the_dead_spoke_and_the_idle_rule(desk):
    answer = desk("standing")
    assert answer.code == 0
    assert "SJB12 (spokes) is in no buildable wheel" in answer.out
    assert "rule disc-hub-takes-160 holds for every wheel" in answer.out
