"""The house figures: in force, for reading; in the draft, to be changed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.desk.draft import StaleDraft
from buildsheet.actions.desk.house_in_draft import (
    house_notes,
    house_values,
    look_at_house,
    put_figures,
)
from buildsheet.actions.desk.part_in_draft import texts_of_version
from buildsheet.actions.editions import edition_texts, running_edition
from buildsheet.catalog.reading import HOUSE_FILE
from buildsheet.findings import Finding
from buildsheet.web.pages.catalog.draft_here import draft_here
from buildsheet.web.pages.catalog.form.house_fields import (
    changed_figures,
    house_fields,
    house_groups,
)
from buildsheet.web.pages.catalog.form.typed import Texts, typed
from buildsheet.web.pages.catalog.form.written import value_at, written
from buildsheet.web.pages.catalog.marks import Marks
from buildsheet.web.pages.catalog.names import NO_NAME, remember, remembered_name, typed_name
from buildsheet.web.pages.catalog.overtaken import Late, reconciled
from buildsheet.web.pages.catalog.place import members
from buildsheet.web.pages.whole_number import whole_number
from buildsheet.web.workshop_here import workshop_here


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/house")(house_page)
    blueprint.get("/catalog/draft/house")(house_form)
    blueprint.post("/catalog/draft/house")(house_posted)


def house_page() -> str:
    """The figures in force, each with the mark of its source."""
    workshop = workshop_here()
    texts = edition_texts(workshop)
    return render_template(
        "catalog/house.html",
        edition=running_edition(workshop),
        groups=house_groups(house_notes(texts)),
        values=house_values(texts),
        value_at=value_at,
    )


def house_form() -> AnyResponse:
    """The draft's figures, to be changed."""
    return _page(written(house_fields(), house_values(draft_here().texts)), {}, {})


def house_posted() -> AnyResponse:
    """The figures looked at or saved."""
    draft = draft_here()
    texts: Texts = dict(request.form.lists())
    read = typed(house_fields(), texts)
    figures = changed_figures(house_values(draft.texts), read.values)
    if request.form.get("_deed") != "save":
        return _page(texts, figures, read.unread, looked=True)
    if not typed_name():
        return _page(texts, figures, read.unread, problem=NO_NAME, status=422)
    if read.unread:
        says = "A text stands where a value should: see the fields that are marked."
        return _page(texts, figures, read.unread, problem=says, status=422)
    if not figures:
        return _page(texts, figures, {}, problem="Nothing differs from the draft.", status=422)
    version = request.form.get("_version", 0, type=whole_number)
    try:
        done = put_figures(workshop_here(), figures, version=version, by=typed_name())
    except StaleDraft as stale:
        return _overtaken(stale, read.values)
    if done.draft is None:
        says = " ".join(each.says for each in done.findings)
        return _page(texts, figures, {}, problem=says, status=422)
    return remember(redirect(url_for("pages.house_form", saved="yes"), 303), typed_name())


def _overtaken(stale: StaleDraft, sent: Mapping[str, Any]) -> AnyResponse:
    """The form on the draft as it is now, with everything that was typed."""
    shown = house_values(texts_of_version(workshop_here(), stale.version))
    there = house_values(draft_here().texts)
    met = reconciled(stale, house_fields(), shown, there, sent)
    figures = changed_figures(there, met.values)
    texts = written(house_fields(), met.values)
    return _page(texts, figures, {}, overtaken=met.late, status=409)


def _page(
    texts: Mapping[str, Any],
    figures: Mapping[str, Any],
    unread: Mapping[str, str],
    *,
    problem: str = "",
    overtaken: Late | None = None,
    looked: bool = False,
    status: int = 200,
) -> AnyResponse:
    draft = draft_here()
    found = look_at_house(draft.texts, figures)
    now = house_values(draft.texts)
    page = render_template(
        "catalog/house_form.html",
        draft=draft,
        groups=house_groups(house_notes(draft.texts)),
        texts=texts,
        found=found,
        bad=_bad(found, unread),
        changed=[
            (field.key, value_at(now, field.path), figures[field.key])
            for field in house_fields()
            if field.key in figures
        ],
        problem=problem,
        filled={"late": overtaken},
        looked=looked and not unread,
        saved=request.method == "GET" and "saved" in request.args,
        by=typed_name() or remembered_name(),
    )
    return make_response(page, status)


def _bad(found: tuple[Finding, ...], unread: Mapping[str, str]) -> Marks:
    keys = {field.key for field in house_fields()}
    bad: Marks = {}
    for finding in found:
        place = members(finding.at)
        if place[:1] == (HOUSE_FILE,):
            ends = range(len(place), 1, -1)
            key = next((k for end in ends if (k := ".".join(place[1:end])) in keys), "")
            bad.setdefault(key, []).append(finding.says.partition(": ")[2] or finding.says)
    bad.update({key: [said] for key, said in unread.items()})
    return bad
