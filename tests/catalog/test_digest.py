"""Two editions with the same digest say the same, and two that say the same have the same digest."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.catalog.digest import canonical
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.reading import read_catalog
from tests.catalog.demo_texts import HOUSE, RIMS, changed, demo_edition, demo_texts, parsed, written


def edition_of(texts: dict[str, str]) -> Edition:
    edition, faults = read_catalog(texts)
    assert edition is not None, faults
    return edition


def test_a_digest_names_its_kind() -> None:
    kind, _, figures = demo_edition().digest.partition(":")
    assert (kind, len(figures)) == ("sha256", 64)


def test_comments_and_blank_lines_do_not_count() -> None:
    texts = {
        file: "# another hand\n\n" + text.replace("\n", "  # note\n", 1)
        for file, text in demo_texts().items()
    }
    assert edition_of(texts) == demo_edition()


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10**6))
def test_the_order_of_tables_and_keys_does_not_count(seed: int) -> None:
    chance = Random(seed)
    texts = {}
    for file in demo_texts():
        tables = [
            (
                name,
                dict(chance.sample([*table.items()], len(table)))
                if isinstance(table, dict)
                else chance.sample(table, len(table))
                if name == "rule"
                else table,
            )
            for name, table in parsed(file).items()
        ]
        chance.shuffle(tables)
        texts[file] = written(dict(tables))
    edition = edition_of(texts)
    assert edition.digest == demo_edition().digest
    assert [*edition.decals] == [*demo_edition().decals], "one digest, one order"


@pytest.mark.parametrize(
    ("file", "table", "old", "new"),
    [
        (RIMS, "OR33D", "spoke_limit_n = 1250.0", "spoke_limit_n = 1200.0"),
        (RIMS, "OR33D", "mass_g = 395.0", "mass_g = 395.5"),
        (RIMS, "OR33D", 'name = "Ondrel 33 D"', 'name = "Ondrel 33 d"'),
        (RIMS, "OR33D", "brake =", 'state = "draft"\nbrake ='),
        (HOUSE, "", "edition = 16", "edition = 17"),
        (HOUSE, "tension", "limit_share = 0.92", "limit_share = 0.91"),
        (HOUSE, "markets.PL", '"M7"', '"M8"'),
    ],
    ids=["limit", "mass", "name", "state", "number", "house figure", "market"],
)
def test_whatever_an_edition_says_changes_its_digest(
    file: str, table: str, old: str, new: str
) -> None:
    assert edition_of(changed(file, table, old, new)).digest != demo_edition().digest


def test_a_whole_number_and_the_same_with_a_point_are_one_number() -> None:
    texts = changed(RIMS, "OR33D", "depth_mm = 33.0", "depth_mm = 33")
    assert edition_of(texts).digest == demo_edition().digest


def test_a_default_left_out_and_the_same_written_are_one_statement() -> None:
    texts = changed(RIMS, "OR33D", "brake =", 'state = "active"\nbed_offset_mm = 0.0\nbrake =')
    assert edition_of(texts).digest == demo_edition().digest


def test_only_what_a_catalog_can_hold_has_a_canonical_text() -> None:
    with pytest.raises(TypeError, match="a catalog holds no set"):
        canonical({1, 2})
