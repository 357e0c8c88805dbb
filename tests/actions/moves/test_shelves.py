"""What moves do on the shelves: nothing is promised twice, nothing is lost, drilled rims have a place."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from buildsheet.actions.moves.answers import Moved
from buildsheet.actions.stock import holds
from buildsheet.actions.stock.shelf import disagreements, show_shelf
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.orders.reservation.need import pieces
from buildsheet.storage import stock
from buildsheet.storage.stock import Level
from tests.actions.bench.day import until_lacing, view_of
from tests.actions.moves.asking import (
    ask,
    cancel,
    change,
    changed_example,
    codes,
    put,
    serial_of,
    state_of,
    take,
)
from tests.workshops import MORNING, example


def level(workshop: Workshop, item: str) -> Level:
    with workshop.database.reading() as section:
        return stock.levels(section, [item]).get(item, Level(item, 0, 0, 0, ""))


def held(workshop: Workshop) -> int:
    return sum(each.level.held for each in show_shelf(workshop).lines)


def kitted(workshop: Workshop, order: str, state: str = "kitted", position: str = "front") -> str:
    """The wheel with its parts out of the shelf, in a state."""
    serial = serial_of(workshop, order, position)
    picked = pieces(view_of(workshop, serial).plan.pick)
    with workshop.database.writing() as section:
        holds.pick(section, serial, picked, at=stamp(MORNING), by="M. K.")
    return put(workshop, order, state, position)


def test_a_cancelled_order_holds_nothing_any_more(stocked: Workshop):
    order = take(stocked, example("D-1001"))["id"]
    assert held(stocked) > 0
    assert cancel(stocked, order).outcome == "done"
    assert held(stocked) == 0
    assert disagreements(stocked) == ()


def test_a_kit_goes_back_when_its_order_is_cancelled(stocked: Workshop):
    before = level(stocked, "OR33D/24")
    order = take(stocked, example("D-1001"))["id"]
    kitted(stocked, order)
    assert level(stocked, "OR33D/24").shelf == before.shelf - 1
    cancel(stocked, order)
    assert level(stocked, "OR33D/24") == before
    assert disagreements(stocked) == ()


def test_a_rim_drilled_for_a_cancelled_wheel_lies_under_its_program(stocked: Workshop):
    before = level(stocked, "OR33D/24"), level(stocked, "KF2/24")
    order = take(stocked, example("D-1001"))["id"]
    kitted(stocked, order, "drilled")
    cancel(stocked, order)
    assert level(stocked, "OR33D/24").shelf == before[0].shelf - 1
    assert level(stocked, "OR33D/24/OR33D-24F-X").shelf == 1
    assert level(stocked, "KF2/24") == before[1]


def test_a_laced_wheel_takes_its_parts_along_into_stock(stocked: Workshop):
    before = level(stocked, "KF2/24")
    order = take(stocked, example("D-1001"))["id"]
    kitted(stocked, order, "building")
    assert cancel(stocked, order, approved_by="B. Second").outcome == "done"
    assert level(stocked, "KF2/24").shelf == before.shelf - 1
    assert disagreements(stocked) == ()


def test_a_structural_change_gives_back_what_it_no_longer_takes(stocked: Workshop):
    order = take(stocked, example("D-1010"))["id"]
    black = level(stocked, "NA12/black").held
    assert level(stocked, "NA12/silver").held == 0
    wanted = example("D-1010", **{"/revision": 2, "/front/nipple_colour": "silver"})
    moved = change(stocked, order, wanted)
    assert moved.outcome == "done", moved.findings
    silver = level(stocked, "NA12/silver").held
    assert silver > 0
    assert level(stocked, "NA12/black").held == black - silver
    assert disagreements(stocked) == ()


def test_a_change_that_lacks_parts_is_refused_whole_with_what_is_short(stocked: Workshop):
    order = take(stocked, example("D-1011"))["id"]
    shelf = show_shelf(stocked)
    moved: Moved = change(stocked, order, changed_example("D-1011"))
    assert (moved.outcome, set(codes(moved))) == ("conflict", {"stock.short"})
    assert all(each.at.startswith("/order/front") for each in moved.findings)
    assert show_shelf(stocked) == shelf


def test_other_decals_are_held_in_place_of_the_first(stocked: Workshop):
    order = take(stocked, example("D-1010"))["id"]
    assert (level(stocked, "LAGOON-M-L").held, level(stocked, "EMBER-M-L").held) == (2, 0)
    moved = change(stocked, order, changed_example("D-1010"))
    assert moved.outcome == "done", moved.findings
    assert (level(stocked, "LAGOON-M-L").held, level(stocked, "EMBER-M-L").held) == (0, 2)


def test_other_decals_for_a_kit_are_swapped_and_worn_ones_are_scrapped(stocked: Workshop):
    order = take(stocked, example("D-1010"))["id"]
    old, new = level(stocked, "LAGOON-M-L").shelf, level(stocked, "EMBER-M-L").shelf
    kitted(stocked, order, "building")
    kitted(stocked, order, "finished", "rear")
    assert level(stocked, "LAGOON-M-L").shelf == old - 2
    done = change(stocked, order, changed_example("D-1010"), approved_by="B. Second")
    assert done.outcome == "done", done.findings
    # The front's decals were still in their bag; the rear's come off its rim.
    assert level(stocked, "LAGOON-M-L").shelf == old - 1
    assert level(stocked, "EMBER-M-L").shelf == new - 2
    assert disagreements(stocked) == ()


def test_swapped_decals_go_back_with_a_kit_that_is_cancelled(stocked: Workshop):
    before = level(stocked, "LAGOON-M-L"), level(stocked, "EMBER-M-L")
    order = take(stocked, example("D-1010"))["id"]
    kitted(stocked, order)
    kitted(stocked, order, position="rear")
    assert change(stocked, order, changed_example("D-1010")).outcome == "done"
    assert cancel(stocked, order).outcome == "done"
    assert (level(stocked, "LAGOON-M-L"), level(stocked, "EMBER-M-L")) == before
    assert disagreements(stocked) == ()


def test_a_kit_picked_after_its_hold_ran_out_goes_back_as_well(stocked: Workshop):
    before = level(stocked, "KF2/24")
    order = take(stocked, example("D-1001"))["id"]
    serial = serial_of(stocked, order, "front")
    with stocked.database.writing() as section:
        holds.sweep(section, MORNING + timedelta(days=30))
    until_lacing(stocked, serial)
    put(stocked, order, "kitted")
    assert level(stocked, "KF2/24").shelf == before.shelf - 1
    cancel(stocked, order)
    assert level(stocked, "KF2/24") == before


def test_a_changed_wheel_that_was_laced_gives_back_rim_and_hub_only(stocked: Workshop):
    order = take(stocked, example("D-1001"))["id"]
    before = level(stocked, "OR33D/24").shelf, level(stocked, "SJB9/277").shelf
    kitted(stocked, order, "building")
    wanted = example("D-1001", **{"/revision": 2, "/front/nipple_colour": "silver"})
    assert change(stocked, order, wanted, approved_by="B. Second").outcome == "done"
    # The rim is counted as on the shelf and held again: it goes through the kit once more.
    assert level(stocked, "OR33D/24").shelf == before[0]
    assert level(stocked, "SJB9/277").shelf == before[1] - 14
    assert level(stocked, "SJB9/277").held == 14
    assert disagreements(stocked) == ()


def test_a_release_keeps_the_holds_for_as_long_as_it_takes(stocked: Workshop):
    order = take(stocked, example("D-1001"))["id"]
    assert ask(stocked, order, "release").outcome == "done"
    much_later = replace(stocked, clock=lambda: MORNING + timedelta(days=60))
    with much_later.database.writing() as section:
        assert holds.sweep(section, much_later.clock()) == 0


@pytest.mark.parametrize(("left", "outcome"), [(2, "done"), (1, "done"), (0, "conflict")])
def test_a_release_after_the_holds_ran_out_holds_again_or_says_what_is_short(
    stocked: Workshop, left: int, outcome: str
):
    order = take(stocked, example("D-1001"))["id"]
    late = replace(stocked, clock=lambda: MORNING + timedelta(days=30))
    with late.database.writing() as section:
        holds.sweep(section, late.clock())
        gone = stock.levels(section, ["KF2/24"])["KF2/24"].shelf - left
        stock.append(
            section,
            [stock.Movement("counted", "KF2/24", shelf_change=-gone)],
            at=stamp(MORNING),
            by="S. Keeper",
        )
    moved = ask(late, order, "release")
    assert moved.outcome == outcome
    assert state_of(stocked, order) == ("released" if outcome == "done" else "accepted")
    assert level(stocked, "KF2/24").held == (1 if outcome == "done" else 0)
