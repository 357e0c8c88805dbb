"""A part in the draft: a new one, a copy, one that is there; looked at, then saved, or taken out."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from flask import Blueprint, abort, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.desk.draft import Draft, EditRefused, StaleDraft, put_part
from buildsheet.actions.desk.part_in_draft import (
    copy_of,
    differing_from,
    look_at_part,
    texts_of_version,
    values_in,
)
from buildsheet.actions.desk.show_rules import needed_keys
from buildsheet.catalog.allowed import allowed_at
from buildsheet.catalog.parts import Part
from buildsheet.web.pages.catalog.draft_here import draft_here
from buildsheet.web.pages.catalog.drawing import drawn_query
from buildsheet.web.pages.catalog.form.fields import fields_of
from buildsheet.web.pages.catalog.form.groups import groups_of
from buildsheet.web.pages.catalog.form.typed import Texts, typed, without_defaults
from buildsheet.web.pages.catalog.form.words import KIND_WORDS
from buildsheet.web.pages.catalog.form.written import written
from buildsheet.web.pages.catalog.marks import Marks, marks
from buildsheet.web.pages.catalog.names import NO_NAME, remember, remembered_name, typed_name
from buildsheet.web.pages.catalog.overtaken import Late, reconciled
from buildsheet.web.pages.whole_number import whole_number
from buildsheet.web.workshop_here import workshop_here


@dataclass(frozen=True, slots=True)
class Filled:
    """A form of a part, filled in. ``unread`` key -> why its text is no value."""

    draft: Draft
    kind: str
    code: str
    is_new: bool
    texts: Texts
    values: Mapping[str, Any]
    version: int
    like: str = ""
    left_behind: tuple[str, ...] = ()
    unread: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[str, ...] = ()
    late: Late | None = None
    looked: bool = False


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/draft/parts/<kind>/new")(new_part_form)
    blueprint.post("/catalog/draft/parts/<kind>/new")(new_part_posted)
    blueprint.get("/catalog/draft/parts/<kind>/<code>")(part_form)
    blueprint.post("/catalog/draft/parts/<kind>/<code>")(part_posted)


def new_part_form(kind: str) -> AnyResponse:
    """An empty form, or one filled with a copy of the part that ``like`` names."""
    draft = _draft_for(kind)
    like = request.args.get("like", "")
    filled = Filled(draft, kind, "", True, {}, {}, draft.version)
    if like:
        copied = copy_of(draft.texts, kind, like, "")
        if copied is None:
            abort(404)
        texts = written(fields_of(kind), {**copied.values, "name": ""})
        filled = replace(
            filled,
            texts=texts,
            values=copied.values,
            like=like,
            left_behind=copied.left_behind,
        )
    return _page(filled)


def part_form(kind: str, code: str) -> AnyResponse:
    """A part of the draft, to be changed."""
    draft = _draft_for(kind)
    values = values_in(draft.texts, kind, code)
    if values is None:
        abort(404)
    texts = written(fields_of(kind), {"state": "active", **values})
    return _page(Filled(draft, kind, code, False, texts, values, draft.version))


def new_part_posted(kind: str) -> AnyResponse:
    """A new part looked at or saved."""
    return _posted(kind, request.form.get("_code", "").strip()[:40], is_new=True)


def part_posted(kind: str, code: str) -> AnyResponse:
    """A part of the draft looked at or saved."""
    return _posted(kind, code, is_new=False)


def _posted(kind: str, code: str, *, is_new: bool) -> AnyResponse:
    draft = _draft_for(kind)
    there = values_in(draft.texts, kind, code)
    if not is_new and there is None:
        abort(404)
    texts: Texts = dict(request.form.lists())
    read = typed(fields_of(kind), texts)
    values = without_defaults(fields_of(kind), read.values, there or {})
    # Without the version it was made from, a form would go over what it never saw.
    version = request.form.get("_version", 0, type=whole_number)
    like = request.form.get("_like", "")[:40]
    filled = Filled(
        draft, kind, code, is_new, texts, values, version, like=like, unread=read.unread
    )
    if request.form.get("_deed") != "save":
        return _page(replace(filled, looked=True))
    filled = replace(filled, problems=tuple(_in_the_way(filled)))
    if filled.problems:
        return _page(filled, 422)
    try:
        put_part(workshop_here(), kind, code, values, version=version, by=typed_name())
    except StaleDraft as stale:
        # The page carries the version that is there now: who saves again has seen what clashes.
        return _page(_overtaken(filled, stale), 409)
    except EditRefused as refused:
        return _page(replace(filled, problems=tuple(each.says for each in refused.findings)), 422)
    done = redirect(url_for("pages.part_form", kind=kind, code=code, saved="yes"), 303)
    return remember(done, typed_name())


def _overtaken(filled: Filled, stale: StaleDraft) -> Filled:
    """The form on the draft as it is now, with everything that was typed."""
    draft, kind, code = draft_here(), filled.kind, filled.code
    shown = values_in(texts_of_version(workshop_here(), stale.version), kind, code) or {}
    there = values_in(draft.texts, kind, code) or {}
    fields = fields_of(kind)
    met = reconciled(stale, fields, shown, there, filled.values)
    texts = written(fields, {"state": "active", **met.values})
    return replace(
        filled,
        draft=draft,
        version=draft.version,
        texts=texts,
        values=met.values,
        late=met.late,
    )


def _in_the_way(filled: Filled) -> list[str]:
    """What keeps the form from being saved at all; faults of the part do not."""
    problems = [] if typed_name() else [NO_NAME]
    if filled.unread:
        problems.append("A text stands where a value should: see the fields that are marked.")
    problems.extend(_code_problems(filled))
    return problems


def _code_problems(filled: Filled) -> list[str]:
    if not filled.is_new:
        return []
    if not filled.code:
        return ["The code is missing."]
    form = allowed_at(Part, ("code",))
    if not re.fullmatch(form["pattern"], filled.code):
        return [f"The code must be {form['description']}."]
    if values_in(filled.draft.texts, filled.kind, filled.code) is not None:
        return [f"{filled.code} is in the draft already: open it there, or choose another code."]
    return []


def _draft_for(kind: str) -> Draft:
    if kind not in KIND_WORDS:
        abort(404)
    return draft_here()


def _page(filled: Filled, status: int = 200) -> AnyResponse:
    draft, kind, fields = filled.draft, filled.kind, fields_of(filled.kind)
    is_empty = filled.is_new and not filled.looked and not filled.problems
    found = () if is_empty else look_at_part(draft.texts, kind, filled.code or "NEW", filled.values)
    page = render_template(
        "catalog/part_form.html",
        filled=filled,
        draft=draft,
        kind=kind,
        groups=groups_of(kind),
        found=found,
        bad=_bad(filled, marks(found, fields, filled.code or "NEW")),
        differing=differing_from(draft.texts, kind, filled.like, filled.values)
        if filled.like and not is_empty
        else (),
        saved=request.method == "GET" and "saved" in request.args,
        drawn=drawn_query(kind, filled.texts),
        needed=needed_keys(draft.edition, kind) if draft.edition else {},
        code_form=allowed_at(Part, ("code",))["description"],
        by=typed_name() or remembered_name(),
    )
    return make_response(page, status)


def _bad(filled: Filled, marked: Marks) -> Marks:
    """What is said at each field: why it cannot be read, or else what the catalog's reading says."""
    bad = {key: said for key, said in marked.items() if key not in filled.unread}
    for name, said in filled.unread.items():
        bad.setdefault(name.split(".", 1)[0] if _is_row(name) else name, []).append(said)
    if filled.problems and _code_problems(filled):
        bad["_code"] = _code_problems(filled)
    return bad


def _is_row(name: str) -> bool:
    return any(part.isdigit() for part in name.split("."))
