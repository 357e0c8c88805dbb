"""The draft that a page is about."""

from __future__ import annotations

from flask import abort, redirect, url_for

from buildsheet.actions.desk.draft import Draft, the_draft
from buildsheet.web.workshop_here import workshop_here


def draft_here() -> Draft:
    """The draft. Where there is none, the request ends at the page that begins one."""
    draft = the_draft(workshop_here())
    if draft is None:
        abort(redirect(url_for("pages.draft_page"), 303))
    return draft
