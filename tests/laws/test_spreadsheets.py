"""Whatever a catalog says, its spreadsheet says too: out and back in, the digest is the same."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.actions.desk.export_table import book_of, write_table
from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.catalog.links import file_of
from buildsheet.catalog.parts import Part
from buildsheet.catalog.reading import read_catalog
from buildsheet.catalog.tables.comparing import compared
from buildsheet.catalog.tables.quoting import is_ditto, neutral, restored, retyped
from buildsheet.catalog.tables.reading import read_table
from buildsheet.catalog.tables.writing import sheet_of
from tests.catalog.demo_texts import demo_edition, demo_texts

BARE = {**demo_texts(), **dict.fromkeys((file_of(kind) for kind in KINDS), "")}


def parts_of(edition: Edition) -> dict[str, Mapping[str, Any]]:
    return {kind: getattr(edition, kind) for kind in KINDS}


def returned(edition: Edition) -> Mapping[str, str]:
    """The texts that an empty catalog gets from the edition's spreadsheet."""
    found = compared(BARE, read_table("parts.xlsx", write_table(edition)))
    assert [each.says for each in found.findings] == []
    return found.texts


def test_the_demo_comes_back_with_its_digest():
    edition, faults = read_catalog(returned(demo_edition()))
    assert edition is not None, faults
    assert edition.digest == demo_edition().digest


TRICKY = (
    *("=1+1", "+49", "-5", "@x", "'=1", "'", '"', '""', '"a"', "ditto", " x", "x ", "3-12", "007"),
    *("1E5", "_x0041_", "x005F_", "\ufffe", "\uffff", "\u00a0", "true", "none", "12.5", "#REF!"),
    *(
        "a;b",
        "<b>&amp;",
        "\u200b",
        "e\u0301",
        "\U0001f600",
        "\\u0041",
        '"\\u0041"',
        "Same as above",
    ),
)

# Letters that people type, and those that spreadsheets and their file format trip over.
WORDS = st.one_of(
    st.text(min_size=1, max_size=60).filter(
        lambda text: all(
            not (ord(each) < 32 or 127 <= ord(each) < 160 or 0xD800 <= ord(each) < 0xE000)
            for each in text
        )
    ),
    st.sampled_from(TRICKY),
)
CHANGES: dict[str, st.SearchStrategy[dict[str, Any]]] = {
    "rims": st.fixed_dictionaries(
        {"name": WORDS, "mass_g": st.floats(150.0, 3000.0)},
        optional={
            "use_classes": st.sampled_from([None, (), (1,), (3, 1)]),
            "state": st.sampled_from(["draft", "ended"]),
            "evidence": st.just(None),
            "system_limits": st.sampled_from([None, ()]),
        },
    ),
    "nipples": st.fixed_dictionaries(
        {
            "name": WORDS,
            "colours": st.lists(
                st.from_regex(r"[a-z][a-z -]{0,9}[a-z]", fullmatch=True), min_size=1, unique=True
            ).map(tuple),
            "excluded_rims": st.sampled_from([(), ("OR30G",), ("OR30G", "OR33D")]),
        }
    ),
    "drivers": st.fixed_dictionaries(
        {"name": WORDS, "spacer": st.one_of(WORDS, st.just("")), "mass_g": st.floats(0.01, 299.0)}
    ),
    "programs": st.fixed_dictionaries({"left_lateral_deg": st.floats(-5.0, 25.0)}),
}  # fmt: skip


def read_back(kind: str, part: Part) -> Part:
    """The part that a workbook with its row alone gives."""
    (row,) = read_table("parts.xlsx", book_of((sheet_of(kind, {part.code: part}),))).rows
    assert row.sound
    values: dict[str, Any] = {"code": row.code}
    for keys, value in row.values.items():
        if value is not None and len(keys) == 1:
            values[keys[0]] = value
        elif value is not None:
            values.setdefault(keys[0], {})[keys[1]] = value
    return KINDS[kind].model_validate(values, strict=False)


@settings(max_examples=60, deadline=None)
@given(st.data(), st.sampled_from(sorted(CHANGES)))
def test_a_changed_part_comes_back_as_it_was(data: st.DataObject, kind: str):
    parts = getattr(demo_edition(), kind)
    code = data.draw(st.sampled_from(sorted(parts)))
    altered = parts[code].model_dump() | data.draw(CHANGES[kind])
    part = KINDS[kind].model_validate(altered)
    assert read_back(kind, part) == part


@settings(max_examples=300)
@given(WORDS)
def test_no_text_leaves_as_a_formula_and_every_text_comes_back(text: str):
    cell = neutral(text)
    assert restored(cell) == text
    assert cell[0] not in "=+-@'\t\r"
    assert not is_ditto(cell)
    assert not retyped(cell)
    assert cell.isprintable()


def test_a_catalog_with_tricky_names_comes_back_with_its_digest():
    rims = {
        code: rim.model_copy(update={"name": name})
        for name, (code, rim) in zip(TRICKY, demo_edition().rims.items(), strict=False)
    }
    nipples = {
        code: nipple.model_copy(update={"colours": ("dark red", "black")})
        for code, nipple in demo_edition().nipples.items()
    }
    altered = replace(demo_edition(), rims=rims, nipples=nipples)
    edition, faults = read_catalog(returned(altered))
    assert edition is not None, faults
    assert parts_of(edition) == parts_of(altered)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_parts_to_come_back(kind: str):
    assert parts_of(demo_edition())[kind]
