"""The count is exact: it equals judging every wheel of a small edition one by one."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings

from buildsheet.catalog.edition import Edition
from buildsheet.orders.check import check_document
from buildsheet.space.count import count
from tests.orders.workshop import demo
from tests.space.random_orders import Document, altered
from tests.space.small_editions import (
    cut,
    decals,
    every_alteration,
    is_buildable,
    one_of_a_kind,
    order,
    small_editions,
    some_use_builds,
    uses,
    wheels,
)

POSITIONS = ("front", "rear")


def buildable_one_by_one(edition: Edition) -> dict[str, int]:
    """By rim: every wheel in every colour, asked of `check` under one use after another."""
    by_rim = dict.fromkeys(edition.rims, 0)
    grid = uses(edition)
    for position in POSITIONS:
        for wheel, colour in product(wheels(edition, position), decals(edition)):
            by_rim[wheel["rim"]] += some_use_builds(
                edition, grid, position, colour, **{position: wheel}
            )
    return by_rim


def sets_one_by_one(edition: Edition) -> int:
    """Every front wheel beside every rear one that each is buildable alone."""
    grid, sets = uses(edition), 0
    for colour in decals(edition):
        fronts, rears = (
            [
                wheel
                for wheel in wheels(edition, position)
                if some_use_builds(edition, grid, position, colour, **{position: wheel})
            ]
            for position in POSITIONS
        )
        sets += sum(
            some_use_builds(edition, grid, "set", colour, front=front, rear=rear)
            for front, rear in product(fronts, rears)
        )
    return sets


def test_one_of_a_kind_is_counted_as_it_is_judged():
    edition = one_of_a_kind()
    counted = count(edition)
    assert counted.by_rim == buildable_one_by_one(edition)
    assert counted.sets == sets_one_by_one(edition)
    assert counted.buildable > 0
    assert counted.sets > 0


@pytest.mark.parametrize(
    ("kind", "code", "attribute", "value"),
    [*every_alteration()],
    ids=["-".join(map(str, each)) for each in every_alteration()],
)
def test_whatever_is_altered_the_count_is_that_of_judging_one_by_one(
    kind: str, code: str, attribute: str, value: object
):
    edition = altered(one_of_a_kind(), kind, code, attribute, value)
    assert count(edition).by_rim == buildable_one_by_one(edition)


def test_enough_of_these_alterations_change_the_count():
    before = count(one_of_a_kind())
    some = [*every_alteration()][::4]
    changed = [count(altered(one_of_a_kind(), *each)) != before for each in some]
    assert sum(changed) > len(changed) / 3


@settings(max_examples=8)
@given(small_editions())
def test_a_small_edition_s_count_is_that_of_judging_one_by_one(edition: Edition):
    assert count(edition).by_rim == buildable_one_by_one(edition)


@settings(max_examples=4)
@given(small_editions(both=True))
def test_sets_share_one_use_and_one_colour(edition: Edition):
    assert count(edition).sets == sets_one_by_one(edition)


def test_judging_without_ways_out_is_what_check_says():
    edition = one_of_a_kind()
    grid = uses(edition)
    for number, wheel in enumerate(wheels(edition, "rear")):
        document: Document = order("rear", grid[number % len(grid)], "LAGOON", rear=wheel)
        assert is_buildable(document, edition) == check_document(document, edition).buildable


def test_combinations_are_the_product_of_the_lists():
    edition = one_of_a_kind()
    both = cut(edition, drivers=("B",))
    # patterns of 2 and 3 crossings or none; a washer or none; one of everything else
    patterns = len({2, 3}) ** 2
    assert count(both).combinations == 2 * patterns * 2
    assert count(altered(edition, "nipples", "NA12", "colours", ("black", "red"))).combinations == (
        2 * count(edition).combinations
    )


def test_a_part_that_is_not_open_spells_out_nothing():
    edition = altered(one_of_a_kind(), "rims", "OR33D", "state", "ended")
    assert count(edition).combinations == count(edition).buildable == 0


def test_a_tyre_between_two_rims_limits_is_found():
    """A window of widths that no rim's own figure names: the two ends are those of another rim."""
    edition = altered(one_of_a_kind(), "rims", "OR33D", "tyre_min_mm", 32.25)
    edition = altered(edition, "rims", "OR33D", "tyre_max_mm", 32.3)
    assert count(edition).buildable == count(one_of_a_kind()).buildable


def test_counting_again_is_the_same():
    assert count(demo_without_rear()) == count(demo_without_rear())


def demo_without_rear() -> Edition:
    edition = demo()
    fronts = tuple(code for code, hub in edition.hubs.items() if hub.position == "front")
    return cut(edition, hubs=fronts[:2])


def test_a_rear_wheel_needs_a_driver_body_that_the_order_s_form_can_name():
    edition = altered(one_of_a_kind(), "drivers", "B", "spline", "\u00e9toile")
    counted = count(edition)
    fronts = count(cut(one_of_a_kind(), hubs=("KF2",)))
    assert counted.sets == 0
    assert counted.buildable == fronts.buildable
