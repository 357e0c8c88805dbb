"""The draft published: what it changes, what needs a second person, who signs and why."""

from __future__ import annotations

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.desk.approve import approvals_of_draft, approve_draft
from buildsheet.actions.desk.compare_draft import compare_draft
from buildsheet.actions.desk.draft import NoDraft, StaleDraft
from buildsheet.actions.desk.publish import Refused, publish
from buildsheet.findings import Finding
from buildsheet.web.access.who import person_here
from buildsheet.web.pages.catalog.draft_here import draft_here
from buildsheet.web.pages.catalog.names import remember, remembered_name
from buildsheet.web.pages.catalog.overtaken import Late, late
from buildsheet.web.pages.catalog.signing import Signing, asked_here, signed
from buildsheet.web.pages.whole_number import whole_number
from buildsheet.web.workshop_here import workshop_here


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/draft/publish")(publish_form)
    blueprint.post("/catalog/draft/publish")(publish_posted)
    blueprint.post("/catalog/draft/approve")(draft_approved)


def publish_form() -> AnyResponse:
    """What is about to be published, and the fields that sign it."""
    return _form(Signing(author=remembered_name()))


def publish_posted() -> AnyResponse:
    """The draft as an edition, or everything that is in the way."""
    signing = signed()
    try:
        done = publish(
            workshop_here(),
            version=request.form.get("_version", 0, type=whole_number),
            author=signing.author,
            approver=signing.approver,
            reason=signing.reason,
            starts=signing.starts or None,
            proved=person_here() is not None,
        )
    except StaleDraft as stale:
        return _form(signing, overtaken=late(stale), status=409)
    except NoDraft:
        return redirect(url_for("pages.draft_page"), 303)
    if isinstance(done, Refused):
        return _form(signing, done.findings, status=422)
    page = url_for("pages.edition_page", number=done.edition.number, published="yes")
    return remember(redirect(page, 303), signing.author)


def draft_approved() -> AnyResponse:
    """The version that was looked at, approved by whoever is signed in."""
    signing = Signing(author=remembered_name())
    version = request.form.get("_version", 0, type=whole_number)
    try:
        done = approve_draft(workshop_here(), person_here(), version=version)
    except StaleDraft as stale:
        return _form(signing, overtaken=late(stale), status=409)
    except NoDraft:
        return redirect(url_for("pages.draft_page"), 303)
    if isinstance(done, Refused):
        return _form(signing, done.findings, status=422)
    return redirect(url_for("pages.publish_form"), 303)


def _form(
    signing: Signing,
    findings: tuple[Finding, ...] = (),
    overtaken: Late | None = None,
    status: int = 200,
) -> AnyResponse:
    draft = draft_here()
    page = render_template(
        "catalog/publish.html",
        draft=draft,
        compared=compare_draft(workshop_here(), draft),
        signing=signing,
        asks=asked_here(approvals_of_draft(workshop_here(), draft.version)),
        found=findings,
        filled={"late": overtaken},
    )
    return make_response(page, status)
