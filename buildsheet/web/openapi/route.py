"""What one operation of the API is, and how its parameters are written down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import BaseModel

Schema = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Route:
    """One operation of the API. ``answers`` is status -> (what it is, model or media type)."""

    method: str
    path: str
    name: str
    summary: str
    answers: Mapping[int, tuple[str, type[BaseModel] | str]]
    problems: Mapping[int, str] = field(default_factory=dict)
    body: type[BaseModel] | None = None
    parameters: tuple[Schema, ...] = ()
    headers: Mapping[int, Mapping[str, str]] = field(default_factory=dict)


def in_path(name: str, what: str) -> Schema:
    return {
        "name": name,
        "in": "path",
        "required": True,
        "description": what,
        "schema": {"type": "string", "minLength": 1, "maxLength": 60, "pattern": "^[A-Za-z0-9-]+$"},
    }


def in_query(name: str, what: str, schema: Schema) -> Schema:
    return {"name": name, "in": "query", "required": False, "description": what, "schema": schema}
