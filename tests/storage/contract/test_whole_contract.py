"""The contract is of every function that speaks to an engine, and all they hand out is plain."""

from __future__ import annotations

import dataclasses
import importlib
import inspect
import pkgutil
import re
import types
import typing
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from pathlib import Path

import pytest

import buildsheet.storage
from buildsheet.storage.database import Section

EMBEDDED_ONLY = {"database", "migrations", "whole"}
"""What is of one engine and knows its file, its log and its tables' making."""

OF_THE_FILE = {"figures.schema", "figures.bytes_on_disk"}
"""Functions elsewhere that ask about the embedded engine's own file and its steps."""

PLAIN = (str, int, float, bool, type(None))

HERE = Path(__file__).parent


def functions() -> Iterator[tuple[str, Callable[..., object]]]:
    """(name as ``module.function``, function) of every one that callers of the storage may use."""
    for found in pkgutil.iter_modules(buildsheet.storage.__path__):
        if found.name in EMBEDDED_ONLY:
            continue
        module = importlib.import_module(f"buildsheet.storage.{found.name}")
        for name, member in vars(module).items():
            own = inspect.isfunction(member) and member.__module__ == module.__name__
            if own and not name.startswith("_"):
                yield f"{found.name}.{name}", member


def test_every_function_is_in_the_contract():
    said = "".join(path.read_text(encoding="utf-8") for path in HERE.glob("test_*.py"))
    names = {name for name, _ in functions()}
    assert len(names) > 100
    called = {each for each in names if re.search(rf"\b{re.escape(each)}\(", said)}
    assert names - called == OF_THE_FILE


def test_all_that_is_handed_out_or_taken_is_plain():
    found = []
    for name, function in functions():
        kinds = typing.get_type_hints(function)
        own = {each for each, kind in kinds.items() if each != "return" and kind in (Section, Path)}
        found += [
            f"{name}: {each}" for each, kind in kinds.items() if each not in own and not plain(kind)
        ]
    assert found == []


def plain(kind: object) -> bool:
    """Whether a value of this kind is made of text, numbers, truth and nothing, in frozen boxes at most."""
    if kind in PLAIN or kind is range:
        return True
    origin, of = typing.get_origin(kind), typing.get_args(kind)
    if origin is typing.Literal:
        return all(isinstance(each, PLAIN) for each in of)
    if origin in (tuple, dict, set, Mapping, Sequence, Collection, types.UnionType, typing.Union):
        return all(each is Ellipsis or plain(each) for each in of)
    if not isinstance(kind, type):
        return False
    frozen = dataclasses.is_dataclass(kind) and kind.__dataclass_params__.frozen  # type: ignore[attr-defined]
    if not (frozen or (issubclass(kind, tuple) and hasattr(kind, "_fields"))):
        return False
    return all(plain(each) for each in typing.get_type_hints(kind).values())


@pytest.mark.parametrize("kind", [object, list, typing.Any, Section, tuple[object, ...], bytes])
def test_what_is_not_plain_is_called_so(kind: object):
    assert not plain(kind)
