"""What publishing would do, and what to stock for what can be built."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, Response, abort, request

from buildsheet.actions.desk.impact import draft_impact
from buildsheet.actions.desk.impact_document import impact_document
from buildsheet.actions.desk.lengths import Lengths, plan_lengths, plan_programs
from buildsheet.actions.desk.shelves import shelves
from buildsheet.actions.desk.standing import NoDraft
from buildsheet.actions.editions import running_edition
from buildsheet.actions.plan_record import compact
from buildsheet.web.api.bodies import json_answer
from buildsheet.web.problems import problem
from buildsheet.web.workshop_here import workshop_here

MOST_WHEELS: Final = 1000
GRIDS: Final = ("type", "free")


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/draft/impact")(impact)
    blueprint.get("/catalog/lengths")(lengths)
    blueprint.get("/catalog/lengths/<spoke>.svg")(length_picture)
    blueprint.get("/catalog/programs")(programs)


def impact() -> Response:
    """The draft against the edition it was made from."""
    try:
        found = draft_impact(workshop_here())
    except NoDraft:
        return problem("no-draft")
    answer = json_answer(
        compact(
            {
                "version": found.version,
                "impact": None if found.impact is None else impact_document(found.impact),
                "findings": [each.as_json() for each in (*found.findings, *found.shelf_findings)],
            }
        )
    )
    answer.set_etag(str(found.version))
    return answer


def lengths() -> Response:
    """The fewest spoke lengths for every wheel of the running edition."""
    wheels = request.args.get("wheels", "1")
    grid = request.args.get("grid", "type")
    if not (wheels.isascii() and wheels.isdigit() and len(wheels) < 5) or grid not in GRIDS:
        abort(400)
    if not 1 <= int(wheels) <= MOST_WHEELS:
        abort(400)
    return json_answer(compact(_lengths(int(wheels), free=grid == "free").as_json()))


def length_picture(spoke: str) -> Response:
    """One spoke type's lengths as a picture."""
    planned = _lengths(1, free=False)
    if spoke not in planned.plan.types:
        abort(404)
    return Response(planned.chart(spoke), mimetype="image/svg+xml")


def programs() -> Response:
    """The drilling programs that every wheel of the running edition needs."""
    return json_answer(compact(plan_programs(running_edition(workshop_here()))))


def _lengths(wheels: int, *, free: bool) -> Lengths:
    workshop = workshop_here()
    edition = running_edition(workshop)
    stock, _ = shelves(workshop, edition)
    return plan_lengths(edition, stock, free=free, wheels_in_stock=wheels)
