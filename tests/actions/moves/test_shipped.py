"""An order has left the house when its last wheel has, and not before."""

from __future__ import annotations

from buildsheet.actions.bench.shipped import follow_the_wheels
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.storage import events
from tests.actions.moves.asking import ask, cancel, codes, put, state_of, take
from tests.workshops import MORNING, example


def follow(workshop: Workshop, order: str) -> bool:
    with workshop.database.writing() as section:
        return follow_the_wheels(section, order, stamp(MORNING))


def test_a_released_order_is_shipped_with_its_last_wheel(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    ask(workshop, order, "release")
    put(workshop, order, "shipped", "front")
    assert (follow(workshop, order), state_of(workshop, order)) == (False, "released")
    put(workshop, order, "shipped", "rear")
    assert (follow(workshop, order), state_of(workshop, order)) == (True, "shipped")
    with workshop.database.reading() as section:
        assert events.after(section, 0)[-1].kind == "order.shipped"
    assert codes(cancel(workshop, order)) == ["move.not-from-here"]


def test_an_order_that_was_not_released_does_not_ship_by_itself(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    for position in ("front", "rear"):
        put(workshop, order, "shipped", position)
    assert (follow(workshop, order), state_of(workshop, order)) == (False, "accepted")
