"""Wheels: as planned, on paper, in pictures."""

from __future__ import annotations

from flask import Blueprint, Response, abort, request

from buildsheet.actions.plan_record import compact
from buildsheet.actions.print_sheet import (
    PAGES,
    PAPERS,
    Waits,
    lacing_picture,
    sheet_digest,
    sheet_pdf,
    sheet_picture,
)
from buildsheet.actions.show_wheel import WheelView, show_wheel
from buildsheet.actions.stopped import stopped_wheels
from buildsheet.web.api.bodies import json_answer
from buildsheet.web.problems import problem
from buildsheet.web.workshop_here import workshop_here


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/wheels/<serial>")(wheel)
    blueprint.get("/wheels/<serial>/plan")(wheel_plan)
    blueprint.get("/wheels/<serial>/sheet.pdf")(sheet_pdf_of)
    blueprint.get("/wheels/<serial>/sheet.svg")(sheet_svg_of)
    blueprint.get("/wheels/<serial>/lacing.svg")(lacing_svg_of)


def wheel(serial: str) -> Response:
    """One wheel as it stands."""
    view = _wheel(serial)
    stopped = stopped_wheels(workshop_here(), (view.stored,))
    said = {**view.as_json(), "stopped_at_pass": stopped.get(view.stored.serial)}
    return json_answer(compact(said))


def wheel_plan(serial: str) -> Response:
    """The plan of one wheel, as it was answered."""
    return json_answer(_wheel(serial).kept.document)


def sheet_pdf_of(serial: str) -> Response:
    """The sheet that is in force, for A4 or for letter paper."""
    paper = request.args.get("paper", "a4").lower()
    if paper not in PAPERS:
        abort(400)
    view = _wheel(serial)
    tag = sheet_digest(view, paper)
    if request.if_none_match.contains(tag):
        return _tagged(Response(status=304), tag)
    try:
        body = sheet_pdf(workshop_here(), view, paper)
    except Waits as waits:
        return problem("waits-for-release", str(waits))
    response = Response(body, mimetype="application/pdf")
    name = f"{view.stored.serial}-{view.stored.sheet.issue}.pdf"
    response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return _tagged(response, tag)


def sheet_svg_of(serial: str) -> Response:
    """One side of the sheet as a picture: page 1 for building, page 2 for records."""
    page = request.args.get("page", "1")
    if page not in PAGES:
        abort(400)
    try:
        picture = sheet_picture(workshop_here(), _wheel(serial), PAGES[page])
    except Waits as waits:
        return problem("waits-for-release", str(waits))
    return Response(picture, mimetype="image/svg+xml")


def lacing_svg_of(serial: str) -> Response:
    """The lacing of one wheel as a picture."""
    return Response(lacing_picture(workshop_here(), _wheel(serial)), mimetype="image/svg+xml")


def _wheel(serial: str) -> WheelView:
    view = show_wheel(workshop_here(), serial)
    if view is None:
        abort(404)
    return view


def _tagged(response: Response, tag: str) -> Response:
    response.set_etag(tag)
    # A new issue changes the sheet under the same address: ask every time, send only what changed.
    response.headers["Cache-Control"] = "private, no-cache"
    return response
