"""The form of a part kind holds every key of its model, and gives back what was put in."""

from __future__ import annotations

import json

import pytest

from buildsheet.actions.catalog_files import demo_directory, read_directory
from buildsheet.actions.desk.show_catalog import part_values, parts_of
from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.web.pages.catalog.form.fields import fields_of
from buildsheet.web.pages.catalog.form.groups import groups_of
from buildsheet.web.pages.catalog.form.typed import typed
from buildsheet.web.pages.catalog.form.written import written


@pytest.fixture(scope="module")
def edition() -> Edition:
    found, findings = read_directory(demo_directory())
    assert found is not None, findings
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_of_a_kind_has_one_field_in_one_group(kind: str):
    shown = [field.key for group in groups_of(kind) for field in group.fields]
    assert sorted(shown) == sorted(field.key for field in fields_of(kind))
    assert {key.split(".")[0] for key in shown} == set(KINDS[kind].model_fields) - {"code"}
    assert len(set(shown)) == len(shown)


@pytest.mark.parametrize("kind", KINDS)
def test_what_the_form_shows_of_a_part_is_read_back_as_it_was(kind: str, edition: Edition):
    for code in parts_of(edition, kind):
        values = part_values(edition, kind, code)
        read = typed(fields_of(kind), written(fields_of(kind), values))
        assert read.unread == {}
        assert read.values == values
        model = KINDS[kind].model_validate_json(json.dumps({"code": code, **read.values}))
        assert model == parts_of(edition, kind)[code]


@pytest.mark.parametrize(
    ("text", "value"),
    [("573.6", 573.6), ("573,6", 573.6), (" 1.35e7 ", 13_500_000.0), ("-0,2", -0.2), ("", None)],
)
def test_a_number_is_read_with_a_point_or_a_comma(text: str, value: float | None):
    assert _rim(seat_diameter_mm=text).get("seat_diameter_mm") == value


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1.250,5", "a point and a comma"),
        ("573.6 mm", "no number"),
        ("about 570", "no number"),
        ("0x10", "no number"),
        ("nan", "no number"),
    ],
)
def test_what_is_no_number_is_said_and_kept_as_it_was_typed(text: str, says: str):
    read = typed(fields_of("rims"), {"seat_diameter_mm": [text]})
    assert says in read.unread["seat_diameter_mm"]
    assert read.values["seat_diameter_mm"] == text


def test_lists_are_read_by_what_is_in_them():
    read = _rim(holes="20, 24 28", seat_measured_mm="573,5 573,7", drillings="")
    assert read["holes"] == [20, 24, 28]
    assert read["seat_measured_mm"] == [573.5, 573.7]
    assert "drillings" not in read
    assert typed(fields_of("nipples"), {"colours": ["matt black, silver"]}).values == {
        "colours": ["matt black", "silver"]
    }


def test_an_empty_row_is_no_row_and_an_empty_cell_is_not_there():
    read = typed(
        fields_of("rims"),
        {
            "system_limits.0.holes": ["24"],
            "system_limits.0.front_kg": ["105"],
            "system_limits.1.holes": [""],
            "system_limits.2.holes": ["28"],
            "system_limits.2.rear_kg": ["115,5"],
        },
    )
    assert read.values["system_limits"] == [
        {"holes": 24, "front_kg": 105.0},
        {"holes": 28, "rear_kg": 115.5},
    ]


def _rim(**texts: str) -> dict[str, object]:
    return typed(fields_of("rims"), {key: [text] for key, text in texts.items()}).values
