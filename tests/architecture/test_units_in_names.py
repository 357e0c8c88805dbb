"""The unit is part of the name: of every number that a result, a part or an order holds."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

BUILDSHEET = Path(__file__).parents[2] / "buildsheet"
ROOMS = ("wheel", "catalog", "plan", "orders", "bench")

UNITS = frozenset("mm mm2 m m3 nmm2 nm2 n kgf nm deg rad g kg bar hz gpa mpa s".split())
WITHOUT_UNIT = frozenset("percent ratio share factor cents cosine".split())

NAMED_OTHERWISE = {
    "Foundation": "a book's symbols, all N/mm per mm or shares of it",
    "flange_turn": "a share of the hole pitch, wherever it stands",
    "TensionHouse.gauge_error": "a share of the reading",
    "Mark.shown": "a place on a gauge's own scale",
    "Tensions.typed": "in the unit that stands beside it",
}


def nameless_numbers(source: str) -> list[str]:
    """`Class.field` of every public float field whose name ends in no unit."""
    return [
        f"{holder.name}.{field.target.id}"
        for holder in ast.walk(ast.parse(source))
        if isinstance(holder, ast.ClassDef)
        for field in holder.body
        if isinstance(field, ast.AnnAssign) and isinstance(field.target, ast.Name)
        if re.search(r"\b(float|Decimal)\b", ast.unparse(field.annotation))
        if not field.target.id.startswith("_") and not _says_its_unit(field.target.id)
        if not {holder.name, field.target.id, f"{holder.name}.{field.target.id}"}
        & NAMED_OTHERWISE.keys()
    ]


def _says_its_unit(name: str) -> bool:
    return name.rpartition("_")[2] in UNITS | WITHOUT_UNIT or name in WITHOUT_UNIT


@pytest.mark.parametrize(
    "path",
    [path for room in ROOMS for path in sorted((BUILDSHEET / room).rglob("*.py"))],
    ids=lambda path: str(path.relative_to(BUILDSHEET)),
)
def test_a_number_says_its_unit(path: Path):
    assert nameless_numbers(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    ("field", "found"),
    [
        ("length_mm: float", []),
        ("stiffness_n_per_mm: float | None = None", []),
        ("share: float", []),
        ("_height: float", []),
        ("holes: int", []),
        ("length: float", ["Spoke.length"]),
        ("lengths: tuple[float, ...]", ["Spoke.lengths"]),
    ],
)
def test_a_number_without_its_unit_is_noticed(field: str, found: list[str]):
    assert nameless_numbers(f"class Spoke:\n    {field}") == found
