"""What may still be chosen."""

from __future__ import annotations

from flask import Blueprint, Response

from buildsheet.actions.choices import choices_for
from buildsheet.actions.plan_record import compact
from buildsheet.web.api.bodies import json_answer, order_body
from buildsheet.web.api.orders import unreadable
from buildsheet.web.problems import problem
from buildsheet.web.workshop_here import workshop_here


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.post("/choices")(choices)


def choices() -> Response:
    """Every value that still leads to a complete order, and what closes the others."""
    answer = choices_for(workshop_here(), order_body())
    if not answer.broken:
        return json_answer(compact(answer.as_json()))
    faults = len(answer.findings)
    detail = f"{faults} {'fault' if faults == 1 else 'faults'} in the order's form."
    return unreadable(answer.findings) or problem("part-refused", detail, answer.findings)
