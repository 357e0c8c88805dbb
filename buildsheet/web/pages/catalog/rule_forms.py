"""A rule in the draft: a new one or one that is there; looked at, saved, taken out."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from flask import Blueprint, abort, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.desk.draft import Draft, EditRefused, StaleDraft, drop_rule, put_rule
from buildsheet.actions.desk.part_in_draft import texts_of_version
from buildsheet.actions.desk.people import NoName
from buildsheet.actions.desk.rule_in_draft import look_at_rule, rules_in_draft
from buildsheet.actions.desk.show_rules import facts_of
from buildsheet.catalog.allowed import allowed_at
from buildsheet.catalog.rules.rule import Rule
from buildsheet.findings import Finding
from buildsheet.web.pages.catalog.draft_here import draft_here
from buildsheet.web.pages.catalog.form.rule_fields import FIELDS, GROUPS, rule_texts, rule_typed
from buildsheet.web.pages.catalog.form.typed import Texts
from buildsheet.web.pages.catalog.marks import Marks, marks
from buildsheet.web.pages.catalog.names import NO_NAME, remember, remembered_name, typed_name
from buildsheet.web.pages.catalog.overtaken import Late, late, reconciled
from buildsheet.web.pages.catalog.place import members
from buildsheet.web.pages.catalog.rule_pages import SCOPES
from buildsheet.web.pages.whole_number import whole_number
from buildsheet.web.workshop_here import workshop_here

UNNAMED = "new-rule"
"""What a rule is called while it is looked at without an id."""


@dataclass(frozen=True, slots=True)
class Filled:
    """A form of a rule, filled in. ``unread`` key -> why its text is no value."""

    draft: Draft
    id: str
    is_new: bool
    texts: Texts
    values: Mapping[str, Any]
    version: int
    unread: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[str, ...] = ()
    late: Late | None = None
    looked: bool = False


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/draft/rules")(draft_rules)
    blueprint.get("/catalog/draft/rules/_new")(new_rule_form)
    blueprint.post("/catalog/draft/rules/_new")(new_rule_posted)
    blueprint.get("/catalog/draft/rules/<name>")(rule_form)
    blueprint.post("/catalog/draft/rules/<name>")(rule_posted)
    blueprint.get("/catalog/draft/rules/<name>/drop")(drop_rule_form)
    blueprint.post("/catalog/draft/rules/<name>/drop")(drop_rule_posted)


def draft_rules() -> str:
    """The draft's rules."""
    draft = draft_here()
    return render_template(
        "catalog/draft_rules.html", draft=draft, rules=rules_in_draft(draft.texts)
    )


def new_rule_form() -> AnyResponse:
    """An empty form."""
    draft = draft_here()
    return _page(Filled(draft, "", True, {}, {}, draft.version))


def rule_form(name: str) -> AnyResponse:
    """A rule of the draft, to be changed."""
    draft = draft_here()
    there = rules_in_draft(draft.texts).get(name)
    if there is None:
        abort(404)
    texts = rule_texts(there.values)
    return _page(Filled(draft, name, False, texts, there.values, draft.version))


def new_rule_posted() -> AnyResponse:
    """A new rule looked at or saved."""
    return _posted(request.form.get("_code", "").strip()[:80], is_new=True)


def rule_posted(name: str) -> AnyResponse:
    """A rule of the draft looked at or saved."""
    return _posted(name, is_new=False)


def _posted(name: str, *, is_new: bool) -> AnyResponse:
    draft = draft_here()
    there = rules_in_draft(draft.texts).get(name)
    if not is_new and there is None:
        abort(404)
    texts: Texts = dict(request.form.lists())
    read = rule_typed(texts)
    version = request.form.get("_version", 0, type=whole_number)
    filled = Filled(draft, name, is_new, texts, read.values, version, unread=read.unread)
    if request.form.get("_deed") != "save":
        return _page(replace(filled, looked=True))
    filled = replace(filled, problems=tuple(_in_the_way(filled)))
    if filled.problems:
        return _page(filled, 422)
    try:
        put_rule(workshop_here(), name, read.values, version=version, by=typed_name())
    except StaleDraft as stale:
        # The page carries the version that is there now: who saves again has seen what clashes.
        return _page(_overtaken(filled, stale), 409)
    except EditRefused as refused:
        return _page(replace(filled, problems=tuple(each.says for each in refused.findings)), 422)
    done = redirect(url_for("pages.rule_form", name=name, saved="yes"), 303)
    return remember(done, typed_name())


def _overtaken(filled: Filled, stale: StaleDraft) -> Filled:
    """The form on the draft as it is now, with everything that was typed."""
    draft = draft_here()
    shown = _values(texts_of_version(workshop_here(), stale.version), filled.id)
    there = _values(draft.texts, filled.id)
    met = reconciled(stale, FIELDS, shown, there, filled.values)
    return replace(
        filled,
        draft=draft,
        version=draft.version,
        texts=rule_texts(met.values),
        values=met.values,
        late=met.late,
    )


def _values(texts: Mapping[str, str], name: str) -> Mapping[str, Any]:
    """A rule's values as its form would send them back unchanged; empty where it is not there."""
    there = rules_in_draft(texts).get(name)
    return rule_typed(rule_texts(there.values)).values if there else {}


def _in_the_way(filled: Filled) -> list[str]:
    problems = [] if typed_name() else [NO_NAME]
    if filled.unread:
        problems.append("A text stands where a value should: see the fields that are marked.")
    problems.extend(_id_problems(filled))
    return problems


def _id_problems(filled: Filled) -> list[str]:
    if not filled.is_new:
        return []
    if not filled.id:
        return ["The id is missing."]
    form = allowed_at(Rule, ("id",))
    if not re.fullmatch(form["pattern"], filled.id) or len(filled.id) > form["maxLength"]:
        return [f"The id must be in {form['description']}."]
    if filled.id in rules_in_draft(filled.draft.texts):
        return [f"{filled.id} is in the draft already: open it there, or choose another id."]
    return []


def _page(filled: Filled, status: int = 200) -> AnyResponse:
    name = filled.id or UNNAMED
    is_empty = filled.is_new and not filled.looked and not filled.problems
    found = () if is_empty else _found(filled, name)
    page = render_template(
        "catalog/rule_form.html",
        filled=filled,
        draft=filled.draft,
        groups=GROUPS,
        found=found,
        bad=_bad(filled, found, name),
        carets=_carets(found),
        facts={scope: facts_of(scope) for scope in SCOPES},
        id_form=allowed_at(Rule, ("id",))["description"],
        saved=request.method == "GET" and "saved" in request.args,
        by=typed_name() or remembered_name(),
    )
    return make_response(page, status)


def _found(filled: Filled, name: str) -> tuple[Finding, ...]:
    """What is wrong with the rule; a key that could not be read is not also missing."""
    found = look_at_rule(filled.draft.texts, name, filled.values)
    return tuple(each for each in found if members(each.at)[-1] not in filled.unread)


def _bad(filled: Filled, found: tuple[Finding, ...], name: str) -> Marks:
    bad = marks(found, FIELDS, name)
    bad.update({key: [said] for key, said in filled.unread.items()})
    if filled.problems and _id_problems(filled):
        bad["_code"] = _id_problems(filled)
    return bad


def _carets(found: tuple[Finding, ...]) -> dict[str, list[str]]:
    """Key of an expression -> its lines with a caret under each trouble."""
    carets: dict[str, list[str]] = {}
    for finding in found:
        marked = finding.have.get("caret")
        if isinstance(marked, str):
            carets.setdefault(members(finding.at)[-1], []).append(marked)
    return carets


def drop_rule_form(name: str) -> AnyResponse:
    """Asks whether a rule is meant to be taken out."""
    return _drop_page(name)


def drop_rule_posted(name: str) -> AnyResponse:
    """The rule taken out of the draft."""
    version = request.form.get("_version", 0, type=whole_number)
    try:
        drop_rule(workshop_here(), name, version=version, by=typed_name())
    except NoName:
        return _drop_page(name, problem=NO_NAME, status=422)
    except StaleDraft as stale:
        return _drop_page(name, overtaken=late(stale), status=409)
    except EditRefused:
        abort(404)
    return remember(redirect(url_for("pages.draft_rules"), 303), typed_name())


def _drop_page(
    name: str, problem: str = "", overtaken: Late | None = None, status: int = 200
) -> AnyResponse:
    draft = draft_here()
    if name not in rules_in_draft(draft.texts):
        abort(404)
    page = render_template(
        "catalog/drop_rule.html",
        draft=draft,
        name=name,
        problem=problem,
        filled={"late": overtaken},
        by=typed_name() or remembered_name(),
    )
    return make_response(page, status)
