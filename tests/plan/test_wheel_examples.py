"""The wheel files of `examples/wheels/` are answered whole."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from buildsheet.plan.wheel_file import answer, read

EXAMPLES = sorted((Path(__file__).parents[2] / "examples" / "wheels").glob("*.json"))
SIDE_MEMBERS = {"exact_mm", "stretch_mm", "target_mm", "angle_deg", "tension_n", "pitch_hz"}
MEMBERS = {
    "sides",
    "ratio",
    "radial_stiffness_n_per_mm",
    "lateral_stiffness_n_per_mm",
    "torsional_stiffness_n_per_mm",
    "buckling_tension_n",
    "buckling_mode",
    "slack_load_n",
    "slack_side_load_n",
    "drilling",
    "lacing",
    "loads",
    "findings",
}


@pytest.fixture(params=EXAMPLES, ids=lambda path: path.stem)
def answered(request: pytest.FixtureRequest) -> dict[str, Any]:
    file, findings = read(request.param.read_text())
    assert file is not None, findings
    document: dict[str, Any] = json.loads(json.dumps(answer(file)))
    return document


def test_there_is_an_example():
    assert EXAMPLES


def test_an_answer_has_every_member_of_the_interface(answered: dict[str, Any]):
    assert set(answered) >= MEMBERS
    for side in ("left", "right"):
        assert set(answered["sides"][side]) >= SIDE_MEMBERS


def test_every_load_moves_every_hole_and_changes_every_spoke(answered: dict[str, Any]):
    holes = len(answered["lacing"])
    for load in answered["loads"]:
        assert [each["hole"] for each in load["displacements"]] == list(range(1, holes + 1))
        assert len(load["spoke_changes_n"]) == holes


def test_a_push_toward_the_hub_slackens_the_spoke_there_and_a_push_right_moves_right():
    document = json.loads((EXAMPLES[0]).read_text())
    file, findings = read(json.dumps(document))
    assert file is not None, findings
    down, side = json.loads(json.dumps(answer(file)))["loads"]
    assert down["spoke_changes_n"][18] == min(down["spoke_changes_n"]) < 0.0
    assert down["displacements"][18]["radial_mm"] < 0.0
    assert side["displacements"][0]["lateral_mm"] > 0.0
