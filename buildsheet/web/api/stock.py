"""The shelves: what is free, goods in, corrections."""

from __future__ import annotations

import re
from typing import Final

from flask import Blueprint, Response, abort, request

from buildsheet.actions.plan_record import compact
from buildsheet.actions.stock.move import Moved, take_movements
from buildsheet.actions.stock.shelf import show_shelf
from buildsheet.web.api.bodies import json_answer, order_body
from buildsheet.web.problems import problem
from buildsheet.web.workshop_here import workshop_here

UNREADABLE: Final = frozenset({"data.not-json", "data.not-utf8", "data.too-large", "data.too-deep"})
ITEM: Final = re.compile(r"[A-Z0-9][A-Z0-9.-]{0,23}(/[A-Za-z0-9][A-Za-z0-9 -]{0,23})?")


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/stock")(shelf)
    blueprint.post("/stock/movements")(movements)


def shelf() -> Response:
    """Every article, or those of one part."""
    part = request.args.get("part")
    if part is not None and not ITEM.fullmatch(part):
        abort(400)
    return json_answer(compact(show_shelf(workshop_here(), part).as_json()))


def movements() -> Response:
    """A list of movements, entered whole or refused."""
    moved = take_movements(workshop_here(), order_body())
    if moved.outcome in ("entered", "replayed"):
        response = json_answer(moved.answer, 201)
        if moved.outcome == "replayed":
            response.headers["Idempotent-Replay"] = "true"
        return response
    return _refused(moved)


def _refused(moved: Moved) -> Response:
    if moved.outcome == "key-reused":
        return problem("key-reused", moved.findings[0].says, moved.findings)
    if {each.code for each in moved.findings} & UNREADABLE:
        return problem("bad-request", moved.findings[0].says, moved.findings)
    return problem("document-refused", "", moved.findings)
