"""What a revision changes is told by wheel, and it is the same whichever way round one looks."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.catalog.edition import Edition
from buildsheet.orders.check import check
from buildsheet.orders.document import Order
from buildsheet.orders.revision import Revised, what_changes
from tests.orders.workshop import demo
from tests.workshops import Document, example, raw

CHANGES: dict[str, tuple[Any, dict[str, str]]] = {
    "/note": ("Ring first.", {}),
    "/wanted_by": ("2031-06-01", {}),
    "/use/rider_kg": (71, {}),
    "/finish/decal_colour": ("EMBER", {"front": "cosmetic", "rear": "cosmetic"}),
    "/finish/rear_decal_colour": ("EMBER", {"rear": "cosmetic"}),
    "/front/nipple_colour": ("silver", {"front": "structural"}),
    "/rear/nipple_colour": ("silver", {"rear": "structural"}),
    "/rear/crossings": ({"left": 2, "right": 3}, {"rear": "structural"}),
}


def compared(edition: Edition, old: Document, new: Document) -> Revised:
    before, after = check(raw(old), edition), check(raw(new), edition)
    return what_changes(
        Order.model_validate(old),
        Order.model_validate(new),
        before.plans,
        after.plans,
        edition.decals.keys(),
    )


def kinds(revised: Revised) -> dict[str, str]:
    return {position: each.kind for position, each in revised.wheels.items()}


@pytest.mark.parametrize("place", CHANGES)
def test_each_change_is_of_the_kind_that_it_is(place: str):
    value, expected = CHANGES[place]
    revised = compared(demo(), example("D-1001"), example("D-1001", **{place: value}))
    assert kinds(revised) == {"front": "paper", "rear": "paper", **expected}


@settings(max_examples=20, deadline=None)
@given(st.sets(st.sampled_from(sorted(CHANGES)), min_size=1, max_size=3))
def test_changes_together_are_as_hard_as_the_hardest_and_the_same_way_back(places: set[str]):
    old = example("D-1001")
    new = example("D-1001", **{place: CHANGES[place][0] for place in sorted(places)})
    there, back = compared(demo(), old, new), compared(demo(), new, old)
    assert kinds(there) == kinds(back)
    expected = {"paper", *(kind for place in places for kind in CHANGES[place][1].values())}
    order = ("paper", "cosmetic", "structural")
    assert there.kind == max(expected, key=order.index)


def test_the_rim_in_hand_fits_where_article_and_program_stay():
    old = example("D-1001")
    nipples = compared(demo(), old, example("D-1001", **{"/front/nipple_colour": "silver"}))
    assert (nipples.wheels["front"].same_rim, nipples.wheels["front"].same_drilling) == (True, True)
    rim = compared(demo(), old, example("D-1001", **{"/front/rim": "OR45D"}))
    assert (rim.wheels["front"].same_rim, rim.wheels["front"].same_drilling) == (False, False)


def test_a_wheel_without_a_plan_any_more_is_another_wheel():
    old = example("D-1001")
    new = json.loads(json.dumps(old).replace('"KF2"', '"KF9"'))
    revised = compared(demo(), old, new)
    assert kinds(revised) == {"front": "structural", "rear": "paper"}
    assert not revised.wheels["front"].same_rim
