"""The whole description, put together from the routes and the models they speak of."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, Literal

from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from buildsheet import __version__
from buildsheet.actions.answers import API
from buildsheet.actions.plan_record import compact
from buildsheet.web.openapi.route import Route
from buildsheet.web.openapi.routes import ROUTES
from buildsheet.web.openapi.shapes import ProblemShape
from buildsheet.web.problems import MEDIA_TYPE

Document = dict[str, Any]
Mode = Literal["validation", "serialization"]


@lru_cache(maxsize=1)
def openapi_text() -> str:
    """The description as JSON text."""
    return compact(openapi())


def openapi() -> Document:
    """The description of every route of the API, OpenAPI 3.1."""
    modes: list[tuple[type[BaseModel], Mode]] = [(ProblemShape, "serialization")]
    for route in ROUTES:
        if route.body is not None:
            modes.append((route.body, "validation"))
        modes += [
            (shape, "serialization")
            for _, shape in route.answers.values()
            if not isinstance(shape, str)
        ]
    modes = [*dict.fromkeys(modes)]
    named, definitions = models_json_schema(modes, ref_template="#/components/schemas/{model}")
    references = {model: schema for (model, _), schema in named.items()}
    paths: Document = {}
    for route in ROUTES:
        paths.setdefault(route.path, {})[route.method] = _operation(route, references)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "buildsheet",
            "version": __version__,
            "summary": "From a posted wheel order to a printed build sheet.",
            "description": (
                "Units stand in the names (`_mm`, `_n`, `_g`, `_deg`, `_hz`). Refusals are "
                "`application/problem+json` with every finding at once; a finding's `at` is a JSON "
                "Pointer into the posted document. A workshop that has people or keys answers 401 to "
                "whoever brings no key, and 403 where the key's role does not do what is asked."
            ),
        },
        "servers": [{"url": API}],
        "paths": paths,
        # A workshop that never had a person or a key asks nobody: then the empty choice holds.
        "security": [{"key": []}, {}],
        "components": {
            "schemas": definitions["$defs"],
            "securitySchemes": {"key": {"type": "http", "scheme": "bearer"}},
        },
    }


def _everywhere(path: str) -> dict[int, str]:
    """The refusals that every route has; health alone asks nobody."""
    if path == "/healthz":
        return {}
    return {
        401: "Nobody that this workshop knows: no key, or not a good one.",
        403: "The key's role does not do this, or it is another sender's order.",
    }


def _operation(route: Route, references: Mapping[Any, Document]) -> Document:
    operation: Document = {
        "operationId": route.name,
        "summary": route.summary,
        "responses": {
            **{
                str(status): _answer(what, shape, references, route.headers.get(status, {}))
                for status, (what, shape) in route.answers.items()
            },
            **{
                str(status): {
                    "description": what,
                    "content": {MEDIA_TYPE: {"schema": references[ProblemShape]}},
                }
                for status, what in {**route.problems, **_everywhere(route.path)}.items()
            },
        },
    }
    if route.parameters:
        operation["parameters"] = list(route.parameters)
    if route.body is not None:
        operation["requestBody"] = {
            "required": True,
            "content": {"application/json": {"schema": references[route.body]}},
        }
    return operation


def _answer(
    what: str,
    shape: type[BaseModel] | str,
    references: Mapping[Any, Document],
    headers: Mapping[str, str],
) -> Document:
    answer: Document = {"description": what}
    if isinstance(shape, str):
        answer["content"] = {shape: {}}
    else:
        answer["content"] = {"application/json": {"schema": references[shape]}}
    if headers:
        answer["headers"] = {
            name: {"description": words, "schema": {"type": "string"}}
            for name, words in headers.items()
        }
    return answer
