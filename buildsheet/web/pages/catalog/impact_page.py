"""What publishing the draft would do: counts as pictures first, lists below."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, render_template

from buildsheet.actions.desk.impact import draft_impact
from buildsheet.space.impact.impact import Impact
from buildsheet.web.pages.catalog.draft_here import draft_here
from buildsheet.web.workshop_here import workshop_here

MOST_ORDERS: Final = 50
"""Orders on the page; the command line and the API list them all."""

GROUP_WORDS: Final = {
    "length": "Spoke length",
    "stock_length": "Stock length",
    "tension": "Tension",
    "stop": "Stop value",
    "limit": "Limit",
    "mass": "Mass",
    "program": "Drilling program",
    "carries": "What it carries",
    "classes": "Classes of use",
    "tyres": "Tyres and pressures",
}
FIGURE_WORDS: Final = {
    "left_target_mm": "left length, mm",
    "right_target_mm": "right length, mm",
    "left_stock_mm": "left stock length, mm",
    "right_stock_mm": "right stock length, mm",
    "left_n": "left tension, N",
    "right_n": "right tension, N",
    "stop_n": "no spoke above, N",
    "limit_n": "lowest maker's limit, N",
    "mass_g": "mass, g",
    "program": "drilling program",
}
RELEASE_WORDS: Final = {
    "system_kg": "carries, kg of rider, bicycle and luggage",
    "use_classes": "classes of use",
    "tyres": "tyres, narrowest and widest mm, then width mm and bar",
}
"""What an example tells, where it changes."""

PROPOSALS: Final = ("keep", "re-issue", "hold", "cancel")


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/draft/impact")(impact_page)


def impact_page() -> str:
    """The impact of the draft, where it can be read without faults."""
    draft = draft_here()
    found = draft_impact(workshop_here()).impact
    return render_template(
        "catalog/impact.html",
        draft=draft,
        impact=found,
        groups=_groups(found),
        proposals=_proposals(found),
        most=MOST_ORDERS,
        figure_words=FIGURE_WORDS,
        release_words=RELEASE_WORDS,
    )


def _groups(found: Impact | None) -> list[tuple[str, int]]:
    by_group = found.configurations.by_group if found else {}
    return [(words, by_group.get(group, 0)) for group, words in GROUP_WORDS.items()]


def _proposals(found: Impact | None) -> list[tuple[str, int]]:
    if found is None:
        return []
    counts = {each: sum(one.proposal == each for one in found.orders) for each in PROPOSALS}
    untouched = found.open_orders - len(found.orders)
    return [("Not touched", untouched), *((each.capitalize(), counts[each]) for each in PROPOSALS)]
