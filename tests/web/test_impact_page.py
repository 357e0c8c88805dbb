"""The impact and the lengths on pages say what is counted, and a faulty draft is not counted."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.desk.draft import begin, put_part, put_rule
from buildsheet.actions.desk.impact import draft_impact
from buildsheet.actions.desk.part_in_draft import values_in
from buildsheet.actions.desk.show_lengths import known_lengths
from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.editions import running_edition
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Value
from buildsheet.web.pages.catalog.said import grouped
from tests.workshops import example, raw

ANNA = "A. Example"


@pytest.fixture
def draft(workshop: Workshop) -> Draft:
    """A draft that lowers a limit and takes a drilling away, beside an open order."""
    took = take_order(workshop, raw(example("D-1001")))
    assert took.outcome == "taken"
    begun = begin(workshop, ANNA)
    rim = values_in(begun.texts, "rims", "OR33D")
    hub = values_in(begun.texts, "hubs", "KR1")
    assert rim is not None
    assert hub is not None
    rim |= {"spoke_limit_n": 1200.0}
    changed = put_part(workshop, "rims", "OR33D", rim, version=begun.version, by=ANNA)
    hub |= {"holes": [24]}
    return put_part(workshop, "hubs", "KR1", hub, version=changed.version, by=ANNA)


def test_the_impact_page_says_what_is_counted(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    found = draft_impact(workshop).impact
    assert found is not None
    page = client.get("/catalog/draft/impact").text
    counts = found.configurations
    for count in (counts.old, counts.new, counts.disappear, counts.change):
        assert f'<td class="number">{grouped(count)}</td>' in page
    assert len(found.orders) == 1
    assert "D-1001 of shop-a" in page
    assert f'<strong class="flag">{found.orders[0].proposal}</strong>' in page
    # The bars are on one scale: the longest is the largest count.
    widths = [float(each) for each in re.findall(r'<rect width="([0-9.]+)" height="6"', page)]
    assert max(widths) == 100.0
    assert all(0.0 <= each <= 100.0 for each in widths)
    assert "limit, N: 1250 → <strong>1200</strong>" in page


def test_what_a_wheel_no_longer_carries_is_told(client: FlaskClient, workshop: Workshop):
    begun = begin(workshop, ANNA)
    hub = values_in(begun.texts, "hubs", "KF2")
    assert hub is not None
    hub |= {"system_limit_kg": 80.0}
    put_part(workshop, "hubs", "KF2", hub, version=begun.version, by=ANNA)
    page = client.get("/catalog/draft/impact").text
    assert "would alter nothing" not in page
    assert "→ <strong>80</strong>" in page
    assert "What it carries" in page


def test_an_untouched_draft_alters_nothing(client: FlaskClient, workshop: Workshop):
    begin(workshop, ANNA)
    assert "would alter nothing" in client.get("/catalog/draft/impact").text


def test_a_faulty_draft_is_not_counted(client: FlaskClient, workshop: Workshop, draft: Draft):
    rim = values_in(draft.texts, "rims", "OR33D")
    assert rim is not None
    put_part(
        workshop,
        "rims",
        "OR33D",
        {**rim, "seat_diameter_mm": 57.36},
        version=draft.version,
        by=ANNA,
    )
    assert "counted when none is left" in client.get("/catalog/draft/impact").text
    assert "planned when none is left" in client.get("/catalog/lengths?of=draft").text


def test_the_lengths_page_says_what_is_planned(client: FlaskClient, workshop: Workshop):
    lengths = known_lengths(running_edition(workshop))
    page = client.get("/catalog/lengths").text
    for spoke, plan in lengths.plan.types.items():
        assert f"<strong>{len(plan.lengths)}</strong> lengths of {spoke}" in page
        section = page[page.index(f'<h2 id="{spoke}">') :].partition("</section>")[0]
        beside = lengths.shelves[spoke]
        dead = " ".join(str(each) for each in beside.dead_mm)
        assert f"<strong>Stock none of {len(beside.dead_mm)}:</strong> {dead} mm" in section
        useful = sorted({*beside.stocked_mm} - {*beside.dead_mm})
        assert f"The list could run from {useful[0]} to {useful[-1]} mm." in section
        assert ("run out:</strong>" in section) is bool(beside.spare_mm)
        assert "List and stock" not in section, "nothing is planned beyond the list"
    assert page.count("<svg xmlns") == len(lengths.plan.types)


def test_the_lengths_page_says_what_is_held_against_what(client: FlaskClient):
    page = client.get("/catalog/lengths").text
    assert "<strong>The plan:</strong> the fewest lengths" in page
    assert "<strong>The list:</strong> the lengths that edition 16 lists a type with" in page
    assert "What lies on the shelves today is not looked at" in page
    for picture in re.findall(r"<svg xmlns.*?</svg>", page, re.DOTALL):
        assert "listed" in picture
        assert "shelf" not in picture


def test_the_lengths_of_a_draft_stand_beside_those_in_force(
    client: FlaskClient, workshop: Workshop, draft: Draft
):
    page = client.get("/catalog/lengths?of=draft").text
    assert "for draft 17" in page
    assert "New with the draft, mm" in page


def test_the_dead_spoke_is_named_where_somebody_looks_for_it(client: FlaskClient):
    page = client.get("/catalog/idle").text
    assert "SJB12</a>, spoke type: offered, and no buildable wheel takes it" in page


def test_rules_that_contradict_each_other_are_told_before_they_are_published(
    client: FlaskClient, workshop: Workshop
):
    draft = begin(workshop, ANNA)
    rule = {
        "scope": "wheel",
        "severity": "block",
        "at": "holes",
        "says": "No.",
        "reason": "A test.",
        "source": "proposal",
        "owner": "engineering",
        "when": 'rim.code == "OR30G" && wheel.position == "front"',
    }
    few: list[Value] = [{"rim": "OR30G", "holes": 28, "wheel.position": "front"}]
    many: list[Value] = [{"rim": "OR30G", "holes": 32, "wheel.position": "front"}]
    for name, needs, accepts, refuses in (
        ("few-holes", "wheel.holes <= 28", few, many),
        ("many-holes", "wheel.holes >= 32", many, few),
    ):
        values: dict[str, Value] = {**rule, "needs": needs, "accepts": accepts, "refuses": refuses}
        draft = put_rule(workshop, name, values, version=draft.version, by=ANNA)
    assert draft.findings == ()
    page = client.get("/catalog/draft/impact").text
    assert "few-holes and many-holes together leave no front wheel with OR30G" in page
