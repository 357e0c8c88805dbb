"""The drawing of a part, from the texts of a form: asked for again with every change."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final
from urllib.parse import urlencode

from flask import Blueprint, Response, abort, request

from buildsheet.actions.desk.draw_part import PICTURED, draw_part
from buildsheet.web.pages.catalog.form.fields import fields_of
from buildsheet.web.pages.catalog.form.typed import Texts, typed
from buildsheet.web.pages.catalog.form.written import written

SVG: Final = "image/svg+xml"


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/drawing.svg")(part_drawing)


def part_drawing() -> Response:
    """The part whose texts stand in the query, drawn as far as they go."""
    kind = request.args.get("_kind", "")
    if kind not in PICTURED:
        abort(404)
    picture = draw_part(kind, typed(fields_of(kind), dict(request.args.lists())).values)
    return Response(picture, mimetype=SVG)


def drawn_query(kind: str, texts: Texts) -> str:
    """The texts of a form as the query of its drawing's address; '' for a kind that has none."""
    if kind not in PICTURED:
        return ""
    wanted = [("_kind", kind)]
    for name, given in texts.items():
        if not name.startswith(("_", "evidence.")):
            wanted.extend((name, text) for text in given if text)
    return urlencode(wanted)


def query_of_values(kind: str, values: Mapping[str, Any]) -> str:
    """The same for a part that is there."""
    return drawn_query(kind, written(fields_of(kind), values))
