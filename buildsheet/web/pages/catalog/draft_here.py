"""The draft that a page is about."""

from __future__ import annotations

from flask import abort, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from buildsheet.actions.desk.draft import Draft, NoDraft, the_draft
from buildsheet.actions.editions import newest_number
from buildsheet.catalog.edition import KINDS
from buildsheet.web.pages.catalog.at_the_desk import box_in_words
from buildsheet.web.pages.catalog.form.called import HOUSE, RULE
from buildsheet.web.pages.catalog.names import remembered_name, typed_name
from buildsheet.web.workshop_here import workshop_here


def draft_here() -> Draft:
    """The draft. Where there is none, the request ends at the page that begins one; what a form brought
    is shown there, so that it is not lost with a draft that was closed meanwhile."""
    draft = the_draft(workshop_here())
    if draft is None:
        abort(
            draft_closed()
            if request.method == "POST"
            else redirect(url_for("pages.draft_page"), 303)
        )
    return draft


def _asked_about() -> str:
    """Whose keys the form of this request has: a kind of part, the house figures, a rule; '' for none."""
    kind = (request.view_args or {}).get("kind", "")
    if kind in KINDS:
        return str(kind)
    return next((of for of in (HOUSE, RULE) if f"/draft/{of}" in request.path), "")


def draft_closed(_: NoDraft | None = None) -> Response:
    """The page that begins a draft, with what was typed: also for whoever is overtaken between looking
    for the draft and changing it."""
    of = _asked_about()
    typed = [
        (box_in_words(name, of) if of else name, text)
        for name, texts in request.form.lists()
        for text in texts
        if text and not name.startswith("_")
    ]
    page = render_template(
        "catalog/no_draft.html",
        newest=newest_number(workshop_here()),
        by=typed_name() or remembered_name(),
        problem="The draft was published or given up while this was typed. Nothing is saved.",
        typed=typed,
    )
    return make_response(page, 409)
