"""A copy of a part says the same, but for what was proved for the original alone."""

from __future__ import annotations

import pytest

from buildsheet.catalog.clone import Differing, as_values, clone, differing, named_beside
from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.evidence import unproved
from buildsheet.catalog.parts import Part, Rim
from buildsheet.catalog.reading import read_catalog
from tests.catalog.demo_texts import RIMS, demo_edition, demo_texts, the_fault, written

DEMO = demo_edition()
PARTS = [part for kind in KINDS for part in getattr(DEMO, kind).values()]


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.code)
def test_a_copy_reads_back_as_the_part_without_its_proof(part: Part):
    values, left_behind = clone(part, "NEW-1")
    copy = type(part).model_validate({"code": "NEW-1", **values}, strict=False)
    assert (copy.code, copy.state) == ("NEW-1", "draft")
    kept = {each.key for each in differing(part, values)}
    assert kept <= {"name", "state", *left_behind, *_alternatives(left_behind)}
    assert getattr(copy, "evidence", None) is None


def _alternatives(left_behind: tuple[str, ...]) -> set[str]:
    return {each for each in left_behind if each.startswith("evidence.")}


def test_what_is_left_behind_is_exactly_what_publishing_will_ask_for():
    for part in PARTS:
        values, left_behind = clone(part, "NEW-1")
        copy = type(part).model_validate(
            {"code": "NEW-1", **values, "state": "active"}, strict=False
        )
        asked = [each.at.split("/NEW-1/")[1].replace("/", ".") for each in unproved(copy)]
        assert asked == [*left_behind]


def test_a_copied_rim_keeps_its_dimensions_and_leaves_its_reports():
    values, left_behind = clone(DEMO.rims["OR45D"], "OR50D")
    assert left_behind == (
        "evidence.spoke_limit_n",
        "evidence.max_spoke_section_mm2",
        "evidence.use_classes",
        "evidence.system_limits",
        "evidence.pressure_limits",
        "seat_measured_mm",
    )
    assert values["seat_diameter_mm"] == 549.6
    assert values["name"] == "Ondrel 45 D OR50D"


def test_what_was_typed_over_in_a_copy_is_named():
    rim = DEMO.rims["OR45D"]
    values = {**clone(rim, "OR50D", "Ondrel 50 D").values, "depth_mm": 50.0}
    values["section"] = {**values["section"], "radius_mm": 294.0}
    found = differing(rim, values)
    assert Differing("depth_mm", 45.0, 50.0) in found
    assert Differing("section.radius_mm", 296.8, 294.0) in found
    assert Differing("state", "active", "draft") in found
    assert Differing("evidence.use_classes", "release RL-OR45D-1, 2030", None) in found


def test_a_part_with_a_long_name_leaves_room_for_the_code():
    rim = DEMO.rims["OR45D"].model_copy(update={"name": "N" * 60})
    name = clone(rim, "OR50D").values["name"]
    assert (len(name), name[-5:]) == (60, "OR50D")


def test_centimetres_typed_into_a_copy_are_caught_where_it_is_read():
    values = {**clone(DEMO.rims["OR45D"], "OR50D").values, "seat_diameter_mm": 53.96}
    fault = the_fault({**demo_texts(), RIMS: demo_texts()[RIMS] + written({"OR50D": values})})
    assert fault.at == "/parts/rims.toml/OR50D/seat_diameter_mm"
    assert fault.says.endswith("Centimetres? Try 539.6.")


def test_a_draft_without_proof_is_readable():
    values = clone(DEMO.rims["OR45D"], "OR50D").values
    edition, faults = read_catalog(
        {**demo_texts(), RIMS: demo_texts()[RIMS] + written({"OR50D": values})}
    )
    assert edition is not None, faults
    assert isinstance(edition.rims["OR50D"], Rim)
    assert as_values(edition.rims["OR50D"]) == as_values(
        Rim.model_validate({"code": "OR50D", **values}, strict=False)
    )


def test_what_names_the_original_is_listed():
    assert named_beside(DEMO.hubs["KF3"], DEMO) == ("C12-100", "C15-100")
    assert "NA12" in named_beside(DEMO.rims["OR30G"], DEMO)
    assert "OR30G-24F-X" in named_beside(DEMO.rims["OR30G"], DEMO)
    assert named_beside(DEMO.nipples["NB12"], DEMO) == ()
