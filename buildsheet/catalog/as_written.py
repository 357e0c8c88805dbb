"""What two sets of catalog files say differently, as written: also where they cannot be read as an edition.

For a draft that is wrong for a while. What is left out counts as left out, not as its usual value; a
file that is no TOML says nothing.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any, Final

from buildsheet.catalog.differences import Differences, Tables, differing
from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.faults import shown
from buildsheet.catalog.links import file_of

Texts = Mapping[str, str]

HOUSE: Final = "house.toml"
RULES: Final = "rules/"
RULE: Final = "rule"


def differences_as_written(old: Texts, new: Texts) -> Differences:
    """What the files of ``new`` say differently from those of ``old``, in a stable order."""
    return differing(_tables_of(old), _tables_of(new))


def _tables_of(texts: Texts) -> Tables:
    parts = {kind: _parts(texts, kind) for kind in KINDS}
    return Tables(parts, _file(texts, HOUSE), _rules(texts))


def _parts(texts: Texts, kind: str) -> dict[str, Any]:
    tables = _file(texts, file_of(kind))
    return {code: each for code, each in tables.items() if isinstance(each, dict)}


def _rules(texts: Texts) -> dict[str, Any]:
    files = [_file(texts, name).get(RULE) for name in sorted(texts) if name.startswith(RULES)]
    listed = [each for file in files if isinstance(file, tuple) for each in file]
    return {
        each["id"]: each
        for each in listed
        if isinstance(each, dict) and isinstance(each.get("id"), str)
    }


def _file(texts: Texts, name: str) -> dict[str, Any]:
    try:
        tables: dict[str, Any] = _plain(tomllib.loads(texts.get(name, "")))
    except (ValueError, RecursionError):
        return {}
    return tables


def _plain(value: Any) -> Any:
    """What JSON can hold: a date or a number that is none as text."""
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list):
        return tuple(map(_plain, value))
    return shown(value) if not isinstance(value, str) else value
