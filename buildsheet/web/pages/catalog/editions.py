"""Editions: the list, one with what it changed, and taking an older one up again."""

from __future__ import annotations

from flask import Blueprint, abort, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.desk.approve import approvals_of_again, approve_again
from buildsheet.actions.desk.papers import EditionView, list_editions, show_edition
from buildsheet.actions.desk.publish import Refused, roll_back, taken_up_again
from buildsheet.findings import Finding
from buildsheet.web.access.who import person_here
from buildsheet.web.pages.catalog.names import remember, remembered_name
from buildsheet.web.pages.catalog.signing import Signing, asked_here, signed
from buildsheet.web.pages.whole_number import whole_number
from buildsheet.web.workshop_here import workshop_here


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/editions")(editions_page)
    blueprint.get("/catalog/editions/<int:number>")(edition_page)
    blueprint.get("/catalog/editions/<int:number>/again")(roll_back_form)
    blueprint.post("/catalog/editions/<int:number>/again")(roll_back_posted)
    blueprint.post("/catalog/editions/<int:number>/approve")(roll_back_approved)


def editions_page() -> str:
    """Every edition, the newest first."""
    return render_template("catalog/editions.html", editions=list_editions(workshop_here()))


def edition_page(number: int) -> str:
    """One edition with its paper and its differences."""
    view = _view(number)
    return render_template(
        "catalog/edition.html", view=view, line=view.line, published="published" in request.args
    )


def roll_back_form(number: int) -> AnyResponse:
    """Asks who takes an older edition up again, and why."""
    return _form(number, Signing(author=remembered_name()))


def roll_back_posted(number: int) -> AnyResponse:
    """The older edition published again under a new number."""
    signing = signed()
    _view(number)
    done = roll_back(
        workshop_here(),
        number,
        author=signing.author,
        approver=signing.approver,
        reason=signing.reason,
        starts=signing.starts or None,
        proved=person_here() is not None,
    )
    if isinstance(done, Refused):
        return _form(number, signing, done.findings, 422)
    page = url_for("pages.edition_page", number=done.edition.number, published="yes")
    return remember(redirect(page, 303), signing.author)


def roll_back_approved(number: int) -> AnyResponse:
    """That an older edition is taken up again, approved by whoever is signed in."""
    _view(number)
    newest = request.form.get("_newest", 0, type=whole_number)
    done = approve_again(workshop_here(), person_here(), number, newest=newest)
    if isinstance(done, Refused):
        return _form(number, Signing(author=remembered_name()), done.findings, 422)
    return redirect(url_for("pages.roll_back_form", number=number), 303)


def _form(
    number: int,
    signing: Signing,
    findings: tuple[Finding, ...] = (),
    status: int = 200,
) -> AnyResponse:
    view, again = _view(number), taken_up_again(workshop_here(), number)
    page = render_template(
        "catalog/roll_back.html",
        view=view,
        again=again,
        asks=asked_here(approvals_of_again(workshop_here(), number, again.before)),
        signing=signing,
        found=findings,
    )
    return make_response(page, status)


def _view(number: int) -> EditionView:
    view = show_edition(workshop_here(), number)
    if view is None:
        abort(404)
    return view
