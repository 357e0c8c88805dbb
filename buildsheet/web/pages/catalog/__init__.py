"""The product manager's desk as pages: reading the catalog, drafting, publishing, choosing.

``parts`` ``rule_pages`` ``editions``  what is in force, for reading
``house_pages``  house figures, in force and in the draft
``draft_pages``  the draft at a glance      ``part_forms`` ``rule_forms``  a part, a rule in the draft
``import_page``  a spreadsheet              ``publishing`` ``signing``     the draft becomes an edition
``impact_page``  what publishing it would do
``lengths_page`` spoke lengths to stock     ``drawing``    the picture beside a part's form
``choose_page`` ``picks``  what may still be chosen, step by step
``form``         the form of a part kind or a rule, made from its model
``draft_here`` ``overtaken``  the draft of this request; a form that comes too late
``place`` ``at_the_desk``  where a finding points, in the words of the forms
``marks`` ``names`` ``said``  findings at their fields; who types; words of the templates
"""

from __future__ import annotations

from flask import Blueprint

from buildsheet.actions.desk.draft import NoDraft
from buildsheet.web.pages.catalog import (
    choose_page,
    draft_here,
    draft_pages,
    drawing,
    editions,
    house_pages,
    impact_page,
    import_page,
    lengths_page,
    part_forms,
    parts,
    publishing,
    rule_forms,
    rule_pages,
    said,
)

SECTIONS = (
    parts,
    editions,
    rule_pages,
    house_pages,
    drawing,
    draft_pages,
    part_forms,
    rule_forms,
    import_page,
    publishing,
    impact_page,
    lengths_page,
    choose_page,
    said,
)


def add_routes(blueprint: Blueprint) -> None:
    """The routes of every file here, and what is said where the draft was closed meanwhile."""
    blueprint.register_error_handler(NoDraft, draft_here.draft_closed)
    for section in SECTIONS:
        section.add_routes(blueprint)
