"""The running edition and its parts, for reading."""

from __future__ import annotations

from flask import Blueprint, abort, render_template, request

from buildsheet.actions.desk.draft import the_draft
from buildsheet.actions.desk.impact_document import standing_document
from buildsheet.actions.desk.papers import list_editions
from buildsheet.actions.desk.show_catalog import (
    counted_by_kind,
    find_parts,
    part_values,
)
from buildsheet.actions.desk.show_rules import rules_reading
from buildsheet.actions.editions import running_edition
from buildsheet.web.pages.catalog.drawing import query_of_values
from buildsheet.web.pages.catalog.form.groups import groups_of
from buildsheet.web.pages.catalog.form.words import KIND_WORDS, STATE_WORDS
from buildsheet.web.pages.catalog.form.written import value_at
from buildsheet.web.workshop_here import workshop_here

LONGEST_SEARCH = 80


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog")(catalog_page)
    blueprint.get("/catalog/idle")(idle_page)
    blueprint.get("/catalog/parts")(parts_page)
    blueprint.get("/catalog/parts/<kind>/<code>")(part_page)


def catalog_page() -> str:
    """The running edition at a glance."""
    workshop = workshop_here()
    edition = running_edition(workshop)
    return render_template(
        "catalog/catalog.html",
        edition=edition,
        line=next(each for each in list_editions(workshop) if each.number == edition.number),
        has_draft=the_draft(workshop) is not None,
        counts=counted_by_kind(edition),
    )


def idle_page() -> str:
    """Parts and rules in force that do nothing, and parts that are an only choice."""
    edition = running_edition(workshop_here())
    return render_template(
        "catalog/idle.html",
        edition=edition,
        idle=standing_document(edition),
        linked=KIND_WORDS,
    )


def parts_page() -> str:
    """Parts by kind, code, name and state."""
    edition = running_edition(workshop_here())
    kind, state = request.args.get("kind", ""), request.args.get("state", "")
    words = request.args.get("q", "").strip()[:LONGEST_SEARCH]
    if kind not in ("", *KIND_WORDS) or state not in ("", *STATE_WORDS):
        abort(404)
    return render_template(
        "catalog/parts.html",
        edition=edition,
        found=find_parts(edition, kind=kind, words=words, state=state),
        kind=kind,
        state=state,
        words=words,
        kinds=KIND_WORDS,
        states=STATE_WORDS,
    )


def part_page(kind: str, code: str) -> str:
    """One part with its figures."""
    workshop = workshop_here()
    edition = running_edition(workshop)
    try:
        values = part_values(edition, kind, code)
    except KeyError:
        abort(404)
    return render_template(
        "catalog/part.html",
        edition=edition,
        kind=kind,
        code=code,
        values=values,
        groups=groups_of(kind),
        value_at=value_at,
        drawn=query_of_values(kind, values),
        reading=rules_reading(edition, kind),
        has_draft=the_draft(workshop) is not None,
    )
