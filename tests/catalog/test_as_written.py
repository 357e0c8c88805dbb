"""What files say differently can be told while they are wrong, and is the same once they are right."""

from __future__ import annotations

import pytest

from buildsheet.catalog.amending.amend import amended
from buildsheet.catalog.amending.edits import DropPart, DropRule, Edit, PutHouse, PutPart, PutRule
from buildsheet.catalog.as_written import differences_as_written
from buildsheet.catalog.differences import Differences, FieldChange, differences
from buildsheet.catalog.reading import read_catalog
from tests.catalog.demo_texts import demo_edition, demo_texts

EDITS: tuple[Edit, ...] = (
    PutPart("OR33D", values={"name": "x", "section.radius_mm": 303.0, "holes": [20, 24]}),
    DropPart("FROST-S-L"),
    PutHouse("pair.spare_nipples", 3),
    PutHouse("edition", 17),
    PutRule("one-nipple-colour", {"severity": "note"}),
    DropRule("salt-on-brake-tracks"),
)


def test_sound_files_differ_as_their_editions_do():
    edits = [each for each in EDITS if not isinstance(each, PutPart)]
    texts, faults = amended(demo_texts(), [*edits, PutPart("OR33D", values={"name": "x"})])
    edition, findings = read_catalog(texts)
    assert not faults
    assert edition is not None, findings
    assert in_short(differences_as_written(demo_texts(), texts)) == in_short(
        differences(demo_edition(), edition)
    )


def in_short(found: Differences) -> list[object]:
    """Without the fields of what came or went: usual values are not written down."""
    return [
        *((each.code, each.what, each.what == "changed" and each.fields) for each in found.parts),
        *found.house,
        *((each.id, each.what, each.what == "changed" and each.fields) for each in found.rules),
    ]


@pytest.mark.parametrize(
    "values", [{"seat_diameter_mm": 57.36}, {"brake": ["disc"]}, {"x": {"y": 1}}]
)
def test_faulty_files_say_what_was_typed(values: dict[str, object]):
    texts, _ = amended(demo_texts(), (PutPart("OR33D", values=values),))  # type: ignore[arg-type]
    assert read_catalog(texts)[0] is None
    (part,) = differences_as_written(demo_texts(), texts).parts
    assert (part.code, part.what, len(part.fields)) == ("OR33D", "changed", 1)


def test_a_file_that_is_no_toml_says_nothing():
    texts = {**demo_texts(), "parts/washers.toml": "[W05\n"}
    (part,) = differences_as_written(demo_texts(), texts).parts
    assert (part.kind, part.what) == ("washers", "dropped")


def test_what_no_catalog_holds_is_shown_in_words():
    texts = {**demo_texts()}
    texts["parts/washers.toml"] = texts["parts/washers.toml"].replace("= 0.5", "= nan")
    found = differences_as_written(demo_texts(), texts)
    assert FieldChange("thickness_mm", 0.5, "nan") in [
        f for each in found.parts for f in each.fields
    ]
