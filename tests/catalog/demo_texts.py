"""The demo catalog as texts, changed in one place, read, and written again in other words."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

from buildsheet.actions.catalog_files import demo_directory, read_texts
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.reading import read_catalog
from buildsheet.findings import Finding

RIMS, HUBS, SPOKES = "parts/rims.toml", "parts/hubs.toml", "parts/spokes.toml"
NIPPLES, END_CAPS = "parts/nipples.toml", "parts/end_caps.toml"
DECALS, PROGRAMS, HOUSE = "parts/decals.toml", "parts/programs.toml", "house.toml"


@cache
def demo_texts() -> Mapping[str, str]:
    texts, faults = read_texts(demo_directory())
    assert not faults
    return MappingProxyType(texts)


@cache
def demo_edition() -> Edition:
    edition, faults = read_catalog(demo_texts())
    assert edition is not None, faults
    return edition


def changed(file: str, table: str, old: str, new: str) -> dict[str, str]:
    """The demo's texts with ``old`` replaced once inside ``[table]`` of ``file`` ('' the whole file)."""
    text = demo_texts()[file]
    start = text.index(f"[{table}]") if table else 0
    place = text.index(old, start)
    return {**demo_texts(), file: text[:place] + new + text[place + len(old) :]}


def faults_of(texts: Mapping[str, str]) -> tuple[Finding, ...]:
    """The faults of texts that must not load."""
    edition, faults = read_catalog(texts)
    assert edition is None
    assert faults
    return faults


def the_fault(texts: Mapping[str, str]) -> Finding:
    """The only fault of texts that must not load."""
    faults = faults_of(texts)
    assert len(faults) == 1, [each.says for each in faults]
    return faults[0]


def parsed(file: str) -> dict[str, Any]:
    return tomllib.loads(demo_texts()[file])


def written(tables: Mapping[str, Any]) -> str:
    """TOML of a whole file, in the order given; tables inside tables in one line."""
    plain = {key: each for key, each in tables.items() if not _is_table(each)}
    single = [f"{key} = {_value(each)}" for key, each in plain.items() if not _is_rows(each)]
    for name, rows in plain.items():
        for row in rows if _is_rows(rows) else ():
            single.append(f"[[{json.dumps(name)}]]")
            single += [f"{json.dumps(key)} = {_value(each)}" for key, each in row.items()]
    for name, table in tables.items():
        if _is_table(table):
            single.append(f"[{json.dumps(name)}]")
            single += [f"{json.dumps(key)} = {_value(each)}" for key, each in table.items()]
    return "\n".join(single) + "\n"


def _is_table(value: object) -> bool:
    return isinstance(value, dict)


def _is_rows(value: object) -> bool:
    """Tables under one name, like the rules of a file."""
    return isinstance(value, list) and bool(value) and all(map(_is_table, value))


def _value(value: Any) -> str:
    if isinstance(value, dict):
        inner = ", ".join(f"{json.dumps(key)} = {_value(each)}" for key, each in value.items())
        return "{ " + inner + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_value(each) for each in value) + "]"
    return json.dumps(value) if isinstance(value, (str, bool)) else repr(value)
