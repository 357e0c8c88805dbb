"""`wheel`: bare dimensions in, mechanics out."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.workshops import EXAMPLES

FILE = EXAMPLES / "wheels" / "research-wheel.json"


def test_the_figures_come_as_the_interfaces_name_them(said):
    answer = said("wheel", FILE, "--json")
    assert answer.code == 0
    assert {"sides", "ratio", "loads", "lacing", "drilling", "findings"} <= set(answer.json)
    posted = json.loads(FILE.read_text())
    assert [load["name"] for load in answer.json["loads"]] == [
        load["name"] for load in posted["loads"]
    ]


def test_a_person_reads_both_sides_the_structure_and_every_load(said):
    answer = said("wheel", FILE)
    figures = said("wheel", FILE, "--json").json
    assert answer.code == 0
    for side in ("left", "right"):
        assert f"{figures['sides'][side]['target_mm']:.2f} mm to make" in answer.out
    assert f"{figures['buckling_tension_n']:.1f} N" in answer.out
    for load in figures["loads"]:
        assert repr(load["name"]) in answer.out


def test_a_wheel_without_structure_is_answered_without_it(said, tmp_path: Path):
    posted = json.loads(FILE.read_text())
    for name in ("section_radius_mm", "radial_bending_nm2"):
        del posted["rim"][name]
    file = tmp_path / "wheel.json"
    file.write_text(json.dumps(posted))
    answer = said("wheel", file)
    assert answer.code == 0
    assert "mm to make" in answer.out
    assert "stiffness  " not in answer.out
    assert "[data.no-structure]" in answer.out


@pytest.mark.parametrize(
    ("text", "code"), [("{", 2), ("[]", 1), ("{}", 1), ('{"rim": {"holes": 7}}', 1), ("\xff", 2)]
)
def test_what_is_no_wheel_is_refused_with_its_findings(said, tmp_path: Path, text: str, code: int):
    file = tmp_path / "wheel.json"
    file.write_text(text, encoding="latin-1")
    answer = said("wheel", file)
    assert answer.code == code
    assert "Traceback" not in answer.out + answer.err
    assert answer.out or answer.err
