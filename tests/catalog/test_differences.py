"""What two editions say differently, and which of it needs a second person."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from buildsheet.catalog.amending.amend import amended
from buildsheet.catalog.amending.edits import (
    DropPart,
    DropRule,
    Edit,
    PutHouse,
    PutPart,
    PutRule,
)
from buildsheet.catalog.differences import Differences, FieldChange, differences
from buildsheet.catalog.reading import read_catalog
from buildsheet.catalog.second_person import needs_second_person
from tests.catalog.demo_texts import demo_edition, demo_texts


def after(*edits: Edit) -> Differences:
    texts, faults = amended(demo_texts(), edits)
    assert not faults
    edition, findings = read_catalog(texts)
    assert edition is not None, findings
    return differences(demo_edition(), edition)


def test_an_edition_differs_from_itself_in_nothing():
    found = differences(demo_edition(), demo_edition())
    assert not found
    assert found == Differences((), (), ())


def test_number_and_start_are_no_difference():
    assert not after(PutHouse("edition", 17), PutHouse("starts", "2031-05-01T06:00:00+02:00"))


def test_a_changed_figure_is_one_field_of_one_part():
    (part,) = after(PutPart("OR33D", values={"section.radius_mm": 303.0})).parts
    assert (part.kind, part.code, part.what) == ("rims", "OR33D", "changed")
    assert part.fields == (FieldChange("section.radius_mm", 302.0, 303.0),)


def test_what_comes_back_is_what_went():
    edits = (PutPart("OR33D", values={"valve_hole_mm": None}), DropPart("FROST-S-L"))
    there = after(*edits)
    edited, _ = amended(demo_texts(), edits)
    edition, _ = read_catalog(edited)
    assert edition is not None
    back = differences(edition, demo_edition())
    assert [each.what for each in there.parts] == ["changed", "dropped"]
    assert [each.what for each in back.parts] == ["changed", "added"]
    for one, other in zip(there.parts, back.parts, strict=True):
        assert [(each.key, each.old, each.new) for each in one.fields] == [
            (each.key, each.new, each.old) for each in other.fields
        ]


def test_differences_come_in_the_order_of_kinds_and_codes():
    found = after(
        PutPart("NA12", values={"mass_g": 0.35}),
        PutPart("OR45D", values={"mass_g": 446.0}),
        PutPart("OR33D", values={"mass_g": 396.0}),
    )
    assert [each.code for each in found.parts] == ["OR33D", "OR45D", "NA12"]


NEEDED: list[tuple[Sequence[Edit], str]] = [
    ((PutPart("OR33D", values={"spoke_limit_n": 1200.0}),), "spoke_limit_n was 1250"),
    (
        (PutPart("OR33D", values={"spoke_limit_n": None, "evidence.spoke_limit_n": None}),),
        "is not said any more",
    ),
    ((PutPart("OR33D", values={"use_classes": [1]}),), "use_classes was 1, 2"),
    (
        (PutPart("NB12", values={"needs_washer": True, "excluded_rims": ["OR58D"]}),),
        "excluded_rims was an empty list",
    ),
    (
        (PutPart("OR33D", values={"pressure_limits": None, "evidence.pressure_limits": None}),),
        "pressure_limits was tyre_mm 28",
    ),
    ((PutPart("OR33D", values={"evidence.use_classes": "another"}),), "evidence.use_classes"),
    ((DropPart("P-OR33D-24-FRONT"),), "Drilling program"),
    ((PutHouse("tension.limit_share", 0.95),), "tension.limit_share was 0.92"),
    ((PutHouse("load.dynamic_factor", 1.5),), "load.dynamic_factor"),
    ((PutHouse("tyre.hookless_cap_bar", 6.0),), "tyre.hookless_cap_bar"),
    ((PutPart("OR50D", clone_of="OR45D", values={}),), "OR50D: spoke_limit_n is 1250"),
    ((DropRule("disc-hub-takes-160"),), "Rule disc-hub-takes-160"),
    ((PutRule("disc-hub-takes-160", {"severity": "note"}),), "Rule disc-hub-takes-160"),
    ((PutRule("disc-hub-takes-160", {"reason": "another"}),), "Rule disc-hub-takes-160"),
    ((PutRule("one-nipple-colour", {"severity": "block"}),), "Rule one-nipple-colour"),
]


@pytest.mark.parametrize(("edits", "says"), NEEDED, ids=lambda each: str(each)[:40])
def test_what_a_wheel_may_be_asked_to_bear_needs_a_second_person(edits: Sequence[Edit], says: str):
    program = next(iter(demo_edition().programs))
    edits = [DropPart(program) if isinstance(e, DropPart) else e for e in edits]
    assert any(says in sentence for sentence in needs_second_person(after(*edits)))


ALONE: list[Edit] = [
    PutPart("OR33D", values={"name": "Ondrel 33"}),
    PutPart("OR33D", values={"state": "no-new-orders"}),
    PutPart("PLUM-L-L", values={"state": "ended"}),
    PutHouse("sheet.lateral_mm", 0.25),
    PutHouse("pair.spare_nipples", 3),
    DropPart("FROST-S-L"),
    PutRule("one-nipple-colour", {"severity": "note"}),
    DropRule("one-nipple-colour"),
]


@pytest.mark.parametrize("edit", ALONE, ids=lambda each: str(each)[:50])
def test_what_cannot_break_a_wheel_needs_one(edit: Edit):
    found = after(edit)
    assert found
    assert needs_second_person(found) == ()
