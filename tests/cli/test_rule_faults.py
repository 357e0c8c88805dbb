"""A rule that cannot be understood is shown at a terminal with a caret under the place."""

from __future__ import annotations

import shutil
from pathlib import Path

from buildsheet.actions.catalog_files import demo_directory


def test_a_caret_stands_under_the_place_and_the_mended_condition_is_a_way_out(said, tmp_path: Path):
    directory = Path(shutil.copytree(demo_directory(), tmp_path / "catalog"))
    file = directory / "rules" / "wheels.toml"
    file.write_text(file.read_text().replace("plan.mass_g <= 900.0", "plan.mass_g <= 900"))
    answer = said("catalog", "check", directory)
    assert answer.code == 1
    lines = answer.out.splitlines()
    caret = next(line for line in lines if line.strip() == "^")
    expression = lines[lines.index(caret) - 1]
    assert expression.strip() == "plan.mass_g <= 900"
    assert expression[caret.index("^") :] == "<= 900"
    assert any(
        "way out: /rules/wheels.toml/heavy-wheel-for-the-road/needs" in line for line in lines
    )
