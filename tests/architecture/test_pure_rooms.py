"""The rooms that compute touch no disk, socket, clock or chance: those are handed in."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

BUILDSHEET = Path(__file__).parents[2] / "buildsheet"
PURE_ROOMS = ("wheel", "catalog", "plan", "orders", "bench")

OUTSIDE_MODULES = frozenset(
    "asyncio glob http importlib multiprocessing os pathlib random secrets select shutil signal "
    "socket ssl subprocess sys tempfile threading time urllib uuid".split()
)
OUTSIDE_CALLS = frozenset({"open", "input", "print", "exec", "eval", "__import__"})
CLOCKS = frozenset({"now", "today", "utcnow"})


def touches(source: str) -> list[str]:
    """What of the outside a module's source reaches for, as `line: what`."""
    found: list[tuple[int, str]] = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found += [(node.lineno, a.name) for a in node.names if _is_outside(a.name)]
        elif isinstance(node, ast.ImportFrom):
            names = [node.module or "", *(f"{node.module}.{a.name}" for a in node.names)]
            found += [(node.lineno, name) for name in names[:1] if _is_outside(name)]
            found += [(node.lineno, name) for name in names[1:] if name == "numpy.random"]
        elif isinstance(node, ast.Attribute) and _is_numpy_random(node):
            found.append((node.lineno, "numpy.random"))
        elif isinstance(node, ast.Call):
            found += [(node.lineno, f"{name}()") for name in _outside_call(node)]
    return [f"{line}: {what}" for line, what in sorted(found)]


def _is_outside(module: str) -> bool:
    return module.partition(".")[0] in OUTSIDE_MODULES or module.startswith("numpy.random")


def _is_numpy_random(node: ast.Attribute) -> bool:
    return (
        node.attr == "random"
        and isinstance(node.value, ast.Name)
        and node.value.id in ("np", "numpy")
    )


def _outside_call(node: ast.Call) -> list[str]:
    called = node.func
    if isinstance(called, ast.Name) and called.id in OUTSIDE_CALLS:
        return [called.id]
    if isinstance(called, ast.Attribute) and called.attr in CLOCKS | {"open"}:
        return [f"{ast.unparse(called.value)}.{called.attr}"]
    return []


def modules_of(room: str) -> list[Path]:
    return sorted((BUILDSHEET / room).rglob("*.py"))


@pytest.mark.parametrize(
    "path",
    [path for room in PURE_ROOMS for path in modules_of(room)],
    ids=lambda path: str(path.relative_to(BUILDSHEET)),
)
def test_a_computing_room_touches_nothing_outside(path: Path):
    assert touches(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("room", ["wheel", "catalog", "plan", "orders"])
def test_the_rooms_that_are_looked_through_are_there(room: str):
    assert modules_of(room)


@pytest.mark.parametrize(
    ("source", "what"),
    [
        ("import os", "os"),
        ("import os.path as p", "os.path"),
        ("from pathlib import Path", "pathlib"),
        ("from urllib.request import urlopen", "urllib.request"),
        ("def f():\n    import time", "time"),
        ("import numpy.random", "numpy.random"),
        ("from numpy import random", "numpy.random"),
        ("import numpy as np\nnp.random.default_rng()", "numpy.random"),
        ("open('catalog.toml')", "open()"),
        ("import io\nio.open('catalog.toml')", "io.open()"),
        ("from datetime import datetime\nx = datetime.now()", "datetime.now()"),
        ("import datetime\nx = datetime.date.today()", "datetime.date.today()"),
    ],
)
def test_each_way_out_is_noticed(source: str, what: str):
    assert [found.partition(": ")[2] for found in touches(source)] == [what]


@pytest.mark.parametrize(
    "source",
    [
        "from datetime import date, datetime",
        "import numpy as np\nnp.linalg.norm([1.0])",
        "def check(opened_at, now): return now - opened_at",
        "import tomllib\ntomllib.loads('')",
        "import io\nio.StringIO('text that was handed in')",
    ],
)
def test_types_and_arithmetic_are_no_way_out(source: str):
    assert touches(source) == []
