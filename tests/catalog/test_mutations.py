"""Every number of the demo catalog, spoiled: a fault at exactly its key, and no edition."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.catalog.reading import FILES, read_catalog
from buildsheet.findings import pointer
from tests.catalog.demo_texts import demo_texts, faults_of, parsed, the_fault, written

Keys = tuple[str | int, ...]

SPOILS: dict[str, Callable[[float], Any]] = {
    "text": lambda number: f"about {number}",
    "not a number": lambda number: float("nan"),
    "negative": lambda number: -1000.0 - abs(number),
    "negative and whole": lambda number: -1000 - int(abs(number)),
    "a truth value": lambda number: True,
    "a list": lambda number: [number],
    "a table": lambda number: {"value": number},
}


def numbers(value: Any, keys: Keys = ()) -> Iterator[Keys]:
    """Where numbers stand."""
    if isinstance(value, dict):
        for key, each in value.items():
            yield from numbers(each, (*keys, key))
    elif isinstance(value, list):
        for row, each in enumerate(value):
            yield from numbers(each, (*keys, row))
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        yield keys


def spoil(tables: Any, keys: Keys, change: Callable[[float], Any]) -> None:
    for key in keys[:-1]:
        tables = tables[key]
    tables[keys[-1]] = change(tables[keys[-1]])


PLACES = [(file, keys) for file in FILES for keys in numbers(parsed(file))]


def place_of(file: str, keys: Keys) -> str:
    return pointer(*file.split("/"), *keys)


def test_the_demo_has_numbers_enough_to_spoil() -> None:
    assert len(PLACES) > 700


def test_written_again_the_demo_says_the_same() -> None:
    again, faults = read_catalog({file: written(parsed(file)) for file in demo_texts()})
    assert again is not None, faults
    assert again == read_catalog(demo_texts())[0]


@pytest.mark.parametrize("change", SPOILS.values(), ids=SPOILS.keys())
def test_all_numbers_spoiled_at_once_give_one_fault_each_at_its_key(
    change: Callable[[float], Any],
) -> None:
    texts = {}
    for file in FILES:
        tables = parsed(file)
        for other, keys in PLACES:
            if other == file:
                spoil(tables, keys, change)
        texts[file] = written(tables)
    found = sorted(each.at for each in faults_of(texts))
    wanted = sorted(place_of(file, keys) for file, keys in PLACES)
    assert found == wanted


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(PLACES), st.sampled_from(["text", "not a number", "negative"]))
def test_one_number_spoiled_gives_one_fault_at_its_key(
    place: tuple[str, Keys], spoiled: str
) -> None:
    file, keys = place
    tables = parsed(file)
    spoil(tables, keys, SPOILS[spoiled])
    fault = the_fault({**demo_texts(), file: written(tables)})
    assert fault.at == place_of(file, keys)
    assert fault.says.startswith(file)
    assert fault.need
