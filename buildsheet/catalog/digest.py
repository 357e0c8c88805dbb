"""The digest of an edition: the same for the same statements, whatever their order in the files."""

from __future__ import annotations

import json
from collections.abc import Mapping
from hashlib import sha256

from pydantic import BaseModel

from buildsheet.findings import Value


def canonical(value: object) -> Value:
    """The value as JSON: models and tables by key, lists in their order, absent keys left out.

    Raises TypeError for anything that a catalog cannot hold.
    """
    if isinstance(value, BaseModel):
        fields = ((name, getattr(value, name)) for name in type(value).model_fields)
        return {name: canonical(each) for name, each in fields if each is not None}
    if isinstance(value, Mapping):
        return {str(key): canonical(each) for key, each in value.items()}
    if isinstance(value, tuple):
        return [canonical(each) for each in value]
    if isinstance(value, (str, int, float)):
        return value
    raise TypeError(f"a catalog holds no {type(value).__name__}")


def digest(tables: Mapping[str, object]) -> str:
    """``sha256:`` and the digest over the canonical text of all tables.

    >>> digest({"a": 1, "b": 2}) == digest({"b": 2, "a": 1})
    True
    """
    text = json.dumps(canonical(tables), sort_keys=True, separators=(",", ":"), allow_nan=False)
    return "sha256:" + sha256(text.encode("ascii")).hexdigest()
