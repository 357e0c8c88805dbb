"""The product manager's desk as pages: reading the catalog, drafting, publishing, choosing.

``parts``    parts of the running edition     ``form``   the generated form of a part kind
"""

from __future__ import annotations

from flask import Blueprint

from buildsheet.web.pages.catalog import (
    draft_pages,
    drawing,
    editions,
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
    drawing,
    draft_pages,
    part_forms,
    publishing,
    rule_pages,
    rule_forms,
    said,
)


def add_routes(blueprint: Blueprint) -> None:
    """The routes of every file here."""
    for section in SECTIONS:
        section.add_routes(blueprint)
