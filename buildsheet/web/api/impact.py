"""What publishing would do, and what to stock for what can be built."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, Response, abort, request

from buildsheet.actions.desk.impact import draft_impact
from buildsheet.actions.desk.impact_document import impact_document
from buildsheet.actions.desk.lengths import Lengths, plan_lengths, plan_programs
from buildsheet.actions.desk.shelves import shelves
from buildsheet.actions.desk.standing import NoDraft, the_draft
from buildsheet.actions.editions import running_edition
from buildsheet.actions.plan_record import compact
from buildsheet.catalog.edition import Edition
from buildsheet.web.api.bodies import json_answer
from buildsheet.web.problems import problem
from buildsheet.web.workshop_here import workshop_here

MOST_WHEELS: Final = 1000
GRIDS: Final = ("type", "free")
OF: Final = ("edition", "draft")


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
    """The fewest spoke lengths for every wheel of the running edition, or of the draft."""
    wheels = request.args.get("wheels", "1")
    grid, of = request.args.get("grid", "type"), request.args.get("of", "edition")
    if not (wheels.isascii() and wheels.isdigit() and len(wheels) < 5) or grid not in GRIDS:
        abort(400)
    if not 1 <= int(wheels) <= MOST_WHEELS or of not in OF:
        abort(400)
    if of == "draft":
        return _lengths_of_draft(int(wheels), free=grid == "free")
    edition = running_edition(workshop_here())
    return json_answer(compact(_lengths(edition, int(wheels), free=grid == "free").as_json()))


def length_picture(spoke: str) -> Response:
    """One spoke type's lengths as a picture."""
    planned = _lengths(running_edition(workshop_here()), 1, free=False)
    if spoke not in planned.plan.types:
        abort(404)
    return Response(planned.chart(spoke), mimetype="image/svg+xml")


def programs() -> Response:
    """The drilling programs that every wheel of the running edition needs."""
    return json_answer(compact(plan_programs(running_edition(workshop_here()))))


def _lengths_of_draft(wheels: int, *, free: bool) -> Response:
    draft = the_draft(workshop_here())
    if draft is None:
        return problem("no-draft")
    if draft.edition is None:
        says = "The draft has faults; its lengths are planned when none is left."
        return problem("draft-faulty", says, draft.findings)
    return json_answer(compact(_lengths(draft.edition, wheels, free=free).as_json()))


def _lengths(edition: Edition, wheels: int, *, free: bool) -> Lengths:
    stock, _ = shelves(workshop_here(), edition)
    return plan_lengths(edition, stock, free=free, wheels_in_stock=wheels)
