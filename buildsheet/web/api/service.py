"""The service about itself: health, codes, description."""

from __future__ import annotations

from flask import Blueprint, Response

from buildsheet import __version__
from buildsheet.actions.finding_codes import codes_in_force
from buildsheet.actions.health import health
from buildsheet.actions.plan_record import compact
from buildsheet.web.api.bodies import json_answer
from buildsheet.web.workshop_here import workshop_here


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/healthz")(healthz)
    blueprint.get("/finding-codes")(code_list)
    blueprint.get("/openapi.json")(openapi)


def healthz() -> Response:
    """Up, database writable, edition; 503 where the database cannot be written."""
    seen = health(workshop_here())
    body = {
        "up": True,
        "database": "writable" if seen.writable else "not writable",
        "edition": seen.edition,
        "version": __version__,
    }
    return json_answer(compact(body), 200 if seen.writable else 503)


def code_list() -> Response:
    """Every code that a finding can carry."""
    return json_answer(compact({"codes": list(codes_in_force(workshop_here()))}))


def openapi() -> Response:
    """The API's own description, OpenAPI 3.1."""
    # Models turn into schemas only for whoever asks.
    from buildsheet.web.openapi.document import openapi_text

    return json_answer(openapi_text())
