"""The board: the wheels in the house, newest first, with their sheets; what a problem means."""

from __future__ import annotations

from flask import Blueprint, render_template, request, send_from_directory
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.editions import NoEdition, running_edition
from buildsheet.actions.finding_codes import codes_in_force
from buildsheet.actions.show_wheel import PAGE, list_wheels, wheels_in_the_house
from buildsheet.actions.stopped import stopped_wheels
from buildsheet.web.api.service import healthz
from buildsheet.web.problems import KINDS
from buildsheet.web.workshop_here import workshop_here


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/")(board)
    blueprint.get("/problems")(problems)
    blueprint.get("/healthz")(healthz)
    blueprint.get("/favicon.ico")(favicon)


def board() -> str:
    """The wheels that have not left the house, with their states and sheets, and which of them a
    reading stopped; with ``all`` every wheel."""
    workshop, every = workshop_here(), "all" in request.args
    try:
        edition = running_edition(workshop)
    except NoEdition:
        return render_template("board.html", wheels=(), edition=None, following=None, every=every)
    listed = list_wheels if every else wheels_in_the_house
    wheels = listed(workshop, request.args.get("before"))
    following = wheels[-1].serial if len(wheels) == PAGE else None
    return render_template(
        "board.html",
        wheels=wheels,
        stopped=stopped_wheels(workshop, wheels),
        edition=edition,
        following=following,
        every=every,
    )


def problems() -> str:
    """What each kind of refusal and each finding code means."""
    return render_template(
        "problems.html", kinds=KINDS.values(), codes=codes_in_force(workshop_here())
    )


def favicon() -> AnyResponse:
    """The mark of the tab."""
    return send_from_directory("static", "favicon.svg", mimetype="image/svg+xml")
