"""The draft at a glance: begun, what it changes, what is wrong with it, given up; its parts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from flask import Blueprint, abort, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.desk.compare_draft import compare_draft
from buildsheet.actions.desk.draft import (
    Draft,
    DraftOpen,
    NoDraft,
    StaleDraft,
    begin,
    carry_over,
    discard,
    drop_part,
    history,
    the_draft,
)
from buildsheet.actions.desk.part_in_draft import lines_in, named_by, rules_naming, values_in
from buildsheet.actions.desk.people import NoName
from buildsheet.actions.desk.rule_in_draft import rules_in_draft
from buildsheet.actions.editions import newest_number
from buildsheet.catalog.links import file_of
from buildsheet.catalog.reading import HOUSE_FILE
from buildsheet.web.pages.catalog.draft_here import draft_here
from buildsheet.web.pages.catalog.form.words import KIND_WORDS, STATE_WORDS
from buildsheet.web.pages.catalog.names import NO_NAME, remember, remembered_name, typed_name
from buildsheet.web.pages.catalog.overtaken import Late, late
from buildsheet.web.pages.catalog.parts import LONGEST_SEARCH
from buildsheet.web.pages.catalog.place import members
from buildsheet.web.pages.whole_number import whole_number
from buildsheet.web.workshop_here import workshop_here


@dataclass(frozen=True, slots=True)
class Door:
    """A link: where it leads and what it says."""

    address: str
    words: str


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/draft")(draft_page)
    blueprint.post("/catalog/draft/begin")(draft_begun)
    blueprint.post("/catalog/draft/carry-over")(draft_carried)
    blueprint.post("/catalog/draft/discard")(draft_discarded)
    blueprint.get("/catalog/draft/parts")(draft_parts)
    blueprint.get("/catalog/draft/parts/<kind>/<code>/drop")(drop_part_form)
    blueprint.post("/catalog/draft/parts/<kind>/<code>/drop")(drop_part_posted)


def draft_page() -> AnyResponse:
    """The open draft, or the form that begins one."""
    return _draft_page()


def draft_begun() -> AnyResponse:
    """A draft is begun; where one is open already, that one is shown."""
    try:
        begin(workshop_here(), typed_name())
    except NoName:
        return _draft_page(problem=NO_NAME, status=422)
    except DraftOpen:
        return redirect(url_for("pages.draft_page"), 303)
    return remember(redirect(url_for("pages.draft_page"), 303), typed_name())


def draft_carried() -> AnyResponse:
    """The draft put on the newest edition."""
    return _done_to_draft(carry=True)


def draft_discarded() -> AnyResponse:
    """The draft given up, where that was ticked."""
    if request.form.get("_sure") != "yes":
        says = "Tick the box to say that the draft is meant to be thrown away."
        return _draft_page(problem=says, status=422)
    return _done_to_draft(carry=False)


def _done_to_draft(*, carry: bool) -> AnyResponse:
    deed = carry_over if carry else discard
    version = request.form.get("_version", 0, type=whole_number)
    try:
        deed(workshop_here(), version=version, by=typed_name())
    except NoName:
        return _draft_page(problem=NO_NAME, status=422)
    except StaleDraft as stale:
        return _draft_page(overtaken=late(stale), status=409)
    except NoDraft:
        return redirect(url_for("pages.draft_page"), 303)
    return remember(redirect(url_for("pages.draft_page"), 303), typed_name())


def _draft_page(problem: str = "", overtaken: Late | None = None, status: int = 200) -> AnyResponse:
    workshop = workshop_here()
    draft = the_draft(workshop)
    by = typed_name() or remembered_name()
    if draft is None:
        newest = newest_number(workshop)
        page = render_template("catalog/no_draft.html", newest=newest, by=by, problem=problem)
        return make_response(page, status)
    compared = compare_draft(workshop, draft)
    page = render_template(
        "catalog/draft.html",
        draft=draft,
        compared=compared,
        faulty=tuple(_faulty(draft)),
        history=tuple(reversed(history(workshop))),
        kinds=KIND_WORDS,
        problem=problem,
        filled={"late": overtaken},
        by=by,
    )
    return make_response(page, status)


def _faulty(draft: Draft) -> Iterator[Door]:
    """Where the faults of the draft are mended."""
    kinds = {file_of(kind): kind for kind in KIND_WORDS}
    seen: set[Door] = set()
    for finding in draft.findings:
        place = members(finding.at)
        door = _door(draft, place, kinds.get("/".join(place[:2])))
        if door is not None and door not in seen:
            seen.add(door)
            yield door


def _door(draft: Draft, place: tuple[str, ...], kind: str | None) -> Door | None:
    """The form of the part, the rule or the house figures that a place is in; None for none of them."""
    if place[:1] == (HOUSE_FILE,):
        return Door(url_for("pages.house_form"), "the house figures")
    if len(place) < 3:
        return None
    name = place[2]
    if kind and values_in(draft.texts, kind, name) is not None:
        return Door(url_for("pages.part_form", kind=kind, code=name), name)
    if place[0] == "rules" and name in rules_in_draft(draft.texts):
        return Door(url_for("pages.rule_form", name=name), name)
    return None


def draft_parts() -> str:
    """The draft's parts by kind, code, name and state."""
    draft = draft_here()
    kind, state = request.args.get("kind", ""), request.args.get("state", "")
    words = request.args.get("q", "").strip()[:LONGEST_SEARCH]
    if kind not in ("", *KIND_WORDS) or state not in ("", *STATE_WORDS):
        abort(404)
    return render_template(
        "catalog/draft_parts.html",
        draft=draft,
        found=lines_in(draft.texts, kind=kind, words=words, state=state),
        kind=kind,
        state=state,
        words=words,
        kinds=KIND_WORDS,
        states=STATE_WORDS,
    )


def drop_part_form(kind: str, code: str) -> AnyResponse:
    """Asks whether a part is meant to be taken out."""
    return _drop_page(kind, code)


def drop_part_posted(kind: str, code: str) -> AnyResponse:
    """The part taken out of the draft."""
    version = request.form.get("_version", 0, type=whole_number)
    _there(kind, code)
    try:
        drop_part(workshop_here(), code, kind=kind, version=version, by=typed_name())
    except NoName:
        return _drop_page(kind, code, problem=NO_NAME, status=422)
    except StaleDraft as stale:
        return _drop_page(kind, code, overtaken=late(stale), status=409)
    return remember(redirect(url_for("pages.draft_page"), 303), typed_name())


def _drop_page(
    kind: str, code: str, problem: str = "", overtaken: Late | None = None, status: int = 200
) -> AnyResponse:
    draft = _there(kind, code)
    page = render_template(
        "catalog/drop_part.html",
        draft=draft,
        kind=kind,
        code=code,
        named=named_by(draft.texts, kind, code),
        rules=rules_naming(draft.texts, code),
        problem=problem,
        filled={"late": overtaken},
        by=typed_name() or remembered_name(),
    )
    return make_response(page, status)


def _there(kind: str, code: str) -> Draft:
    draft = draft_here()
    if kind not in KIND_WORDS or values_in(draft.texts, kind, code) is None:
        abort(404)
    return draft
