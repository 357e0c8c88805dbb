"""The docstring of a folder is its map: it names every module in the folder."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

CODE = Path(__file__).parents[2] / "buildsheet"

ALIKE = frozenset(
    {
        "orders/checks",
        "orders/codes",
        "storage/migrations",
        "web/api",
        "web/openapi",
        "web/pages",
    }
)
"""Folders with one file for each subject, named after it: the names are the map."""

ROOMS = sorted(
    path.parent.relative_to(CODE).as_posix()
    for path in CODE.rglob("__init__.py")
    if path.parent.relative_to(CODE).as_posix() not in ALIKE
)


def modules(room: Path) -> Iterator[str]:
    for path in sorted(room.iterdir()):
        if path.suffix == ".py" and not path.stem.startswith("__"):
            yield path.stem
        elif (path / "__init__.py").is_file():
            yield path.name


def unnamed(said: str, names: Iterator[str]) -> list[str]:
    return [name for name in names if not re.search(rf"`{name}`", said)]


@pytest.mark.parametrize("room", ROOMS)
def test_a_folder_says_what_is_in_it(room: str):
    tree = ast.parse((CODE / room / "__init__.py").read_text(encoding="utf-8"))
    assert unnamed(ast.get_docstring(tree) or "", modules(CODE / room)) == []


def test_the_folders_that_need_no_map_are_there():
    assert all((CODE / room / "__init__.py").is_file() for room in ALIKE)


def test_a_module_that_is_not_named_is_noticed():
    assert unnamed("``lacing`` and `length`", iter(["lacing", "length", "tension"])) == ["tension"]
