"""A file fits in the head, and its name says what it is about."""

from __future__ import annotations

from pathlib import Path

import pytest

BUILDSHEET = Path(__file__).parents[2] / "buildsheet"
MODULES = sorted(BUILDSHEET.rglob("*.py"))

MOST_LINES = 400
EMPTY_NAMES = frozenset("base common helper helpers manager managers misc util utils".split())


def test_there_are_modules_to_look_at():
    assert BUILDSHEET / "__init__.py" in MODULES


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(BUILDSHEET)))
def test_a_file_fits_in_the_head(path: Path):
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines <= MOST_LINES, f"{path.name} has {lines} lines: make it a folder of the same name"


def test_a_module_is_named_after_what_it_holds():
    names = {
        part for path in MODULES for part in path.relative_to(BUILDSHEET).with_suffix("").parts
    }
    assert not names & EMPTY_NAMES
