"""The contract is of every function that speaks to an engine, and all they hand out is plain."""

from __future__ import annotations

import dataclasses
import inspect
import re
import types
import typing
from collections.abc import Collection, Iterator, Mapping, Sequence
from pathlib import Path
from types import ModuleType

import pytest

from buildsheet.storage import (
    allotments,
    bench,
    bench_figures,
    drafts,
    editions,
    events,
    figures,
    gauges,
    heartbeat,
    keys,
    moves,
    orders,
    people,
    proof,
    recall,
    sessions,
    stock,
    webhooks,
    wheels,
)
from buildsheet.storage.database import Section

MODULES = (
    allotments,
    bench,
    bench_figures,
    drafts,
    editions,
    events,
    figures,
    gauges,
    heartbeat,
    keys,
    moves,
    orders,
    people,
    proof,
    recall,
    sessions,
    stock,
    webhooks,
    wheels,
)
EMBEDDED_ONLY = {"database", "migrations", "whole"}
"""What is of one engine and knows its file, its log and its tables' making."""

OF_THE_FILE = {"figures.schema", "figures.bytes_on_disk"}
"""Functions elsewhere that ask about the embedded engine's own file and its steps."""

PLAIN = (str, int, float, bool, type(None))

HERE = Path(__file__).parent


def functions() -> Iterator[tuple[ModuleType, str]]:
    for module in MODULES:
        for name, found in vars(module).items():
            own = inspect.isfunction(found) and found.__module__ == module.__name__
            if own and not name.startswith("_"):
                yield module, name


def test_every_room_of_the_storage_is_one_engines_or_in_the_contract():
    package = Path(str(wheels.__file__)).parent
    there = {path.stem for path in package.iterdir() if not path.name.startswith("_")}
    assert there == {module.__name__.rpartition(".")[2] for module in MODULES} | EMBEDDED_ONLY


def test_every_function_is_in_the_contract():
    said = "".join(path.read_text(encoding="utf-8") for path in HERE.glob("test_*.py"))
    names = {f"{module.__name__.rpartition('.')[2]}.{name}" for module, name in functions()}
    assert len(names) > 100
    called = {each for each in names if re.search(rf"\b{re.escape(each)}\(", said)}
    assert names - called == OF_THE_FILE


def test_all_that_is_handed_out_or_taken_is_plain():
    found = []
    for module, name in functions():
        kinds = typing.get_type_hints(getattr(module, name))
        own = {each for each, kind in kinds.items() if each != "return" and kind in (Section, Path)}
        found += [
            f"{module.__name__}.{name}: {each}"
            for each, kind in kinds.items()
            if each not in own and not plain(kind)
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
